import { join } from "node:path";
import { VFile } from "vfile";
import { recordText, tableText } from "../design/record.ts";
import { layoutText, powerText, remarksOn } from "../design/told.ts";
import { type Design, planTrial } from "../design.ts";
import { date, list } from "../format.ts";
import type { PageOf } from "../library.ts";
import { check } from "../node.ts";
import { type Disk, put } from "../put.ts";
import { asName } from "../records/file-name.ts";
import { inline, scalar } from "../revise/words.ts";
import { type Desk, deskAt } from "./batch-desk.ts";
import { report } from "./check.ts";
import { Misuse, type World } from "./command.ts";
import { common, read } from "./options.ts";
import type { TrialDeed } from "./trial.ts";
import { needed, offered, type Said, type Wished, wishFrom } from "./trial-wish.ts";

const text = { type: "string" } as const;
const options = {
  ...common,
  ...Object.fromEntries([...needed, ...offered].map(({ option }) => [option, text])),
  plants: text,
  differences: text,
  figure: text,
  isolated: text,
  coin: text,
  source: text,
  "dry-run": { type: "boolean", default: false },
} as const;

const help = `tierbook trial new ID --question "…" --crop CROP --treatments A,B --control B --through plant|feed
    --measure "…" --worthwhile "1.5 flowers a plant a week" --started DATE --stop DATE
    --blocks tower-2,tower-5,tower-8,tower-11

Plans a trial: draws by coin which treatment has which place, says what the trial could show, and writes its record and,
beside it, a table with a row for each plant to fill in. What is not said is asked for on a terminal.

  --blocks TOWERS     the towers; every treatment stands in each, or, through the feed, as many towers as treatments are
                      one block. A tower that is given to one treatment alone is written tower-3=A
  --plants N          of each treatment in each block (3)
  --spread "20 %"     how far plants of one kind differ, as a share of their mean; through the feed, towers fed alike
  --differences "10 %"  instead: how far the differences of blocks differ, if that is known
  --usual 8           what the control gives now, to set what is worthwhile against it
  --figure PATH       the figure of the crop's record that the measure speaks of, such as cutting.pieces
  --isolated N        for --through feed: towers that are fed apart, each from a bucket of its own
  --coin N            the number that the coin begins with (the day of the start, 20270413)
  --source NAME       what the expected spread rests on (demo in a demo book, else memory)
  --dry-run           shows the plan and writes nothing
  --content DIR       the folder of records (content)
  --json              the plan as one object

Exit 0 written, 1 the checker stops it, 3 it could answer nothing or cannot be written, 2 called wrongly.

Example: tierbook trial new viola-pinched --question "Viola pinched once, or left alone?" --crop viola \\
    --treatments pinched,plain --control plain --through plant --measure "Flowers a plant a week" \\
    --worthwhile "1.5 flowers a plant a week" --usual 8 --spread "20 %" --started 2027-04-19 --stop 2027-08-10 \\
    --blocks tower-2,tower-5,tower-8,tower-11`;

/** Plans a trial, asking for what was not said when there is somebody to ask. */
export const trialNew: TrialDeed = {
  help,
  async run(args, world, { disk, today }) {
    const { values, positionals } = read(args, options);
    const { content, json, "dry-run": dry, ...given } = values;
    const id = idGiven(positionals);
    const desk = await deskAt({ content }, { on: today(), by: undefined, correct: false }, world);
    if (!desk) return 1;
    const said = await completed(id, given as Said, desk, world);
    if (!said) {
      world.err("\nNothing was written: it was stopped before all was answered.");
      return 3;
    }
    const { wished, faults } = wishFrom(id, said, desk.library);
    if (faults) throw new Misuse(faults.map(({ says }) => says.replace(/\?$/, "")).join(". "));
    const { design, refusals } = planTrial(wished.wish, wished.yard);
    if (refusals) {
      world.err(refusals.map(({ why, offer }) => `${why}\n${offer}`).join("\n"));
      return 3;
    }
    return land(desk, wished, design, { disk, world, dry: dry === true, json: json === true });
  },
};

