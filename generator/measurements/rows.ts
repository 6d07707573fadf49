import type { VFile } from "vfile";
import { type Place, type Slip, tell, ticked } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { readAmount } from "../records/quantity.ts";
import { type Cell, cellsOf, sayCell } from "./cells.ts";

/** The columns of a file of measurements. */
export const columns = ["block", "treatment", "port", "value", "reason"] as const;
export type Column = (typeof columns)[number];

/** One row, of one plant. */
export interface Row {
  readonly block: Cell;
  readonly treatment: Cell;
  readonly port: Cell | undefined;
  /** Undefined where it cannot be read, so that the block and the treatment are known all the same. */
  readonly value: Cell | undefined;
  readonly reason: Cell | undefined;
  /** Nothing is said of the plant yet. */
  readonly waiting: boolean;
}

/** The rows of a file of measurements that can be read; what is wrong with the others, and with the columns, is told. */
export function rowsOf(file: VFile): readonly Row[] {
  const [head, ...rest] = cellsOf(file);
  const names = head && columnsOf(file, head);
  if (!head || !names) {
    if (!head && file.messages.length === 0) tell(file, headless, top);
    return [];
  }
  return rest.flatMap((cells) => rowOf(file, head, names, cells) ?? []);
}

/** Where each column stands; undefined when one that is needed is not there. */
function columnsOf(file: VFile, head: readonly Cell[]): ReadonlyMap<Column, number> | undefined {
  const found = new Map<Column, number>();
  const odd: Cell[] = [];
  for (const [index, cell] of head.entries()) {
    const name = columns.find((column) => column === cell.text.toLowerCase());
    if (!name) odd.push(cell);
    else if (found.has(name))
      sayCell(file, cell, {
        rule: "data-column",
        written: cell.text,
        expected: "each column once",
        note: "The two may differ: keep the right one.",
      });
    else found.set(name, index);
  }
  const missing = (["block", "treatment", "value"] as const).filter((name) => !found.has(name));
  for (const cell of odd) {
    const near = nearest(
      cell.text.toLowerCase(),
      columns.filter((name) => !found.has(name)),
    );
    if (near)
      sayCell(file, cell, { rule: "field-misspelt", written: cell.text, expected: `\`${near}\``, note: unread });
    else sayCell(file, cell, { rule: "field-unknown", written: cell.text, expected: oneOfColumns, note: unread });
  }
  if (missing.length === 0) return found;
  tell(file, { ...headless, expected: `a column ${ticked(missing, "and")} in the first line` }, top);
  return undefined;
}

/** A row by its columns; undefined when nobody can say what it is of, which is told. */
function rowOf(
  file: VFile,
  head: readonly Cell[],
  names: ReadonlyMap<Column, number>,
  cells: readonly Cell[],
): Row | undefined {
  const first = cells[0]!;
  const tooMany = cells.slice(head.length).filter(({ text }) => text !== "");
  if (tooMany.length > 0)
    sayCell(file, tooMany[0]!, {
      rule: "data-row",
      written: tooMany[0]!.text,
      expected: `${head.length} cells in a row, as many as there are columns`,
      note: "A comma inside a text or a number parts it in two. A text with a comma in it must stand in quotes; a decimal is written with a point.",
    });
  const cell = (name: Column): Cell | undefined => cells[names.get(name) ?? cells.length];
  const wanted = (name: "block" | "treatment" | "value"): Cell | undefined => {
    const found = cell(name);
    if (found && found.text !== "") return found;
    sayCell(
      file,
      found ?? first,
      {
        rule: "data-blank",
        written: "",
        expected: name === "value" ? measurement : `the ${name} of this row`,
        note: name === "value" ? notNought : "Each row says it anew.",
      },
      [name],
    );
    return undefined;
  };
  const reason = cell("reason");
  // A row is filled in when its plant is measured. One with a reason and no value is a slip.
  const waiting = (cell("value")?.text ?? "") === "" && (reason?.text ?? "") === "";
  const [block, treatment] = [wanted("block"), wanted("treatment")];
  const value = waiting ? undefined : wanted("value");
  const good = value && tooMany.length === 0 && isGood(file, value, reason);
  return (
    block && treatment && { block, treatment, port: cell("port"), value: good ? value : undefined, reason, waiting }
  );
}

/** Whether a value can be read, with its reason where it needs one; if not, it is told. */
function isGood(file: VFile, value: Cell, reason: Cell | undefined): boolean {
  const before = file.messages.length;
  const gone = value.text === "died" || value.text === "excluded";
  const why = reason?.text ?? "";
  if (gone && why === "")
    sayCell(file, reason ?? value, {
      rule: "data-reason",
      written: "",
      expected: `why this plant ${value.text === "died" ? "died" : "is left out"}, in the column \`reason\``,
      note: "A loss without a reason teaches nothing, and a plant left out without one looks like a choice.",
    });
  const read = gone ? undefined : readAmount(value.text, "");
  const near = nearest(value.text.toLowerCase(), ["died", "excluded"]);
  if (read && "slip" in read)
    sayCell(
      file,
      value,
      { ...read.slip, expected: measurement, ...(near ? { note: `Did you mean \`${near}\`?` } : {}) },
      ["value"],
    );
  else if (read && why !== "")
    sayCell(file, reason!, {
      rule: "data-reason",
      written: why,
      expected: "no reason beside a number",
      note: "A plant that does not count is `excluded`. What else is worth knowing goes below `incidents` of the trial.",
    });
  return file.messages.length === before;
}

const measurement = "a number, `died` or `excluded`";
const notNought = "Blank is not nought: a plant that gave nothing is `0`, one that is gone is `died`.";
const unread = "As it stands, nothing reads this column.";
const oneOfColumns = `one of the columns ${ticked(columns)}`;
const top: Place = { start: { line: 1, column: 1 }, end: { line: 1, column: 1 } };
const headless: Slip = {
  rule: "data-column",
  expected: "a first line with the names of the columns",
  note: `The columns are ${ticked(columns, "and")}; \`port\` and \`reason\` may be left out when no row needs them.`,
};
