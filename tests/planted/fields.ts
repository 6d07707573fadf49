import type { z } from "zod";
import type { Reader } from "../../generator/records/fields.ts";
import { partsOf, unwrap } from "../../generator/records/walk.ts";
import type { Plant } from "../planted.ts";

interface Ground {
  /** Who may read what says nothing of it itself. */
  readonly above: Reader;
  /** Whether the whole record is for staff. */
  readonly closed: boolean;
  readonly canary: Plant;
  readonly path?: readonly string[];
}

type Fields = Record<string, unknown>;

/**
 * Puts a canary into every field of `fields` that customers may not read and that takes words, whether it was there or not;
 * into mappings and lists that are there, however deep; and a field that no schema knows into each mapping below the first.
 */
export function fill(schema: z.ZodType, fields: Fields, ground: Ground): void {
  const { shape } = partsOf(unwrap(schema, fields).inner!);
  for (const [key, field] of Object.entries(shape ?? {})) {
    const planted = planting(key, field, fields[key], ground);
    if (planted !== undefined) fields[key] = planted;
  }
  // A stage that nobody knows is not let pass.
  if (ground.path !== undefined && ground.path.join() !== "stages")
    fields.markup = ground.canary("an unknown field", name(ground.path, "markup"), true);
}

/** What stands in a field once it is planted; undefined when it is left as it was, or changed in place. */
function planting(key: string, field: z.ZodType, value: unknown, { above, closed, canary, path }: Ground): unknown {
  const { inner, meta } = unwrap(field, value);
  const reader = meta.reader ?? above;
  const never = meta.reader === "nobody";
  const ground: Ground = { above: reader, closed, canary, path: [...(path ?? []), key] };
  const field_ = name(path ?? [], key);
  const parts = partsOf(inner!);
  if (isMapping(value) && parts.shape) {
    fill(field, value, ground);
    return undefined;
  }
  if (!closed && reader === "everyone") return undefined;
  if (meta.pattern === initials) return canary("initials", field_, true);
  if (meta.unit?.startsWith("¤") && never && (value !== undefined || !meta.figure))
    return `${canary("a price", field_, true)}.41 ${meta.unit}`;
  if (isMapping(value) && parts.value) return keyed(key, parts.key, parts.value, value, ground);
  if (Array.isArray(value) && parts.element && partsOf(unwrap(parts.element).inner!).shape) {
    for (const item of value) if (isMapping(item)) fill(parts.element, item, ground);
    return undefined;
  }
  if (!takesWords(field) || meta.refers || fixed.has(key)) return undefined;
  const word = canary("a private field", field_, never);
  // The numbers of towers stand in their name.
  if (key === "name" && value !== undefined) return `${value} ${word}`;
  return (inner!.def as { type: string }).type === "array" ? [word] : word;
}

/** A mapping whose keys the writer chose: its words, what is below it, and where any word may be a key, a key. */
function keyed(key: string, keys: z.ZodType | undefined, item: z.ZodType, value: Fields, ground: Ground): Fields {
  if (fixed.has(key)) return value;
  const planted = Object.entries(value).map(([name_, one]): [string, unknown] => {
    if (isMapping(one)) {
      fill(item, one, { ...ground, path: [...ground.path!, name_] });
      return [name_, one];
    }
    return [
      name_,
      takesWords(item) && !unwrap(item).meta.refers ? ground.canary("a private field", name(ground.path!, name_)) : one,
    ];
  });
  if (key === "losses" && keys && planted[0])
    planted[0] = [ground.canary("a key of the writer's own", name(ground.path!, planted[0][0])), planted[0][1]];
  return Object.fromEntries(planted);
}

const initials = /^[^\s\d.,]{1,4}$/.source;

/** Fields whose words mean something to the checker: changing them would make the book unsound. */
const fixed = new Set([
  "code",
  "amount",
  "sources",
  "formula",
  "control",
  "figure",
  "repeats",
  "says",
  "range",
  "was",
  "now",
  "from",
  "source",
  "places",
  "blocks",
  "data",
  "treatment",
  "block",
  "port",
  "borrowed",
]);

function takesWords(schema: z.ZodType): boolean {
  return schema.safeParse("canary000qz").success || schema.safeParse(["canary000qz"]).success;
}

function isMapping(value: unknown): value is Fields {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function name(path: readonly string[], key: string): string {
  return [...path, key].join(".");
}
