import type { Problem } from "./checked.ts";

/** A stretch of a text and what is put in its place. */
export interface Mend {
  readonly from: number;
  readonly to: number;
  readonly put: string;
}

/** What puts the nearest word where another was written; undefined where the checker knows none, or it cannot be seen where. */
export function mendOf(text: string, problem: Problem): Mend | undefined {
  const put = nearWord(problem);
  if (put === undefined || !problem.written) return undefined;
  const start = startOf(text, problem.line);
  const line = text.slice(start, endOf(text, start));
  // A heading is told by its line alone.
  const [from, to] =
    problem.until > problem.column ? [problem.column - 1, problem.until - 1] : ([0, line.length] as const);
  const found = placeIn(line.slice(from, to), problem);
  return found && { from: start + from + found.at, to: start + from + found.at + found.length, put };
}

/** The place in a text of a line and a column, both from 1; no further than the end of that line. */
export function placeAt(text: string, line: number, column: number): number {
  const start = startOf(text, line);
  return Math.min(start + column - 1, endOf(text, start));
}

/** The word that was most likely meant. */
export function nearWord({ rule, note, expected }: Problem): string | undefined {
  const said = rule === "field-misspelt" ? expected : /Did you mean (`[^`]+`)\?/.exec(note ?? "")?.[1];
  return said === undefined ? undefined : /^`([^`]+)`$/.exec(said)?.[1];
}

/** Where in a stretch stands what is not right: of a link its address and not its text, of a figure its unit alone. */
function placeIn(stretch: string, { rule, written = "" }: Problem) {
  if (rule === "link-broken") {
    const starts = [...stretch.matchAll(/\](?:\(|:)\s*<?/g)].map(({ 0: sign, index }) => index + sign.length);
    const at = starts.findLast((start) => stretch.startsWith(written, start));
    return at === undefined ? undefined : { at, length: written.length };
  }
  const at = stretch.indexOf(written);
  if (at < 0) return undefined;
  if (rule !== "unit-unknown") return { at, length: written.length };
  const [figures] = /^-?[\d.]+(?:\s*(?:[–—-]|to)\s*-?[\d.]+)?\s*(?=\S)/.exec(written) ?? [];
  return figures === undefined ? undefined : { at: at + figures.length, length: written.length - figures.length };
}

function startOf(text: string, line: number): number {
  let start = 0;
  for (let number = 1; number < line; number++) {
    const next = text.indexOf("\n", start);
    if (next < 0) return start;
    start = next + 1;
  }
  return start;
}

function endOf(text: string, start: number): number {
  const end = text.indexOf("\n", start);
  return end < 0 ? text.length : end;
}
