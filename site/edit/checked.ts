import { VFile } from "vfile";
import { kindNames } from "../../generator/library.ts";
import { sayName } from "../../generator/records/file-name.ts";
import { Book, type Kind, kinds, type Reading, read } from "../../generator/records/index.ts";
import type { Rule, Severity } from "../../generator/records/messages.ts";
import { checkLibrary, type Drafts, type Known } from "../../generator/rules/index.ts";

/** A record as it stands in an editing field: its kind, its file's name with its ending, and its text. */
export interface Draft {
  readonly kind: Kind | "book";
  readonly name: string;
  readonly text: string;
}

/** What is known of the book around a record: the ids of each kind, and the day of the edition that they are of. */
export interface Around {
  readonly ids: Readonly<Record<Kind, readonly string[]>>;
  readonly edition: string;
}

/** One problem, as the checker tells it. Lines and columns count from 1; it ends on its line, before `until`. */
export interface Problem {
  readonly rule: Rule;
  readonly severity: Severity;
  readonly line: number;
  readonly column: number;
  readonly until: number;
  readonly message: string;
  readonly note: string | undefined;
  /** The path of the field, empty for a problem of the file or of its prose. */
  readonly field: string;
  readonly written: string | undefined;
  readonly expected: string | undefined;
}

/** What was found in a record, by place, and what could be read of it; undefined when it has no fields that can be read. */
export interface Checked {
  readonly problems: readonly Problem[];
  readonly reading: Reading<Readonly<Record<string, unknown>>> | undefined;
}

/**
 * Checks one record with the schema and the rules of the checker. Of the other records it knows only that they are there, so
 * that what two records say of one another stays unsaid: never a word that the checker would not say.
 */
export function checked({ kind, name, text }: Draft, { ids, edition }: Around): Checked {
  const file = new VFile({ path: kind === "book" ? "book.md" : `${kind}/${name}`, value: text });
  const records = byKind(() => new Map<string, unknown>());
  const named = kind === "book" || sayName(file);
  const reading = read(file, kind === "book" ? Book : kinds[kind]) as Checked["reading"];
  const stem = file.stem ?? "";
  if (kind !== "book" && reading && named) records[kind].set(stem, reading);
  const book = kind === "book" ? reading : dated(edition);
  const known = byKind((each) => new Set([...ids[each], ...(each === kind ? [stem] : [])]));
  checkLibrary({ book, records } as unknown as Drafts, known satisfies Known);
  // Which treatments were measured stands in the file of measurements, where a trial has one.
  const problems = file.messages.map(problem).filter(({ rule }) => !(rule === "trial-treatment" && reading?.raw.data));
  return { problems: problems.sort((a, b) => a.line - b.line || a.column - b.column), reading };
}

/** Rules that need what other files say, wholly or in part: of those only `tierbook check` sees every breach. */
export const leftToTheBook = [
  "book-missing",
  "id-twice",
  "name-twice",
  "code-twice",
  "reference-kind",
  "audience-leak",
  "line-band",
  "line-band-tolerated",
  "line-ph",
  "line-feed",
  "bands-apart",
  "tub-clash",
  "tub-headless",
  "injector-range",
  "injector-heads",
  "ratio-means",
  "lot-crop",
  "lot-not-food",
  "order-crop",
  "code-crop",
  "crop-retired",
  "data-missing",
  "data-unread",
  "data-syntax",
  "data-column",
  "data-row",
  "data-blank",
  "data-reason",
  "data-twice",
  "data-place",
  "trial-waiting",
  "trial-data",
  "trial-treatment",
  "trial-repeats",
  "trial-port",
] as const satisfies readonly Rule[];

/** As much of `book.md` as a rule about one record asks for. */
function dated(edition: string) {
  return read(new VFile({ path: "book.md", value: `---\nedition: ${edition}\n---\n` }), Book);
}

function byKind<Value>(value: (kind: Kind) => Value): Record<Kind, Value> {
  return Object.fromEntries(kindNames.map((kind) => [kind, value(kind)])) as Record<Kind, Value>;
}

function problem(message: VFile["messages"][number]): Problem {
  const { fatal, ruleId, reason, note, place, line = 1, column = 1, actual, expected } = message;
  const until = place && "end" in place ? place.end.column : column;
  return {
    rule: ruleId as Rule,
    severity: fatal === true ? "error" : fatal === false ? "warning" : "info",
    line,
    column,
    until,
    message: reason,
    note,
    field: String((message as { readonly field?: unknown }).field ?? ""),
    written: actual,
    expected: expected?.[0],
  };
}
