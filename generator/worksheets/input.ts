import { z } from "zod";
import { dateFault, type PlainDate } from "../science/calendar.ts";

/** What a form, a help text and the authors' reference need to know of one input, besides its bounds. */
export interface Told {
  readonly label: string;
  readonly help?: string;
}

interface Bounds extends Told {
  /** `""` for a count or a ratio. */
  readonly unit: string;
  /** Inclusive. */
  readonly min?: number | undefined;
  readonly max?: number | undefined;
  /** Exclusive. */
  readonly above?: number | undefined;
  readonly below?: number | undefined;
  readonly whole?: true;
}

interface Length {
  readonly min?: number;
  readonly max?: number;
}

/** A finite number within its bounds, and not finer than a billionth, so that no quotient of two overflows. */
export function amount({ unit, min, max, above, below, whole, ...told }: Bounds): z.ZodNumber {
  const wanted = `expected ${whole ? "a whole number" : "a number"}${range({ min, max, above, below })}${unit ? `, in ${unit}` : ""}`;
  const error = ({ input }: { input?: unknown }) => `Unexpected ${shown(input)}, ${wanted}`;
  let schema = z.number({ error });
  if (whole) schema = schema.int({ error });
  if (min !== undefined) schema = schema.min(min, { error });
  if (max !== undefined) schema = schema.max(max, { error });
  if (above !== undefined) schema = schema.gt(above, { error });
  if (below !== undefined) schema = schema.lt(below, { error });
  return schema
    .refine((value) => value === 0 || Math.abs(value) >= 1e-9, { error: ({ input }) => unusualSize(input) })
    .meta({ ...told, unit });
}

/** An amount that is besides not beyond a million million, for those without a printed bound on one side. */
export function everyday(bounds: Bounds): z.ZodNumber {
  const schema = amount(bounds);
  return schema
    .refine((value) => Math.abs(value) <= 1e12, { error: ({ input }) => unusualSize(input) })
    .meta(schema.meta() ?? {});
}

function unusualSize(input: unknown): string {
  return `Unexpected ${shown(input)}, expected a number of everyday size`;
}

/** A list of at least `min`, usually none, and at most `max`, usually 1000. */
export function several<Item extends z.ZodType>(item: Item, { min = 0, max = 1000, ...told }: Told & Length) {
  const error = ({ input }: { input?: unknown }) =>
    `Unexpected ${Array.isArray(input) ? `${input.length} entries` : shown(input)}, expected a list of ${min} to ${max}`;
  return z
    .array(item, { error })
    .min(min, { error })
    .max(max, { error })
    .meta({ ...told, unit: "" });
}

/** A plain date that the calendar has. */
export function date(told: Told): z.ZodType<PlainDate, PlainDate> {
  return z
    .string({
      error: ({ input }) => `Unexpected ${shown(input)}, expected a date such as 2027-03-22`,
    })
    .superRefine((text, context) => {
      const fault = dateFault(text);
      if (fault)
        context.addIssue({
          code: "custom",
          message: `Unexpected ${shown(text)}: ${fault}`,
        });
    })
    .meta({ ...told, unit: "", format: "date" });
}

/** One of a few words. */
export function choice<const Words extends readonly [string, ...string[]]>(words: Words, told: Told) {
  const error = ({ input }: { input?: unknown }) =>
    `Unexpected ${shown(input)}, expected ${words.map(shown).join(" or ")}`;
  return z.enum(words, { error }).meta({ ...told, unit: "" });
}

export function flag(told: Told): z.ZodBoolean {
  return z
    .boolean({
      error: ({ input }) => `Unexpected ${shown(input)}, expected true or false`,
    })
    .meta({ ...told, unit: "" });
}

export function text(told: Told): z.ZodString {
  return z
    .string({
      error: ({ input }) => `Unexpected ${shown(input)}, expected text`,
    })
    .meta({ ...told, unit: "" });
}

/** A field that may be left out; blank and `null` both mean "not measured" and arrive as undefined. */
export function optional<Schema extends z.ZodType>(schema: Schema) {
  return schema.nullish().transform((value) => value ?? undefined);
}

/** A field with a usual value, taken when it is left out or `null`. */
export function usually<Schema extends z.ZodType>(schema: Schema, value: z.output<Schema>) {
  return schema
    .nullish()
    .meta({ default: value })
    .transform((given) => given ?? value);
}

/** An object with one field for each name, all of a kind. */
export function each<const Names extends readonly string[], Schema extends z.ZodType>(
  names: Names,
  field: (name: Names[number]) => Schema,
) {
  const error = ({ input }: { input?: unknown }) =>
    `Unexpected ${shown(input)}, expected an object of ${names.join(", ")}`;
  const shape = Object.fromEntries(names.map((name) => [name, field(name)]));
  return z.strictObject(shape as { [Name in Names[number]]: Schema }, { error });
}

/** Says at `path` that the input is not well put; for checks between fields, in a `superRefine`. */
export function fault(context: z.RefinementCtx, path: readonly PropertyKey[], message: string): void {
  context.addIssue({ code: "custom", path: [...path], message });
}

/** Asks for both fields or neither. */
export function together<Keys extends string>(first: Keys, second: Keys) {
  return (input: Readonly<Partial<Record<Keys, unknown>>>, context: z.RefinementCtx): void => {
    const missing = input[first] === undefined ? first : second;
    if ((input[first] === undefined) !== (input[second] === undefined)) {
      fault(context, [missing], `Missing, expected ${first} and ${second} together or neither`);
    }
  };
}

/** A value as it was written, for a sentence. */
export function shown(value: unknown): string {
  if (value === undefined || value === null) return "nothing";
  if (typeof value === "string") return `“${value.length > 60 ? `${value.slice(0, 57)}…` : value}”`;
  if (typeof value === "number" || typeof value === "boolean") return String(value);
  return Array.isArray(value) ? "a list" : "an object";
}

function range({ min, max, above, below }: Pick<Bounds, "min" | "max" | "above" | "below">): string {
  if (min !== undefined && max !== undefined) return ` from ${min} to ${max}`;
  const low = min !== undefined ? `${min} or more` : above !== undefined ? `above ${above}` : undefined;
  const high = max !== undefined ? `${max} or less` : below !== undefined ? `below ${below}` : undefined;
  const both = [low, high].filter((end) => end !== undefined);
  return both.length > 0 ? ` ${both.join(" and ")}` : "";
}
