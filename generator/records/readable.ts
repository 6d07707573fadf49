import type { z } from "zod";
import type { FieldMeta } from "./fields.ts";
import { partsOf, unwrap } from "./walk.ts";

/** Keys and list positions from the top of a record. */
export type Path = readonly (string | number)[];

/** What a walk meets on its way. */
export interface Meets {
  /** A value that could be read, beside what was written. */
  readonly leaf: (path: Path, read: unknown, written: unknown, meta: FieldMeta) => void;
  /** A mapping: those of its fields that could be read, and all as they were written. */
  readonly group: (path: Path, fields: unknown, written: Readonly<Record<string, unknown>>, meta: FieldMeta) => void;
  /** A list, as it was written. */
  readonly list: (path: Path, items: readonly unknown[], item: FieldMeta) => void;
}

/**
 * What can be read of `value`, in the order of the file: a field that cannot is absent, an item of a list undefined.
 * It goes on where a parser would stop, so that one slip never hides another.
 */
export function readable(schema: z.ZodType, value: unknown, meets: Meets, path: Path = []): unknown {
  const { inner, meta } = unwrap(schema, value);
  if (!inner) return undefined;
  const { shape, key, value: common, element } = partsOf(inner);
  if (element) {
    if (!Array.isArray(value)) return undefined;
    meets.list(path, value, unwrap(element).meta);
    return value.map((item, index) => readable(element, item, meets, [...path, index]));
  }
  if (shape || common) {
    if (typeof value !== "object" || value === null || Array.isArray(value)) return undefined;
    const read = Object.entries(value).flatMap(([name, item]) => {
      if (key && !key.safeParse(name).success) return [];
      const field = common ?? (shape && Object.hasOwn(shape, name) ? shape[name] : undefined);
      const found = field && readable(field, item, meets, [...path, name]);
      return found === undefined ? [] : [[name, found] as const];
    });
    const fields = Object.fromEntries(read);
    meets.group(path, fields, value as Readonly<Record<string, unknown>>, meta);
    return fields;
  }
  const result = inner.safeParse(value);
  if (!result.success) return undefined;
  meets.leaf(path, result.data, value, meta);
  return result.data;
}
