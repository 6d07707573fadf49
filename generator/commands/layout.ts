/** Columns of a page of text. */
export const width = 100;

/** Text in lines of at most `width` columns, every line after the first as far in as `indent`. Spaces that do not break stay. */
export function wrapped(text: string, indent = "", first = indent): string {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of text.split(/[ \n]+/).filter((part) => part !== "")) {
    if (!empty && columnsOf(line) + 1 + columnsOf(word) > width) {
      lines.push(line);
      line = indent;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line].join("\n");
}

/** Rows with their cells below one another, two spaces apart; columns that are named stand at their right end. */
export function columns(rows: readonly (readonly string[])[], right: readonly number[] = []): string {
  const widths: number[] = [];
  for (const row of rows)
    for (const [at, cell] of row.entries()) widths[at] = Math.max(widths[at] ?? 0, columnsOf(cell));
  return rows
    .map((row) =>
      `  ${row.map((cell, at) => padded(cell, widths[at]!, right.includes(at))).join("  ")}`.replace(/ +$/, ""),
    )
    .join("\n");
}

/** A heading with what stands under it; nothing at all when that is nothing. */
export function block(heading: string, text: string): readonly string[] {
  return text === "" ? [] : [`${heading}\n${text}`];
}

/** Signs that take a column: accents that stand on another sign take none, and wide ones take two. */
export function columnsOf(text: string): number {
  let sum = 0;
  for (const sign of text) if (!/[\p{Mn}\p{Cf}]/u.test(sign)) sum += wide.test(sign) ? 2 : 1;
  return sum;
}

function padded(cell: string, to: number, right: boolean): string {
  const space = " ".repeat(Math.max(0, to - columnsOf(cell)));
  return right ? space + cell : cell + space;
}

const wide =
  /[\u1100-\u115F\u2E80-\u303E\u3041-\uA4CF\uAC00-\uD7A3\uF900-\uFAFF\uFE30-\uFE6F\uFF00-\uFF60\uFFE0-\uFFE6]/;
