import fc from "fast-check";
import { jStat } from "jstat";
import { describe, expect, it } from "vitest";
import { normalCumulative, normalQuantile, tCumulative, tQuantile } from "../../generator/science/distributions.ts";
import { summaryOf } from "../../generator/science/evidence.ts";
import { agrees, agreesTo, published } from "./published.ts";

const values = published("trials");
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe("tCumulative and tQuantile", () => {
  type Raw = { x: number[]; y: number[] };
  type Welch = { t: number; df: number; p_greater: number; ci95_diff: [number, number]; means: [number, number] };

  it.each(values.titled<{ t: number; df: number }, { p_less: number }>("STAT-AUTO"))("%s, to 1 %", (_, row) =>
    agreesTo(0.01, tCumulative(row.inputs.t, row.inputs.df), row.expected.p_less),
  );

  it.each(values.titled<Raw, Welch>("STAT-WELCH-RAW"))("%s, to 1e-9", (_, { inputs, expected }) => {
    const [x, y] = [summaryOf(inputs.x), summaryOf(inputs.y)];
    const error = Math.hypot((x.sd ?? 0) / Math.sqrt(x.n), (y.sd ?? 0) / Math.sqrt(y.n));
    agreesTo(1e-12, x.mean, expected.means[0]);
    agreesTo(1e-12, y.mean, expected.means[1]);
    agreesTo(1e-9, (x.mean - y.mean) / error, expected.t);
    agreesTo(1e-9, tCumulative(-expected.t, expected.df), expected.p_greater);
    const half = tQuantile(0.975, expected.df) * error;
    agreesTo(1e-9, x.mean - y.mean - half, expected.ci95_diff[0]);
    agreesTo(1e-9, x.mean - y.mean + half, expected.ci95_diff[1]);
  });

  it("have the closed forms of 1, 2 and 3 degrees of freedom to 1e-13", () => {
    for (let t = -40; t <= 40; t += 0.37) {
      const third = t / Math.sqrt(3);
      const forms = [
        0.5 + Math.atan(t) / Math.PI,
        0.5 + t / (2 * Math.sqrt(2 + t * t)),
        0.5 + (third / (1 + third * third) + Math.atan(third)) / Math.PI,
      ];
      for (const [index, form] of forms.entries()) {
        expect(Math.abs(tCumulative(t, index + 1) - form)).toBeLessThan(1e-13);
      }
    }
  });

  it("agree with another library to 1e-7, which is what that one keeps", () => {
    fc.assert(
      fc.property(between(-20, 20), between(0.5, 400), (t, freedom) => {
        expect(Math.abs(tCumulative(t, freedom) - jStat.studentt.cdf(t, freedom))).toBeLessThan(1e-7);
      }),
    );
  });

  it("undo each other to 1e-10, and rise", () => {
    fc.assert(
      fc.property(between(0.001, 0.999), between(1, 5000), (p, freedom) => {
        expect(Math.abs(tCumulative(tQuantile(p, freedom), freedom) - p)).toBeLessThan(1e-10);
        expect(tQuantile(p + 0.0005, freedom)).toBeGreaterThan(tQuantile(p, freedom));
      }),
    );
  });

  it("join without a step where the series takes over, and end at the normal", () => {
    expect(tQuantile(0.975, 100_000)).toBeCloseTo(tQuantile(0.975, 100_001), 9);
    expect(tQuantile(0.975, 1e12)).toBeCloseTo(normalQuantile(0.975), 10);
  });

  it("refuse what has no answer", () => {
    expect(() => tQuantile(1, 3)).toThrow(RangeError);
    expect(() => tCumulative(1, 0)).toThrow(RangeError);
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });
});

describe("normalCumulative", () => {
  it("agrees with another library to 1e-10 and with itself at either side of its two series", () => {
    for (let z = -9; z <= 9; z += 0.13) {
      expect(Math.abs(normalCumulative(z) - jStat.normal.cdf(z, 0, 1))).toBeLessThan(1e-10);
    }
    agreesTo(1e-9, normalCumulative(-4 - 1e-12), normalCumulative(-4 + 1e-12));
    expect(normalCumulative(0)).toBe(0.5);
  });

  it("keeps its digits far out in the tail: 2.866516e-7 below −5, 9.865876e-10 below −6 (tables; from memory)", () => {
    agreesTo(1e-7, normalCumulative(-5), 2.866515719e-7);
    agreesTo(1e-7, normalCumulative(-6), 9.86587645e-10);
    expect(normalCumulative(5)).toBeCloseTo(1 - 2.866515719e-7, 14);
  });

  it("has the 1.96 and the 0.84 of trial planning, to the two places that are used", () => {
    agrees(normalQuantile(0.975), 1.96, 2);
    agrees(normalQuantile(0.8), 0.84, 2);
  });
});
