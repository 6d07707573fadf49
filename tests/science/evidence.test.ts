import fc from "fast-check";
import { jStat } from "jstat";
import { describe, expect, it } from "vitest";
import { tCumulative, tQuantile } from "../../generator/science/distributions.ts";
import {
  detectable,
  failuresUnseen,
  findingOf,
  fisherExact,
  meanInterval,
  medianOf,
  pooled,
  safeMean,
  signFlip,
  summaryOf,
  trialSize,
} from "../../generator/science/evidence.ts";
import { shareInterval } from "../../generator/science/seed.ts";
import { agrees, agreesTo, published } from "./published.ts";

const values = published("trials");
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const whole = (min: number, max: number) => fc.integer({ min, max });
const samples = fc.array(between(-1000, 1000), { minLength: 2, maxLength: 40 });

describe("summaryOf", () => {
  type Anova = { MS_between?: number; MS_within?: number; F: number; resid_sd: number };

  /** Of groups of one size: within them the mean variance, between them the variance of the means, times the size. */
  function variances(groups: readonly (readonly number[])[]) {
    const summaries = groups.map(summaryOf);
    const within = summaryOf(summaries.map(({ sd = Number.NaN }) => sd ** 2)).mean;
    const between = (summaryOf(summaries.map(({ mean }) => mean)).sd ?? Number.NaN) ** 2 * groups[0]!.length;
    return { within, between };
  }

  it.each(values.titled<{ groups: Record<string, number[]> }, Anova>("STAT-SIRSTV"))("%s, to 1e-8", (_, row) => {
    const { within, between: among } = variances(Object.values(row.inputs.groups));
    agreesTo(1e-8, among, row.expected.MS_between!);
    agreesTo(1e-8, within, row.expected.MS_within!);
    agreesTo(1e-8, among / within, row.expected.F);
    agreesTo(1e-8, Math.sqrt(within), row.expected.resid_sd);
  });

  it.each(values.titled<unknown, Anova>("STAT-SMLS01"))("%s, to 1e-10", (_, { expected }) => {
    const groups = [1.4, 1.3, 1.5, 1.3, 1.5, 1.3, 1.5, 1.3, 1.5].map((centre) => [
      centre,
      ...Array.from({ length: 10 }, () => [centre - 0.1, centre + 0.1]).flat(),
    ]);
    const { within, between: among } = variances(groups);
    agreesTo(1e-10, Math.sqrt(within), expected.resid_sd);
    agreesTo(1e-10, among / within, expected.F);
  });

  // Binary fractions hold 10 000 000.1 only to 2e-9, so no algorithm on them can do better than some 1e-8 of 0.1.
  it.each(values.titled<unknown, { mean: number; sd: number }>("STAT-NUM4"))(
    "%s, the deviation to 1e-7",
    (_, { expected }) => {
      const trap = [10000000.2, ...Array.from({ length: 500 }, () => [10000000.1, 10000000.3]).flat()];
      const { n, mean, sd } = summaryOf(trap);
      expect(n).toBe(1001);
      agreesTo(1e-15, mean, expected.mean);
      agreesTo(1e-7, sd ?? Number.NaN, expected.sd);
    },
  );

  // What a binary fraction cannot hold of 1 000 000.1 is 1e-10, a thousandth of a millionth of the deviation of 0.1.
  it.each(
    values.titled<{ values?: number[]; first: number; pairs: number[] }, { mean: number; sd: number }>("STAT-STRD"),
  )("%s, the deviation to 1e-9", (_, { inputs: { values, first, pairs }, expected }) => {
    const { mean, sd } = summaryOf(values ?? [first, ...Array.from({ length: 500 }, () => pairs).flat()]);
    agreesTo(1e-14, mean, expected.mean);
    agreesTo(1e-9, sd ?? Number.NaN, expected.sd);
  });

  it("agrees with another library", () => {
    fc.assert(
      fc.property(samples, (sample) => {
        const { mean, sd } = summaryOf(sample);
        expect(mean).toBeCloseTo(jStat.mean(sample), 9);
        expect(sd).toBeCloseTo(jStat.stdev(sample, true), 9);
        expect(medianOf(sample)).toBeCloseTo(jStat.median(sample), 9);
      }),
    );
  });

  it("moves with a shift and leaves the deviation alone; one value has none, equal ones have 0", () => {
    fc.assert(
      fc.property(samples, between(-1e6, 1e6), (sample, shift) => {
        const [still, moved] = [summaryOf(sample), summaryOf(sample.map((value) => value + shift))];
        expect(moved.mean).toBeCloseTo(still.mean + shift, 7);
        expect(moved.sd).toBeCloseTo(still.sd ?? Number.NaN, 7);
      }),
    );
    expect(summaryOf([7.3])).toEqual({ n: 1, mean: 7.3, sd: undefined });
    expect(summaryOf([0.1, 0.1, 0.1]).sd).toBe(0);
    expect(() => summaryOf([])).toThrow(RangeError);
    expect(() => medianOf([])).toThrow(RangeError);
  });
});

