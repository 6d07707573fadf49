import type { Sum } from "./figures.ts";
import type { Library, Page, PageOf } from "./library.ts";
import { html, type Section, words } from "./prose.ts";
import { stageNames } from "./records/crop.ts";
import { type Kind, kinds } from "./records/index.ts";
import { sectionReader } from "./records/sections.ts";
import { allSums } from "./sums.ts";
import { cited, figures, pick, type Told } from "./told.ts";

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

/** What a customer may see. A field, figure or section that is not named here stays in the house. */
export function customerEdition(library: Library) {
  const open = shown(library);
  const prose = proseOf("customer", open);
  const crop = (page: PageOf<"crops">) => ({
    id: page.id,
    ...only(
      page.fields,
      "name",
      "also",
      "botanical",
      "family",
      "kind",
      "code",
      "eaten",
      "uneaten",
      "lookalikes",
      "allergens",
      "pollination",
      "trouble",
      "cautions",
    ),
    feeding: feeding(page),
    light: page.fields.light?.plain,
    season: page.fields.season,
    sowing: page.fields.seed?.light,
    figures: outward(
      pick(library, page, [
        "air.day",
        "air.night",
        "air.lowest",
        "seed.temperature",
        "seed.depth",
        "spacing",
        "form.spread",
      ]),
    ),
    stages: stageNames.flatMap((name) => {
      const ready = page.fields.stages[name]?.ready;
      return ready === undefined ? [] : [{ name, ready }];
    }),
    prose: prose(page),
  });
  return {
    audience: "customer" as const,
    book: only(library.book.fields, "name", "demo", "place", "contact", "edition", "latitude"),
    crops: open.crops.map(crop),
    guides: open.guides.map((page) => ({
      id: page.id,
      ...only(page.fields, "title", "kind", "summary", "search", "cautions"),
      prose: prose(page),
    })),
    glossary: open.glossary.map((page) => ({
      id: page.id,
      ...only(page.fields, "term", "also", "see"),
      prose: prose(page),
    })),
    news: open.news.map((page) => ({ id: page.id, ...only(page.fields, "title", "on", "pages"), prose: prose(page) })),
    sources: publishedBehind(library, open.crops.map(crop)),
  };
}

/** What the staff may see: every record, without what belongs to nobody but its keeper. */
export function staffEdition(library: Library) {
  const all = everything(library);
  const prose = proseOf("staff", all);
  const sums = sumsByPage(library);
  const sumsOf = (page: Page<unknown>) => sums.get(`${page.kind}/${page.id}`) ?? [];
  return {
    audience: "staff" as const,
    book: only(
      library.book.fields,
      "name",
      "demo",
      "place",
      "contact",
      "edition",
      "latitude",
      "sow",
      "post",
      "holidays",
    ),
    crops: all.crops.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "name",
        "also",
        "botanical",
        "family",
        "kind",
        "code",
        "audience",
        "status",
        "reviewed",
        "eaten",
        "uneaten",
        "lookalikes",
        "allergens",
        "pollination",
        "trouble",
        "cautions",
        "history",
      ),
      feeding: feeding(page),
      light: page.fields.light?.plain,
      response: page.fields.light?.response,
      season: page.fields.season,
      sowing: page.fields.seed?.light,
      before: page.fields.seed?.before,
      cut: only(page.fields.cutting ?? {}, "style", "how", "yield"),
      habit: only(page.fields.form ?? {}, "habit", "support"),
      tower: page.fields.tower && only(page.fields.tower, "zone", "why"),
      handling: page.fields.keeping?.how,
      figures: figures(library, page),
      stages: stageNames.flatMap((name) => {
        const stage = page.fields.stages[name];
        return stage ? [{ name, ...only(stage, "days", "summer", "winter", "ready") }] : [];
      }),
      lines: [...library.gear.values()]
        .filter(({ fields }) => fields.kind === "line" && fields.crops.includes(page.id))
        .map(({ id }) => id),
      batches: [...library.batches.values()]
        .filter(({ fields }) => fields.crop === page.id && fields.closed === undefined)
        .map(({ id, fields }) => ({ id, ...only(fields, "code", "sown", "cells", "moves") })),
      prose: prose(page),
    })),
    feeds: all.feeds.map((page) => ({
      id: page.id,
      ...only(page.fields, "name", "version", "for", "approved", "supersedes", "salts", "water", "stock", "history"),
      figures: figures(library, page),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    salts: all.salts.map((page) => ({
      id: page.id,
      ...only(page.fields, "name", "formula", "tub", "hazard", "place", "opened", "stock", "reorder"),
      figures: figures(library, page),
      prose: prose(page),
    })),
    waters: all.waters.map((page) => ({
      id: page.id,
      ...only(page.fields, "name", "from", "sampled", "method", "microbes", "due", "safe"),
      figures: figures(library, page),
      prose: prose(page),
    })),
    gear: all.gear.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "name", "place", "isolate", "serviced", "due"),
      crops: page.fields.kind === "line" ? page.fields.crops : [],
      feed: page.fields.kind === "line" ? page.fields.feed : undefined,
      wilt: "wilt" in page.fields ? page.fields.wilt : undefined,
      tiers: page.fields.kind === "tower" ? page.fields.tiers : undefined,
      faces: page.fields.kind === "tower" ? page.fields.faces : undefined,
      figures: figures(library, page),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    lots: all.lots.map((page) => ({
      id: page.id,
      ...only(page.fields, "crop", "cultivar", "bought", "packed", "treated", "treatment", "food", "tests", "store"),
      prose: prose(page),
    })),
    batches: all.batches.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "code",
        "crop",
        "lot",
        "order",
        "sown",
        "cells",
        "seeds",
        "tray",
        "counted",
        "moves",
        "losses",
        "cuts",
        "closed",
      ),
      prose: prose(page),
    })),
    orders: all.orders.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "crop", "amount", "from", "to", "days", "lot"),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    trials: all.trials.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "question",
        "crop",
        "worthwhile",
        "measure",
        "through",
        "isolated",
        "started",
        "stop",
        "blocks",
        "incidents",
        "decision",
      ),
      prose: prose(page),
    })),
    guides: all.guides.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "title",
        "audience",
        "kind",
        "order",
        "summary",
        "search",
        "cautions",
        "reviewed",
        "history",
      ),
      prose: prose(page),
    })),
    glossary: all.glossary.map((page) => ({
      id: page.id,
      ...only(page.fields, "term", "also", "audience", "see"),
      prose: prose(page),
    })),
    news: all.news.map((page) => ({
      id: page.id,
      ...only(page.fields, "title", "on", "pages", "audience"),
      prose: prose(page),
    })),
    sources: all.sources.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "title", "author", "year", "locator", "read", "trial", "on", "place"),
      text: cited(library, page.id).text,
    })),
  };
}

