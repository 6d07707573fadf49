import type { Column } from "../writing/columns.ts";
import { toldOf } from "../writing/columns.ts";
import type { Draft, Told } from "./import-rows.ts";
import { sentenceOf } from "./new-land.ts";

/** Something about a table, as data. */
export interface Line extends Told {
  /** The rows that it is about; several only for what no column gives. */
  readonly rows: readonly number[];
  readonly id: string;
}

/** All that is said of the rows, in their order; what no column gives is said once for all the rows that lack it. */
export function linesOf(
  drafts: readonly Draft[],
  told: ReadonlyMap<number, readonly Told[]>,
  columns: readonly (Column | undefined)[],
): readonly Line[] {
  const common = new Map<string, { first: Line; rows: number[] }>();
  const single: Line[] = [];
  for (const { row, id } of drafts) {
    for (const one of told.get(row.number) ?? []) {
      const line: Line = { ...withHeader(one, columns), rows: [row.number], id };
      if (one.at !== undefined || one.field === null) {
        single.push(line);
        continue;
      }
      const key = `${one.field} ${one.message}`;
      const known = common.get(key);
      if (known) known.rows.push(row.number);
      else common.set(key, { first: line, rows: [row.number] });
    }
  }
  const all = [...common.values()].map(({ first, rows }) =>
    rows.length === 1 ? first : { ...first, rows, id: "", line: 1, column: 1, note: withOption(first) },
  );
  return [...all, ...single].sort(
    (a, b) => a.line - b.line || (a.at ?? 0) - (b.at ?? 0) || (a.rows[0] ?? 0) - (b.rows[0] ?? 0),
  );
}

/** A line of the report: `crops.csv:8:15 row 7 (line 8, column 3), tall-basil: Unexpected …`. */
export function printed(table: string, line: Line, rows: number): string {
  const severity = { error: "", warning: "warning: ", info: "note: " }[line.severity];
  const place = line.at === undefined ? `line ${line.line}` : `line ${line.line}, column ${line.at}`;
  const one = `row ${line.rows[0]} (${place})${line.id === "" ? "" : `, ${line.id}`}`;
  const who = line.rows.length === 1 ? one : line.rows.length === rows ? `all ${rows} rows` : `rows ${few(line.rows)}`;
  return `${table}:${line.line}:${line.column} ${who}: ${severity}${sentenceOf(line)}`;
}

/** How each column was read: `Latin name → botanical`. */
export function readAs(columns: readonly (Column | undefined)[], headers: readonly string[]): readonly string[] {
  const width = Math.max(...headers.map((header) => header.length));
  return columns.map((column, index) => {
    const what = column === undefined ? "left out" : toldOf(column.target);
    return `  ${(headers[index] ?? "").padEnd(width)}  ${what}${column?.unit ? `, in ${column.unit}` : ""}`;
  });
}

/** A figure without its unit may have it in the header, which the checker of records cannot know. */
function withHeader(one: Told, columns: readonly (Column | undefined)[]): Told {
  const column = one.at === undefined ? undefined : columns[one.at - 1];
  if (one.rule !== "unit-missing" || column?.target.is !== "field") return one;
  const { unit } = column.target.meta;
  return { ...one, note: `${one.note ?? ""} Or once in the header: \`${column.header} (${unit})\`.`.trim() };
}

function withOption({ field, note, rule }: Line): string | null {
  if (rule !== "field-missing") return note;
  return `${note ?? ""} Add a column for it, or say it for all rows: --set ${field}=VALUE`.trim();
}

/** A list of which no more than a dozen are named. */
export function few(names: readonly (string | number)[]): string {
  return names.length > 12 ? `${names.slice(0, 12).join(", ")} and ${names.length - 12} more` : names.join(", ");
}
