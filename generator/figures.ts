import { type Library, type Page, sourceBasis, valueAt } from "./library.ts";
import { type Basis, sourcesOf, strongest, weakest } from "./provenance.ts";
import { kinds } from "./records/index.ts";
import { leaves } from "./records/walk.ts";
import { sourcesBlock } from "./told.ts";
import { worksheets } from "./worksheets/index.ts";
import { type Caution, type Outcome, run } from "./worksheets/worksheet.ts";

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
  readonly source: string;
  readonly cautions: readonly Caution[];
  /** As good as the weakest field that it leans on. */
  readonly basis: Basis;
  readonly from: readonly Lean[];
}

/** The value at a dotted path of `T`; `never` for a path that is not there, so that a slip does not compile. */
export type At<T, Path extends string> = Path extends `${infer Key}.${infer Rest}`
  ? Key extends keyof T
    ? At<NonNullable<T[Key]>, Rest>
    : never
  : Path extends keyof T
    ? T[Path]
    : never;

/** Reads a field of a record, and writes down that the sum leans on it. */
export type Take = <Fields, const Path extends string>(page: Page<Fields>, path: Path) => At<Fields, Path>;

/**
 * Works out one worksheet from records. `ask` reads every field through `take`, so what the sum leans on is what
 * it was given, and cannot drift from it. @throws Error when the input is not well put: the checker lets none through.
 */
export function sum(library: Library, id: string, ask: (take: Take) => Readonly<Record<string, unknown>>): Sum {
  const sheet = worksheets.get(id);
  if (!sheet) throw new RangeError(`There is no worksheet ${id}`);
  const from = new Map<string, Lean>();
  const take = (<Fields>(page: Page<Fields>, path: string) => {
    const value = valueAt(page.fields, path);
    if (value !== undefined)
      for (const lean of leansOf(library, page, path)) from.set(`${lean.record} ${lean.path}`, lean);
    return value;
  }) as Take;
  const input = defined(ask(take));
  const result = run(sheet, input);
  if ("faults" in result) {
    throw new Error(
      `${id} was asked wrongly: ${result.faults.map(({ field, reason }) => `${field}: ${reason}`).join("; ")}`,
    );
  }
  const leans = [...from.values()];
  return {
    worksheet: id,
    question: sheet.question,
    input,
    outcome: result.outcome,
    source: sheet.source,
    cautions: sheet.cautions,
    basis: leans.length > 0 ? weakest(leans.map(({ basis }) => basis)) : "memory",
    from: leans,
  };
}

/** The figures in or at `path`, each with its basis; a field that is no figure, such as a name or a date, has none. */
function leansOf<Fields>(library: Library, page: Page<Fields>, path: string): readonly Lean[] {
  const record = `${page.kind}/${page.id}`;
  const schema = page.kind === "book" ? undefined : kinds[page.kind];
  if (!schema) return [];
  return [...leaves(schema, page.raw)].flatMap((leaf) => {
    const name = leaf.path.join(".");
    if (!leaf.meta.figure || (name !== path && !name.startsWith(`${path}.`))) return [];
    const basis = strongest(
      sourcesOf(name, sourcesBlock(page)).flatMap((source) => sourceBasis(library, source) ?? []),
    );
    return [{ record, path: name, basis: basis ?? "memory" }];
  });
}

/** An input without the fields that are not recorded, all the way down. */
function defined<T>(value: T): T {
  if (Array.isArray(value)) return value.map(defined) as T;
  if (typeof value !== "object" || value === null) return value;
  const kept = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return Object.fromEntries(kept.map(([key, inner]) => [key, defined(inner)])) as T;
}
