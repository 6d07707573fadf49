import { VFile } from "vfile";
import { asName } from "../records/file-name.ts";
import { type Kind, kinds, read as readRecord } from "../records/index.ts";
import { said } from "../writing/cells.ts";
import type { Column } from "../writing/columns.ts";
import { idFor, singly } from "../writing/name.ts";
import { recordText } from "../writing/record.ts";
import type { Cell, Row } from "../writing/table.ts";
import { fieldNamed, items, type Tree, withValue } from "../writing/tree.ts";
import { type Problem, problems } from "./check.ts";
import { type Book, type Fresh, isTaken } from "./new-land.ts";

/** A row as the record that it would be, and what is amiss with it. */
export interface Draft extends Fresh {
  readonly row: Row;
  readonly id: string;
  /** Whether the book can have it under its name: a name that will do, and that nothing else has. */
  readonly named: boolean;
  /** What the table itself has against it, before the checker is asked. */
  readonly told: readonly Told[];
  /** Where a field of the record was read, or a line of its text; undefined for what no column gives. */
  readonly cellOf: (field: string | null, line: number) => { readonly cell: Cell; readonly index: number } | undefined;
}

/** Something about a row, at the cell that it is about. */
export interface Told extends Pick<Problem, "severity" | "rule" | "message" | "note" | "field"> {
  readonly line: number;
  /** In signs, for editors. */
  readonly column: number;
  /** The column of the table, counted from 1; undefined for what no column gives. */
  readonly at: number | undefined;
}

/** What all rows have in common. */
export interface Making {
  readonly kind: Kind;
  readonly columns: readonly (Column | undefined)[];
  readonly defaults: Tree;
  readonly source: string | undefined;
}

/** Every row as a record, with ids that the book has or that two rows share told at each. */
export function draftsOf(rows: readonly Row[], making: Making, book: Book): readonly Draft[] {
  const first = new Map<string, number>();
  return rows.map((row) => {
    const draft = draftOf(row, making);
    const before = first.get(draft.id);
    if (draft.id !== "" && before === undefined) first.set(draft.id, row.number);
    const faults = idFaults(draft, making, before, isTaken(book, draft.path));
    const place = idPlace(draft, making);
    return {
      ...draft,
      named: faults.length === 0,
      told: [...faults.map((fault) => ({ ...fault, ...place })), ...draft.told],
    };
  });
}

/** What the checker says of a record by itself, at the cells of its row. */
export function saidAlone({ kind }: Making, draft: Draft): readonly Told[] {
  return problemsOf(kind, draft.text).map((problem) => placed(draft, problem));
}

/** What the checker says of the text of a record, without the book around it. */
export function problemsOf(kind: Kind, text: string): readonly Problem[] {
  const file = new VFile({ path: `${kind}/record.md`, value: text });
  readRecord(file, kinds[kind]);
  return problems([file]);
}

/** Something that the checker says of a record, at the cell that it is about. */
export function placed({ row, cellOf }: Draft, problem: Problem): Told {
  const { severity, rule, message, note, field } = problem;
  const found = cellOf(field, problem.line);
  const { line, column } = found?.cell ?? { line: row.line, column: 1 };
  return { severity, rule, message, note, field, line, column, at: found && found.index + 1 };
}

function draftOf(row: Row, making: Making): Draft {
  const { kind, columns } = making;
  let tree = making.defaults;
  let { source } = making;
  let named: string | undefined;
  const sections = new Map<string, string>();
  const told: Told[] = [];
  for (const [index, column] of columns.entries()) {
    const cell = row.cells[index];
    if (!column || !cell || cell.text === "") continue;
    const { target } = column;
    // Only the text below the fields has lines; anywhere else they are the spreadsheet's.
    const { value, slip } = said(isOneLine(column) ? cell.text.replace(/\s*\n\s*/g, " ") : cell.text, column);
    const field = target.is === "field" ? target.dotted : null;
    if (slip) told.push({ ...slip, field, line: cell.line, column: cell.column, at: index + 1 });
    if (target.is === "id") named = value;
    else if (target.is === "source") source = value;
    else if (target.is === "text") sections.set(target.heading, value);
    else if (target.is === "field")
      tree = withValue(tree, pathOf(kind, target.dotted, tree), target.many ? items(value) : value);
  }
  const beyond = row.cells.findIndex((cell, index) => index >= columns.length && cell.text !== "");
  if (beyond >= 0) told.push(tooLong(row.cells[beyond]!, beyond, columns.length));
  const id = named ?? idFor(kind, tree);
  const text = recordText({ kind, tree, source, sections, guided: false });
  return { row, id, named: true, told, text, path: `${kind}/${id}.md`, cellOf: cellFinder(row, columns, text) };
}

