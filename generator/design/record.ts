import type { Design } from "../design.ts";
import { list } from "../format.ts";

/** What a trial is said to be before it is planted, each as it is to stand in the record. */
export interface Words {
  readonly id: string;
  readonly question: string;
  readonly crop: string;
  readonly treatments: readonly string[];
  readonly control: string;
  readonly worthwhile: string;
  readonly measure: string;
  readonly figure: string | undefined;
  readonly through: "plant" | "feed";
  readonly isolated: number | undefined;
  readonly started: string;
  readonly stop: string;
  readonly spread: { readonly percent: string; readonly says: string } | undefined;
  readonly drawn: number;
  readonly source: string;
}

/** Texts as YAML reads them back. */
export interface Yaml {
  scalar(text: string): string;
  inline(value: Readonly<Record<string, string>>): string;
}

/** The record of a trial that nothing was measured in yet, with what is to be written where as comments. */
export function recordText(words: Words, design: Design, { scalar, inline }: Yaml): string {
  const field = (name: string, value: string | number | undefined, ...about: readonly string[]) =>
    value === undefined ? [] : [...about.map((line) => `# ${line}`), `${name}: ${scalar(String(value))}`];
  return [
    "---",
    ...field("question", words.question),
    ...field("crop", words.crop),
    ...field("control", words.control, "What is done now."),
    ...field("worthwhile", words.worthwhile, "Agreed before sowing: the least that would change your mind."),
    ...field("measure", words.measure),
    ...field("figure", words.figure, "The figure of the crop’s record that this speaks of. Values are in its unit."),
    ...field("through", words.through),
    ...field("isolated", words.isolated, "Towers fed apart, each from a bucket of its own."),
    ...field("started", words.started),
    ...field("stop", words.stop, "Fixed. Nobody stops earlier because it looks good."),
    ...(words.spread ? field("spread", words.spread.percent, `As expected before sowing, ${words.spread.says}.`) : []),
    ...field("drawn", words.drawn, "The coin: the same number draws the same places again."),
    "# Which treatment each place has. Label the place; whoever scores taste does not know which is which.",
    "places:",
    ...design.blocks.map(({ name, places }) => `  ${scalar(name)}: ${inline(places)}`),
    "# A row for each plant. Fill it in from the data sheet: a number, or died or excluded with its reason. A blank row is",
    "# not measured yet, never nought; the trial is read when it has stopped and every row says something.",
    ...field("data", `${words.id}.csv`),
    "# What went wrong, with its day, and whether it reached all alike. Take the # away.",
    "# incidents:",
    "#   - Pump off for six hours; all blocks alike",
    "# Before anyone tastes one: who signed for full name, untreated history, eaten parts and allergens, and when.",
    "# signed:",
    "# What was decided, on the last day and not before.",
    "# decision:",
    "sources:",
    `  ${scalar(words.source)}: "*"`,
    "---",
    "",
    body(words, design),
    "",
  ].join("\n");
}

/** The table beside the record: a row a plant, its value and reason blank. */
export function tableText({ blocks }: Design): string {
  const cell = (text: string) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const rows = blocks.flatMap(({ name, plants }) =>
    plants.map(({ treatment, port }) => [name, treatment, port, "", ""].map(cell).join(",")),
  );
  return `${["block,treatment,port,value,reason", ...rows].join("\n")}\n`;
}

function body({ treatments }: Words, { blocks, each, unit }: Design): string {
  const of = list(treatments.map((name) => `${each.planted + each.spare} of ${name}`));
  return [
    unit === "port"
      ? `The blocks are ${blocks.length} towers. Each has every treatment in the same number of ports, alike in tier and sun, and a coin said which side is whose.`
      : `The blocks are ${blocks.length} groups of ${treatments.length} towers side by side, each tower fed apart, and a coin said which tower has what.`,
    `Raise ${of}, sown on one day into trays of one kind: ${each.planted} for the blocks, and one spare of each, which is grown beside them and never put in the place of another.`,
  ].join(" ");
}
