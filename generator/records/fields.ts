import { z } from "zod";
import { dateFault, monthNames, type PlainDate } from "../science/calendar.ts";
import type { In, Span } from "../science/units.ts";
import type { Slip } from "./messages.ts";
import { nearest } from "./nearest.ts";
import { exampleIn, type FigureUnit, type Read, readAmount, readSpan } from "./quantity.ts";

/** Who may read a field. What is not said is `staff`; `nobody` never leaves the records in any edition. */
export type Reader = "everyone" | "staff" | "nobody";

/** What the authors' reference, the page labels and the privacy scan know of a field. */
export interface FieldMeta {
  readonly label?: string;
  readonly help?: string;
  readonly example?: string;
  readonly reader?: Reader;
  /** True for a figure of the trade, which must have a source. */
  readonly figure?: true;
  readonly unit?: FigureUnit;
  /** Outside it the checker asks for a second look. */
  readonly usual?: readonly [low: number, high: number];
  /** The kind of record that the value names. */
  readonly refers?: string;
}

interface Limits {
  /** Refused outside. */
  readonly within?: readonly [low: number, high: number];
  /** Warned about outside. */
  readonly usual?: readonly [low: number, high: number];
}

type Figure<Unit extends FigureUnit> = In<Unit>;

/** A low and a high end with a unit, `1.2–1.8 mS/cm`; one figure counts as both ends. */
export function span<const Unit extends FigureUnit>(unit: Unit, limits: Limits = {}) {
  return figure<Unit, Span<Unit>>(
    unit,
    limits,
    readSpan as (text: string | number, unit: FigureUnit) => Read<Span<Unit>>,
    ({ low, high }) => [low, high],
  );
}

/** One figure with its unit, `14 days`. */
export function amount<const Unit extends FigureUnit>(unit: Unit, limits: Limits = {}) {
  return figure<Unit, Figure<Unit>>(
    unit,
    limits,
    readAmount as (text: string | number, unit: FigureUnit) => Read<Figure<Unit>>,
    (value) => [value],
  );
}

/** A whole number of things, without a unit. Not a figure of the trade unless `figure` is said. */
export function count(limits: Limits = { within: [0, 1_000_000] }) {
  return z
    .union([z.string(), z.number()], {
      error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected: "a whole number" }),
    })
    .transform((text, context): number => {
      const read = readAmount(text, "");
      if ("slip" in read) return refuse(context, read.slip);
      if (!Number.isInteger(read.value))
        return refuse(context, { rule: "whole-expected", written: String(text), expected: "a whole number" });
      return within(read.value, [read.value], limits, String(text), "", context);
    })
    .meta({ unit: "", ...(limits.usual ? { usual: limits.usual } : {}) } satisfies FieldMeta);
}

/** A calendar day, `2027-03-22`. YAML reads it as text here, never as a time. */
export function date() {
  return z
    .string({
      error: ({ input }) =>
        asMessage({ rule: "type-wrong", written: written(input), expected: "a date, such as `2027-03-22`" }),
    })
    .transform((text, context): PlainDate => {
      if (!/^\d{4}-\d{2}-\d{2}$/.test(text))
        return refuse(context, {
          rule: "date-form",
          written: text,
          expected: "a date, such as `2027-03-22`",
          note: "Year, month, day, with hyphens: so nobody has to guess which is the month.",
        });
      const fault = dateFault(text);
      return fault
        ? refuse(context, {
            rule: "date-unreal",
            written: text,
            expected: "a date of the calendar",
            note: `${fault[0]!.toUpperCase()}${fault.slice(1)}.`,
          })
        : text;
    });
}

/** Months of a season as written for 50° north, `Mar–May` or `Sep`. */
export function months() {
  return z
    .string({
      error: ({ input }) =>
        asMessage({ rule: "type-wrong", written: written(input), expected: "months, such as `Mar–May`" }),
    })
    .transform((text, context): { readonly from: number; readonly to: number } => {
      const [first = "", last = first] = text.trim().split(/ ?(?:–|—|-|to) ?/u);
      const from = monthOf(first);
      const to = monthOf(last);
      if (from === 0 || to === 0)
        return refuse(context, { rule: "month-unknown", written: text, expected: "months, such as `Mar–May`" });
      return { from, to };
    })
    .meta({ figure: true } satisfies FieldMeta);
}

export function text() {
  return z
    .string({ error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected: "text" }) })
    .trim();
}

/** `yes` or `no`; YAML's `true` and `false` do as well. */
export function flag() {
  return z
    .union([z.boolean(), z.enum(["yes", "no"])], {
      error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected: "`yes` or `no`" }),
    })
    .transform((value) => value === true || value === "yes");
}

