import { type CastingContext, CsvError, parse } from "csv-parse/sync";
import type { VFile } from "vfile";
import { at, type Place, type Slip, tell } from "../records/messages.ts";
import { lastStart } from "../records/places.ts";

/** One cell of a table, without the blanks around it, and where it stands in the file. */
export interface Cell {
  readonly text: string;
  readonly place: Place;
}

/** A CSV file as rows of cells, those without a word left out; what makes it unreadable is told. */
export function cellsOf(file: VFile): readonly (readonly Cell[])[] {
  const text = String(file).replace(/^\uFEFF/, "");
  const lines = text.split(/\r\n|\r|\n/);
  const long = text.length > longest.table ? 0 : lines.findIndex((line) => line.length > longest.line);
  if (long >= 0) {
    at(file, long + 1, {
      rule: "file-unreadable",
      written: file.basename ?? "",
      expected: `a table of at most ${longest.table} signs, and ${longest.line} in a line`,
      note: "A row is one plant. Is this another kind of file?",
    });
    return [];
  }
  const unreadable = lines.findIndex((line) => line.includes("\0") || line.includes("\uFFFD"));
  if (unreadable >= 0) {
    at(file, unreadable + 1, {
      rule: "file-unreadable",
      written: file.basename ?? "",
      expected: "plain text in UTF-8",
      note: "This line holds signs that are no text. Save the table as CSV in UTF-8.",
    });
    return [];
  }
  const bytes = new TextEncoder().encode(text);
  const lineOf = linesIn(bytes);
  const rows: Cell[][] = [];
  let end = -1;
  const cast = (value: string, context: CastingContext) => {
    // The reader counts up to the end of a cell. The next one starts behind the delimiter, or on a line of its own.
    const start = lineAt(bytes, context.bytes) > end ? lineAt(bytes, context.bytes) : end + 1;
    if (context.index === 0) rows.push([]);
    rows.at(-1)?.push({ text: value.trim(), place: placeOf(bytes, start, context.bytes, lineOf) });
    end = context.bytes;
    return value;
  };
  try {
    parse(bytes, { cast, delimiter: delimiterOf(text), relax_column_count: true, relax_quotes: true });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    // The record that the quote swallowed is not one of those that were read to their end.
    rows.length = Math.min(rows.length, Number(error.records));
    sayOpen(file, bytes, end + 1, lineOf);
  }
  return rows.filter((row) => row.some((cell) => cell.text !== ""));
}

/** Signs that no trial fills; past them a file is of another kind, or made to keep a reader busy. */
const longest = { table: 1_000_000, line: 20_000 } as const;

/** Says a slip at a cell. */
export function sayCell(file: VFile, { place }: Cell, slip: Slip, path: readonly (string | number)[] = []): void {
  tell(file, slip, place, path);
}

/** What parts the columns: a comma, or what a computer that writes decimals with a comma puts in its place. */
function delimiterOf(text: string): string {
  const [head = ""] = text.split(/[\r\n]/);
  return [",", ";", "\t"].find((sign) => head.includes(sign)) ?? ",";
}

/** A quote that is never closed swallows the rest of the file: it is told where it opens. */
function sayOpen(file: VFile, bytes: Uint8Array, from: number, lineOf: LineOf): void {
  const open = bytes.indexOf(quote, Math.max(0, from));
  const start = Math.max(open, 0);
  const place = placeOf(bytes, start, start + 1, lineOf);
  const whole = lettersOf(bytes, start, bytes.length).split(/[\r\n]/)[0] ?? "";
  tell(
    file,
    {
      rule: "data-syntax",
      written: whole,
      expected: "a second quote behind it",
      note: "The quote that opens here is never closed, so that nothing below it is read.",
    },
    place,
  );
}

/** The line that an offset is on, counted from 1, whichever way each line ends. (The reader's own count goes by the first.) */
type LineOf = (offset: number) => number;

function linesIn(bytes: Uint8Array): LineOf {
  const starts = [0];
  for (const [index, byte] of bytes.entries())
    if (byte === lineFeed || (byte === carriageReturn && bytes[index + 1] !== lineFeed)) starts.push(index + 1);
  return (offset) => lastStart(starts, offset) + 1;
}

function placeOf(bytes: Uint8Array, from: number, to: number, lineOf: LineOf): Place {
  const start = lineAt(bytes, to);
  const line = lineOf(start);
  const [left, right] = [Math.max(from, start), to];
  const column = lettersOf(bytes, start, left).length + 1;
  return { start: { line, column }, end: { line, column: column + lettersOf(bytes, left, right).length } };
}

/** Where the line that holds the byte before `offset` starts. */
function lineAt(bytes: Uint8Array, offset: number): number {
  let start = offset;
  while (start > 0 && bytes[start - 1] !== lineFeed && bytes[start - 1] !== carriageReturn) start--;
  return start;
}

function lettersOf(bytes: Uint8Array, from: number, to: number): string {
  return new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes.subarray(from, to));
}

const [lineFeed, carriageReturn, quote] = [10, 13, 34];
