import { largest } from "../design/coin.ts";
import type { Plant } from "../design/ports.ts";
import type { Words } from "../design/record.ts";
import type { Wanted } from "../design/told.ts";
import { towersOf } from "../design/yard.ts";
import type { Wish, Yard } from "../design.ts";
import { list, number } from "../format.ts";
import { type Library, type PageOf, valueAt } from "../library.ts";
import { nearest } from "../records/nearest.ts";
import { Misuse } from "./command.ts";
import { dayGiven } from "./options.ts";

/** What was said of a trial that is to be planned, by the name of its option. */
export type Said = Readonly<Record<string, string | undefined>>;

/** What must be said, in the order in which it is asked for, with the question and an answer. */
export const needed: readonly { readonly option: string; readonly asks: string; readonly like: string }[] = [
  { option: "question", asks: "Which question, as a choice?", like: "Shall we grow viola A or viola B?" },
  { option: "crop", asks: "Which crop?", like: "viola" },
  { option: "treatments", asks: "Which treatments, two to four?", like: "A,B" },
  { option: "control", asks: "Which of them is done now?", like: "B" },
  { option: "through", asks: "Do they reach the plants by the plant or through the feed?", like: "plant" },
  { option: "measure", asks: "What is measured of each plant?", like: "Flowers a plant a week" },
  {
    option: "worthwhile",
    asks: "How large a difference would change your mind?",
    like: "1.5 flowers a plant a week",
  },
  { option: "started", asks: "On which day does it start?", like: "2027-04-13" },
  { option: "stop", asks: "On which day does it stop, whatever it looks like then?", like: "2027-08-03" },
];

/** What may be said besides, and is asked for too on a terminal: an empty answer leaves it out. */
export const offered: typeof needed = [
  { option: "blocks", asks: "Which towers are the blocks? Four or more.", like: "tower-2,tower-5,tower-8,tower-11" },
  { option: "spread", asks: "How far do plants of one kind differ?", like: "20 %" },
  { option: "usual", asks: "How much does the control give now, in the unit of the measure?", like: "8" },
];

/** A wish that can be planned, where, what the record says of it, and how large a difference is wanted. */
export interface Wished {
  readonly wish: Wish;
  readonly yard: Yard;
  readonly words: Words;
  readonly wanted: Wanted | undefined;
  readonly crop: PageOf<"crops">;
}

/** What is wrong with an option. */
export interface Fault {
  readonly option: string;
  readonly says: string;
}

/** Reads what was said: a wish, or everything that is wrong in it and not the first thing only. */
export function wishFrom(
  id: string,
  said: Said,
  library: Library,
):
  | { readonly wished: Wished; readonly faults?: undefined }
  | { readonly wished?: undefined; readonly faults: readonly Fault[] } {
  const faults: Fault[] = [];
  const or = <Value>(option: string, read: () => Value): Value | undefined => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof Misuse)) throw error;
      faults.push({ option, says: error.message });
      return undefined;
    }
  };
  const missing = needed.filter(({ option }) => !said[option]?.trim());
  if (missing.length > 0) {
    const like = missing.map(({ option, like }) => `--${option} "${like}"`);
    faults.push({
      option: "",
      says: `Missing ${list(missing.map(({ option }) => `--${option}`))}, such as ${like.join(" ")}`,
    });
  }
  const crop = or("crop", () => (said.crop ? cropNamed(said.crop, library) : undefined));
  const treatments = or("treatments", () => treatmentsIn(said.treatments)) ?? [];
  const control = or("control", () => oneOf("control", said.control, treatments));
  const through = or("through", () => oneOf("through", said.through, ["plant", "feed"] as const)) ?? "plant";
  const [started, stop] = (["started", "stop"] as const).map((option) =>
    or(option, () => (said[option] ? dayGiven(option, said[option]) : undefined)),
  );
  if (started && stop && stop < started)
    faults.push({ option: "stop", says: `Unexpected --stop ${stop}, expected ${started} or later` });
  const plants = or("plants", () => counted("plants", said.plants ?? "3", 1, 200)) ?? 3;
  const isolated = or("isolated", () => counted("isolated", said.isolated ?? "0", 0, 1000)) ?? 0;
  if (said.isolated !== undefined && through === "plant")
    faults.push({
      option: "isolated",
      says: "--isolated goes with --through feed: what comes by the plant needs no tower fed apart",
    });
  const drawn = or("coin", () => counted("coin", said.coin ?? (started ?? "1").replaceAll("-", ""), 1, largest)) ?? 1;
  const spread = or("spread", () => spreadIn(said, through));
  const days = { from: started ?? "0001-01-01", to: stop ?? "9999-12-31" };
  const yard: Yard = { towers: towersOf(library, days), latitude: library.book.fields.latitude };
  const towers = or("blocks", () => towersNamed(said.blocks, yard, treatments)) ?? [];
  const wanted = or("worthwhile", () => (said.worthwhile ? wantedOf(said, crop) : undefined));
  if (faults.length > 0) return { faults };
  const wished: Wished = {
    wish: {
      crop: plantOf(crop!),
      treatments,
      control: control!,
      through,
      towers,
      plants,
      isolated,
      spread,
      coin: drawn,
    },
    yard,
    wanted,
    crop: crop!,
    words: {
      id,
      question: said.question!.trim(),
      crop: crop!.id,
      treatments,
      control: control!,
      worthwhile: said.worthwhile!.trim(),
      measure: said.measure!.trim(),
      figure: said.figure?.trim(),
      through,
      isolated: through === "feed" ? towers.length : undefined,
      started: started!,
      stop: stop!,
      spread: recorded(spread, through, plants),
      drawn,
      source: sourceFor(said.source, library),
    },
  };
  return { wished };
}

