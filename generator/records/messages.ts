import type { VFile } from "vfile";

/** How bad it is: the build stops, look at this, or for your information. */
export type Severity = "error" | "warning" | "info";

/** A problem before it has a place: a rule, what was written and what was expected, and what to do. */
export interface Slip {
  readonly rule: Rule;
  /** As it stands in the file, without the backticks; absent for what is missing. */
  readonly written?: string;
  /** What would do, as the end of the sentence "expected …". */
  readonly expected?: string;
  /** What to do, in a sentence or two. */
  readonly note?: string;
  /** It is the field's name that is told about, not its value. */
  readonly on?: "key";
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
  "yaml-deep": "error",
  "key-twice": "error",
  "id-twice": "error",
  "book-missing": "error",
  // Fields
  "field-missing": "error",
  "field-misspelt": "error",
  "field-unknown": "warning",
  "field-blank": "info",
  "type-wrong": "error",
  "text-form": "error",
  "word-unknown": "error",
  "list-repeats": "warning",
  // Figures
  "number-unreadable": "error",
  "number-spaced": "error",
  "decimal-comma": "error",
  "figure-hedged": "error",
  "unit-missing": "error",
  "unit-unknown": "error",
  "unit-wrong": "error",
  "unit-short": "error",
  "unit-unexpected": "error",
  "ppm-scale": "error",
  "gallon-unclear": "error",
  "ratio-unclear": "error",
  "range-backwards": "error",
  "range-open": "error",
  "range-three": "error",
  "single-expected": "error",
  "whole-expected": "error",
  "value-impossible": "error",
  "value-unusual": "warning",
  // Dates
  "date-unreal": "error",
  "date-form": "error",
  "date-order": "error",
  "date-far": "warning",
  "month-unknown": "error",
  // Sense within a record
  "stage-order": "error",
  "stage-unknown": "error",
  "band-outside": "error",
  "figures-crossed": "error",
  "analysis-sum": "error",
  "analysis-twice": "error",
  "analysis-split": "error",
  "count-over": "error",
  "citation-missing": "error",
  "publish-incomplete": "error",
  "trial-data": "error",
  "trial-treatment": "error",
  // Measurements beside a trial
  "data-missing": "error",
  "data-unread": "warning",
  "data-syntax": "error",
  "data-column": "error",
  "data-row": "error",
  "data-blank": "error",
  "data-reason": "error",
  "data-place": "error",
  "data-twice": "warning",
  // Prose
  "section-unknown": "info",
  "section-twice": "error",
  "section-long": "warning",
  "html-in-prose": "warning",
  "picture-in-prose": "warning",
  "prose-deep": "error",
  "prose-dense": "error",
  "link-broken": "error",
  "claim-made": "warning",
  // Where values come from
  "source-path-unknown": "error",
  "source-unknown": "error",
  "source-unclear": "error",
  "figure-unsourced": "error",
  "note-path-unknown": "error",
  // Between records
  "reference-missing": "error",
  "reference-kind": "error",
  "name-twice": "error",
  "code-twice": "error",
  "audience-leak": "error",
  "line-band": "error",
  "line-band-tolerated": "warning",
  "line-ph": "warning",
  "line-feed": "warning",
  "bands-apart": "error",
  "tub-clash": "error",
  "tub-headless": "error",
  "injector-range": "error",
  "injector-heads": "error",
  "ratio-means": "error",
  "lot-crop": "error",
  "lot-not-food": "error",
  "order-crop": "error",
  "code-form": "error",
  "code-wrong": "error",
  "code-crop": "error",
  "code-date": "error",
  "crop-retired": "warning",
  "trial-figure": "error",
  "trial-repeats": "error",
  "trial-port": "error",
  "trial-waiting": "warning",
} as const satisfies Readonly<Record<string, Severity>>;

export type Rule = keyof typeof rules;

/** The sentence of a slip: *Unexpected `what was written`, expected what would do.* */
export function sentence({ written, expected }: Pick<Slip, "written" | "expected">): string {
  if (written === undefined) return expected === undefined ? "Missing" : `Missing ${expected}`;
  const seen = /\S/.test(written) ? `Unexpected \`${shorten(written)}\`` : "Unexpected blank";
  return expected === undefined ? seen : `${seen}, expected ${expected}`;
}

/** A stretch of a file, lines and columns counted from 1. */
export interface Place {
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

/** Says a slip at a line of a file, in its body for the most part. */
export function at(file: VFile, line: number, slip: Slip, column = 1, length = 0): void {
  tell(file, slip, { start: { line, column }, end: { line, column: column + length } });
}

/** `a`, `b` or `c`, each in backticks; after `most` of them, how many more there are. */
export function ticked(words: readonly string[], word = "or", most = words.length): string {
  const shown = words.slice(0, most).map((text) => `\`${text}\``);
  if (words.length > most) return `${shown.join(", ")} and ${words.length - most} more`;
  return shown.length < 2 ? shown.join("") : `${shown.slice(0, -1).join(", ")} ${word} ${shown.at(-1)}`;
}

function shorten(text: string): string {
  const line = text.replace(/\s+/g, " ").replaceAll("`", "'").trim();
  return line.length > 80 ? `${line.slice(0, 77)}…` : line;
}
