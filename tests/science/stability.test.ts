import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  overturningMoment,
  restoringMoment,
  type Stand,
  tippingGust,
  waterFor,
} from "../../generator/science/stability.ts";

/** A tower of forty plants, worked by hand. */
const stand: Stand = { water: 8, base: 6, column: 9, plants: 15.8, radius: 0.28, area: 0.75, height: 1.15, drag: 1 };

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const stands = fc.record({
  water: between(0, 500),
  base: between(0, 200),
  column: between(0, 200),
  plants: between(0.1, 200),
  radius: between(0.05, 2),
  area: between(0.01, 10),
  height: between(0.01, 5),
  drag: between(0.01, 3),
});

describe("overturningMoment", () => {
  it("is 103.5 N·m in a gust of 14 m/s, by hand: ½ × 1.225 × 1 × 0.75 × 14² × 1.15", () => {
    expect(Math.abs(overturningMoment(stand, 14) - 103.5)).toBeLessThanOrEqual(0.05);
  });

  it("grows with the square of the gust, and is nothing in still air", () => {
    expect(overturningMoment(stand, 0)).toBe(0);
    expect(overturningMoment(stand, 20)).toBeCloseTo(4 * overturningMoment(stand, 10), 9);
  });
});

describe("restoringMoment", () => {
  it("is 106.6 N·m with 8 L and 194.5 N·m with a full base of 40 L, by hand", () => {
    expect(Math.abs(restoringMoment(stand) - 106.6)).toBeLessThanOrEqual(0.05);
    expect(Math.abs(restoringMoment({ ...stand, water: 40 }) - 194.5)).toBeLessThanOrEqual(0.05);
  });
});

describe("waterFor", () => {
  it("asks for 25.7 L for a margin of 1.5, by hand", () => {
    expect(Math.abs(waterFor(stand, 14, 1.5) - 25.7)).toBeLessThanOrEqual(0.05);
  });

  it("gives that margin when that much is in the base, or 0 where less than none would do", () => {
    fc.assert(
      fc.property(stands, between(0.1, 60), (one, gust) => {
        const water = waterFor(one, gust, 1.5);
        const margin = restoringMoment({ ...one, water }) / overturningMoment(one, gust);
        if (water > 0) expect(margin / 1.5).toBeCloseTo(1, 9);
        else expect(margin).toBeGreaterThanOrEqual(1.5 - 1e-9);
      }),
    );
  });
});

describe("tippingGust", () => {
  it("is the gust in which both moments are equal", () => {
    fc.assert(
      fc.property(stands, (one) => {
        expect(overturningMoment(one, tippingGust(one)) / restoringMoment(one)).toBeCloseTo(1, 9);
      }),
    );
  });

  it("rises with water in the base", () => {
    fc.assert(
      fc.property(stands, between(0.1, 100), (one, more) => {
        expect(tippingGust({ ...one, water: one.water + more })).toBeGreaterThan(tippingGust(one));
      }),
    );
  });
});