function isOneLine({ target }: Column): boolean {
  return target.is !== "text" && !(target.is === "field" && target.many);
}

/** The path of a field. Its column was found to be one, so that of gear another kind has it at worst, and the checker says so. */
function pathOf(kind: Kind, dotted: string, tree: Tree): readonly (string | number)[] {
  const found = fieldNamed(kind, dotted, tree);
  return "path" in found ? found.path : dotted.split(".");
}

function cellFinder(row: Row, columns: readonly (Column | undefined)[], text: string): Draft["cellOf"] {
  const at = (index: number) => {
    const last = row.cells.at(-1)!;
    const cell = row.cells[index] ?? { text: "", line: last.line, column: last.column + last.text.length };
    return index < 0 ? undefined : { cell, index };
  };
  const isField = (test: (dotted: string) => boolean) =>
    columns.findIndex((column) => column?.target.is === "field" && test(column.target.dotted));
  return (field, line) => {
    if (field?.startsWith("sources.")) return at(columns.findIndex((column) => column?.target.is === "source"));
    if (field === null) {
      const lines = text.split("\n").slice(0, line);
      if (!lines.slice(1).includes("---")) return undefined;
      const heading = lines.findLast((one) => one.startsWith("## "))?.slice(3) ?? "";
      return at(columns.findIndex((column) => column?.target.is === "text" && column.target.heading === heading));
    }
    const exact = isField((dotted) => dotted === field);
    const around = exact >= 0 ? exact : isField((dotted) => field.startsWith(`${dotted}.`));
    return at(around >= 0 ? around : isField((dotted) => dotted.startsWith(`${field}.`)));
  };
}

type Fault = Pick<Told, "severity" | "rule" | "message" | "note" | "field">;

function idFaults({ id, path }: Draft, { kind }: Making, before: number | undefined, taken: boolean): readonly Fault[] {
  const fault = (rule: string, message: string, note: string): readonly Fault[] => [
    { severity: "error", rule, message, note, field: null },
  ];
  if (id === "")
    return fault(
      "id-missing",
      `Missing a name for the file of ${singly(kind)}`,
      "None can be made from its fields. Add a column `id`, in small letters, digits and hyphens",
    );
  const better = asName(id);
  if (better !== id)
    return fault(
      "file-name",
      `Unexpected \`${id}\`, expected small letters, digits and hyphens`,
      better ? `Write \`${better}\`: the name is the record's address` : "The name is the record's address",
    );
  if (before !== undefined)
    return fault("id-twice", `Unexpected \`${id}\`, expected a name of its own`, `Row ${before} is called the same`);
  if (!taken) return [];
  return fault(
    "id-taken",
    `Unexpected \`${id}\`, expected a name that no record has`,
    `\`${path}\` is there already, and nothing is written over it`,
  );
}

/** Where a row is told about its name: at its own column of ids, else at the first column that it is made of. */
function idPlace({ row, cellOf }: Draft, { columns }: Making): Pick<Told, "line" | "column" | "at"> {
  const own = columns.findIndex((column) => column?.target.is === "id");
  const found =
    own >= 0 && row.cells[own]
      ? { cell: row.cells[own], index: own }
      : ["name", "title", "term", "crop"].map((field) => cellOf(field, 0)).find((cell) => cell !== undefined);
  return { line: found?.cell.line ?? row.line, column: found?.cell.column ?? 1, at: found && found.index + 1 };
}

function tooLong({ text, line, column }: Cell, index: number, columns: number): Told {
  return {
    severity: "error",
    rule: "row-long",
    message: `Unexpected \`${text}\`, expected ${columns} cells at most, as many as the header has`,
    note: "Does a text with a comma or a semicolon in it stand without quotes?",
    field: null,
    line,
    column,
    at: index + 1,
  };
}
