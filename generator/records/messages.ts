import type { VFile } from "vfile";
import { type Document, isMap, isNode, isPair, type LineCounter, type Node, type Pair } from "yaml";

/** How bad it is: the build stops, look at this, or for your information. */
export type Severity = "error" | "warning" | "info";

/** A problem before it has a place: a rule, what was written and what was expected, and what to do. */
export interface Slip {
  readonly rule: Rule;
  /** As it stands in the file, without the backticks. */
  readonly written?: string;
  /** What would do, as the end of the sentence "expected …". */
  readonly expected?: string;
  /** What to do, in a sentence or two. */
  readonly note?: string;
}

/** Every rule of the checker, by a name that never changes, with how bad a breach is. */
export const rules = {
  // The file
  "file-unreadable": "error",
  "file-name": "error",
  "front-matter-missing": "error",
  "front-matter-open": "error",
  "yaml-syntax": "error",
  "yaml-alias": "error",
  "key-twice": "error",
  "id-twice": "error",
  "book-missing": "error",
  // Fields
  "field-missing": "error",
  "field-misspelt": "error",
  "field-unknown": "warning",
  "field-blank": "info",
  "type-wrong": "error",
  "word-unknown": "error",
  "list-repeats": "warning",
  // Figures
  "number-unreadable": "error",
  "unit-missing": "error",
  "unit-unknown": "error",
  "unit-wrong": "error",
  "unit-short": "error",
  "unit-unexpected": "error",
  "ppm-scale": "error",
  "gallon-unclear": "error",
  "decimal-comma": "error",
  "ratio-unclear": "error",
  "range-backwards": "error",
  "range-open": "error",
  "single-expected": "error",
  "whole-expected": "error",
  "value-impossible": "error",
  "value-unusual": "warning",
  // Dates
  "date-unreal": "error",
  "date-form": "error",
  "date-order": "error",
  "month-unknown": "error",
  // Sense within a record
  "stage-order": "error",
  "band-outside": "error",
  "analysis-sum": "error",
  "analysis-twice": "error",
  "analysis-split": "error",
  "count-over": "error",
  "code-wrong": "error",
  "citation-missing": "error",
  // Prose
  "section-unknown": "info",
  "section-twice": "error",
  "section-long": "warning",
  "html-in-prose": "warning",
  "link-broken": "error",
  "claim-made": "warning",
  // Where values come from
  "source-path-unknown": "error",
  "source-unknown": "error",
  "figure-unsourced": "error",
  "note-path-unknown": "error",
  // Between records
  "reference-missing": "error",
  "name-twice": "error",
  "code-twice": "error",
  "line-band": "error",
  "line-band-tolerated": "warning",
  "tub-clash": "error",
  "lot-crop": "error",
  "lot-not-food": "error",
  "audience-leak": "error",
  "publish-incomplete": "error",
  "crop-retired": "warning",
} as const satisfies Readonly<Record<string, Severity>>;

export type Rule = keyof typeof rules;

/** The sentence of a slip: *Unexpected `what was written`, expected what would do.* */
export function sentence({ written, expected }: Slip): string {
  const seen = written === undefined ? "Missing" : `Unexpected \`${shorten(written)}\``;
  return expected === undefined ? seen : `${seen}, expected ${expected}`;
}

function shorten(text: string): string {
  const line = text.replace(/\s+/g, " ");
  return line.length > 80 ? `${line.slice(0, 77)}…` : line;
}

/** Says a slip at a field of a file. An empty path is the front matter as a whole. */
export type Say = (path: readonly (string | number)[], slip: Slip) => void;

/** A teller of problems for one file, which finds the line and column of each field in its YAML tree. */
export function sayAt(file: VFile, document: Document, counter: LineCounter): Say {
  return (path, slip) => tell(file, slip, placeOf(document, counter, path), path);
}

interface Place {
  readonly start: { readonly line: number; readonly column: number };
  readonly end: { readonly line: number; readonly column: number };
}

/** Adds a slip to a file's messages, with its rule, place, field and note. */
export function tell(file: VFile, slip: Slip, place: Place, path: readonly (string | number)[] = []): void {
  const message = file.message(sentence(slip), { place, source: "tierbook", ruleId: slip.rule });
  const severity: Severity = rules[slip.rule];
  message.fatal = severity === "error" ? true : severity === "warning" ? false : undefined;
  Object.assign(message, {
    field: path.join("."),
    ...(slip.written === undefined ? {} : { actual: slip.written }),
    ...(slip.expected === undefined ? {} : { expected: [slip.expected] }),
    ...(slip.note === undefined ? {} : { note: slip.note }),
  });
}

/**
 * Where a field stands in the file: its value, or its key when the slip is about the key or the value is blank,
 * or the closest mapping around it when it is missing. Front matter starts on line 2, after its fence.
 */
function placeOf(document: Document, counter: LineCounter, path: readonly (string | number)[]): Place {
  let node: unknown = document.contents;
  let pair: Pair | undefined;
  for (const step of path) {
    if (isMap(node)) {
      const found: Pair | undefined = node.items.find((item) => isPair(item) && keyOf(item) === String(step));
      if (!found) return around(pair, counter);
      pair = found;
      node = found.value;
    } else if (
      isNode(node) &&
      "items" in node &&
      Array.isArray(node.items) &&
      typeof step === "number" &&
      node.items[step]
    ) {
      node = node.items[step];
    } else {
      return around(pair, counter);
    }
  }
  if (isNode(node) && node.range && !isMap(node) && node.range[1] > node.range[0])
    return between(counter, node.range[0], node.range[1]);
  return around(pair, counter);
}

function around(pair: Pair | undefined, counter: LineCounter): Place {
  const key = pair?.key as Node | undefined;
  return key?.range
    ? between(counter, key.range[0], key.range[1])
    : { start: { line: 2, column: 1 }, end: { line: 2, column: 1 } };
}

function between(counter: LineCounter, from: number, to: number): Place {
  const start = counter.linePos(from);
  const end = counter.linePos(to);
  return { start: { line: start.line + 1, column: start.col }, end: { line: end.line + 1, column: end.col } };
}

function keyOf(pair: Pair): string {
  const key = pair.key as { readonly value?: unknown } | undefined;
  return String(key?.value);
}
