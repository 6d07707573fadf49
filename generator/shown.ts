import type { Sum } from "./figures.ts";
import type { Library, Page, PageOf } from "./library.ts";
import { html, type Section, termsOf, words } from "./prose.ts";
import { type FieldsOf, type Kind, kinds } from "./records/index.ts";
import { sectionReader } from "./records/sections.ts";
import { allSums } from "./sums.ts";
import { sumOf } from "./supply/index.ts";
import { cited, labelOf, type Told, toldOf } from "./told.ts";

export type Audience = "customer" | "staff";

/** A part of a record's body, ready for a page. */
export interface Prose {
  readonly heading: string;
  readonly html: string;
}

/** A copy of `record` with the named fields and no others. */
export function only<T extends object, const Key extends keyof T>(record: T, ...fields: readonly Key[]): Pick<T, Key> {
  return Object.fromEntries(
    fields.flatMap((field) => (record[field] === undefined ? [] : [[field, record[field]]])),
  ) as Pick<T, Key>;
}

/** Which kinds of record a customer may meet at all. To add a kind is to say it here, or this does not compile. */
const customersMeet = {
  crops: true,
  feeds: false,
  salts: false,
  waters: false,
  gear: false,
  lots: false,
  batches: false,
  orders: false,
  trials: false,
  sources: false,
  guides: true,
  glossary: true,
  news: true,
} as const satisfies Record<Kind, boolean>;

export type Records = { readonly [K in Kind]: readonly PageOf<K>[] };

export function everything(library: Library): Records {
  return Object.fromEntries(
    Object.keys(kinds).map((kind) => [kind, [...library[kind as Kind].values()]]),
  ) as unknown as Records;
}

/** The records that say of themselves that everyone may read them, of the kinds that customers may meet. */
export function shown(library: Library): Records {
  const open = Object.entries(everything(library)).map(([kind, pages]) => {
    const may = customersMeet[kind as Kind];
    return [kind, may ? pages.filter(({ fields }) => "audience" in fields && fields.audience === "everyone") : []];
  });
  return Object.fromEntries(open) as Records;
}

/**
 * A record's sections that an audience may read, as HTML whose links lead only to what that audience has. The first use
 * of a trade word on a page leads to its meaning, except in the glossary itself, where `see` does that.
 */
export function proseOf(audience: Audience, records: Records) {
  const ids = new Set(Object.entries(records).flatMap(([kind, pages]) => pages.map(({ id }) => `${kind}/${id}`)));
  const address = (target: string): string | undefined => {
    const [kind = "", id = ""] = target.split("/");
    return ids.has(`${kind}/${id}`) ? addressOf(kind as Kind, id) : undefined;
  };
  const named = records.glossary.map(({ id, fields }) => ({
    names: [fields.term, ...(fields.also ?? [])],
    address: addressOf("glossary", id),
  }));
  const terms = termsOf(named);
  // All that the same sections lean on: with it unchanged they are what they were.
  const around = JSON.stringify([named, [...ids]]);
  return (page: Page<unknown>): readonly Prose[] => {
    const known = proseOnce[audience].get(page);
    if (known?.around === around) return known.prose;
    const linked = new Set<string>();
    const prose = page.sections
      .filter((section) => may(audience, page, section))
      .map((section) => ({
        heading: section.heading,
        html: html(section, address, page.kind === "glossary" ? undefined : terms, linked),
      }));
    proseOnce[audience].set(page, { around, prose });
    return prose;
  };
}

/** What {@link proseOf} gave for a page. */
const proseOnce: Readonly<
  Record<Audience, WeakMap<object, { readonly around: string; readonly prose: readonly Prose[] }>>
> = { staff: new WeakMap(), customer: new WeakMap() };

function may(audience: Audience, page: Page<unknown>, section: Section): boolean {
  if (words(section) === "") return false;
  const reader = page.kind === "book" ? "nobody" : sectionReader(page.kind, section.heading);
  return audience === "staff" ? reader !== "nobody" : reader === "everyone";
}

/** Where a record's page is. Terms share one page; the rest have one each. */
export function addressOf(kind: Kind, id: string): string {
  return kind === "glossary" || kind === "sources" || kind === "news" ? `/${kind}#${id}` : `/${kind}/${id}`;
}

/** How strongly a crop likes to be fed, in a word that gives no recipe away. By common practice: under 1.3, under 2.0, over. */
export function feeding({ fields }: PageOf<"crops">): "lightly" | "medium" | "strongly" | undefined {
  const band = fields.ec?.preferred;
  if (!band) return undefined;
  const middle = (band.low + band.high) / 2;
  return middle < 1.3 ? "lightly" : middle < 2 ? "medium" : "strongly";
}

/**
 * How many days after posting a plug still grows on well, in whole days: what it bears of dark and dry, less the day on
 * which it was packed. Undefined when it is not recorded, or when it must be planted on the day that it comes.
 */
export function plantWithin({ fields }: PageOf<"crops">): number | undefined {
  const days = fields.posting && Math.floor(fields.posting.tolerance) - 1;
  return days !== undefined && days > 0 ? days : undefined;
}

/** What changed in a record, without whose hand it was and what only undoing it asks for. Undefined when nothing is told. */
export function historyOf({
  kind,
  raw,
  fields,
}: Page<{ readonly history?: FieldsOf<"crops">["history"] | undefined }>) {
  const page = { kind, raw } as Page<unknown>;
  return fields.history?.map(({ by: _by, before: _before, figure, was, now, ...told }) => ({
    ...told,
    ...(figure === undefined || now === undefined
      ? {}
      : {
          figure: {
            path: figure,
            label: labelOf(page, figure),
            was: was === undefined ? undefined : toldOf(page, figure, was),
            now: toldOf(page, figure, now),
          },
        }),
  }));
}

/** The months in which a crop is sown outdoors, north and south of the equator, `May–Jun`. */
export function seasons(library: Library, page: PageOf<"crops">): { north: string; south: string } | undefined {
  if (!page.fields.season) return undefined;
  const at = (latitude: number) => sumOf(library, "month-shift", { crops: [page] }, { latitude }).outcome.answer.text;
  return { north: String(at(50)), south: String(at(-50)) };
}

/** Figures as customers may read them: published works are cited; for the rest the kind of basis must do. Notes stay in. */
export function outward(all: Readonly<Record<string, Told>>): Readonly<Record<string, Told>> {
  const open = Object.entries(all).map(([path, { note: _note, ...figure }]) => [
    path,
    { ...figure, cited: figure.cited.filter(({ basis, text }) => basis === "published" && text !== "") },
  ]);
  return Object.fromEntries(open) as Readonly<Record<string, Told>>;
}

/** The published works behind the figures that a customer sees, each once; trials and people are not among them. */
export function publishedBehind(
  library: Library,
  crops: readonly { readonly figures: Readonly<Record<string, Told>> }[],
) {
  const ids = new Set(
    crops.flatMap(({ figures }) => Object.values(figures).flatMap(({ cited }) => cited.map(({ id }) => id))),
  );
  return [...ids].sort().map((id) => ({ id, text: cited(library, id).text }));
}

export function sumsByPage(library: Library): ReadonlyMap<string, readonly Sum[]> {
  const found = new Map<string, Sum[]>();
  for (const [page, one] of allSums(library)) found.set(page, [...(found.get(page) ?? []), one]);
  return found;
}