describe("meanInterval", () => {
  type Given = { n: number; mean: number; sd: number };
  it.each(values.titled<Given, { ci95: [number, number]; t_crit: number }>("STAT-CI").slice(0, 2))("%s", (_, row) => {
    const { inputs, expected, decimals } = row;
    const digits = decimals as Record<string, number>;
    const { low, high } = meanInterval(inputs);
    agrees(low, expected.ci95[0], digits.ci95);
    agrees(high, expected.ci95[1], digits.ci95);
    agrees(tQuantile(0.975, inputs.n - 1), expected.t_crit, digits.t_crit);
  });

  it("gives the printed t and p of a mean against 38.9 (Miller & Miller, as above)", () => {
    const { inputs, expected, decimals } = values.row<Given, { "t_vs_38.9": number; p_two_sided: number }>("STAT-CI3");
    const digits = decimals as Record<string, number>;
    const t = (inputs.mean - 38.9) / (inputs.sd / Math.sqrt(inputs.n));
    agrees(t, expected["t_vs_38.9"], digits["t_vs_38.9"]);
    agrees(2 * tCumulative(t, inputs.n - 1), expected.p_two_sided, digits.p_two_sided);
  });
});

describe("signFlip", () => {
  it("cannot go below 2 ÷ 2ⁿ, and is 1 for differences that cancel", () => {
    expect(signFlip([2.3, 2.7, 1.0, 2.7])).toBe(0.125);
    expect(signFlip([1, 1, 1, 1, 1])).toBe(0.0625);
    expect(signFlip([3, -3])).toBe(1);
    expect(signFlip([0, 0, 0])).toBe(1);
  });

  it("counts ties whatever the size of the numbers", () => {
    // The sum is 4; of the eight sums of ±1 ±2 ±3, four are as far from 0: ±6 and ±4.
    expect(signFlip([-1, 2, 3])).toBe(0.5);
    expect(signFlip([-0.1, 0.2, 0.3])).toBe(0.5);
    expect(signFlip([-1e8 / 3, 2e8 / 3, 3e8 / 3])).toBe(0.5);
  });

  it("is the share of all choices of sign, each tried", () => {
    fc.assert(
      fc.property(fc.array(whole(-30, 30), { minLength: 1, maxLength: 9 }), (differences) => {
        const sums = Array.from({ length: 2 ** differences.length }, (_, choice) =>
          differences.reduce((sum, difference, bit) => sum + ((choice >> bit) & 1 ? difference : -difference), 0),
        );
        const observed = Math.abs(differences.reduce((sum, difference) => sum + difference, 0));
        const asFar = sums.filter((sum) => Math.abs(sum) >= observed).length;
        expect(signFlip(differences)).toBe(asFar / sums.length);
      }),
    );
  });

  it("does not change with the order or with all signs turned", () => {
    fc.assert(
      fc.property(fc.array(whole(-50, 50), { minLength: 1, maxLength: 10 }), (differences) => {
        expect(signFlip(differences.toReversed())).toBe(signFlip(differences));
        expect(signFlip(differences.map((difference) => -difference))).toBe(signFlip(differences));
      }),
    );
  });

  it("does twenty in under a second, and no more than twenty", () => {
    const start = performance.now();
    signFlip(Array.from({ length: 20 }, (_, index) => index - 4));
    expect(performance.now() - start).toBeLessThan(1000);
    expect(() => signFlip(Array(21).fill(1))).toThrow(RangeError);
    expect(() => signFlip([])).toThrow(RangeError);
  });
});