export type CustomerEdition = ReturnType<typeof customerEdition>;
export type StaffEdition = ReturnType<typeof staffEdition>;
export type Edition = CustomerEdition | StaffEdition;

/** The edition for an audience. Anything but the word `staff` gives the customer's: forgetting yields less. */
export function editionFor(library: Library, audience: string | undefined): Edition {
  return audience === "staff" ? staffEdition(library) : customerEdition(library);
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

type Records = { readonly [K in Kind]: readonly PageOf<K>[] };

function everything(library: Library): Records {
  return Object.fromEntries(
    Object.keys(kinds).map((kind) => [kind, [...library[kind as Kind].values()]]),
  ) as unknown as Records;
}

/** The records that say of themselves that everyone may read them, of the kinds that customers may meet. */
function shown(library: Library): Records {
  const open = Object.entries(everything(library)).map(([kind, pages]) => {
    const may = customersMeet[kind as Kind];
    return [kind, may ? pages.filter(({ fields }) => "audience" in fields && fields.audience === "everyone") : []];
  });
  return Object.fromEntries(open) as Records;
}

/** A record's sections that an audience may read, as HTML whose links lead only to what that audience has. */
function proseOf(audience: Audience, records: Records) {
  const address = (target: string): string | undefined => {
    const [kind = "", id = ""] = target.split("/");
    return records[kind as Kind]?.some((page) => page.id === id) ? addressOf(kind as Kind, id) : undefined;
  };
  return (page: Page<unknown>): readonly Prose[] =>
    page.sections
      .filter((section) => may(audience, page, section))
      .map((section) => ({ heading: section.heading, html: html(section, address) }));
}

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
function feeding({ fields }: PageOf<"crops">): "lightly" | "medium" | "strongly" | undefined {
  const band = fields.ec?.preferred;
  if (!band) return undefined;
  const middle = (band.low + band.high) / 2;
  return middle < 1.3 ? "lightly" : middle < 2 ? "medium" : "strongly";
}

/** Figures as customers may read them: published works are cited; for the rest the kind of basis must do. Notes stay in. */
function outward(all: Readonly<Record<string, Told>>): Readonly<Record<string, Told>> {
  const open = Object.entries(all).map(([path, { note: _note, ...figure }]) => [
    path,
    { ...figure, cited: figure.cited.filter(({ basis, text }) => basis === "published" && text !== "") },
  ]);
  return Object.fromEntries(open) as Readonly<Record<string, Told>>;
}

/** The published works behind the figures that a customer sees, each once; trials and people are not among them. */
function publishedBehind(library: Library, crops: readonly { readonly figures: Readonly<Record<string, Told>> }[]) {
  const ids = new Set(
    crops.flatMap(({ figures }) => Object.values(figures).flatMap(({ cited }) => cited.map(({ id }) => id))),
  );
  return [...ids].sort().map((id) => ({ id, text: cited(library, id).text }));
}

function sumsByPage(library: Library): ReadonlyMap<string, readonly Sum[]> {
  const found = new Map<string, Sum[]>();
  for (const [page, one] of allSums(library)) found.set(page, [...(found.get(page) ?? []), one]);
  return found;
}
