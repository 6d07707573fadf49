import { convert, type Span, type UnitSymbol, unitNamed, units, unitsLike } from "../science/units.ts";
import type { Slip } from "./messages.ts";
import { nearest } from "./nearest.ts";
import { trapIn } from "./traps.ts";

/** A figure read from text, or what is amiss with it. */
export type Read<Value> = { readonly value: Value } | { readonly slip: Slip };

/** A unit of the table, or one of the two quantities that are written without one. */
export type FigureUnit = UnitSymbol | "pH" | "";

/**
 * Reads `1.2–1.8 mS/cm` or `1400 µS/cm` into `unit`. Any dash will do, `to` as well, and any unit that measures the same.
 * It asks and never guesses: a decimal comma, a backwards range, a bare number or `ppm` is a slip, not a value.
 * A slip shows `like`, which should be a likely figure.
 */
export function readSpan(written: string | number, unit: FigureUnit, like = example(unit)): Read<Span> {
  const text = plain(String(written));
  const asked: Asked = { text, unit, expected: exampleIn(unit, like) };
  const ends = endsOf(unit === "pH" ? text.replace(/^pH:? ?/i, "") : text);
  if (!ends) return { slip: trapIn(text, unit, asked.expected) ?? unreadable(asked) };
  const [first, second] = ends;
  const low = inUnit(first, asked);
  const high = inUnit(second, asked);
  if ("slip" in low) return { slip: trapIn(text, unit, asked.expected) ?? low.slip };
  if ("slip" in high) return { slip: trapIn(text, unit, asked.expected) ?? high.slip };
  if (low.value > high.value) return { slip: backwards(text, first, second) };
  return { value: { low: low.value, high: high.value } };
}

/** Reads one figure, such as `14 days`, into `unit`. */
export function readAmount(written: string | number, unit: FigureUnit, like = example(unit)): Read<number> {
  const read = readSpan(written, unit, like);
  if ("slip" in read) return read;
  const { low, high } = read.value;
  if (low === high) return { value: low };
  return {
    slip: {
      rule: "single-expected",
      written: plain(String(written)),
      expected: `one figure, such as \`${like}\``,
      note: "This field holds one figure, not a range.",
    },
  };
}

/** What a figure in `unit` looks like, for a sentence. */
export function exampleIn(unit: FigureUnit, like = example(unit)): string {
  if (unit === "pH") return `a pH, such as \`${like}\``;
  if (unit === "") return "a number";
  return `a figure in ${unit}, such as \`${like}\``;
}

/** A likely figure in `unit`, as one would write it. */
export function example(unit: FigureUnit): string {
  if (unit === "pH") return "5.8–6.2";
  if (unit === "") return "12";
  return `${likely[unit] ?? "1.5"} ${unit}`;
}

/** How a figure in `unit` is plainly written, as a regular expression for editors; {@link readSpan} reads more ways. */
export function patternOf(unit: FigureUnit, ends: 1 | 2): string {
  const name =
    unit === "pH" ? "(?:pH)?" : unit === "" ? "" : `(?:${unitsLike(unit).flatMap(spellings).map(literal).join("|")})`;
  return ends === 1
    ? `^${number} ?${name}$`
    : `^${number}(?: ?${name ? `${name}?` : ""} ?${dash} ?${number})? ?${name}$`;
}

/** A symbol and the other ways in which people write it. */
function spellings(symbol: UnitSymbol): readonly string[] {
  const unit = units[symbol];
  return [symbol, ...("also" in unit ? unit.also : [])];
}

function literal(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
}

// figure = end [ dash end ]
// end    = number [ unit ]
// number = [ sign ] digits [ "." digits ]
const number = String.raw`[+−-]?(?:\d+(?:\.\d+)?|\.\d+)`;
const dash = "(?:[–—‒―‐‑−-]|to)";
const oneEnd = new RegExp(`^(${number}) ?(.*)$`, "u");
const twoEnds = new RegExp(`^(${number}) ?(\\D*?) ?${dash} ?(${number}) ?(.*)$`, "u");

/** One end of a figure as it is written; `unit` is empty where none stands. */
interface End {
  readonly number: string;
  readonly unit: string;
}

/** The two ends of a figure; one figure is both. A unit beside one end counts for both. */
function endsOf(text: string): readonly [End, End] | undefined {
  if (text.length > 120) return undefined;
  const one = oneEnd.exec(text);
  const single: End = { number: one?.[1] ?? "", unit: one?.[2] ?? "" };
  if (one && (single.unit === "" || unitNamed(single.unit))) return [single, single];
  const [, first = "", firstUnit = "", second = "", secondUnit = ""] = twoEnds.exec(text) ?? [];
  if (second === "") return one ? [single, single] : undefined;
  return [
    { number: first, unit: firstUnit || secondUnit },
    { number: second, unit: secondUnit || firstUnit },
  ];
}

/** What is asked for, beside what stands there. */
interface Asked {
  readonly text: string;
  readonly unit: FigureUnit;
  readonly expected: string;
}

