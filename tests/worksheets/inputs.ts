import fc from "fast-check";
import { z } from "zod";
import type { Worksheet } from "../../generator/worksheets/worksheet.ts";

/** What JSON Schema says of one field; enough of it for the fields that worksheets have. */
export interface Field {
  readonly type?: string;
  readonly format?: string;
  readonly enum?: readonly string[];
  readonly anyOf?: readonly Field[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly minItems?: number;
  readonly items?: Field;
  /** Of a list of a certain length, each of its items. */
  readonly prefixItems?: readonly Field[];
  readonly properties?: Readonly<Record<string, Field>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: false | Field;
}

/** The fields of a worksheet's input, as anyone outside would be told them. */
export function fieldsOf(sheet: Worksheet): Field {
  return z.toJSONSchema(sheet.input, { io: "input", unrepresentable: "any" }) as Field;
}

/** Any input within the bounds of each field; what fields ask of each other may still be amiss. */
export function inputsOf(field: Field): fc.Arbitrary<unknown> {
  if (field.anyOf) return fc.oneof(...field.anyOf.map(inputsOf));
  if (field.enum) return fc.constantFrom(...field.enum);
  switch (field.type) {
    case "object":
      return objectOf(field);
    case "array":
      if (field.prefixItems)
        return fc
          .tuple(...field.prefixItems.map(inputsOf))
          .map((ends) => (ends.every((end) => typeof end === "number") ? ends.sort((a, b) => a - b) : ends));
      return fc.array(inputsOf(field.items ?? {}), {
        minLength: field.minItems ?? 0,
        maxLength: (field.minItems ?? 0) + 5,
      });
    case "integer":
      return fc.integer({
        min: Math.max(field.minimum ?? -1e9, -1e9),
        max: Math.min(field.maximum ?? 1e9, 1e9),
      });
    case "number":
      return numberOf(field);
    case "boolean":
      return fc.boolean();
    case "null":
      return fc.constant(null);
    case "string":
      return field.format === "date" ? dates : fc.stringMatching(/^[A-Za-z0-9-]{0,12}$/);
    default:
      throw new Error(`There is no way to make up ${JSON.stringify(field)}`);
  }
}

const dates = fc
  .date({ min: new Date("1600-01-01T00:00Z"), max: new Date("9999-12-31T00:00Z"), noInvalidDate: true })
  .map((day) => day.toISOString().slice(0, 10));

function objectOf({ properties = {}, required = [], additionalProperties }: Field): fc.Arbitrary<unknown> {
  if (additionalProperties)
    return fc.dictionary(fc.constantFrom("seed", "heat", "labour"), inputsOf(additionalProperties));
  const entries = Object.entries(properties).map(([name, field]) => [name, inputsOf(field)] as const);
  return fc.record(Object.fromEntries(entries), { requiredKeys: [...required] });
}

/** Everyday numbers mostly, evenly over the bounds and over the powers of ten; the ends themselves; and any number at all. */
function numberOf({ minimum, maximum, exclusiveMinimum, exclusiveMaximum }: Field): fc.Arbitrary<number> {
  const low = minimum ?? exclusiveMinimum ?? Number.NEGATIVE_INFINITY;
  const high = maximum ?? exclusiveMaximum ?? Number.POSITIVE_INFINITY;
  const from = Math.max(low, -1000);
  const to = Math.min(high, 1000);
  const any = fc.double({ min: Math.max(low, -1e12), max: Math.min(high, 1e12), noNaN: true });
  const within = (value: number) =>
    value >= low && value <= high && value !== exclusiveMinimum && value !== exclusiveMaximum;
  return fc
    .oneof(
      { weight: 6, arbitrary: fc.integer({ min: 0, max: 1000 }).map((step) => from + ((to - from) * step) / 1000) },
      {
        weight: 2,
        arbitrary: fc
          .tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -8, max: 10 }))
          .map(([digits, power]) => digits * 10 ** power),
      },
      { weight: 1, arbitrary: fc.constantFrom(from, to) },
      { weight: 1, arbitrary: any },
    )
    .filter(within);
}
