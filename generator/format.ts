import { type PlainDate, weekdayOf } from "./science/calendar.ts";
import type { Span } from "./science/units.ts";

/** A thin, unbreaking space between a figure and its unit. */
export const gap = "\u202f";

/**
 * A number as people read it: at most `digits` significant figures, never an exponent, thousands apart,
 * no trailing zeros. Half is rounded away from zero, and -0 is 0.
 */
export function number(value: number, digits = 4): string {
  if (!Number.isFinite(value)) throw new RangeError(`Unexpected ${value}, expected a finite number to print`);
  if (value === 0) return "0";
  const places = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  return fixed(value, Math.min(places, 12))
    .replace(/(\.\d*?)0+$/, "$1")
    .replace(/\.$/, "");
}

/** A number with exactly `places` decimals, half away from zero as it is written in decimals. */
export function fixed(value: number, places: number): string {
  const scaled = Number(`${Math.abs(value)}e${places}`);
  const rounded = Number.isFinite(scaled) ? Math.floor(scaled + 0.5 + 1e-9) : Math.abs(value) * 10 ** places;
  const text = digitsOf(rounded).padStart(places + 1, "0");
  const whole = text.slice(0, text.length - places);
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, "\u202f") : whole;
  const sign = value < 0 && /[1-9]/.test(text) ? "−" : "";
  return places > 0 ? `${sign}${grouped}.${text.slice(-places)}` : `${sign}${grouped}`;
}

/** A number with its unit, `1.4 mS/cm`; money leads its number, a share follows it closely. */
export function quantity(value: number, unit: string, digits = 4): string {
  // A hundredth of a per cent is the least that anyone acts on; below it stands the dust of the computer's own sums.
  const dusty = unit === "%" && Math.abs(value) < 1e9;
  return withUnit(number(dusty ? Math.round(value * 100) / 100 : value, digits), unit);
}

/**
 * Both ends and one unit, `1.2–1.8 mS/cm`; one figure when the ends are equal. Both ends have as many decimals as the
 * longer one needs, or `places` when that is said: `1.0–1.6`, not `1–1.6`.
 */
export function span({ low, high }: Span, unit: string, places?: number): string {
  const plain = [number(low), number(high)];
  const most = places ?? Math.max(...plain.map((end) => (end.split(".")[1] ?? "").length));
  const [from, to] = [fixed(low, most), fixed(high, most)];
  if (low === high) return withUnit(from, unit);
  return withUnit(low < 0 ? `${from} to ${to}` : `${from}–${to}`, unit);
}

/** `Mon 22 Mar 2027`. */
export function date(day: PlainDate): string {
  return `${weekdayOf(day)} ${shortDate(day)}`;
}

/** `22 Mar 2027`. */
export function shortDate(day: PlainDate): string {
  const [year, month, dayOfMonth] = day.split("-").map(Number) as [number, number, number];
  return `${dayOfMonth} ${months[month - 1]} ${year}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function list(items: readonly string[], word = "and"): string {
  if (items.length < 2) return items.join("");
  return `${items.slice(0, -1).join(", ")} ${word} ${items.at(-1)}`;
}

/** The short English name of a month, 1 to 12. */
export function monthName(month: number): string {
  return months[month - 1] ?? "";
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"] as const;

/** A number to the nearest whole, without an exponent. The slow number format of the language is left to the huge. */
function digitsOf(value: number): string {
  return value < 1e21
    ? String(Math.round(value))
    : value.toLocaleString("en-GB", { useGrouping: false, maximumFractionDigits: 0 });
}

function withUnit(figure: string, unit: string): string {
  if (unit === "" || unit === "pH") return figure;
  if (unit === "¤") return `¤${figure}`;
  if (unit.startsWith("¤/")) return `¤${figure}${unit.slice(1)}`;
  if (unit.startsWith("/") || unit === "°") return `${figure}${unit}`;
  return `${figure}${gap}${unit === "days" && figure === "1" ? "day" : unit}`;
}