function idGiven([id, ...rest]: readonly string[]): string {
  if (id === undefined) throw new Misuse("Say what to call the trial, such as `tierbook trial new viola-pinched`");
  if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${id}`);
  const name = asName(id);
  if (name === id) return id;
  throw new Misuse(`Unexpected ${id}, expected a name for a file${name ? ` such as ${name}` : ""}`);
}

/** What was said, and what was answered to the questions that it left open; undefined when whoever was asked has left. */
async function completed(id: string, given: Said, { library }: Desk, { ask, err }: World): Promise<Said | undefined> {
  if (!ask) return given;
  let said = given;
  for (const { option, asks, like } of [...needed, ...offered]) {
    if (said[option] !== undefined || isIdle(option, said)) continue;
    const must = needed.some((one) => one.option === option);
    err(`\n${asks}${must ? "" : " May be left blank."}\n  Such as ${like}`);
    while (true) {
      const answer = (await ask("> "))?.trim();
      if (answer === undefined) return undefined;
      if (answer === "" && !must) break;
      const next = { ...said, [option]: answer };
      const wrong = answer === "" ? ["Expected an answer"] : faultsOf(id, next, option, library);
      if (wrong.length === 0) {
        said = next;
        break;
      }
      for (const says of wrong) err(`  ${says}.`);
    }
  }
  return said;
}

function faultsOf(id: string, said: Said, option: string, library: Desk["library"]): readonly string[] {
  return (wishFrom(id, said, library).faults ?? [])
    .filter((fault) => fault.option === option)
    .map(({ says }) => says.replace(/\?$/, ""));
}

/** Questions that what was said already answers. */
function isIdle(option: string, { differences, worthwhile = "", figure }: Said): boolean {
  if (option === "spread") return differences !== undefined;
  return option === "usual" && (worthwhile.includes("%") || figure !== undefined);
}

/** Checks the new files as a part of the whole book, puts both or neither, and tells the plan. */
async function land(
  desk: Desk,
  wished: Wished,
  design: Design,
  { disk, world, dry, json }: { disk: Disk; world: World; dry: boolean; json: boolean },
): Promise<number> {
  const { words, crop } = wished;
  const [record, table] = [
    {
      path: `trials/${words.id}.md`,
      text: recordText(words, design, { scalar, inline: (value) => inline(value, false) }),
    },
    { path: `trials/${words.id}.csv`, text: tableText(design) },
  ];
  const there = desk.files.find(({ path }) => [record, table].some((one) => one.path === path.toLowerCase()));
  if (there) {
    world.err(`There is a ${there.path} already. Call the new trial otherwise. Nothing was written.`);
    return 3;
  }
  const copies = desk.files.map(({ cwd, path, value }) => new VFile({ cwd, path, value }));
  const added = [record, table].map(({ path, text }) => new VFile({ cwd: desk.folder, path, value: text }));
  const { library, files } = check([...copies, ...added]);
  if (!library) {
    world.err(report(files.filter(({ messages }) => messages.some(({ fatal }) => fatal === true))));
    world.err(`Nothing was written: ${record.path} would not pass.`);
    return 1;
  }
  if (!dry) {
    const failed = await putBoth(desk.folder, [table, record], disk);
    if (failed) {
      world.err(`${failed}.`);
      return 3;
    }
  }
  const cautions = cautionsFor(crop, words.through);
  const power = powerText(wished.wish, design, wished.wanted, wished.yard);
  const remarks = remarksOn(wished.wish, design);
  if (json) {
    const told = { written: !dry, files: [record.path, table.path], drawn: words.drawn, unit: design.unit };
    const { blocks, each, shows } = design;
    const plan = { blocks, each, shows: shows ?? null, wanted: wished.wanted?.percent ?? null };
    world.out(JSON.stringify({ cautions, ...told, ...plan, notes: [...power, ...remarks] }));
    return 0;
  }
  world.out(
    [
      ...cautions.map((caution) => `Caution: ${caution}`),
      `${dry ? "Would write" : "Wrote"} ${record.path} and ${table.path}`,
      "",
      ...layoutText(design, words.treatments, wished.yard),
      "",
      toRaise(design, words.treatments),
      `From ${date(words.started)} to ${date(words.stop)}, and no day less. Drawn from ${words.drawn}.`,
      ...power,
      ...remarks,
      dry
        ? ""
        : `Next: print the sheet to write on, \`tierbook print data-sheet ${words.id}\`, and sign for what is eaten.`,
    ]
      .join("\n")
      .trimEnd(),
  );
  return 0;
}

/** Puts files one after the other; when one cannot be, those before it are taken away again. Gives why. */
async function putBoth(
  folder: string,
  files: readonly { readonly path: string; readonly text: string }[],
  disk: Disk,
): Promise<string | undefined> {
  const done: string[] = [];
  for (const { path, text } of files) {
    const file = join(folder, path);
    const failed = await put({ file, was: undefined, text }, disk);
    if (!failed) {
      done.push(file);
      continue;
    }
    for (const earlier of done) await disk.rm(earlier, { force: true });
    return failed.refusal;
  }
  return undefined;
}

function toRaise({ each, unit, blocks }: Design, treatments: readonly string[]): string {
  const of = list(treatments.map((name) => `${each.planted + each.spare} of ${name}`));
  return `Raise ${of}: ${each.planted} in ${blocks.length} blocks and ${each.spare} spare of each, which is never put in the place of another. What is counted is the ${unit}.`;
}

/** What can hurt someone who tastes, and what can reach every tower. */
function cautionsFor({ fields }: PageOf<"crops">, through: "plant" | "feed"): readonly string[] {
  const { eaten, uneaten = [], lookalikes = [], allergens = [], cautions = {} } = fields;
  const parts = [
    `Eaten: ${eaten.join("; ")}.`,
    ...(uneaten.length > 0 ? [`Not eaten: ${uneaten.join("; ")}.`] : []),
    ...(lookalikes.length > 0 ? [`Not to be mistaken for it: ${lookalikes.join("; ")}.`] : []),
    `Allergens: ${allergens.join("; ") || "none recorded"}.`,
  ];
  return [
    `Nobody tastes a plant of this trial until somebody has signed for its full name, its untreated history, the parts that are eaten and the allergens. ${parts.join(" ")}`,
    ...Object.values(cautions),
    ...(through === "feed"
      ? [
          "Nothing is tried on a line that other plants drink from: shut each tower off first, and look that it is shut.",
        ]
      : []),
  ];
}
