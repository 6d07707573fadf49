import { edition, staff } from "./edition.ts";

/** What a record is called, by its id or by `kind/id`; anything else is its own name. */
export function nameOf(id: string): string {
  return names.get(id) ?? id;
}

const names: ReadonlyMap<string, string> = new Map(
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
);
