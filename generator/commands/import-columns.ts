import { nearest } from "../records/nearest.ts";
import { type Column, columnAs, columnFor, type Names, toldOf, type Unmapped } from "../writing/columns.ts";
import type { Cell, Table } from "../writing/table.ts";
import { Misuse, type World } from "./command.ts";

/** What each column is, undefined for one that is left out; or every column that nobody has said the meaning of. */
export async function columnsOf(
  table: Table,
  names: Names,
  map: readonly string[],
  { ask, err }: World,
): Promise<readonly (Column | undefined)[] | { readonly faults: readonly string[] }> {
  const said = mapped(table.header, map);
  const columns: (Column | undefined)[] = [];
  const faults: string[] = [];
  for (const [index, cell] of table.header.entries()) {
    const meaning = said.get(cell.text);
    if (meaning === "" || (cell.text === "" && isEmpty(table, index))) {
      columns.push(undefined);
      continue;
    }
    const found = meaning === undefined ? columnFor(names, cell.text) : columnAs(names, cell.text, meaning);
    if ("target" in found) columns.push(found);
    else if (ask) {
      const answer = await asked(found, index, names, { ask, err });
      if (answer === undefined) return { faults: ["Stopped before every column was known."] };
      columns.push(answer === "" ? undefined : answer);
    } else faults.push(told(found, cell, index));
  }
  faults.push(...twice(table.header, columns));
  return faults.length > 0 ? { faults } : columns;
}

/** `Column=path` for each column that is named. @throws Misuse for a column that the table does not have. */
function mapped(header: readonly Cell[], map: readonly string[]): ReadonlyMap<string, string> {
  const names = header.map(({ text }) => text);
  return new Map(
    map.map((pair) => {
      // A header may have an equals sign in it, a path never.
      const at = pair.lastIndexOf("=");
      if (at < 1) throw new Misuse(`Unexpected --map ${pair}, expected COLUMN=FIELD, such as --map "Latin=botanical"`);
      const column = pair.slice(0, at).trim();
      if (names.includes(column)) return [column, pair.slice(at + 1).trim()] as const;
      const near = nearest(column, names);
      throw new Misuse(`The table has no column ${column}${near ? `; did you mean ${near}?` : ""}`);
    }),
  );
}

async function asked(
  { header, why, near }: Unmapped,
  index: number,
  names: Names,
  { ask, err }: { readonly ask: NonNullable<World["ask"]>; readonly err: World["err"] },
): Promise<Column | "" | undefined> {
  err(`\nColumn ${index + 1}, \`${header}\`: ${why}.${near.length > 0 ? ` Near: ${near.join(", ")}.` : ""}`);
  err("  Which field is it? Blank leaves the column out.");
  while (true) {
    const answer = (await ask("> "))?.trim();
    if (answer === undefined || answer === "") return answer;
    const found = columnAs(names, header, answer);
    if ("target" in found) return found;
    err(`  ${found.why}.${found.near.length > 0 ? ` Near: ${found.near.join(", ")}.` : ""}`);
  }
}

function told({ header, why, near }: Unmapped, { line, column }: Cell, index: number): string {
  const shown = header === "" ? "without a name" : `\`${header}\``;
  const what = near.length > 0 ? `Near: ${near.map((name) => `\`${name}\``).join(", ")}. ` : "";
  const say = near.length > 0 ? near[0] : "FIELD";
  const how =
    header === "" ? "Name it in the table" : `Say --map "${header}=${say}", or --map "${header}=" to leave it out`;
  return `${line}:${column} column ${index + 1} ${shown}: ${why}. ${what}${how}.`;
}

function twice(header: readonly Cell[], columns: readonly (Column | undefined)[]): readonly string[] {
  return columns.flatMap((column, index) => {
    if (!column) return [];
    const first = columns.findIndex((other) => other && toldOf(other.target) === toldOf(column.target));
    if (first === index) return [];
    const { line, column: at, text } = header[index]!;
    return [
      `${line}:${at} column ${index + 1} \`${text}\`: column ${first + 1} \`${header[first]!.text}\` is \`${toldOf(column.target)}\` too. Say --map "${text}=" to leave this one out.`,
    ];
  });
}

function isEmpty({ rows }: Table, index: number): boolean {
  return rows.every(({ cells }) => (cells[index]?.text ?? "") === "");
}
