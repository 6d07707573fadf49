import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { date, fixed, list, number, quantity, span } from "../generator/format.ts";

const gap = "\u202f";

describe("number(value, digits)", () => {
  it.each([
    [0, 4, "0"],
    [-0, 4, "0"],
    [1.5126, 3, "1.51"],
    [0.1, 4, "0.1"],
    [668.42, 4, "668.4"],
    [1234567, 4, `1${gap}234${gap}567`],
    [2005.3, 5, "2005.3"],
    [12005.3, 6, `12${gap}005.3`],
    [-4.5, 4, "−4.5"],
    [0.00012, 4, "0.00012"],
  ])("%f to %i figures is %s", (value, digits, text) => expect(number(value, digits)).toBe(text));

  it("refuses what is no number", () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY]) expect(() => number(value)).toThrow(RangeError);
  });

  it("never writes an exponent, and stays within half of its last figure", () => {
    fc.assert(
      fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), (value) => {
        const text = number(value, 6);
        expect(text).not.toMatch(/e/i);
        const read = Number(text.replaceAll(gap, "").replace("−", "-"));
        expect(Math.abs(read - value)).toBeLessThanOrEqual(Math.max(Math.abs(value) * 5.1e-6, 5.1e-13));
      }),
    );
  });
});

describe("fixed(value, places)", () => {
  it.each([
    [1.005, 2, "1.01"],
    [2.675, 2, "2.68"],
    [-0.004, 2, "0.00"],
    [-2.5, 0, "−3"],
    [0.615, 2, "0.62"],
  ])("%f to %i places is %s, half away from zero as it is written", (value, places, text) =>
    expect(fixed(value, places)).toBe(text),
  );
});

describe("span and quantity", () => {
  it("give both ends as many decimals as the longer one", () =>
    expect(span({ low: 1, high: 1.6 }, "mS/cm")).toBe(`1.0–1.6${gap}mS/cm`));
  it("give one figure when the ends are equal", () => expect(span({ low: 14, high: 14 }, "days")).toBe(`14${gap}days`));
  it("say one day", () => expect(span({ low: 1, high: 1 }, "days")).toBe(`1${gap}day`));
  it("keep a range below nought from reading as a sum", () =>
    expect(span({ low: -4, high: 2 }, "°C")).toBe(`−4 to 2${gap}°C`));
  it("lead with the sign of money, follow with that of a rate", () => {
    expect(quantity(12.4, "¤/kg")).toBe("¤12.4/kg");
    expect(quantity(5, "/week")).toBe("5/week");
  });
  it("print the largest of numbers, a per cent or not, without running over", () => {
    for (const unit of ["%", "g"]) expect(quantity(1.7e308, unit)).toMatch(/^1[70\u202f]+.[%g]$/);
  });
  it("leave the dust of the computer's sums out of a per cent", () =>
    expect(quantity(-0.0000028, "%")).toBe(`0${gap}%`));
});

describe("date and list", () => {
  it("write a day as people say it", () => expect(date("2027-03-22")).toBe("Mon 22 Mar 2027"));
  it.each([
    [[], ""],
    [["a"], "a"],
    [["a", "b"], "a and b"],
    [["a", "b", "c"], "a, b and c"],
  ])("join %j", (items, text) => expect(list(items)).toBe(text));
});
