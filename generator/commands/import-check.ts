import type { VFile } from "vfile";
import { problems } from "./check.ts";
import { type Draft, type Making, placed, saidAlone, type Told } from "./import-rows.ts";
import { type Book, checkedWith } from "./new-land.ts";

/** What became of the rows of a table. */
export interface Judged {
  /** The rows that a book may have beside its own records, and beside each other. */
  readonly well: readonly Draft[];
  /** What is said of each row, by its number; rows of which nothing is said are not in it. */
  readonly told: ReadonlyMap<number, readonly Told[]>;
  /** Files of the book itself that would be stopped by the rows; empty for almost every table. */
  readonly spoilt: readonly VFile[];
}

/**
 * Checks rows as a part of the whole book, those with a fault among them, so that all that is wrong is told at once. A row
 * that cannot stand in the book under its name is checked by itself. What is left is checked again without the others,
 * until it is well: a row may have been well only beside one that is not.
 */
export function judged(drafts: readonly Draft[], making: Making, book: Book): Judged {
  const told = new Map<number, readonly Told[]>();
  const tell = ({ row }: Draft, more: readonly Told[]) => {
    const known = told.get(row.number) ?? [];
    const all = [...known, ...more.filter((one) => !known.some((other) => covers(other, one)))];
    if (all.length > 0) told.set(row.number, all);
  };
  const isWell = ({ row }: Draft) => !told.get(row.number)?.some(({ severity }) => severity === "error");
  const rowOf = new Map(drafts.filter(({ named }) => named).map(({ path, row }) => [path, row.number]));
  const checked = (some: readonly Draft[]) => {
    const { library, files } = checkedWith(book, some);
    const byPath = new Map(files.map((file) => [file.path, file]));
    for (const draft of some) {
      const file = byPath.get(draft.path);
      const said = file ? problems([file]) : [];
      tell(
        draft,
        said.map((problem) => placed(draft, { ...problem, note: withRows(problem.note, rowOf) })),
      );
    }
    return { library, files };
  };
  for (const draft of drafts) tell(draft, draft.told);
  for (const draft of drafts) if (!draft.named) tell(draft, saidAlone(making, draft));
  let well = drafts.filter(({ named }) => named);
  while (true) {
    const { library, files } = checked(well);
    const left = well.filter(isWell);
    if (left.length === well.length) {
      if (library) return { well, told, spoilt: [] };
      return { well: [], told, spoilt: files.filter(({ messages }) => messages.some(({ fatal }) => fatal === true)) };
    }
    well = left;
  }
}

/** Whether something is told already: the same, or that the cell is of no use at all. */
function covers(known: Told, one: Told): boolean {
  const useless = known.severity === "error" && known.rule.startsWith("cell-");
  return (useless && known.at === one.at) || (known.message === one.message && known.field === one.field);
}

/** A note that names the file of another row says which row that is. */
function withRows(note: string | null, rowOf: ReadonlyMap<string, number>): string | null {
  return (
    note?.replace(/`([a-z]+\/[a-z0-9-]+\.md)`/g, (name, path: string) =>
      rowOf.has(path) ? `${name} (row ${rowOf.get(path)})` : name,
    ) ?? null
  );
}
