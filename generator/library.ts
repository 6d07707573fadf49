import { type Section, sections } from "./prose.ts";
import { type Basis, type Sources, sourcesOf, strongest } from "./provenance.ts";
import { type Book, type Entry, type FieldsOf, type Kind, kinds } from "./records/index.ts";

/** A record of the library: its fields, and its body by headings. */
export interface Page<Fields> extends Entry<Fields> {
  readonly kind: Kind | "book";
  readonly sections: readonly Section[];
}

export type PageOf<K extends Kind> = Page<FieldsOf<K>>;

/** All records of a book by kind and id, in the order of their ids. */
export type Library = { readonly book: Page<Book> } & {
  readonly [K in Kind]: ReadonlyMap<string, PageOf<K>>;
};

/** What was read of a book: its own record, and the records of each kind. */
export interface Shelves {
  readonly book: Entry<Book> | undefined;
  readonly records: { readonly [K in Kind]: readonly Entry<FieldsOf<K>>[] };
}

/** Puts all records in one library. Rules between records are another matter: see `rules/`. */
export function bind({ book, records }: Shelves): Library | undefined {
  if (!book) return undefined;
  const shelves = Object.fromEntries(
    kindNames.map((kind) => {
      const entries = [...records[kind]].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
      return [kind, new Map(entries.map((entry) => [entry.id, page(kind, entry as Entry<never>)]))];
    }),
  );
  return { book: page("book", book), ...shelves } as unknown as Library;
}

export const kindNames = Object.keys(kinds) as readonly Kind[];

/** The basis of the figure at `path` of a record: the strongest of the sources that stand behind it, or undefined when none does. */
export function basisOf(library: Library, sources: Sources, path: string): Basis | undefined {
  return strongest(sourcesOf(path, sources).flatMap((name) => sourceBasis(library, name) ?? []));
}

/** What a name in a `sources:` block is worth: a word of the language, what the source record says of itself, or a trial. */
export function sourceBasis(library: Pick<Library, "sources" | "trials">, name: string): Basis | undefined {
  if (name === "common-practice" || name === "memory" || name === "demo") return name;
  const source = library.sources.get(name)?.fields;
  if (!source) return library.trials.has(name) ? "own-trial" : undefined;
  return source.kind === "published" && source.read === "memory" ? "memory" : source.kind;
}

/** The value at a dotted path of a record's fields, or undefined. */
export function valueAt(fields: unknown, path: string): unknown {
  return path
    .split(".")
    .reduce<unknown>(
      (value, key) =>
        typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>)[key] : undefined,
      fields,
    );
}

/** The body of a record by its headings; a file's body is read once. */
export function sectionsOf({ file, body }: Pick<Entry, "file" | "body">): readonly Section[] {
  const known = bodies.get(file);
  if (known) return known;
  const found = sections(body);
  bodies.set(file, found);
  return found;
}

const bodies = new WeakMap<object, readonly Section[]>();

/** A record that was read once is one page, in however many libraries it is put. */
function page<Fields>(kind: Kind | "book", entry: Entry<Fields>): Page<Fields> {
  const known = pages.get(entry) as Page<Fields> | undefined;
  if (known) return known;
  const found = { ...entry, kind, sections: sectionsOf(entry) };
  pages.set(entry, found);
  return found;
}

const pages = new WeakMap<object, object>();