/** One of a few words; a near miss is named. */
export function word<const Words extends readonly [string, ...string[]]>(words: Words) {
  return z.enum(words, {
    error: ({ input }) => {
      const near = typeof input === "string" ? nearest(input, words) : undefined;
      return asMessage({
        rule: "word-unknown",
        written: written(input),
        expected:
          words.length === 1
            ? `\`${words[0]}\``
            : `${words.slice(0, -1).map(ticked).join(", ")} or ${ticked(words.at(-1)!)}`,
        ...(near ? { note: `Did you mean \`${near}\`?` } : {}),
      });
    },
  });
}

/** The file name of another record, without its ending. */
export function reference(kind: string) {
  return text().meta({ refers: kind } satisfies FieldMeta);
}

export function list<Item extends z.ZodType>(item: Item) {
  return z.array(item, {
    error: ({ input }) =>
      asMessage({ rule: "type-wrong", written: written(input), expected: "a list, such as `[leaf, flower]`" }),
  });
}

/** A mapping whose keys the writer chooses. */
export function mapping<Key extends z.core.$ZodRecordKey, Value extends z.ZodType>(key: Key, value: Value) {
  return z.record(key, value, {
    error: ({ input }) =>
      asMessage({ rule: "type-wrong", written: written(input), expected: "a mapping of names and values" }),
  });
}

/** A mapping with these fields and no others. */
export function group<Shape extends z.core.$ZodLooseShape>(shape: Shape) {
  return z.strictObject(shape, {
    error: (issue) =>
      issue.code === "invalid_type"
        ? asMessage({
            rule: "type-wrong",
            written: written(issue.input),
            expected: `a mapping with ${Object.keys(shape).slice(0, 3).map(ticked).join(", ")}`,
          })
        : undefined,
  });
}

/** Marks a field as one that customers may read. */
export function everyone<Schema extends z.ZodType>(schema: Schema): Schema {
  return schema.meta({ ...schema.meta(), reader: "everyone" });
}

/** Marks a field that never leaves the records: prices, suppliers, people. */
export function nobody<Schema extends z.ZodType>(schema: Schema): Schema {
  return schema.meta({ ...schema.meta(), reader: "nobody" });
}

/** A slip, as a zod message; {@link slipOf} reads it back. */
export function asMessage(slip: Slip): string {
  return JSON.stringify(slip);
}

/** The slip inside a zod message, or undefined when the message is zod's own. */
export function slipOf(message: string): Slip | undefined {
  return message.startsWith('{"rule":') ? (JSON.parse(message) as Slip) : undefined;
}

/** Stops a transform with a slip. */
export function refuse(context: z.RefinementCtx, slip: Slip): never {
  context.addIssue({ code: "custom", message: asMessage(slip) });
  return z.NEVER;
}

/** Says a slip about a field of the mapping under check, from a `superRefine`. */
export function complain(context: z.RefinementCtx, path: readonly PropertyKey[], slip: Slip): void {
  context.addIssue({ code: "custom", path: [...path], message: asMessage(slip) });
}

/** A value of a file, as text for a sentence. */
export function written(value: unknown): string {
  if (Array.isArray(value)) return "a list";
  return typeof value === "object" && value !== null ? "a mapping" : String(value);
}

function figure<Unit extends FigureUnit, Value>(
  unit: Unit,
  limits: Limits,
  read: (text: string | number, unit: FigureUnit) => Read<Value>,
  ends: (value: Value) => readonly number[],
) {
  return z
    .union([z.string(), z.number()], {
      error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected: exampleIn(unit) }),
    })
    .transform((text, context): Value => {
      const result = read(text, unit);
      if ("slip" in result) return refuse(context, result.slip);
      return within(result.value, ends(result.value), limits, String(text), unit, context);
    })
    .meta({ figure: true, unit, ...(limits.usual ? { usual: limits.usual } : {}) } satisfies FieldMeta);
}

function within<Value>(
  value: Value,
  ends: readonly number[],
  { within: limits }: Limits,
  text: string,
  unit: FigureUnit,
  context: z.RefinementCtx,
): Value {
  if (!limits || ends.every((end) => end >= limits[0] && end <= limits[1])) return value;
  return refuse(context, {
    rule: "value-impossible",
    written: text,
    expected: `${limits[0]} to ${limits[1]}${unit && unit !== "pH" ? ` ${unit}` : ""}`,
    note: "Outside this it cannot be right. Was the unit or a decimal point meant otherwise?",
  });
}

function monthOf(text: string): number {
  const wanted = text.trim().toLowerCase();
  return wanted.length < 3 ? 0 : monthNames.findIndex((name) => name.toLowerCase().startsWith(wanted)) + 1;
}

function ticked(text: string): string {
  return `\`${text}\``;
}