function cropNamed(typed: string, library: Library): PageOf<"crops"> {
  const crop = library.crops.get(typed.trim());
  if (crop) return crop;
  const near = nearest(typed.trim(), library.crops.keys());
  throw new Misuse(`There is no crop ${typed}${near ? `; did you mean ${near}?` : ""}`);
}

function plantOf({ id, fields }: PageOf<"crops">): Plant {
  const { mass, trail, roots } = fields.form ?? {};
  return { id, name: fields.name, zone: fields.tower?.zone, mass, trail, roots };
}

function treatmentsIn(written: string | undefined): readonly string[] {
  if (!written) return [];
  const names = parted(written);
  if (names.length < 2 || names.length > 4)
    throw new Misuse(`Unexpected --treatments ${written}, expected two to four with commas between, such as A,B`);
  if (new Set(names).size < names.length)
    throw new Misuse(`Unexpected --treatments ${written}, expected each of them once`);
  const sum = names.find((name) => /^[=+@\t\r-]/.test(name));
  if (sum !== undefined)
    throw new Misuse(
      `Unexpected ${sum} in --treatments, expected names that begin with a letter or a digit: a spreadsheet takes this for a sum`,
    );
  return names;
}

function oneOf<const Word extends string>(option: string, written: string | undefined, words: readonly Word[]) {
  const word = written?.trim();
  if (!word || words.length === 0) return undefined;
  const found = words.find((one) => one === word);
  if (found !== undefined) return found;
  throw new Misuse(`Unexpected --${option} ${word}, expected ${list(words, "or")}`);
}

function counted(option: string, written: string, least: number, most: number): number {
  const value = /^\d{1,10}$/.test(written.trim()) ? Number(written) : Number.NaN;
  if (value >= least && value <= most) return value;
  throw new Misuse(`Unexpected --${option} ${written}, expected a whole number of ${least} to ${most}`);
}

function spreadIn(said: Said, through: Wish["through"]): Wish["spread"] {
  if (said.spread && said.differences)
    throw new Misuse("Unexpected --spread and --differences together, expected the one that is known");
  const written = said.spread ?? said.differences;
  if (!written) return undefined;
  const option = said.spread ? "spread" : "differences";
  const [, digits] = /^(\d+(?:\.\d+)?)\s*%?$/.exec(written.trim()) ?? [];
  const percent = Number(digits);
  if (!(percent > 0 && percent <= 200))
    throw new Misuse(`Unexpected --${option} ${written}, expected a share above 0 and up to 200, such as "20 %"`);
  return { percent, of: option === "differences" ? "differences" : through === "feed" ? "towers" : "plants" };
}

