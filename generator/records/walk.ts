import type { z } from "zod";
import type { FieldMeta, Reader } from "./fields.ts";
import { nearest } from "./nearest.ts";

/** A value of a record that is not itself a mapping or a list, with what its schema says of it. */
export interface Leaf {
  /** Keys and list positions from the top of the record. */
  readonly path: readonly (string | number)[];
  readonly value: unknown;
  readonly meta: FieldMeta;
  /** Who may read it: the closest word on the way down; `nobody` for a field that no schema names. */
  readonly reader: Reader;
  /** The schema of the value itself; absent for a field that no schema names. */
  readonly schema?: z.ZodType;
}

/** Every leaf of `value`, in the order of the file, whether or not the whole record is well formed. A record is walked once. */
export function leaves(schema: z.ZodType | undefined, value: unknown): readonly Leaf[] {
  if (typeof value !== "object" || value === null) return [...leavesBelow(schema, value, [], "staff")];
  const known = walked.get(value);
  if (known && known.schema === schema) return known.leaves;
  const found = [...leavesBelow(schema, value, [], "staff")];
  walked.set(value, { schema, leaves: found });
  return found;
}

/** What {@link leaves} found: what was read of a file does not change, and every rule and page asks again. */
const walked = new WeakMap<object, { readonly schema: z.ZodType | undefined; readonly leaves: readonly Leaf[] }>();

function* leavesBelow(
  schema: z.ZodType | undefined,
  value: unknown,
  path: Leaf["path"],
  above: Reader,
): Generator<Leaf> {
  const { inner, meta } = unwrap(schema, value);
  const reader = schema === undefined ? "nobody" : (meta.reader ?? above);
  if (Array.isArray(value)) {
    const element = definitionOf(inner)?.element;
    for (const [index, item] of value.entries()) yield* leavesBelow(element, item, [...path, index], reader);
  } else if (typeof value === "object" && value !== null) {
    for (const [key, item] of Object.entries(value))
      yield* leavesBelow(fieldOf(inner, key), item, [...path, key], reader);
  } else {
    yield { path, value, meta, reader, ...(inner ? { schema: inner } : {}) };
  }
}

/** A key that the schema of its mapping does not name, with the names that it does. */
export interface Unnamed {
  readonly path: readonly (string | number)[];
  readonly known: readonly string[];
}

/** Every key of `value` that no schema names, outermost first. */
export function* unnamed(schema: z.ZodType, value: unknown, path: Leaf["path"] = []): Generator<Unnamed> {
  const { inner } = unwrap(schema, value);
  if (!inner) return;
  if (Array.isArray(value)) {
    const element = definitionOf(inner)?.element;
    if (element) for (const [index, item] of value.entries()) yield* unnamed(element, item, [...path, index]);
  } else if (typeof value === "object" && value !== null) {
    for (const [key, item] of Object.entries(value)) {
      const field = fieldOf(inner, key);
      if (field) yield* unnamed(field, item, [...path, key]);
      else if (definitionOf(inner)?.type === "object") yield { path: [...path, key], known: fieldNames(inner) };
    }
  }
}

/** The fields that a mapping's schema names, in their order; a choice of kinds is settled by `value`. */
export function fieldNames(schema: z.ZodType, value?: unknown): readonly string[] {
  const { shape } = definitionOf(unwrap(schema, value).inner) ?? {};
  return shape ? Object.keys(shape) : [];
}

/** The schema of the field at `path` of a record that holds `value`, or undefined when no schema names it. */
export function schemaAt(
  schema: z.ZodType,
  path: readonly (string | number)[],
  value?: unknown,
): z.ZodType | undefined {
  const [step, ...rest] = path;
  if (step === undefined) return schema;
  const { inner } = unwrap(schema, value);
  const next = definitionOf(inner)?.element ?? (typeof step === "string" ? fieldOf(inner, step) : undefined);
  return next && schemaAt(next, rest, (value as Readonly<Record<string | number, unknown>> | undefined)?.[step]);
}