function inUnit(end: End, asked: Asked): Read<number> {
  const { unit } = asked;
  const value = Number(end.number.replace("−", "-"));
  if (!Number.isFinite(value)) return { slip: unreadable(asked) };
  if (unit === "pH" || unit === "") {
    const bare = end.unit === "" || (unit === "pH" && /^pH$/i.test(end.unit));
    return bare ? { value } : { slip: unitless(end, asked) };
  }
  if (end.unit === "") return { slip: unitMissing(asked, unit) };
  const symbol = unitNamed(end.unit);
  if (!symbol) return { slip: unknownUnit(end, asked, unit) };
  if (units[symbol].quantity !== units[unit].quantity) return { slip: otherQuantity(symbol, asked, unit) };
  return { value: symbol === unit ? value : tidy(convert(value, symbol, unit)) };
}

/** Takes away the dust that converting leaves in the last binary digits: 1400 µS/cm is 1.4, not 1.4000000000000001. */
function tidy(value: number): number {
  return Number(value.toPrecision(14));
}

/**
 * Text as it is read: one kind of space, ASCII for full-width signs, nothing that cannot be seen. Pages print narrow
 * spaces that do not break, and people copy from pages.
 */
function plain(text: string): string {
  return text
    .normalize("NFC")
    .replace(/[\u00AD\u200B-\u200D\u2060\uFEFF]/g, "")
    .replace(/[\uFF01-\uFF5E]/g, (wide) => String.fromCharCode(wide.charCodeAt(0) - 0xfee0))
    .replace("℃", "°C")
    .replace("℉", "°F")
    .replace(/\s+/g, " ")
    .trim();
}

function unreadable({ text, expected }: Asked): Slip {
  return {
    rule: "number-unreadable",
    written: text,
    expected,
    note: "If it is not known, leave the line out: not recorded is not nought.",
  };
}

function backwards(text: string, low: End, high: End): Slip {
  const unit = high.unit === "" ? "" : ` ${high.unit}`;
  const turned =
    low.unit === high.unit
      ? `${high.number}–${low.number}${unit}`
      : `${high.number} ${high.unit} – ${low.number} ${low.unit}`;
  return {
    rule: "range-backwards",
    written: text,
    expected: "the smaller figure first",
    note: `Write \`${turned}\` if the ends are swapped. If one of them is mistyped, correct it.`,
  };
}

function unitMissing({ text, expected }: Asked, unit: UnitSymbol): Slip {
  return {
    rule: "unit-missing",
    written: text,
    expected,
    note: `Write the unit beside the figure: ${ticked(unitsLike(unit))}.`,
  };
}

function unitless({ number }: End, { text, unit }: Asked): Slip {
  return {
    rule: "unit-unexpected",
    written: text,
    expected: unit === "pH" ? "a pH without a unit" : "a number without a unit",
    note: `Write \`${number}\` alone, if that is the number: the name of the field says what it counts.`,
  };
}

function unknownUnit(end: End, { text, expected }: Asked, unit: UnitSymbol): Slip {
  const slip = { written: text, expected };
  const alike = unitsLike(unit);
  const short = shortened[end.unit.replace(/^[uμ]/, "µ")];
  if (short && alike.includes(short))
    return {
      rule: "unit-short",
      ...slip,
      note: `Write \`${text.slice(0, text.length - end.unit.length).trim()} ${short}\`, if that is meant: the length belongs to the unit.`,
    };
  const names = new Map(alike.flatMap((symbol) => spellings(symbol).map((name) => [name, symbol] as const)));
  const near = names.get(nearest(end.unit, names.keys()) ?? "");
  return {
    rule: "unit-unknown",
    ...slip,
    note: near ? `Did you mean \`${near}\`?` : `The units known here are ${ticked(alike)}.`,
  };
}

function otherQuantity(symbol: UnitSymbol, { text, expected }: Asked, unit: UnitSymbol): Slip {
  return {
    rule: "unit-wrong",
    written: text,
    expected,
    note: `\`${symbol}\` measures ${units[symbol].quantity}. The units that fit here are ${ticked(unitsLike(unit))}.`,
  };
}

function ticked(symbols: readonly string[]): string {
  const all = symbols.map((symbol) => `\`${symbol}\``);
  return all.length < 2 ? all.join("") : `${all.slice(0, -1).join(", ")} or ${all.at(-1)}`;
}

const shortened: Readonly<Record<string, UnitSymbol>> = { mS: "mS/cm", µS: "µS/cm", dS: "dS/m" };

const likely: Readonly<Partial<Record<UnitSymbol, string>>> = {
  "mS/cm": "1.8",
  "mg/L": "150",
  "g/L": "120",
  "°C": "20",
  days: "14",
  h: "16",
  "%": "85",
  g: "30",
  kg: "0.4",
  L: "100",
  m: "0.4",
  cm: "25",
  mm: "5",
  "L/h": "20",
  "L/day": "180",
  "mol/m²/day": "14",
  "µmol/m²/s": "200",
  "µmol/J": "2.5",
  "/week": "2",
  "/cm²": "2",
  "°": "52",
  "¤": "12",
  "¤/kg": "3",
};