describe("findingOf", () => {
  it.each([
    [1.6, 3, "better enough"],
    [1.5, 3, "better, size not settled"],
    [0.1, 3, "better, size not settled"],
    [-1, 1, "same"],
    [0.1, 1, "same"],
    [-1, -0.5, "same"],
    [-3, -0.5, "worse"],
    [-3, 1, "not better by enough"],
    [-3, 2, "cannot tell"],
    [-1.5, 1, "not better by enough"],
    [-1, 1.5, "cannot tell"],
    [0, 1.5, "cannot tell"],
  ] as const)("calls %d to %d, with 1.5 worthwhile, %s", (low, high, words) => {
    // Where 0.1 to 1 lies wholly inside ±1.5 it is the same, though it is above 0: too little to matter.
    expect(findingOf({ low, high }, 1.5)).toBe(words);
  });
});

describe("fisherExact", () => {
  it("is 34/70 for Fisher's tea-taster who named 3 of 4 (1935, The Design of Experiments, chapter 2; from memory)", () => {
    // One-sided (16 + 1)/70; two-sided it doubles, the table being symmetrical.
    expect(fisherExact({ good: 3, total: 4 }, { good: 1, total: 4 })).toBeCloseTo(34 / 70, 12);
    expect(fisherExact({ good: 4, total: 4 }, { good: 0, total: 4 })).toBeCloseTo(2 / 70, 12);
  });

  it("agrees with a sum over another library's hypergeometric distribution", () => {
    fc.assert(
      fc.property(whole(1, 40), whole(1, 40), whole(0, 40), whole(0, 40), (first, second, some, others) => {
        const [a, b] = [
          { good: Math.min(some, first), total: first },
          { good: Math.min(others, second), total: second },
        ];
        const good = a.good + b.good;
        const chance = (x: number) => jStat.hypgeom.pdf(x, first + second, good, first);
        const limit = chance(a.good) * (1 + 1e-7);
        let sum = 0;
        for (let x = Math.max(0, good - second); x <= Math.min(good, first); x++)
          if (chance(x) <= limit) sum += chance(x);
        expect(Math.abs(fisherExact(a, b) - Math.min(1, sum))).toBeLessThan(1e-8);
      }),
    );
  });

  it("does not mind which side is which, nor what is called good", () => {
    fc.assert(
      fc.property(whole(1, 200), whole(1, 200), whole(0, 200), whole(0, 200), (first, second, some, others) => {
        const a = { good: Math.min(some, first), total: first };
        const b = { good: Math.min(others, second), total: second };
        const bad = ({ good, total }: { good: number; total: number }) => ({ good: total - good, total });
        const p = fisherExact(a, b);
        expect(fisherExact(b, a)).toBeCloseTo(p, 10);
        expect(fisherExact(bad(a), bad(b))).toBeCloseTo(p, 10);
        expect(p).toBeGreaterThan(0);
        expect(p).toBeLessThanOrEqual(1);
      }),
    );
  });

  it("is 1 for alike shares", () => expect(fisherExact({ good: 9, total: 12 }, { good: 9, total: 12 })).toBe(1));
});

describe("shareInterval", () => {
  type Count = { good: number; total: number };
  it.each(values.titled<Count, { low: number; high: number }>("STAT-WILSON"))("%s", (_, row) => {
    const { low, high } = shareInterval(row.inputs);
    agrees(low, row.expected.low, row.decimals);
    agrees(high, row.expected.high, row.decimals);
  });
});