/** The spread as the record has it, which speaks of plants: as far apart as would give such differences of means of so many. */
function recorded(spread: Wish["spread"], through: Wish["through"], plants: number): Words["spread"] {
  if (!spread) return undefined;
  const [of, per] = through === "feed" ? (["towers", 1] as const) : (["plants", plants] as const);
  if (spread.of !== "differences") return { percent: `${plain(spread.percent)} %`, says: saysOf[of] };
  return {
    percent: `${plain(spread.percent * Math.sqrt(per / 2))} %`,
    says: `${saysOf[of]}, from ${plain(spread.percent)} % between the differences of blocks`,
  };
}

const saysOf = { plants: "between plants of one kind", towers: "between towers fed alike" } as const;

function towersNamed(written: string | undefined, yard: Yard, treatments: readonly string[]): Wish["towers"] {
  const wrong: string[] = [];
  const found = parted(written ?? "").flatMap((part) => {
    const [typed = "", only] = part.split("=").map((word) => word.trim());
    const name = /^\d+$/.test(typed) ? `tower-${typed}` : typed.toLowerCase();
    const tower = yard.towers.find((one) => one.name === name);
    if (only !== undefined && !treatments.includes(only)) wrong.push(`${part} (no such treatment)`);
    if (tower) return [{ tower, only }];
    const near = nearest(
      name,
      yard.towers.map((one) => one.name),
    );
    wrong.push(`${typed}${near ? ` (did you mean ${near}?)` : ""}`);
    return [];
  });
  const twice = found.filter(({ tower }, index) => found.findIndex((one) => one.tower === tower) < index);
  if (wrong.length > 0)
    throw new Misuse(
      `Unexpected in --blocks ${list(wrong)}, expected towers of the yard: ${list(yard.towers.map(({ name }) => name)) || "it has none"}`,
    );
  if (twice.length > 0) throw new Misuse(`Unexpected in --blocks ${twice[0]!.tower.name}, expected each tower once`);
  return found;
}

/** The difference that matters [%]: as it was said, or against what the control gives now, by its own word or by the record's. */
function wantedOf({ worthwhile = "", usual, figure }: Said, crop: PageOf<"crops"> | undefined): Wanted | undefined {
  const [, digits, sign] = /^(\d+(?:\.\d+)?)\s*(%?)/.exec(worthwhile.trim()) ?? [];
  const value = Number(digits);
  if (!(value > 0))
    throw new Misuse(
      `Unexpected --worthwhile ${worthwhile}, expected it to begin with a number above 0, such as "1.5 flowers a plant a week" or "20 %"`,
    );
  if (sign) return { percent: value };
  if (usual !== undefined) {
    const control = Number(/^\d+(?:\.\d+)?/.exec(usual.trim())?.[0]);
    if (!(control > 0)) throw new Misuse(`Unexpected --usual ${usual}, expected a number above 0, such as 8`);
    return { percent: (100 * value) / control, from: `${number(value)} of ${number(control)}` };
  }
  const found = crop && figure ? valueAt(crop.fields, figure.trim()) : undefined;
  const middle = typeof found === "number" ? found : isSpan(found) ? (found.low + found.high) / 2 : 0;
  if (!crop || !figure || !(middle > 0)) return undefined;
  return {
    percent: (100 * value) / middle,
    from: `${number(value)} of ${number(middle)}, the middle of ${figure.trim()} of crops/${crop.id}`,
  };
}

function isSpan(value: unknown): value is { readonly low: number; readonly high: number } {
  return typeof value === "object" && value !== null && "low" in value && "high" in value;
}

/** What the expected spread rests on: a demo book says `demo`, any other the word that claims the least. */
function sourceFor(said: string | undefined, library: Library): string {
  return said?.trim() ?? (library.book.fields.demo === true ? "demo" : "memory");
}

function parted(written: string): readonly string[] {
  return written
    .split(",")
    .map((part) => part.trim())
    .filter((part) => part !== "");
}

/** Up to four figures, no trailing noughts, as a record has it. */
function plain(value: number): string {
  return String(Number(value.toPrecision(4)));
}
