import { z } from "zod";
import type { Worksheet } from "../../generator/worksheets/worksheet.ts";
import { bagNames, elementNames } from "../words.ts";
import { hasChoice, type Wanted } from "./units.ts";
import { formWords } from "./words.ts";

export type FieldKind =
  | "number"
  | "text"
  | "date"
  | "choice"
  | "flag"
  | "days"
  | "object"
  | "tuple"
  | "list"
  | "record";

/** One input of a form, with what is inside it. Made while the book is printed; no browser is given a schema. */
export interface Field {
  readonly kind: FieldKind;
  readonly key: string;
  readonly label: string;
  readonly optional: boolean;
  readonly wanted: Wanted;
  /** What a blank counts as. */
  readonly usual?: unknown;
  readonly options: readonly string[];
  /** Of an object or a tuple. */
  readonly members: readonly Field[];
  /** Of a list or a record: what each row is. */
  readonly item?: Field;
}

/** The inputs of a worksheet in their order. */
export function fieldsOf(sheet: Worksheet): readonly Field[] {
  const schema = z.toJSONSchema(sheet.input, { io: "input", unrepresentable: "any" }) as Schema;
  return members(schema);
}

/** As much of JSON Schema as the inputs use. */
interface Schema {
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema | false;
  readonly prefixItems?: readonly Schema[];
  readonly additionalProperties?: Schema | boolean;
  readonly anyOf?: readonly Schema[];
  readonly enum?: readonly string[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly default?: unknown;
  readonly label?: string;
  readonly unit?: string;
  readonly help?: string;
  readonly format?: string;
  /** The only names that a record may have. */
  readonly fields?: readonly string[];
}

function members(schema: Schema): readonly Field[] {
  const { properties = {}, required = [] } = unwrapped(schema);
  return Object.entries(properties).map(([key, inner]) => fieldOf(key, inner, !required.includes(key)));
}

function fieldOf(key: string, outer: Schema, optional: boolean): Field {
  const schema = unwrapped(outer);
  const { minimum, maximum, exclusiveMinimum, exclusiveMaximum, unit = "", help, default: usual } = schema;
  const kind = kindOf(schema);
  return {
    kind,
    key,
    label: labelOf(key, schema.label),
    optional,
    ...(usual === undefined ? {} : { usual }),
    wanted: {
      unit,
      min: everyday(minimum),
      max: everyday(maximum),
      above: exclusiveMinimum,
      below: exclusiveMaximum,
      whole: schema.type === "integer",
      usual: typeof usual === "number" ? usual : undefined,
      optional,
      help,
    },
    options: (kind === "days" && schema.items ? unwrapped(schema.items).enum : schema.enum) ?? [],
    members: kind === "object" ? membersOf(schema) : kind === "tuple" ? ends(schema) : [],
    ...(kind === "list" && schema.items ? { item: fieldOf("", schema.items, true) } : {}),
    ...(kind === "record" ? { item: fieldOf("value", schema.additionalProperties as Schema, true) } : {}),
  };
}

/** An input in the order of its fields, as a form reads it; a row that is named only is a row with that name. */
export function inOrder(fields: readonly Field[], input: unknown): Readonly<Record<string, unknown>> {
  const given = Object(input) as Readonly<Record<string, unknown>>;
  return Object.fromEntries(
    fields.flatMap((field) => (given[field.key] === undefined ? [] : [[field.key, asRead(field, given[field.key])]])),
  );
}

function asRead({ kind, members, item }: Field, value: unknown): unknown {
  if (kind === "list" && item && Array.isArray(value)) return value.map((row) => asRead(item, row));
  if (kind === "object") return typeof value === "string" ? { id: value } : inOrder(members, value);
  return value;
}

/** Whether a number's unit is one that a reader may choose; a difference of temperatures is not turned. */
export function turns({ key, wanted }: Field): boolean {
  return hasChoice(wanted.unit) && key !== "deltaT" && key !== "leafOffset";
}

function kindOf(schema: Schema): FieldKind {
  if (schema.prefixItems) return "tuple";
  if (schema.enum) return "choice";
  if (schema.type === "number" || schema.type === "integer") return "number";
  if (schema.type === "boolean") return "flag";
  if (schema.type === "array") return schema.items && unwrapped(schema.items).enum ? "days" : "list";
  if (schema.type === "object") {
    const open = typeof schema.additionalProperties === "object" && !schema.fields;
    return open ? "record" : "object";
  }
  if (schema.type === "string") return schema.format === "date" ? "date" : "text";
  throw new Error(`Unexpected input ${JSON.stringify(schema)}, expected one that a form can ask for`);
}

/** An object's members; a record that takes certain names only is an object of those. */
function membersOf(schema: Schema): readonly Field[] {
  if (!schema.fields) return members(schema);
  return schema.fields.map((name) => ({
    ...fieldOf(name, schema.additionalProperties as Schema, true),
    label: labelOf(name, name),
  }));
}

function ends({ prefixItems = [] }: Schema): readonly Field[] {
  return prefixItems.map((end, index) => fieldOf(String(index), end, false));
}

/** What may be `null` as what it is otherwise, with its usual value. */
function unwrapped(schema: Schema): Schema {
  const inner = schema.anyOf?.find(({ type }) => type !== "null");
  if (!inner) return schema;
  const { anyOf: _either, ...outer } = schema;
  return { ...unwrapped(inner), ...outer };
}

/** A label as people read it: chemical signs are written out. */
function labelOf(key: string, label: string | undefined): string {
  const [first = "", ...rest] = (label ?? "").split(/(?<=^\w+)(?=\W)/);
  const bag = bagNames[label ?? ""] ?? formWords.bag[label ?? ""];
  const element = elementNames[first];
  const words =
    label === undefined
      ? (formWords.groups[key] ?? key)
      : element && key === first
        ? `${element} (${first})${rest.join("")}`
        : label === key && bag
          ? bag
          : label;
  return words.startsWith("pH") ? words : `${words[0]?.toUpperCase() ?? ""}${words.slice(1)}`;
}

/** Bounds that are no more than how large a number can be are not said. */
function everyday(bound: number | undefined): number | undefined {
  return bound === undefined || Math.abs(bound) >= Number.MAX_SAFE_INTEGER ? undefined : bound;
}
