import type { z } from "zod";
import * as format from "./format.ts";
import { type Library, type Page, type PageOf, sourceBasis, valueAt } from "./library.ts";
import { type Basis, type Sources, sourcesOf, strongest } from "./provenance.ts";
import { Book, kinds } from "./records/index.ts";
import { readSpan } from "./records/quantity.ts";
import { leaves, schemaAt, unwrap } from "./records/walk.ts";
import { unitNamed } from "./science/units.ts";

/** A figure as a page shows it: in words, with its unit, where it comes from, and how sure that is. */
export interface Told {
  /** Where it stands in its record, `stages.tray.days`. */
  readonly path: string;
  readonly label: string;
  /** The figure with its unit, `1.2–1.8 mS/cm`. */
  readonly text: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly basis: Basis;
  /** What it leans on, as a reader may know it. */
  readonly cited: readonly Cited[];
  readonly note?: string;
  /** The related plant that the source speaks of, when it is not this one. */
  readonly borrowed?: string;
}

/** A source behind a figure: a citation, or the word for what it is. */
export interface Cited {
  readonly id: string;
  readonly basis: Basis;
  /** Who wrote it and where it stands, or what the trial asked; empty for common practice, memory and demo. */
  readonly text: string;
  /** The trial's id, when it is a trial of the book: then it has a page, for staff. */
  readonly trial?: string;
}

/** The figure at `path` of a record, or undefined when it is not recorded. Every figure has a basis: the checker asks for one. */
export function told<Fields>(library: Library, page: Page<Fields>, path: string): Told | undefined {
  const value = valueAt(page.fields, path);
  const ends = endsOf(value);
  if (!ends) return undefined;
  const { unit = "", label = path } = unwrap(schemaAt(schemaOf(page), path.split("."), page.raw)).meta;
  const behind = sourcesOf(path, sourcesBlock(page)).map((id) => cited(library, id));
  const basis = strongest(behind.map(({ basis }) => basis)) ?? "memory";
  const beside = (field: "notes" | "borrowed") => (valueAt(page.fields, field) as Beside | undefined)?.[path];
  const [note, borrowed] = [beside("notes"), beside("borrowed")];
  return {
    path,
    label,
    text: format.span(ends, unit, decimalsWritten(valueAt(page.raw, path), unit)),
    unit,
    ...ends,
    basis,
    cited: behind,
    ...(note === undefined ? {} : { note }),
    ...(borrowed === undefined ? {} : { borrowed }),
  };
}

/** What a field is called on a page. */
export function labelOf<Fields>(page: Page<Fields>, path: string): string {
  return unwrap(schemaAt(schemaOf(page), path.split("."), page.raw)).meta.label ?? path;
}

/** Every figure of a record, by its path, in the order of the file; what nobody is shown, such as a price, stays out. */
export function figures<Fields>(library: Library, page: Page<Fields>): Readonly<Record<string, Told>> {
  const behind = behindFigures(library);
  const known = toldOnce.get(page);
  if (known?.behind === behind) return known.figures;
  const shown = figureLeaves(page).filter(({ meta }) => meta.reader !== "nobody");
  const found = pick(
    library,
    page,
    shown.map(({ path }) => path.join(".")),
  );
  toldOnce.set(page, { behind, figures: found });
  return found;
}

/** What {@link figures} found: several parts of an edition ask for the same, and so does the next library that has the page. */
const toldOnce = new WeakMap<object, { readonly behind: object; readonly figures: Readonly<Record<string, Told>> }>();

/** Stands for all that figures are cited by: one object for as long as every source and every trial's question is the same. */
export function behindFigures(library: Library): object {
  if (lastBehind.library === library) return lastBehind;
  const says = JSON.stringify([
    [...library.sources.values()].map(({ id, fields }) => [id, fields]),
    [...library.trials.values()].map(({ id, fields }) => [id, fields.question]),
  ]);
  lastBehind = says === lastBehind.says ? Object.assign(lastBehind, { library }) : { library, says };
  return lastBehind;
}

let lastBehind: { library: Library | undefined; readonly says: string } = { library: undefined, says: "" };

/** The figures at the paths named and no others; one that is not recorded is left out. */
export function pick<Fields>(
  library: Library,
  page: Page<Fields>,
  paths: readonly string[],
): Readonly<Record<string, Told>> {
  return Object.fromEntries(
    paths.flatMap((path) => {
      const figure = told(library, page, path);
      return figure ? [[path, figure] as const] : [];
    }),
  );
}

