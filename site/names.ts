import { edition, ofEdition, staff } from "./edition.ts";
import { fold } from "./search/near.ts";
import { words } from "./words.ts";

/** What a record is called, by its id or by `kind/id`; anything else is its own name. */
export function nameOf(id: string): string {
  return names().get(id) ?? id;
}

/**
 * The page that is called this, by its title or the title of a list, letters compared as the search does; undefined if
 * this edition has none.
 */
export function addressOf(title: string): string | undefined {
  return addresses().get(fold(title));
}

const names = ofEdition(
  (): ReadonlyMap<string, string> =>
    new Map(
      [
        ...edition.crops.map(({ id, name }) => ["crops", id, name] as const),
        ...edition.guides.map(({ id, title }) => ["guides", id, title] as const),
        ...(staff?.feeds ?? []).map(({ id, name }) => ["feeds", id, name] as const),
        ...(staff?.salts ?? []).map(({ id, name }) => ["salts", id, name] as const),
        ...(staff?.waters ?? []).map(({ id, name }) => ["waters", id, name] as const),
        ...(staff?.gear ?? []).map(({ id, name }) => ["gear", id, name] as const),
        ...(staff?.batches ?? []).map(({ id, code }) => ["batches", id, code] as const),
      ].flatMap(([kind, id, name]) => [
        [`${kind}/${id}`, name],
        [id, name],
      ]),
    ),
);

const lists = ["crops", "feeds", "gear", "orders", "batches", "lots", "salts", "waters", "trials"] as const;
const addresses = ofEdition(
  (): ReadonlyMap<string, string> =>
    new Map([
      ...(staff ? lists : []).map((list) => [fold(words.nav[list]), `/${list}`] as const),
      ...(staff
        ? [
            [fold(words.paper.kinds["bench-card"].title), "/sheets#bench-cards"] as const,
            [fold(words.paper.kinds["sowing-list"].title), "/sheets#weekly-sowing-lists"] as const,
          ]
        : []),
      ...[...names()].filter(([id]) => id.includes("/")).map(([id, name]) => [fold(name), `/${id}`] as const),
    ]),
);
