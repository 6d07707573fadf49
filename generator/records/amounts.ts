import { z } from "zod";
import { dateFault, monthNames, type PlainDate } from "../science/calendar.ts";
import type { In, Span } from "../science/units.ts";
import { asMessage, type FieldMeta, refuse, written } from "./fields.ts";
import { example, exampleIn, type FigureUnit, type Read, readAmount, readSpan } from "./quantity.ts";

interface Limits {
  /** Refused outside. */
  readonly within?: readonly [low: number, high: number];
  /** Warned about outside. */
  readonly usual?: readonly [low: number, high: number];
  /** A likely figure for sentences, where the unit alone does not give one. */
  readonly like?: string;
}

/** A low and a high end with a unit, `1.2–1.8 mS/cm`; one figure counts as both ends. */
export function span<const Unit extends FigureUnit>(unit: Unit, limits: Limits = {}) {
  return figure<Unit, Span<Unit>>(
    unit,
    limits,
    readSpan as (text: string | number, unit: FigureUnit, like: string) => Read<Span<Unit>>,
    ({ low, high }) => [low, high],
  ).meta({ form: "span", figure: true, unit, ...limits, like: likely(unit, limits) } satisfies FieldMeta);
}

/** One figure with its unit, `14 days`. */
export function amount<const Unit extends FigureUnit>(unit: Unit, limits: Limits = {}) {
  const one = unit === "pH" ? { like: "6.0", ...limits } : limits;
  return figure<Unit, In<Unit>>(
    unit,
    one,
    readAmount as (text: string | number, unit: FigureUnit, like: string) => Read<In<Unit>>,
    (value) => [value],
  ).meta({ form: "amount", figure: true, unit, ...limits, like: likely(unit, one) } satisfies FieldMeta);
}

/** A whole number of things, without a unit. Not a figure of the trade unless `figure` is said. */
export function count(limits: Limits = { within: [0, 1_000_000] }) {
  return plain("a whole number")
    .transform((text, context): number => {
      const read = readAmount(text, "");
      if ("slip" in read) return refuse(context, { ...read.slip, expected: read.slip.expected ?? "a whole number" });
      if (!Number.isInteger(read.value))
        return refuse(context, { rule: "whole-expected", written: String(text), expected: "a whole number" });
      return within(read.value, [read.value], limits, String(text), "", context);
    })
    .meta({ form: "count", unit: "", ...limits, like: likely("", limits) } satisfies FieldMeta);
}

/** What was measured on one plant, in the trial's own unit, or `died`. */
export function measured() {
  return plain("a number, or `died`")
    .transform((text, context): number | "died" => {
      if (text === "died") return "died";
      const read = readAmount(text, "");
      return "slip" in read ? refuse(context, { ...read.slip, expected: "a number, or `died`" }) : read.value;
    })
    .meta({ form: "measured" } satisfies FieldMeta);
}

/** A calendar day, `2027-03-22`; refused outside of some years, where these are said. */
export function date(years?: readonly [first: number, last: number]) {
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
      const year = Number(text.slice(0, 4));
      if (!fault && years && (year < years[0] || year > years[1]))
        return refuse(context, {
          rule: "value-impossible",
          written: text,
          expected: `a day of the years ${years[0]} to ${years[1]}`,
          note: "Is the year right?",
        });
      if (!fault) return text;
      return refuse(context, {
        rule: "date-unreal",
        written: text,
        expected: "a day of the calendar",
        note: `${fault[0]!.toUpperCase()}${fault.slice(1)}.`,
      });
    })
    .meta({ form: "date", like: "2027-03-22", pattern: "^\\d{4}-\\d{2}-\\d{2}$" } satisfies FieldMeta);
}

/** Months of a season as written for 50° north, `Mar–May` or `Sep`; or the yard's own months, when `note` says so. */
export function months(note = "Months are named, the first three letters at least; the season is that of 50° north.") {
  return z
    .string({
      error: ({ input }) =>
        asMessage({ rule: "type-wrong", written: written(input), expected: "months, such as `Mar–May`" }),
    })
    .transform((text, context): { readonly from: number; readonly to: number } => {
      const [first = "", last = first, ...rest] = text.trim().split(/\s*(?:[–—‐‑−-]|\bto\b)\s*/u);
      const from = monthOf(first);
      const to = monthOf(last);
      if (from > 0 && to > 0 && rest.length === 0) return { from, to };
      return refuse(context, {
        rule: "month-unknown",
        written: text,
        expected: "months, such as `Mar–May` or `Sep`",
        note,
      });
    })
    .meta({ form: "months", figure: true, like: "Mar–May" } satisfies FieldMeta);
}

/** A value that must be text or a number, not a list or a mapping. */
function plain(expected: string) {
  return z.union([z.string(), z.number()], {
    error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected }),
  });
}

function figure<Unit extends FigureUnit, Value>(
  unit: Unit,
  limits: Limits,
  read: (text: string | number, unit: FigureUnit, like: string) => Read<Value>,
  ends: (value: Value) => readonly number[],
) {
  const like = likely(unit, limits);
  return plain(exampleIn(unit, like)).transform((text, context): Value => {
    const result = read(text, unit, like);
    if ("slip" in result) return refuse(context, result.slip);
    return within(result.value, ends(result.value), limits, String(text), unit, context);
  });
}

/** A figure that this field may well hold: the unit's own example where that is usual here, else the nearer end. */
function likely(unit: FigureUnit, { like, usual, within }: Limits): string {
  const limits = usual ?? within;
  const text = example(unit);
  const read = readSpan(text, unit);
  if (like !== undefined || !limits || "slip" in read) return like ?? text;
  if (read.value.low >= limits[0] && read.value.high <= limits[1]) return text;
  const end = read.value.high > limits[1] ? limits[1] : limits[0];
  return unit === "" || unit === "pH" ? String(end) : `${end} ${unit}`;
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