describe("failuresUnseen", () => {
  it("is 3 ÷ n by the rule and 1 − 0.05^(1/n) exactly, the rule being the wider", () => {
    const { rule, exact } = failuresUnseen(24);
    expect(rule).toBe(0.125);
    expect(exact).toBeCloseTo(0.117346, 6);
    for (let n = 1; n < 2000; n++) {
      const unseen = failuresUnseen(n);
      expect(unseen.rule).toBeGreaterThan(unseen.exact);
      expect((1 - unseen.exact) ** n).toBeCloseTo(0.05, 10);
    }
  });
});

describe("trialSize and detectable", () => {
  it("is 16, 7 and 36 to a group, and 4 pairs", () => {
    // 2 × (2.8 × 20 ÷ 20)² = 15.68; × 30: 6.97; 30 on 20: 35.28; pairs (2.8 × 10 ÷ 15)² = 3.48
    const groups = (spread: number, difference: number) => trialSize({ design: "groups", spread, difference });
    expect([groups(20, 20), groups(20, 30), groups(30, 20)]).toEqual([16, 7, 36]);
    expect(trialSize({ design: "pairs", spread: 10, difference: 15 })).toBe(4);
    expect(groups(1, 200)).toBe(2);
  });

  it("undo each other: so many show the difference, one fewer does not", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("groups", "pairs"),
        between(1, 200),
        between(1, 200),
        (design, spread, difference) => {
          const each = trialSize({ design, spread, difference });
          expect(detectable({ design, spread, each })).toBeLessThanOrEqual(difference * (1 + 1e-8));
          if (each > 2) expect(detectable({ design, spread, each: each - 1 })).toBeGreaterThan(difference);
        },
      ),
    );
  });
});

describe("pooled", () => {
  const records = fc
    .record({ mean: between(0.1, 100), n: whole(1, 50), below: between(0, 10), above: between(0, 10) })
    .map(({ mean, n, below, above }) => ({ mean, n, low: mean - below, high: mean + above }));

  it("weighs by n and keeps the widest range", () => {
    expect(pooled({ mean: 35, n: 2, low: 33, high: 37 }, { mean: 41, n: 1, low: 41, high: 41 })).toEqual({
      mean: 37,
      n: 3,
      low: 33,
      high: 41,
    });
  });

  it("does not mind the order, nor how batches are grouped, and keeps the sum", () => {
    fc.assert(
      fc.property(records, records, records, (a, b, c) => {
        expect(pooled(a, b).mean).toBeCloseTo(pooled(b, a).mean, 9);
        expect(pooled(pooled(a, b), c).mean).toBeCloseTo(pooled(a, pooled(b, c)).mean, 9);
        expect(pooled(a, b).mean * pooled(a, b).n).toBeCloseTo(a.mean * a.n + b.mean * b.n, 7);
      }),
    );
  });
});

describe("safeMean", () => {
  it("is the mean less t × SD ÷ √n: 3.1 − 1.7959 × 0.6 ÷ √12", () => {
    const { safe, t } = safeMean({ mean: 3.1, sd: 0.6, n: 12 });
    expect(t).toBeCloseTo(1.795885, 6);
    expect(safe).toBeCloseTo(2.788944, 6);
  });

  it("is the mean without spread, and falls as spread grows", () => {
    expect(safeMean({ mean: 3.1, sd: 0, n: 3 }).safe).toBe(3.1);
    fc.assert(
      fc.property(between(0, 5), between(0.01, 1), whole(2, 100), (sd, more, n) => {
        expect(safeMean({ mean: 10, sd: sd + more, n }).safe).toBeLessThan(safeMean({ mean: 10, sd, n }).safe);
      }),
    );
  });
});

it("leaves no published value unasked", () => {
  // Those of the t distribution itself are in distributions.test.ts.
  expect([...values.left]).toEqual(["STAT-AUTO", "STAT-WELCH-RAW"]);
});
