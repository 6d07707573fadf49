import * as fs from "node:fs/promises";
import { basename, join } from "node:path";
import type { ParseArgsOptionsConfig } from "node:util";
import { namesFor, toldOf } from "../writing/columns.ts";
import { type Table, tableOf } from "../writing/table.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { judged } from "./import-check.ts";
import { columnsOf } from "./import-columns.ts";
import { bytesOf, defaultsFor, delimiterTyped } from "./import-given.ts";
import { few, linesOf, printed, readAs } from "./import-report.ts";
import { type Draft, draftsOf, type Making } from "./import-rows.ts";
import { kindTyped } from "./new-fields.ts";
import { type Book, bookAt, clearFresh, putFresh, type Shelf } from "./new-land.ts";
import { common, read } from "./options.ts";

const help = `tierbook import KIND TABLE.csv [--map "COLUMN=FIELD"] … [--set PATH=VALUE] … [--source NAME] [--partial]

Writes a new record for each row of a table: CSV in UTF-8 with a header, parted by commas, semicolons or tabs. A column
is a field by its path (ec.preferred) or its label (EC), id, source, text, or a heading of the text; a unit may stand
once in the header, EC (mS/cm). A column that is none of these is told with what it may be and is never guessed at. A
blank cell is left out; in a list, items are parted by commas or semicolons. Figures, days and months are read as in any
record. All that is wrong is told at its row. Nothing is written unless every row is well, and nothing is written over.

  --map COLUMN=FIELD  what a column is; with nothing behind the = it is left out
  --set PATH=VALUE    a field for every row in which no cell says it, such as --set status=trial
  --source NAME       what the figures lean on, a word or a record of sources/ (memory)
  --partial           writes the rows that are well, and says which were left out
  --delimiter SIGN    what parts the columns: "," ";" or tab (told by the header)
  --dry-run           shows what would be written and writes nothing
  --content DIR       the folder of records (content)
  --json              what was written and what was told, as one object

Exit 0 all rows written, 1 something is wrong with a row or the table, 2 called wrongly or a column is not known, 3 it
cannot be written.

Example: tierbook import crops spring.csv --map "Latin name=botanical" --set status=trial --set reviewed=2027-04-12`;

/** The command on any disk. */
export function importOn(disk: Shelf): Command {
  return {
    name: "import",
    summary: "writes a record for each row of a table, when all of them are well",
    help,
    async run([typed, ...args], world) {
      const kind = kindTyped(typed, "import");
      const { values: given, positionals } = read(args, options);
      const [file, ...rest] = positionals;
      if (file === undefined) throw new Misuse(`Say which table, such as tierbook import ${kind} spring.csv`);
      if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${file}`);
      const making = { kind, source: given.source, defaults: defaultsFor(kind, given) };
      const table = tableOf(await bytesOf(file, world), delimiterTyped(given.delimiter));
      if ("refusal" in table) {
        world.err(`${file}:${table.line}:${table.column} ${table.refusal}.\nNothing was written.`);
        return 1;
      }
      const columns = await columnsOf(table, namesFor(kind), given.map ?? [], world);
      if ("faults" in columns) {
        for (const fault of columns.faults) world.err(/^\d/.test(fault) ? `${file}:${fault}` : fault);
        world.err("Nothing was written.");
        return 2;
      }
      const book = await bookAt(given.content, world);
      if (!book) return 1;
      return rowsInto(book, { file, table, making: { ...making, columns }, given }, disk, world);
    },
  };
}

/** The command on this computer's disk. */
export const importing: Command = importOn(fs);

const options = {
  ...common,
  map: { type: "string", multiple: true },
  set: { type: "string", multiple: true },
  source: { type: "string" },
  delimiter: { type: "string" },
  partial: { type: "boolean", default: false },
  "dry-run": { type: "boolean", default: false },
} as const satisfies ParseArgsOptionsConfig;

interface Task {
  readonly file: string;
  readonly table: Table;
  readonly making: Making;
  readonly given: { readonly json: boolean; readonly partial: boolean; readonly "dry-run": boolean };
}

/** Checks the rows, writes what may be written, and tells of both. */
async function rowsInto(book: Book, task: Task, disk: Shelf, world: World): Promise<number> {
  const { file, table, making, given } = task;
  const drafts = draftsOf(table.rows, making, book);
  const { well, told, spoilt } = judged(drafts, making, book);
  const lines = linesOf(drafts, told, making.columns);
  const whole = well.length === drafts.length;
  const writes = well.length > 0 && (whole || given.partial);
  const { paths, refusal } = writes && !given["dry-run"] ? await putAll(book, well, given.partial, disk) : nothing;
  if (given.json) {
    const columns = table.header.map(({ text }, index) => {
      const column = making.columns[index];
      return { header: text, field: column ? toldOf(column.target) : null, unit: column?.unit ?? null };
    });
    const rows = { read: drafts.length, well: well.length };
    world.out(
      JSON.stringify({ table: file, columns, rows, written: paths, problems: lines, refusal: refusal ?? null }),
    );
  } else {
    for (const line of lines) (whole ? world.out : world.err)(printed(basename(file), line, drafts.length));
    if (spoilt.length > 0) world.err(report(spoilt));
    if (refusal === undefined) (writes ? world.out : world.err)(summary(task, drafts, well, writes));
    else world.err(`${refusal}.${paths.length > 0 ? ` Written before that: ${paths.join(", ")}.` : ""}`);
  }
  if (refusal !== undefined) return 3;
  return whole ? 0 : 1;
}

interface Put {
  readonly paths: readonly string[];
  readonly refusal?: string;
}

const nothing: Put = { paths: [] };

/** Puts one record after the other. When one cannot be, those before it are taken away again, unless a part is wanted. */
async function putAll(book: Book, drafts: readonly Draft[], partial: boolean, disk: Shelf): Promise<Put> {
  const paths: string[] = [];
  for (const draft of drafts) {
    const failed = await putFresh(book, draft, disk);
    if (failed && partial) return { paths, refusal: failed.refusal };
    if (failed) {
      const stay: string[] = [];
      for (const path of paths) await disk.rm(join(book.folder, path)).catch(() => stay.push(path));
      await clearFresh(book, draft.path, disk);
      const rest = stay.length > 0 ? ", and those that could not be taken away again stand there" : "";
      return { paths: stay, refusal: `${failed.refusal}, and no other row was written${rest}` };
    }
    paths.push(draft.path);
  }
  return { paths };
}

function summary(task: Task, drafts: readonly Draft[], well: readonly Draft[], writes: boolean): string {
  const { table, making, given } = task;
  const { kind, columns } = making;
  const dry = given["dry-run"];
  const bad = drafts.filter((draft) => !well.includes(draft));
  const counted = `${records(drafts.length, "row")} read, ${well.length} well`;
  const left = bad.map(({ row, id }) => `row ${row.number}${id ? ` (${id})` : ""}`);
  if (!writes) {
    const partial = well.length > 0 ? ", or say --partial for the rows that are well" : "";
    return `${counted}. Nothing was written: mend the table${partial}.`;
  }
  return [
    `${dry ? "Would write" : "Wrote"} ${records(well.length, "record")} into ${kind}/: ${few(well.map(({ id }) => id))}.`,
    ...(bad.length > 0 ? [`Left out: ${left.join(", ")}.`] : []),
    ...(dry
      ? [
          "",
          "The columns are read as",
          ...readAs(
            columns,
            table.header.map(({ text }) => text),
          ),
          "",
          `The first would be ${well[0]!.path}`,
          well[0]!.text.trimEnd(),
        ]
      : []),
  ].join("\n");
}

function records(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
