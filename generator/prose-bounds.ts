/** A body as far as its reader is given it, and the lines, counted from 1, where something was left out. */
export interface Bounded {
  readonly body: string;
  /** More lists and quotes in one another than anybody writes; the line ends there. */
  readonly deep: readonly number[];
  /** A paragraph of more signs of emphasis and links than anybody writes; all of it is left out. */
  readonly dense: readonly number[];
}

/**
 * Leaves out of a body what takes the reader of Markdown as long as the square of its length and what nobody writes by hand.
 * Every line stays the line that it is.
 */
export function bounded(body: string): Bounded {
  const [deep, dense]: [number[], number[]] = [[], []];
  const lines = body.split("\n").map((line, index) => {
    const [start] = nested.exec(line) ?? indented.exec(line) ?? [];
    if (start === undefined) return line;
    deep.push(index + 1);
    return start.trimEnd();
  });
  for (let from = 0; from < lines.length; from++) {
    if (lines[from]!.trim() === "") continue;
    let [to, signs] = [from, 0];
    for (; to < lines.length && lines[to]!.trim() !== ""; to++) signs += lines[to]!.match(marks)?.length ?? 0;
    if (signs > mostMarks) {
      dense.push(from + 1);
      lines.fill("", from, to);
    }
    from = to;
  }
  return { body: lines.join("\n"), deep, dense };
}

/** The start of a line that opens more lists and quotes than anybody writes. */
const nested = /^(?:[ \t]*(?:>|(?:[-+*]|\d{1,9}[.)])(?=[ \t]))){60}/;
/** The start of an item of a list that is in as many. */
const indented = /^ {120,}(?=(?:[-+*]|\d{1,9}[.)])[ \t])/;

/** What begins or ends emphasis, or begins a link: each is held against every other of its paragraph. */
const marks = /[*_]+|\[/g;
const mostMarks = 1000;
