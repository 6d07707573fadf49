import { CsvError, parse } from "csv-parse/sync";
import { lastStart } from "../records/places.ts";

/** A cell of a table as it is written, without the blanks around it, its lines parted by line feeds, and where it starts. */
export interface Cell {
  readonly text: string;
  /** Counted from 1; a text of several lines is where its first line is. */
  readonly line: number;
  /** In signs, counted from 1; a text in quotes is where its quote opens. */
  readonly column: number;
}

/** A row below the header. */
export interface Row {
  /** Counted from 1, blank rows too, the header not. */
  readonly number: number;
  readonly line: number;
  readonly cells: readonly Cell[];
}

export interface Table {
  readonly header: readonly Cell[];
  /** Without the rows in which nothing stands. */
  readonly rows: readonly Row[];
  readonly delimiter: string;
}

/** Why a table cannot be read, in a sentence, and where that is. */
export interface Unreadable {
  readonly refusal: string;
  readonly line: number;
  readonly column: number;
}

/** Delimiters that a table may have; the header shows which it is. */
export const delimiters = [",", ";", "\t"] as const;

/** More rows than anybody looks through; they come from another kind of file. */
const most = 10_000;

/** A longer line is no row that anybody wrote. */
const longest = 20_000;

/**
 * Reads a table of comma-separated values (RFC 4180), with a header, in UTF-8. Semicolons and tabs do as well; which of
 * them it is, is told by the header unless `delimiter` says so. Lines may end in any way, and a text in quotes may go over
 * several. Cells say where they stand, so that what is wrong in one can be told there.
 */
export function tableOf(bytes: Uint8Array, delimiter?: string): Table | Unreadable {
  const text = textOf(bytes);
  if (typeof text !== "string") return text;
  const long = text.split(/\r\n|\r|\n/).findIndex((line) => line.length > longest);
  if (long >= 0)
    return refused(
      `The line has more than ${longest} signs. Is this another kind of file, or a quote never closed`,
      long + 1,
    );
  const parted = delimiter ?? delimiterOf(text);
  if (parted === undefined)
    return refused(
      "The header has as many semicolons, commas or tabs as the other. Say with --delimiter which parts its columns",
    );
  const read = cellsOf(text, parted);
  if ("refusal" in read) return read;
  const [header, ...below] = read.lines;
  if (!header || header.every(({ text }) => text === "")) return refused("The first line has no names of columns");
  const rows = below
    .map((cells, index) => ({ number: index + 1, line: cells[0]!.line, cells }))
    .filter(({ cells }) => cells.some(({ text }) => text !== ""));
  if (rows.length === 0) return refused("The table has no rows below its header");
  if (rows.length > most)
    return refused(
      `The table has ${rows.length} rows, and ${most} at most are read at a time. Part it`,
      rows[most]!.line,
    );
  return { header, rows, delimiter: parted };
}

function refused(refusal: string, line = 1, column = 1): Unreadable {
  return { refusal, line, column };
}

/** The text of a file in UTF-8 without the mark at its start; any other is told, with what to do. */
function textOf(bytes: Uint8Array): string | Unreadable {
  if (bytes.length > 2_000_000) return refused("The file has more than 2 MB. Part it");
  const starts = (...signs: readonly number[]) => signs.every((sign, index) => bytes[index] === sign);
  if (starts(0x50, 0x4b, 0x03, 0x04) || starts(0xd0, 0xcf, 0x11, 0xe0))
    return refused("This is the spreadsheet itself, not a table of text. Save it from there as CSV in UTF-8");
  if (starts(0xff, 0xfe) || starts(0xfe, 0xff)) return refused(`The file is in UTF-16. ${saveAs}`);
  const body = starts(0xef, 0xbb, 0xbf) ? bytes.subarray(3) : bytes;
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(body);
  } catch {
    const lines = new TextDecoder().decode(body).split(/\r\n|\r|\n/);
    const line = lines.findIndex((one) => one.includes("\uFFFD"));
    const column = lines[line]?.indexOf("\uFFFD") ?? 0;
    return refused(`The file is not in UTF-8: here stands a sign that cannot be read. ${saveAs}`, line + 1, column + 1);
  }
}

const saveAs = "In the spreadsheet, choose CSV UTF-8 when you save it, or UTF-8 as its character set";

/** The delimiter that stands most often in the header, outside of quotes; undefined when two stand equally often. */
function delimiterOf(text: string): string | undefined {
  const first = /^(?:"(?:[^"]|"")*"|[^"\r\n])*/.exec(text)?.[0].replace(/"(?:[^"]|"")*"/g, "") ?? "";
  const counted = delimiters.map((sign) => ({ sign, times: first.split(sign).length - 1 }));
  const [best, next] = counted.sort((a, b) => b.times - a.times);
  return best!.times > 0 && best!.times === next!.times ? undefined : best!.times === 0 ? "," : best!.sign;
}

function cellsOf(text: string, delimiter: string): { readonly lines: readonly (readonly Cell[])[] } | Unreadable {
  const bytes = new TextEncoder().encode(text);
  const placeOf = placesIn(bytes);
  // Where the cell that is being read starts, in bytes; a line end before the first of a row is passed over.
  let start = 0;
  const cell = (
    value: string,
    { bytes: end, column }: { readonly bytes: number; readonly column: number | string },
  ): Cell => {
    if (column === 0 && start > 0) start += bytes[start - 1] === 13 && bytes[start] === 10 ? 1 : 0;
    const place = placeOf(start);
    start = end + 1;
    return { text: value.replace(/\r\n?/g, "\n").trim(), ...place };
  };
  try {
    const lines = parse(text, {
      delimiter,
      record_delimiter: ["\r\n", "\n", "\r"],
      relax_column_count: true,
      cast: cell as never,
    }) as unknown as readonly (readonly Cell[])[];
    return { lines };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const { line, column } = placeOf(start);
    return refused(`${quoteFaults[error.code] ?? "The row cannot be read"}`, line, column);
  }
}

const quoteFaults: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: "The quote that opens here is never closed. Close it, or take it away",
  CSV_INVALID_CLOSING_QUOTE:
    "A quote ends within this cell and something follows it. Write a quote within a text twice, and put the whole cell in quotes",
  INVALID_OPENING_QUOTE:
    "A quote opens in the middle of this cell. Put the whole cell in quotes, and write the quote within it twice",
};

/** Finds the line and column of a byte. */
function placesIn(bytes: Uint8Array): (offset: number) => Pick<Cell, "line" | "column"> {
  const starts = [0];
  for (const [index, byte] of bytes.entries())
    if (byte === 10 || (byte === 13 && bytes[index + 1] !== 10)) starts.push(index + 1);
  const decoder = new TextDecoder();
  return (offset) => {
    const line = lastStart(starts, offset);
    return { line: line + 1, column: decoder.decode(bytes.subarray(starts[line]!, offset)).length + 1 };
  };
}
