import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Rule } from "../../generator/records/messages.ts";
import {
  example,
  exampleIn,
  type FigureUnit,
  patternOf,
  readAmount,
  readSpan,
} from "../../generator/records/quantity.ts";
import { convert, type UnitSymbol, units, unitsLike } from "../../generator/science/units.ts";

const symbols = Object.keys(units) as UnitSymbol[];

function slip(text: string, unit: FigureUnit, read: typeof readSpan | typeof readAmount = readSpan) {
  const found = read(text, unit);
  if (!("slip" in found)) throw new Error(`${text} was read as ${JSON.stringify(found.value)}`);
  return found.slip;
}

describe("readSpan", () => {
  it.each([
    ["1.2–1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.2-1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.2 — 1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.2−1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.2‑1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.2 to 1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["1.4mS/cm", "mS/cm", 1.4, 1.4],
    ["1.2 mS cm-1", "mS/cm", 1.2, 1.2],
    ["14 CF", "mS/cm", 1.4, 1.4],
    ["1400 µS/cm", "mS/cm", 1.4, 1.4],
    ["1400uS/cm", "mS/cm", 1.4, 1.4],
    ["800 µS/cm – 1.2 mS/cm", "mS/cm", 0.8, 1.2],
    ["1.2 mS/cm to 1.8 mS/cm", "mS/cm", 1.2, 1.8],
    ["-4 °C", "°C", -4, -4],
    ["−4–2 °C", "°C", -4, 2],
    ["-4 to 2 °C", "°C", -4, 2],
    ["-4 – -2 °C", "°C", -4, -2],
    ["-4--2 °C", "°C", -4, -2],
    ["68 °F", "°C", 20, 20],
    ["2 weeks", "days", 14, 14],
    ["5.8–6.2", "pH", 5.8, 6.2],
    ["pH 5.8–6.2", "pH", 5.8, 6.2],
    ["6 pH", "pH", 6, 6],
    ["0 mg/L", "mg/L", 0, 0],
    [".5 kg", "kg", 0.5, 0.5],
    ["12 in", "cm", 30.48, 30.48],
    ["3–5", "", 3, 5],
  ] as const)("reads %s", (text, unit, low, high) => {
    expect(readSpan(text, unit)).toEqual({ value: { low, high } });
  });

  it("reads what is copied from a page: thin, unbreaking and ideographic spaces, and full-width signs", () => {
    for (const space of ["\u00a0", "\u2009", "\u202f", "\u3000", "\t", "  "])
      expect(readSpan(`1.4${space}mS/cm`, "mS/cm")).toEqual({ value: { low: 1.4, high: 1.4 } });
    expect(readSpan("１．４ mS/cm", "mS/cm")).toEqual({ value: { low: 1.4, high: 1.4 } });
    expect(readSpan("20℃", "°C")).toEqual({ value: { low: 20, high: 20 } });
    expect(readSpan("14\u200b days", "days")).toEqual({ value: { low: 14, high: 14 } });
  });

  const asked: readonly [text: string, unit: FigureUnit, rule: Rule, note?: string][] = [
    ["", "mS/cm", "number-unreadable"],
    ["mS/cm", "mS/cm", "number-unreadable"],
    ["n/a", "mS/cm", "number-unreadable"],
    ["two weeks", "days", "number-unreadable", "`2 weeks`"],
    ["½ L", "L", "number-unreadable", "`0.5`"],
    ["1/2 L", "L", "number-unreadable", "`0.5`"],
    ["5...8 days", "days", "number-unreadable", "`5–8 days`"],
    ["1.2.3 mS/cm", "mS/cm", "number-unreadable", "one point"],
    ["1. mS/cm", "mS/cm", "number-unreadable", "one point"],
    ["1e3 µS/cm", "mS/cm", "number-unreadable", "`1000 µS/cm`"],
    ["5…8 days", "days", "number-unreadable", "`5–8 days`"],
    ["1,6 mS/cm", "mS/cm", "decimal-comma", "`1.6 mS/cm`"],
    ["1,2–1.6 mS/cm", "mS/cm", "decimal-comma", "`1.2–1.6 mS/cm`"],
    ["1.2–1,6 mS/cm", "mS/cm", "decimal-comma", "`1.2–1.6 mS/cm`"],
    ["1,400 µS/cm", "mS/cm", "decimal-comma", "`1400 µS/cm`"],
    ["１，６ mS/cm", "mS/cm", "decimal-comma", "`1.6 mS/cm`"],
    ["5,8–6,2", "pH", "decimal-comma", "`5.8–6.2`"],
    ["1 400 µS/cm", "mS/cm", "number-spaced", "`1400 µS/cm`"],
    ["1\u202f400 µS/cm", "mS/cm", "number-spaced", "`1400 µS/cm`"],
    ["12 000", "", "number-spaced", "`12000`"],
    ["6.5–5.5", "pH", "range-backwards", "`5.5–6.5`"],
    ["1.2 mS/cm – 800 µS/cm", "mS/cm", "range-backwards", "`800 µS/cm – 1.2 mS/cm`"],
    ["2 to -4 °C", "°C", "range-backwards", "`-4–2 °C`"],
    ["10-12-14 days", "days", "range-three", "`10–14 days`"],
    ["2027-03-22", "days", "range-three"],
    ["–4 °C", "°C", "range-open", "`-4 °C`"],
    ["<5 days", "days", "range-open"],
    ["≥ 5 days", "days", "range-open"],
    ["up to 5 days", "days", "range-open"],
    ["12+ days", "days", "range-open"],
    ["12+", "", "range-open"],
    ["12– days", "days", "range-open"],
    ["≈12 days", "days", "figure-hedged"],
    ["~12 days", "days", "figure-hedged"],
    ["about 12 days", "days", "figure-hedged"],
    ["12 ± 2 days", "days", "figure-hedged", "`10–14 days`"],
    ["1.4", "mS/cm", "unit-missing", "`mS/cm`"],
    ["1.2–1.8", "mS/cm", "unit-missing"],
    ["1.4mS", "mS/cm", "unit-short", "`1.4 mS/cm`"],
    ["1400 µS", "mS/cm", "unit-short", "`1400 µS/cm`"],
    ["1400uS", "mS/cm", "unit-short", "`1400 µS/cm`"],
    ["1.4 MS/cm", "mS/cm", "unit-unknown", "`mS/cm`"],
    ["14 dayz", "days", "unit-unknown", "`days`"],
    ["20 °c", "°C", "unit-unknown", "`°C`"],
    ["150 ppm", "mg/L", "unit-unknown", "`150 mg/L`"],
    ["£12", "¤", "unit-unknown", "`¤`"],
    ["14 days", "°C", "unit-wrong", "`°C` or `°F`"],
    ["6 mS/cm", "pH", "unit-unexpected", "`6`"],
    ["12 plants", "", "unit-unexpected", "`12`"],
    ["1000 ppm", "mS/cm", "ppm-scale", "2 mS/cm, 1.563 mS/cm or 1.429 mS/cm"],
    ["1000 ppm500", "mS/cm", "ppm-scale", "`2 mS/cm`"],
    ["700 ppm (700 scale)", "mS/cm", "ppm-scale", "`1 mS/cm`"],
    ["500–1000 ppm500", "mS/cm", "ppm-scale", "`1–2 mS/cm`"],
    ["10 gal", "L", "gallon-unclear", "37.85 L"],
    ["10 US gallons", "L", "gallon-unclear", "`US gal`"],
    ["10 imperial gallons", "L", "gallon-unclear", "`UK gal`"],
    ["1:100", "%", "ratio-unclear", "`means: in`"],
    ["100:1", "%", "ratio-unclear", "`means: to`"],
    ["1 : 3", "mS/cm", "ratio-unclear"],
  ];
  it.each(asked)("asks about %s in [%s]: %s", (text, unit, rule, note) => {
    const found = slip(text, unit);
    expect(found.rule).toBe(rule);
    expect(found.expected).toBeTruthy();
    expect(found.note).toContain(note ?? "");
  });

  it("turns temperatures about their own nought", () => {
    expect(readSpan("32 °F", "°C")).toEqual({ value: { low: 0, high: 0 } });
    expect(readSpan("-40 °F", "°C")).toEqual({ value: { low: -40, high: -40 } });
  });

  it("gives back any figure that is written in any like unit", () => {
    const figure = fc.integer({ min: -1_000_000_000, max: 1_000_000_000 }).map((number) => number / 1000);
    const pair = fc
      .constantFrom(...symbols)
      .chain((unit) => fc.tuple(fc.constant(unit), fc.constantFrom(...unitsLike(unit))));
    fc.assert(
      fc.property(pair, figure, figure, ([unit, other], a, b) => {
        const [low, high] = a <= b ? [a, b] : [b, a];
        const written = [low, high].map((value) => plainly(convert(value, unit, other)));
        const read = readSpan(`${written[0]} to ${written[1]} ${other}`, unit);
        if (!("value" in read)) throw new Error(JSON.stringify(read));
        // 32 °F is 0 °C: what is near nought there is only as close as the 32 is.
        const near = (value: number) => 1e-12 * Math.max(1, Math.abs(value), unit === "°C" || unit === "°F" ? 40 : 0);
        expect(Math.abs(read.value.low - low)).toBeLessThanOrEqual(near(low));
        expect(Math.abs(read.value.high - high)).toBeLessThanOrEqual(near(high));
      }),
      { numRuns: 1000 },
    );
  });

  it("never throws, and gives a finite figure or a sentence", () => {
    const piece = fc.oneof(
      fc.string({ unit: "binary", maxLength: 12 }),
      fc.constantFrom(
        "1.2",
        "–",
        "-",
        "−",
        " to ",
        ",",
        ":",
        "%",
        " ",
        "\u202f",
        "≈",
        "<",
        "+",
        "mS/cm",
        "ppm",
        "gal",
        "e9",
        "½",
        "9".repeat(400),
      ),
    );
    const text = fc.array(piece, { maxLength: 8 }).map((pieces) => pieces.join(""));
    fc.assert(
      fc.property(text, fc.constantFrom<FigureUnit>("", "pH", ...symbols), (written, unit) => {
        const read = readSpan(written, unit);
        if ("slip" in read) expect(read.slip.expected).toMatch(/\S/);
        else {
          expect(Number.isFinite(read.value.low)).toBe(true);
          expect(read.value.high).toBeGreaterThanOrEqual(read.value.low);
        }
      }),
      { numRuns: 1500 },
    );
  });

  it("answers long nonsense at once", () => {
    const start = performance.now();
    readSpan("1".repeat(200_000), "mS/cm");
    readSpan("1 ".repeat(100_000), "mS/cm");
    readSpan(`1${"x-".repeat(100_000)}`, "mS/cm");
    expect(performance.now() - start).toBeLessThan(1000);
  });
});

describe("readAmount", () => {
  it("reads one figure", () => {
    expect(readAmount("14 days", "days")).toEqual({ value: 14 });
    expect(readAmount(14, "")).toEqual({ value: 14 });
  });

  it("asks for one figure where a range stands", () => {
    expect(slip("10–14 days", "days", readAmount)).toMatchObject({ rule: "single-expected", written: "10–14 days" });
  });
});

describe("example", () => {
  it.each([...symbols, "pH", ""] as const)("reads itself, in [%s]", (unit) => {
    expect(readSpan(example(unit), unit)).toHaveProperty("value");
    expect(exampleIn(unit)).toMatch(unit === "" ? /number/ : /such as/);
  });
});

describe("patternOf", () => {
  it.each([...symbols, "pH", ""] as const)("lets the plain ways of writing through, in [%s]", (unit) => {
    const pattern = new RegExp(patternOf(unit, 2), "u");
    const tail = unit === "pH" || unit === "" ? "" : ` ${unit}`;
    for (const text of [`1.5${tail}`, `1.2–1.8${tail}`, `-4 to 2${tail}`, example(unit)]) {
      expect(text).toMatch(pattern);
      expect(readSpan(text, unit)).toHaveProperty("value");
    }
    for (const text of ["", "a few", `1,5${tail}`, `1:100${tail}`, "14 furlongs"]) expect(text).not.toMatch(pattern);
    expect(`1.2–1.8${tail}`).not.toMatch(new RegExp(patternOf(unit, 1), "u"));
  });
});

/** A number in decimals, never with an exponent, to all of its digits. */
function plainly(value: number): string {
  const text = String(value);
  return text.includes("e") ? value.toFixed(20) : text;
}
