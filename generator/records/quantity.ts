import { convert, type Span, type UnitSymbol, unitNamed, units, unitsLike } from "../science/units.ts";
import type { Slip } from "./messages.ts";
import { nearest } from "./nearest.ts";

/** A figure read from text, or what is amiss with it. */
export type Read<Value> = { readonly value: Value } | { readonly slip: Slip };

/** A unit of the table, or one of the two quantities that are written without one. */
export type FigureUnit = UnitSymbol | "pH" | "";

/**
 * Reads `1.2–1.8 mS/cm` or `1400 µS/cm` into `unit`. Any dash will do, and so will any unit that measures the same.
 * It asks and never guesses: a decimal comma, a backwards range, a bare number or `ppm` is a slip, not a value.
 */
export function readSpan(written: string | number, unit: FigureUnit): Read<Span> {
  const text = String(written).normalize("NFC").trim().replace(/\s+/g, " ");
  const slip = trap(text, unit);
  if (slip) return { slip };
  const match = /^([+−-]?[\d.]+)(?: ?(?:–|—|-|−|‐|‑|to) ?([+−-]?[\d.]+))? ?(.*)$/u.exec(text);
  if (!match) return { slip: { rule: "number-unreadable", written: text, expected: exampleIn(unit) } };
  const [, first = "", second, tail = ""] = match;
  const low = plainNumber(first);
  const high = second === undefined ? low : plainNumber(second);
  if (low === undefined || high === undefined) {
    return { slip: { rule: "number-unreadable", written: text, expected: exampleIn(unit) } };
  }
  const found = unitOf(tail, unit, text);
  if ("slip" in found) return found;
  if (low > high) {
    return {
      slip: {
        rule: "range-backwards",
        written: text,
        expected: "the smaller figure first",
        note: `Low end ${low} above high end ${high}: which is right?`,
      },
    };
  }
  const inner = (value: number) =>
    found.value === unit || unit === "pH" || unit === ""
      ? value
      : tidy(convert(value, found.value as UnitSymbol, unit as UnitSymbol));
  return { value: { low: inner(low), high: inner(high) } };
}

/** Reads one figure, such as `14 days`, into `unit`. */
export function readAmount(written: string | number, unit: FigureUnit): Read<number> {
  const read = readSpan(written, unit);
  if ("slip" in read) return read;
  const { low, high } = read.value;
  if (low !== high) {
    return {
      slip: {
        rule: "single-expected",
        written: String(written),
        expected: `one figure, such as \`${example(unit as UnitSymbol)}\``,
      },
    };
  }
  return { value: low };
}

/** What a figure in `unit` looks like, for a sentence. */
export function exampleIn(unit: FigureUnit): string {
  if (unit === "pH") return "a pH, such as `5.8–6.2`";
  if (unit === "") return "a number";
  return `a figure in ${unit}, such as \`${example(unit)}\``;
}

/** The ways of writing that mean two things, or that people slip into: each is asked about. */
function trap(text: string, unit: FigureUnit): Slip | undefined {
  if (/^\d+,\d+/.test(text) || /[–-] ?\d+,\d+/.test(text)) {
    const point = text.replace(/(\d),(\d)/g, "$1.$2");
    return {
      rule: "decimal-comma",
      written: text,
      expected: "a decimal point",
      note: `Did you mean \`${point}\`? A comma may be a decimal or a thousand, so it is not guessed.`,
    };
  }
  if (/^\d+ ?: ?\d+/.test(text)) {
    return {
      rule: "ratio-unclear",
      written: text,
      expected: exampleIn(unit),
      note: "`1:100` is 1 part in 100 on some machines and 1 part to 100 on others. Write a per cent, and say `means: in` or `means: to`.",
    };
  }
  if (/\bppm\b/i.test(text) && unit !== "" && unit !== "pH" && units[unit].quantity === "conductivity") {
    return {
      rule: "ppm-scale",
      written: text,
      expected: exampleIn(unit),
      note: "`ppm` of EC is three different scales. Look for 500, 640 or 700 on the meter, divide by it, and write mS/cm.",
    };
  }
  if (/\bgal(lons?)?\b/i.test(text) && !/\b(US|UK|imperial)\b/i.test(text)) {
    return {
      rule: "gallon-unclear",
      written: text,
      expected: "`US gal` or `UK gal`",
      note: "A US gallon is 3.785 L and a UK gallon 4.546 L.",
    };
  }
  if (
    /[–—-] ?$/u.test(text.replace(/[^\d.–—-]+$/u, "").trim()) ||
    (/^[–—-] ?\d+.*\d *$/u.test(text) === true && /^[–—]/u.test(text))
  ) {
    return { rule: "range-open", written: text, expected: "both ends of the range" };
  }
  return undefined;
}

function unitOf(tail: string, unit: FigureUnit, text: string): Read<UnitSymbol | ""> {
  const written = tail.trim();
  if (unit === "pH" || unit === "") {
    if (written === "" || (unit === "pH" && /^pH$/i.test(written))) return { value: "" };
    return {
      slip: {
        rule: "unit-unexpected",
        written: text,
        expected: unit === "pH" ? "a pH without a unit" : "a number without a unit",
      },
    };
  }
  if (written === "") return { slip: { rule: "unit-missing", written: text, expected: exampleIn(unit) } };
  const found = unitNamed(written);
  if (found === undefined) {
    const short = shortened[written.replace("u", "µ").replace("μ", "µ")];
    if (short && units[unit].quantity === units[short].quantity) {
      return {
        slip: {
          rule: "unit-short",
          written: text,
          expected: exampleIn(unit),
          note: `Did you mean \`${short}\`? The length belongs to the unit.`,
        },
      };
    }
    const near = nearest(written, unitsLike(unit));
    return {
      slip: {
        rule: "unit-unknown",
        written: text,
        expected: exampleIn(unit),
        ...(near ? { note: `Did you mean \`${near}\`?` } : {}),
      },
    };
  }
  if (units[found].quantity !== units[unit].quantity) {
    return {
      slip: {
        rule: "unit-wrong",
        written: text,
        expected: exampleIn(unit),
        note: `${found} measures ${units[found].quantity}; this is ${units[unit].quantity}.`,
      },
    };
  }
  return { value: found };
}

const shortened: Readonly<Record<string, UnitSymbol>> = { mS: "mS/cm", µS: "µS/cm", dS: "dS/m", EC: "mS/cm" };

/** A number written plainly: digits, one point, a leading minus. */
function plainNumber(text: string): number | undefined {
  const plain = text.replace("−", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}

/** Takes away the dust that converting leaves in the last binary digits: 1400 µS/cm is 1.4, not 1.4000000000000001. */
function tidy(value: number): number {
  return Number(value.toPrecision(14));
}

function example(unit: UnitSymbol | ""): string {
  return unit === "" ? "12" : `${examples[units[unit].quantity] ?? "1.5"} ${unit}`;
}

const examples: Readonly<Record<string, string>> = {
  conductivity: "1.8",
  temperature: "20",
  days: "14",
  concentration: "150",
  share: "85",
  mass: "30",
  length: "25",
  volume: "100",
};
