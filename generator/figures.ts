import { type Library, type Page, sourceBasis, valueAt } from "./library.ts";
import { type Basis, sourcesOf, strongest, weakest } from "./provenance.ts";
import { kinds } from "./records/index.ts";
import { leaves } from "./records/walk.ts";
import { behindFigures, sourcesBlock } from "./told.ts";
import { worksheets } from "./worksheets/index.ts";
import {
  type AnswerField,
  answerField,
  type Caution,
  type InputFault,
  type Outcome,
  run,
} from "./worksheets/worksheet.ts";

/** One field that a worked-out figure leans on. */
export interface Lean {
  /** `feeds/leaf`. */
  readonly record: string;
  /** `targets.N`. */
  readonly path: string;
  readonly basis: Basis;
}

/** A worksheet answered from this book's records: what was asked, the answer, and all that it leans on. */
export interface Sum {
  readonly worksheet: string;
  readonly question: string;
  readonly input: Readonly<Record<string, unknown>>;
  readonly outcome: Outcome;
  /** What each line of the answer is called, by its path, in reading order. Weights of a refused sheet are not among them. */
  readonly fields: Readonly<Record<string, AnswerField>>;
  readonly source: string;
  readonly cautions: readonly Caution[];
  /** As good as the weakest field that it leans on. */
  readonly basis: Basis;
  readonly from: readonly Lean[];
}

/** The value at a dotted path of `T`; `never` for a path that is not there, so that a slip does not compile. */
export type At<T, Path extends string> = Path extends `${infer Key}.${infer Rest}`
  ? Key extends keyof T
    ? At<NonNullable<T[Key]>, Rest> | (undefined extends T[Key] ? undefined : never)
    : never
  : Path extends keyof T
    ? T[Path]
    : never;

/** Reads a field of a record, and writes down that the sum leans on it. */
export type Take = <Fields, const Path extends string>(page: Page<Fields>, path: Path) => At<Fields, Path>;

/** Reads an input from records. What it leans on is what `ask` took, and cannot drift from it. */
export function asked(
  library: Library,
  ask: (take: Take) => Readonly<Record<string, unknown>>,
): Pick<Sum, "input" | "from"> {
  const from = new Map<string, Lean>();
  const input = inputOf((page, path) => {
    for (const lean of leansOf(library, page, path)) from.set(`${lean.record} ${lean.path}`, lean);
  }, ask);
  return { input, from: [...from.values()] };
}

/** An input read from records, where what it leans on is told by none of them, or by `took`. */
export function inputOf(
  took: (page: Page<unknown>, path: string) => void,
  ask: (take: Take) => Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> {
  const take = (<Fields>(page: Page<Fields>, path: string) => {
    took(page as Page<unknown>, path);
    return valueAt(page.fields, path);
  }) as Take;
  return defined(ask(take));
}

/** Works out one worksheet from records. What they leave open is a refusal that names it. @throws RangeError for an unknown id. */
export function sum(library: Library, id: string, ask: (take: Take) => Readonly<Record<string, unknown>>): Sum {
  const sheet = worksheets.get(id);
  if (!sheet) throw new RangeError(`There is no worksheet ${id}`);
  const { input, from } = asked(library, ask);
  const result = run(sheet, input);
  const outcome = "outcome" in result ? result.outcome : unanswered(id, result.faults);
  return {
    worksheet: id,
    question: sheet.question,
    input,
    outcome,
    fields: Object.fromEntries(
      [...linesIn(outcome.answer)].flatMap((path) => {
        const field = answerField(sheet, path);
        return field && !(field.weight && outcome.refusal) ? [[path, field]] : [];
      }),
    ),
    source: sheet.source,
    cautions: sheet.cautions,
    basis: from.length > 0 ? weakest(from.map(({ basis }) => basis)) : "memory",
    from,
  };
}

/** What a page says when the records do not hold what a question asks. */
function unanswered(worksheet: string, faults: readonly InputFault[]): Outcome {
  const missing = faults.map(({ field, reason }) => (field ? `${field}: ${reason}` : reason)).join("; ");
  return {
    worksheet,
    verdict: "refuse",
    answer: {},
    units: {},
    working: [],
    notes: [],
    refusal: { why: `The records do not hold what this asks. ${missing}.`, by: null, nearest: {} },
  };
}

/** The path of every line of an answer. */
function* linesIn(value: unknown, path = ""): Generator<string> {
  const plain = typeof value !== "object" || value === null;
  if (plain || (Array.isArray(value) && value.every((item) => typeof item !== "object"))) yield path;
  else for (const [key, inner] of Object.entries(value)) yield* linesIn(inner, path === "" ? key : `${path}.${key}`);
}

/**
 * The figures in or at `path`, each with its basis; a field that is no figure, such as a name or a date, has none. Many sums
 * take the same fields, and so does the next library that has the record.
 */
function leansOf<Fields>(library: Library, page: Page<Fields>, path: string): readonly Lean[] {
  const behind = behindFigures(library);
  let known = leaning.get(page.raw);
  if (known?.behind !== behind) known = { behind, leans: new Map() };
  leaning.set(page.raw, known);
  const leans = known.leans.get(path) ?? leansIn(library, page, path);
  known.leans.set(path, leans);
  return leans;
}

const leaning = new WeakMap<object, { readonly behind: object; readonly leans: Map<string, readonly Lean[]> }>();

function leansIn<Fields>(library: Library, page: Page<Fields>, path: string): readonly Lean[] {
  const record = `${page.kind}/${page.id}`;
  const schema = page.kind === "book" ? undefined : kinds[page.kind];
  if (!schema) return [];
  if (page.kind === "trials" && counted.has(path.split(".")[0] ?? "") && valueAt(page.fields, path) !== undefined) {
    const behind = sourcesOf(path, sourcesBlock(page)).flatMap((source) => sourceBasis(library, source) ?? []);
    return [{ record, path, basis: strongest(behind) ?? "own-trial" }];
  }
  return figureNames(schema, page.raw).flatMap((name) => {
    if (name !== path && !name.startsWith(`${path}.`)) return [];
    const basis = strongest(
      sourcesOf(name, sourcesBlock(page)).flatMap((source) => sourceBasis(library, source) ?? []),
    );
    return [{ record, path: name, basis: basis ?? "memory" }];
  });
}

/** The paths of a record's figures, joined once. */
function figureNames(schema: Parameters<typeof leaves>[0], raw: Page<unknown>["raw"]): readonly string[] {
  const known = named.get(raw);
  if (known) return known;
  const found = leaves(schema, raw).flatMap(({ meta, path }) => (meta.figure ? [path.join(".")] : []));
  named.set(raw, found);
  return found;
}

const named = new WeakMap<object, readonly string[]>();

/** What was counted and measured in a trial. It is nobody else's figure: without another source, it rests on the trial. */
const counted: ReadonlySet<string> = new Set(["blocks", "deaths", "excluded"]);

/** An input without the fields that are not recorded, all the way down. */
function defined<T>(value: T): T {
  if (Array.isArray(value)) return value.map(defined) as T;
  if (typeof value !== "object" || value === null) return value;
  const kept = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return Object.fromEntries(kept.map(([key, inner]) => [key, defined(inner)])) as T;
}
