import { type CST, type Document, Parser, parseDocument } from "yaml";

/** The front matter of a record, as YAML with plain line ends, and where each place of it is in the file. */
export interface Front {
  readonly yaml: string;
  readonly document: Document.Parsed;
  /** The place in the file of a place in `yaml`. */
  readonly at: (offset: number) => number;
  /** How the line that a place in `yaml` is on ends in the file. */
  readonly endAt: (offset: number) => string;
}

/** The front matter between the two fences, or why it cannot be changed. */
export function frontOf(text: string): Front | { readonly refusal: string } {
  const lines = linesOf(text);
  const close = lines.findIndex(({ text: line }, index) => index > 0 && line.trimEnd() === "---");
  if (lines[0]?.text.trimEnd() !== "---" || close < 0)
    return { refusal: "The file has no fields between two lines of three hyphens. `tierbook check` says where" };
  const inner = lines.slice(1, close);
  const yaml = `${inner.map((line) => line.text).join("\n")}\n`;
  const document = parsed(yaml);
  if (!document || document.errors.length > 0)
    return { refusal: "The fields cannot be read as they stand. `tierbook check` says where; mend that first" };
  const starts: number[] = [];
  let next = 0;
  for (const line of inner) {
    starts.push(next);
    next += line.text.length + 1;
  }
  const lineAt = (offset: number) =>
    Math.max(
      0,
      starts.findLastIndex((start) => start <= offset),
    );
  return {
    yaml,
    document,
    at: (offset) =>
      offset >= next ? lines[close]!.from : inner[lineAt(offset)]!.from + offset - starts[lineAt(offset)]!,
    endAt: (offset) => inner[lineAt(offset)]?.end ?? "\n",
  };
}

/** Every comment of the front matter, in its order. */
export function commentsIn({ yaml }: Front): readonly string[] {
  const found: string[] = [];
  const look = (token: unknown): void => {
    if (Array.isArray(token)) for (const item of token) look(item);
    else if (typeof token === "object" && token !== null) {
      const { type, source } = token as Partial<CST.SourceToken>;
      if (type === "comment") found.push(source ?? "");
      else for (const inner of Object.values(token)) look(inner);
    }
  };
  for (const token of new Parser().parse(yaml)) look(token);
  return found;
}

/** A line of the file without its end, where it starts, and how it ends. The mark at the start of the file is no part of it. */
interface Line {
  readonly text: string;
  readonly from: number;
  readonly end: string;
}

function linesOf(text: string): readonly Line[] {
  const lines: Line[] = [];
  let from = text.startsWith("\uFEFF") ? 1 : 0;
  for (const { 0: end, index } of text.matchAll(/\r\n|\r|\n/g)) {
    if (index < from) continue;
    lines.push({ text: text.slice(from, index), from, end });
    from = index + end.length;
  }
  return [...lines, { text: text.slice(from), from, end: "" }];
}

/** Every scalar as its text; undefined when it is nested past the reader's depth. */
function parsed(yaml: string): Document.Parsed | undefined {
  try {
    return parseDocument(yaml, { schema: "failsafe", keepSourceTokens: true, prettyErrors: false });
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
