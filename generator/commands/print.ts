import { mkdtemp, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, relative, resolve } from "node:path";
import { openBrowser } from "../browser.ts";
import { printEdition } from "../build.ts";
import { date, shortDate } from "../format.ts";
import type { Library } from "../library.ts";
import { load } from "../node.ts";
import { type Filling, type Paper, papers, printPaper, type Week } from "../paper.ts";
import { replace } from "../put.ts";
import { nearest } from "../records/nearest.ts";
import { addDays, dateFault } from "../science/calendar.ts";
import { loadSearch } from "../search.ts";
import { type Audience, plantWithin } from "../shown.ts";
import { doingsOf } from "../supply/doings.ts";
import { picksOf } from "../supply/picks.ts";
import { bookPlan } from "../supply/planned.ts";
import { sowingWeeks } from "../supply/sowing.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

const width = Math.max(...Object.keys(papers).map((what) => what.length));

export const print: Command = {
  name: "print",
  summary: "writes sheets of paper as PDF files: cards, mixes, lists, maps, labels, reports",
  help: `tierbook print <what> [ids…] [--content DIR] [--out DIR] [--book DIR]

Writes one PDF file for each sheet, at its own paper size; without ids, every sheet of the kind.

${Object.entries(papers)
  .map(([what, { says }]) => `  ${what.padEnd(width)}  ${says}`)
  .join("\n")}

  --content DIR    the folder of records (content)
  --out DIR        where the files go (paper)
  --book DIR       a folder that \`tierbook build\` has just printed; without it the edition is printed aside first
  --edition WHO    staff or customer, for emergency, which both have (staff)
  --week WEEK      for sowing-list, pick-list and labels: the ISO week, 2027-W12
  --batch CODE     for growing-on: writes the batch's code and day into the blanks
  --posted DATE    for growing-on: writes the day of posting, and the last day to plant
  --south          for growing-on: months for south of the equator
  --json           the names of the files written, as one object

Exit 0 written, 1 a problem in the records or a private value, 2 called wrongly, 3 it cannot be written.

Example: tierbook print growing-on parsley-pot --batch PAR-27032-01-8 --posted 2027-04-19`,
  async run(args, world) {
    const { values, positionals } = read(args, {
      ...common,
      out: { type: "string", default: "paper" },
      book: { type: "string" },
      edition: { type: "string" },
      week: { type: "string" },
      batch: { type: "string" },
      posted: { type: "string" },
      south: { type: "boolean", default: false },
    });
    const [what, ...named] = positionals;
    const paper = paperNamed(what);
    const edition = editionOf(values.edition, paper, what!);
    for (const [option, kinds] of [
      ["week", ofWeeks],
      ["batch", ["growing-on"]],
      ["posted", ["growing-on"]],
      ["south", ["growing-on"]],
    ] as const)
      if (values[option] && !kinds.some((kind) => kind === what))
        throw new Misuse(`--${option} goes with ${kinds.join(" and ")}, not with ${what}`);
    const content = await contentFolder(values.content, world);
    const { library, files } = await load(content);
    if (!library) {
      world.err(report(files));
      return 1;
    }
    if (what === "emergency" && edition === "customer" && !hasEmergencyForAll(library))
      throw new Misuse("The customer edition has no emergency card: its guide is for staff");
    const batch = values.batch === undefined ? undefined : batchCoded(library, values.batch);
    const asked = [...named, ...(values.week ? [values.week] : [])];
    const ids = idsNamed(
      asked.length === 0 && batch ? [batch.fields.crop] : asked,
      paper.ids(library, ofWeeks.some((kind) => kind === what) ? await weeksOf(library) : []),
      what!,
    );
    const filling = fillingOf(library, ids, { batch, posted: values.posted, south: values.south });
    const out = resolve(world.cwd, values.out);
    const printing = await bookFor(edition, values.book, { content, library, world });
    if (typeof printing === "number") return printing;
    try {
      const browser = await openBrowser();
      try {
        const made = await printPaper(
          browser,
          ids.map((id) => ({ page: paper.page(id), name: `${what}-${id}` })),
          { book: printing.folder, out, day: library.book.fields.edition, filling },
        );
        const failed = await replace(made);
        if (failed) {
          world.err(`${failed.refusal}.`);
          return 3;
        }
        const written = made.map(({ file }) => file);
        world.out(
          values.json
            ? JSON.stringify({ written })
            : written.map((file) => `Wrote ${relative(world.cwd, file)}`).join("\n"),
        );
        return 0;
      } finally {
        await browser.close();
      }
    } finally {
      await printing.done();
    }
  },
};

/** Kinds of paper whose sheets are weeks of the plan, so that the plan is only worked out for these. */
const ofWeeks = ["sowing-list", "pick-list", "labels"] as const;

/** The weeks that have a sowing list, each with the trays that are labelled for it. */
export async function weeksOf(library: Library): Promise<readonly Week[]> {
  const plan = bookPlan(library, await loadSearch());
  const picks = picksOf(library, plan, doingsOf(library, plan));
  return sowingWeeks(plan).map(({ week, days }) => ({
    week,
    deliveries: picks.filter(({ on }) => days.includes(on)).length,
    trays: plan.sowings.filter((one) => one.week === week).flatMap(({ codes }) => codes).length,
  }));
}