/** The paths of a record that hold a figure of the trade. */
export function figurePaths<Fields>(page: Page<Fields>): readonly string[] {
  return figureLeaves(page).map(({ path }) => path.join("."));
}

function figureLeaves<Fields>(page: Page<Fields>) {
  return leaves(schemaOf(page), page.raw).filter(({ meta }) => meta.figure);
}

/** A figure that a trial gives beside the one that stands, until a second run bears it out. For staff. */
export interface Provisional {
  readonly path: string;
  readonly label: string;
  /** The figure with its unit, in house style, `8.4–13.3 /week`. */
  readonly text: string;
  readonly n: number;
  /** Of the plants, as it was written. */
  readonly range: string;
  readonly trial: string;
}

/** The trial figures of a crop by the path of the figure that they stand beside; a later change of that figure ends one. */
export function provisionalOf({
  kind,
  raw,
  fields,
}: Pick<PageOf<"crops">, "kind" | "raw" | "fields">): Readonly<Record<string, Provisional>> {
  const { provisional = [], history = [] } = fields;
  const standing = provisional.filter(
    ({ figure, on }) => !history.some((entry) => entry.figure === figure && entry.trial && entry.on >= on),
  );
  return Object.fromEntries(
    standing.map(({ figure, says, n, range, trial }) => {
      const page = { kind, raw } as Page<unknown>;
      return [
        figure,
        { path: figure, label: labelOf(page, figure), text: toldOf(page, figure, says), n, range, trial },
      ];
    }),
  );
}

/** What the field at `path` would say as a page has it, `10–30/week`, if it said what is `written`; that as it is when it is no figure. */
export function toldOf<Fields>(page: Pick<Page<Fields>, "kind" | "raw">, path: string, written: string): string {
  const { unit } = unwrap(schemaAt(schemaOf(page), path.split("."), page.raw)).meta;
  const read = unit === undefined ? undefined : readSpan(written, unit);
  if (unit === undefined || !read || "slip" in read) return written;
  return format.span(read.value, unit, decimalsWritten(written, unit));
}

/** A source as its citation, `Both A. (2003), Ten years of hydroponic lettuce research, Rutgers`; a trial as its question. */
export function cited(library: Library, id: string): Cited {
  const found = citations.get(library) ?? new Map<string, Cited>();
  citations.set(library, found);
  const known = found.get(id) ?? citation(library, id);
  found.set(id, known);
  return known;
}

/** What {@link cited} found: the same few sources stand behind very many figures. */
const citations = new WeakMap<Library, Map<string, Cited>>();

function citation(library: Library, id: string): Cited {
  const basis = sourceBasis(library, id) ?? "memory";
  const source = library.sources.get(id)?.fields;
  const trial = source ? undefined : library.trials.get(id);
  if (trial && basis === "own-trial") return { id, basis, text: trial.fields.question, trial: id };
  if (!source) return { id, basis, text: "" };
  const who = source.author ? `${source.author}${source.year ? ` (${source.year})` : ""}` : undefined;
  return { id, basis, text: [who, source.title, source.locator].filter((part) => part !== undefined).join(", ") };
}

export function sourcesBlock<Fields>(page: Page<Fields>): Sources {
  return (valueAt(page.fields, "sources") as Sources | undefined) ?? {};
}

/** How many decimals a figure was written with, so that it is printed as its source has it; undefined after a change of unit. */
function decimalsWritten(raw: unknown, unit: string): number | undefined {
  const match = /^(.*\d)\s*([^\d]*)$/u.exec(String(raw).trim());
  const written = match?.[2]?.trim() ?? "";
  if (!match || (written !== "" && written !== "pH" && unitNamed(written) !== unit)) return undefined;
  const numbers = match[1]!.match(/\d+(?:\.\d+)?/g) ?? [];
  return Math.max(0, ...numbers.map((number) => (number.split(".")[1] ?? "").length));
}

function schemaOf({ kind }: { readonly kind: keyof typeof kinds | "book" }): z.ZodType {
  return kind === "book" ? Book : kinds[kind];
}

/** Remarks on figures, by path. */
type Beside = Readonly<Record<string, string>>;

function endsOf(value: unknown): { readonly low: number; readonly high: number } | undefined {
  if (typeof value === "number") return { low: value, high: value };
  if (typeof value !== "object" || value === null || !("low" in value) || !("high" in value)) return undefined;
  return { low: value.low as number, high: value.high as number };
}
