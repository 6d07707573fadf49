import { diffArrays } from "diff";

/** Lines in a row that stayed, went out or came in; `was` and `now` count the lines before them, from 0. */
export interface Stretch {
  readonly kind: "same" | "out" | "in";
  readonly lines: readonly string[];
  readonly was: number;
  readonly now: number;
}

/** One line of what will change, numbered from 1: a line that goes out by its old number, any other by its new one. */
export interface Row {
  readonly kind: Stretch["kind"];
  readonly line: number;
  readonly text: string;
}

/** What became of the lines of a text, in their order. */
export function lineChanges(was: readonly string[], now: readonly string[]): readonly Stretch[] {
  const found = diffArrays([...was], [...now], { maxEditLength: most }) ?? wholly(was, now);
  let [before, after] = [0, 0];
  return found.map(({ value, added, removed }) => {
    const stretch = { kind: added ? "in" : removed ? "out" : "same", lines: value, was: before, now: after } as const;
    if (!added) before += value.length;
    if (!removed) after += value.length;
    return stretch;
  });
}

/** The lines that will change, each group with the line above and the line below that stay. */
export function changedRows(was: string, now: string): readonly (readonly Row[])[] {
  const rows = lineChanges(was.split("\n"), now.split("\n")).flatMap(({ kind, lines, was: before, now: after }) =>
    lines.map((text, index): Row => ({ kind, line: (kind === "out" ? before : after) + index + 1, text })),
  );
  const groups: Row[][] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (const [index, row] of rows.entries()) {
    const near = [index - 1, index, index + 1].some((at) => rows[at] && rows[at].kind !== "same");
    if (!near) continue;
    if (index > last + 1) groups.push([]);
    groups.at(-1)!.push(row);
    last = index;
  }
  return groups;
}

/** Past so many lines that differ, a text counts as another one. */
const most = 2000;

/** Two texts that have next to nothing in common: what they begin and end with stayed, and all between was replaced. */
function wholly(was: readonly string[], now: readonly string[]) {
  const shorter = Math.min(was.length, now.length);
  let [head, tail] = [0, 0];
  while (head < shorter && was[head] === now[head]) head++;
  while (tail < shorter - head && was.at(-1 - tail) === now.at(-1 - tail)) tail++;
  return [
    { value: was.slice(0, head), added: false, removed: false },
    { value: was.slice(head, was.length - tail), added: false, removed: true },
    { value: now.slice(head, now.length - tail), added: true, removed: false },
    { value: now.slice(now.length - tail), added: false, removed: false },
  ].filter(({ value }) => value.length > 0);
}
