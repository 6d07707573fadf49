import type { z } from "zod";
import type { FieldMeta, Reader } from "./fields.ts";
import { type Kind, kinds } from "./index.ts";
import { patternOf } from "./quantity.ts";
import { choiceOf, isOptional, partsOf, unwrap, wordOf } from "./walk.ts";
import { Book } from "./yard.ts";

/** One field of a kind of record, as the authors' reference tells it. */
export interface Described extends Omit<FieldMeta, "reader" | "sense"> {
  /** `stages.tray.days`; a key of the writer's own stands as `<name>`, an item of a list as `[]`. */
  readonly path: string;
  /** Of a kind that is several, such as gear, the one that has this field. */
  readonly of?: string;
  readonly reader: Reader;
  /** Whether a record cannot do without it, or the mapping around it cannot. */
  readonly required: boolean;
}

/** Every field of a kind of record that holds a value, in the order of its schema. */
export function describeKind(kind: Kind | "book"): readonly Described[] {
  const schema = schemaOf(kind);
  const choice = choiceOf(schema);
  if (!choice) return [...describe(schema, "", true, "staff")];
  return choice.options.flatMap((option) => {
    const of = wordOf(option, choice.discriminator);
    return [...describe(option, "", true, "staff")].map((field) => ({ ...field, of }));
  });
}

/** What a kind of record may say, for editors that know JSON Schema. @see JSON Schema, draft 2020-12 */
export function jsonSchema(kind: Kind | "book"): Readonly<Record<string, unknown>> {
  const schema = schemaOf(kind);
  const choice = choiceOf(schema);
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    title: kind,
    ...(choice ? { oneOf: choice.options.map((option) => schemaFor(option)) } : schemaFor(schema)),
  };
}

function schemaOf(kind: Kind | "book"): z.ZodType {
  return kind === "book" ? Book : kinds[kind];
}

function* describe(schema: z.ZodType, path: string, required: boolean, above: Reader): Generator<Described> {
  const { inner, meta } = unwrap(schema);
  if (!inner) return;
  const { shape, key, value, element } = partsOf(inner);
  const reader = meta.reader ?? above;
  if (shape) {
    for (const [name, field] of Object.entries(shape))
      yield* describe(field, path === "" ? name : `${path}.${name}`, !isOptional(field), reader);
  } else if (key && value) {
    yield* told(value, `${path}.<${nameOfKey(key)}>`, required, reader, meta);
  } else if (element) {
    yield* told(element, `${path}[]`, required, reader, meta);
  } else {
    const { sense: _sense, ...rest } = meta;
    yield { ...rest, path, reader, required };
  }
}

/** What stands in a list or a mapping, which goes by the label of the whole where it has none. */
function* told(
  item: z.ZodType,
  path: string,
  required: boolean,
  reader: Reader,
  around: FieldMeta,
): Generator<Described> {
  for (const field of describe(item, path, required, reader)) {
    const plain = field.path === path;
    yield {
      ...field,
      ...(plain && !field.label && around.label ? { label: around.label } : {}),
      ...(plain && !field.help && around.help ? { help: around.help } : {}),
      ...(plain && !field.example && around.example ? { example: around.example } : {}),
    };
  }
}

function nameOfKey(key: z.ZodType): string {
  const { meta } = unwrap(key);
  if (meta.words) return meta.words.join("|");
  return meta.form === "date" ? "date" : "name";
}

type Json = Readonly<Record<string, unknown>>;

function schemaFor(schema: z.ZodType): Json {
  const { inner, meta } = unwrap(schema);
  if (!inner) return {};
  const { shape, key, value, element } = partsOf(inner);
  const said = {
    ...(meta.label ? { title: meta.label } : {}),
    ...(descriptionOf(meta) ? { description: descriptionOf(meta) } : {}),
  };
  if (shape) {
    const required = Object.entries(shape).flatMap(([name, field]) => (isOptional(field) ? [] : [name]));
    return {
      ...said,
      type: "object",
      properties: Object.fromEntries(Object.entries(shape).map(([name, field]) => [name, schemaFor(field)])),
      ...(required.length > 0 ? { required } : {}),
      additionalProperties: false,
    };
  }
  if (key && value) {
    const { words, pattern } = unwrap(key).meta;
    const names = words ? { enum: words } : pattern ? { pattern } : undefined;
    return {
      ...said,
      type: "object",
      additionalProperties: schemaFor(value),
      ...(names ? { propertyNames: names } : {}),
    };
  }
  if (element) return { ...said, type: "array", items: schemaFor(element) };
  const word = literalOf(inner);
  return { ...said, ...(word === undefined ? formOf(meta) : { const: word }) };
}

/** How a value is written, in the words of JSON Schema. Editors read `12` as a number and `12 days` as text. */
function formOf({ form, unit = "", words, pattern, within }: FieldMeta): Json {
  const limits = within ? { minimum: within[0], maximum: within[1] } : {};
  switch (form) {
    case "word":
      return { enum: words ?? [] };
    case "flag":
      return { enum: ["yes", "no", true, false] };
    case "date":
      return { type: "string", format: "date", ...(pattern ? { pattern } : {}) };
    case "count":
      return { type: ["integer", "string"], ...limits, pattern: "^\\d+$" };
    case "amount":
    case "span": {
      const written = patternOf(unit, form === "span" ? 2 : 1);
      const bare = unit === "" || unit === "pH";
      return bare ? { type: ["number", "string"], ...limits, pattern: written } : { type: "string", pattern: written };
    }
    case "measured":
      return { anyOf: [{ type: "number" }, { const: "died" }] };
    case "scope":
      return { anyOf: [{ const: "*" }, { type: "array", items: { type: "string" } }] };
    case "months":
      return { type: "string" };
    default:
      return { type: ["string", "number"], ...(pattern ? { pattern } : {}) };
  }
}

/** What the field means, its unit and what is usual, in a sentence or two. */
function descriptionOf({ help, unit, usual, within, example, like, refers }: FieldMeta): string {
  const measure = unit && unit !== "pH" ? ` ${unit}` : "";
  return [
    help,
    refers ? `The name of a file in \`${refers}/\`.` : undefined,
    example ? `Such as \`${example}\`.` : like ? `Such as \`${like}\`.` : undefined,
    usual ? `Usual: ${usual[0]} to ${usual[1]}${measure}.` : undefined,
    within ? `Possible: ${within[0]} to ${within[1]}${measure}.` : undefined,
  ]
    .filter((sentence) => sentence !== undefined)
    .join(" ");
}

/** The one word that tells a kind from its siblings, such as `line`. */
function literalOf(schema: z.ZodType): unknown {
  const { type, values } = schema.def as unknown as { readonly type: string; readonly values?: readonly unknown[] };
  return type === "literal" ? values?.[0] : undefined;
}