function hasEmergencyForAll(library: Library): boolean {
  return [...library.guides.values()].some(
    ({ fields }) => fields.kind === "emergency" && fields.audience === "everyone",
  );
}

function paperNamed(what: string | undefined): Paper {
  if (what === undefined) throw new Misuse(`Say what to print: ${Object.keys(papers).join(", ")}`);
  const paper = papers[what];
  if (paper) return paper;
  const near = nearest(what, Object.keys(papers));
  throw new Misuse(`There is no paper ${what}${near ? `; did you mean ${near}?` : ""}`);
}

function editionOf(word: string | undefined, paper: Paper, what: string): Audience {
  if (word === undefined) return paper.edition;
  if (word !== "staff" && word !== "customer")
    throw new Misuse(`Unexpected --edition ${word}, expected staff or customer`);
  if (word !== paper.edition && what !== "emergency")
    throw new Misuse(`Unexpected --edition ${word}, expected ${paper.edition}: only that edition has ${what}`);
  return word;
}

/** The ids that some words name; a crop's name stands for all its sheets. @throws Misuse for one that is not there. */
function idsNamed(words: readonly string[], ids: readonly string[], what: string): readonly string[] {
  if (words.length === 0) return ids;
  return words.flatMap((word) => {
    if (ids.includes(word)) return [word];
    const parts = ids.filter((id) => /^-(bed|pot|soilless)$/.test(id.slice(word.length)) && id.startsWith(word));
    if (what === "growing-on" && parts.length > 0) return parts;
    const crops = ids.map((id) => id.replace(/-(bed|pot|soilless)$/, ""));
    const near = nearest(word, what === "growing-on" ? [...new Set([...ids, ...crops])] : ids);
    throw new Misuse(`There is no ${what} for ${word}${near ? `; did you mean ${near}?` : ""}`);
  });
}

function batchCoded(library: Library, code: string) {
  const batches = [...library.batches.values()];
  const batch = batches.find(({ fields }) => fields.code === code);
  if (batch) return batch;
  const near = nearest(
    code,
    batches.map(({ fields }) => fields.code),
  );
  throw new Misuse(`There is no batch ${code}${near ? `; did you mean ${near}?` : ""}`);
}

function fillingOf(
  library: Library,
  ids: readonly string[],
  {
    batch,
    posted,
    south,
  }: { batch: ReturnType<typeof batchCoded> | undefined; posted: string | undefined; south: boolean },
): Filling {
  const fault = posted === undefined ? undefined : dateFault(posted);
  if (fault) throw new Misuse(`Unexpected --posted ${posted}: ${fault}`);
  const crops = [...new Set(ids.map((id) => id.replace(/-(bed|pot|soilless)$/, "")))];
  if (batch && crops.some((crop) => crop !== batch.fields.crop))
    throw new Misuse(`The batch ${batch.fields.code} is ${batch.fields.crop}; print only its sheets with --batch`);
  if (posted !== undefined && crops.length > 1)
    throw new Misuse("Name one crop with --posted: each has its own last day to plant");
  const crop = library.crops.get(crops[0] ?? "");
  const days = crop && plantWithin(crop);
  return {
    south,
    blanks: {
      ...(batch ? { code: batch.fields.code, sown: shortDate(batch.fields.sown) } : {}),
      ...(posted === undefined ? {} : { posted: shortDate(posted) }),
      ...(posted === undefined || days === undefined ? {} : { by: `Plant by ${date(addDays(posted, days))}` }),
    },
  };
}

/** The folder of an edition: the one named, or one printed aside, to be taken away when done; the exit code when it cannot be. */
async function bookFor(
  edition: Audience,
  named: string | undefined,
  { content, library, world }: { content: string; library: Library; world: World },
): Promise<{ readonly folder: string; done(): Promise<void> } | number> {
  if (named !== undefined) {
    const folder = join(resolve(world.cwd, named), edition);
    const found = await stat(join(folder, "index.html")).catch(() => undefined);
    if (!found) throw new Misuse(`There is no ${edition} edition in ${named}; print it with \`tierbook build\``);
    return { folder, done: () => Promise.resolve() };
  }
  const aside = await mkdtemp(join(tmpdir(), "tierbook-paper-"));
  const done = () => rm(aside, { recursive: true, force: true });
  const printed = await printEdition(edition, { content, out: aside, library });
  if ("folder" in printed) return { folder: printed.folder, done };
  await done();
  if ("trouble" in printed && printed.disk) {
    world.err(`${printed.trouble}. Nothing was printed.`);
    return 3;
  }
  world.err(
    "leaks" in printed
      ? "Nothing was printed: something private would have reached customers. `tierbook build` says what and where."
      : `Nothing was printed: the book could not be.\n${printed.trouble}`,
  );
  return 1;
}