/** The schema without what is wrapped around it, and all that was said of it on the way; a choice of kinds is settled by `value`. */
export function unwrap(
  schema: z.ZodType | undefined,
  value?: unknown,
): { readonly inner?: z.ZodType; readonly meta: FieldMeta } {
  const known = schema && unwrapped.get(schema);
  if (known) return known;
  let inner = schema;
  let meta: FieldMeta = {};
  let settledByValue = false;
  while (inner) {
    meta = { ...(inner.meta() as FieldMeta | undefined), ...meta };
    const definition = definitionOf(inner);
    const within = definition?.type === "pipe" && structured(definition.in) ? definition.in : undefined;
    settledByValue ||= definition?.discriminator !== undefined;
    const next: z.ZodType | undefined = definition?.innerType ?? within ?? kindOf(definition, value);
    if (!next) break;
    inner = next;
  }
  const found = inner ? { inner, meta } : { meta };
  if (schema && !settledByValue) unwrapped.set(schema, found);
  return found;
}

/** What {@link unwrap} found: schemas do not change, and every record asks again. */
const unwrapped = new WeakMap<z.ZodType, { readonly inner?: z.ZodType; readonly meta: FieldMeta }>();

/** What zod keeps of a schema, as far as the walk looks at it. */
interface Definition {
  readonly type: string;
  readonly innerType?: z.ZodType;
  readonly in?: z.ZodType;
  readonly shape?: Readonly<Record<string, z.ZodType>>;
  readonly keyType?: z.ZodType;
  readonly valueType?: z.ZodType;
  readonly element?: z.ZodType;
  readonly options?: readonly z.ZodType[];
  readonly discriminator?: string;
  readonly values?: readonly unknown[];
}

function definitionOf(schema: z.ZodType | undefined): Definition | undefined {
  return schema?.def as unknown as Definition | undefined;
}

function fieldOf(inner: z.ZodType | undefined, key: string): z.ZodType | undefined {
  const definition = definitionOf(inner);
  if (definition?.type !== "object") return definition?.valueType;
  return definition.shape && Object.hasOwn(definition.shape, key) ? definition.shape[key] : undefined;
}

/**
 * Of several kinds of mapping, the one whose word `value` has. Where it has none of them, the one whose word is the
 * nearest, or else the one that shares the most fields with it: so that the rest can be checked all the same.
 */
function kindOf(definition: Definition | undefined, value: unknown): z.ZodType | undefined {
  const { discriminator, options } = definition ?? {};
  if (!discriminator || !options) return undefined;
  const fields = typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
  const word = fields[discriminator];
  const words = new Map(options.map((option) => [wordOf(option, discriminator), option]));
  const near = typeof word === "string" ? (words.get(word) ?? words.get(nearest(word, words.keys()) ?? "")) : undefined;
  if (near) return near;
  const shared = (option: z.ZodType) => fieldNames(option).filter((name) => Object.hasOwn(fields, name)).length;
  return options.reduce((best, option) => (shared(option) > shared(best) ? option : best));
}

/** The word by which one of several kinds of mapping is told from the others. */
export function wordOf(option: z.ZodType, discriminator: string): string {
  return String(definitionOf(fieldOf(unwrap(option).inner, discriminator))?.values?.[0]);
}

/** Of a choice of kinds, the field that chooses and the kinds; undefined for any other schema. */
export function choiceOf(
  schema: z.ZodType,
): { readonly discriminator: string; readonly options: readonly z.ZodType[] } | undefined {
  const { discriminator, options } = definitionOf(schema) ?? {};
  return discriminator && options ? { discriminator, options } : undefined;
}

/** What stands in a mapping, or in a list, or behind a key of the writer's own. */
export function partsOf(schema: z.ZodType): {
  readonly shape?: Readonly<Record<string, z.ZodType>> | undefined;
  readonly key?: z.ZodType | undefined;
  readonly value?: z.ZodType | undefined;
  readonly element?: z.ZodType | undefined;
} {
  const definition = definitionOf(unwrap(schema).inner);
  if (definition?.type === "object") return { shape: definition.shape };
  if (definition?.type === "record") return { key: definition.keyType, value: definition.valueType };
  return definition?.type === "array" ? { element: definition.element } : {};
}

/** Whether a field may be left out. */
export function isOptional(schema: z.ZodType): boolean {
  return definitionOf(schema)?.type === "optional";
}

/** Whether a schema is a mapping or a list, so that the walk goes into it rather than reading it whole. */
function structured(schema: z.ZodType | undefined): boolean {
  const type = definitionOf(unwrap(schema).inner)?.type;
  return type === "object" || type === "record" || type === "array";
}
