import { kindNames } from "../library.ts";
import type { Book, FieldsOf, Kind, Reading } from "../records/index.ts";

/** A book as far as it can be read: the rules between records look at it, so that one slip never hides another. */
export interface Drafts {
  readonly book: Reading<Book> | undefined;
  readonly records: { readonly [K in Kind]: ReadonlyMap<string, Reading<FieldsOf<K>>> };
}

/** The ids of every file, those that could not be read among them, so that one slip is not told twice. */
export type Known = Readonly<Record<Kind, ReadonlySet<string>>>;

/** Any record of a book, when its kind does not matter. */
export interface Draft extends Omit<Reading<Readonly<Record<string, unknown>>>, "whole"> {
  readonly kind: Kind | "book";
}

/** Every record that could be read, the book's own first. */
export function everyDraft({ book, records }: Drafts): readonly Draft[] {
  const all = kindNames.flatMap((kind) =>
    [...records[kind].values()].map((reading) => ({ ...reading, kind }) as unknown as Draft),
  );
  return book ? [{ ...book, kind: "book" } as unknown as Draft, ...all] : all;
}

/** Whether customers may read something of a record. */
export function isOpen({ kind, fields }: Pick<Draft, "kind" | "fields">): boolean {
  return kind === "book" || fields.audience === "everyone";
}
