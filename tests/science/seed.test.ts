import fc from "fast-check";
import { jStat } from "jstat";
import { describe, expect, it } from "vitest";
import { wholeUp } from "../../generator/science/counting.ts";
import { binomialAtLeast } from "../../generator/science/distributions.ts";
import {
  averageCells,
  cellChance,
  potSeed,
  safeCells,
  shareInterval,
  standingOf,
  thousandSeedMass,
} from "../../generator/science/seed.ts";
import { agrees, published } from "./published.ts";

const values = published("seed");
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const whole = (min: number, max: number) => fc.integer({ min, max });

/** At least `wanted` of `tries` by adding up every chance, each as a sum of logarithms. */
function summed(wanted: number, tries: number, p: number): number {
  const logs = [0];
  for (let n = 1; n <= tries; n++) logs.push(logs[n - 1]! + Math.log(n));
  let sum = 0;
  for (let k = tries; k >= wanted; k--) {
    sum += Math.exp(logs[tries]! - logs[k]! - logs[tries - k]! + k * Math.log(p) + (tries - k) * Math.log1p(-p));
  }
  return sum;
}

/** At least `wanted` of `tries` where p is `part` of `of`, exact in whole numbers to the last step. */
function exactly(wanted: number, tries: number, part: bigint, of: bigint): number {
  let ways = 1n;
  let sum = 0n;
  for (let k = 0; k <= tries; k++) {
    if (k >= wanted) sum += ways * part ** BigInt(k) * (of - part) ** BigInt(tries - k);
    ways = (ways * BigInt(tries - k)) / BigInt(k + 1);
  }
  const scale = 10n ** 18n;
  return Number((sum * scale) / of ** BigInt(tries)) / 1e18;
}

describe("safeCells", () => {
  type Inputs = { seedlings: number; p: number; confidence: number };
  it.each(values.titled<Inputs, { seeds_binomial: number; seeds_simple_division: number }>("BINOM"))(
    "%s",
    (_, { inputs, expected }) => {
      const { seedlings: need, p: chance, confidence } = inputs;
      expect(safeCells({ need, chance, confidence })).toBe(expected.seeds_binomial);
      expect(averageCells(need, chance)).toBe(expected.seeds_simple_division);
    },
  );

  it("is the fewest, by exact whole numbers", () => {
    fc.assert(
      fc.property(whole(1, 120), whole(41, 99), fc.constantFrom(0.5, 0.9, 0.95, 0.99, 0.999), (need, percent, sure) => {
        const cells = safeCells({ need, chance: percent / 100, confidence: sure });
        expect(exactly(need, cells, BigInt(percent), 100n)).toBeGreaterThanOrEqual(sure - 1e-12);
        if (cells > need) expect(exactly(need, cells - 1, BigInt(percent), 100n)).toBeLessThan(sure);
      }),
      { numRuns: 60 },
    );
  });

  it.each([
    [1000, 0.684, 0.95],
    [25_000, 0.55, 0.999],
    [100_000, 0.41, 0.95],
    [100_000, 0.93, 0.5],
  ])("is the fewest for %d of chance %d at %d, by adding up every chance", (need, chance, confidence) => {
    const cells = safeCells({ need, chance, confidence });
    expect(summed(need, cells, chance)).toBeGreaterThanOrEqual(confidence);
    expect(summed(need, cells - 1, chance)).toBeLessThan(confidence);
  });

  it("takes under 50 ms for a hundred thousand", () => {
    safeCells({ need: 100, chance: 0.5, confidence: 0.95 });
    const start = performance.now();
    safeCells({ need: 100_000, chance: 0.41, confidence: 0.999 });
    expect(performance.now() - start).toBeLessThan(50);
  });

  it("needs nothing for nothing, a cell for a cell that cannot fail, and counts an exact tie as enough", () => {
    expect(safeCells({ need: 0, chance: 0.5, confidence: 0.95 })).toBe(0);
    expect(safeCells({ need: 100_000, chance: 1, confidence: 0.999 })).toBe(100_000);
    expect(safeCells({ need: 1, chance: 0.95, confidence: 0.95 })).toBe(1);
    expect(safeCells({ need: 2, chance: 0.95, confidence: 0.95 * 0.95 })).toBe(2);
    expect(safeCells({ need: 120, chance: 0.684, confidence: 0.95 })).toBe(191);
  });

  it("never falls when more is needed, when one wants to be surer, or when the lot is worse", () => {
    fc.assert(
      fc.property(whole(1, 3000), between(0.41, 0.98), between(0.5, 0.99), (need, chance, confidence) => {
        const cells = safeCells({ need, chance, confidence });
        expect(cells).toBeGreaterThanOrEqual(need);
        expect(safeCells({ need: need + 1, chance, confidence })).toBeGreaterThan(cells - 1);
        expect(safeCells({ need, chance, confidence: confidence + 0.009 })).toBeGreaterThanOrEqual(cells);
        expect(safeCells({ need, chance: chance - 0.01, confidence })).toBeGreaterThanOrEqual(cells);
      }),
      { numRuns: 50 },
    );
  });
});

describe("binomialAtLeast", () => {
  it("agrees with exact whole numbers to 1e-12", () => {
    fc.assert(
      fc.property(whole(1, 150), whole(0, 150), whole(1, 99), (tries, wanted, percent) => {
        const exact = exactly(wanted, tries, BigInt(percent), 100n);
        expect(Math.abs(binomialAtLeast(wanted, tries, percent / 100) - exact)).toBeLessThan(1e-12);
      }),
      { numRuns: 60 },
    );
  });

  it("agrees with another library to 1e-8, which is what that one keeps", () => {
    fc.assert(
      fc.property(whole(1, 80), whole(0, 80), between(0.05, 0.95), (tries, wanted, p) => {
        fc.pre(wanted <= tries);
        const theirs = wanted === 0 ? 1 : 1 - jStat.binomial.cdf(wanted - 1, tries, p);
        expect(Math.abs(binomialAtLeast(wanted, tries, p) - theirs)).toBeLessThan(1e-8);
      }),
    );
  });
});

describe("cellChance", () => {
  it.each(values.titled<{ p: number; seeds_per_cell: number }, { p_at_least_one: number }>("CELL"))(
    "%s",
    (_, { inputs, expected, decimals }) =>
      agrees(
        cellChance({ germination: inputs.p, usable: 1, seeds: inputs.seeds_per_cell }),
        expected.p_at_least_one,
        decimals,
      ),
  );

  it("is germination times usable for one seed, and rises with seeds up to usable", () => {
    expect(cellChance({ germination: 0.72, usable: 0.95, seeds: 1 })).toBeCloseTo(0.684, 12);
    fc.assert(
      fc.property(between(0, 1), between(0, 1), whole(1, 9), (germination, usable, seeds) => {
        const chance = cellChance({ germination, usable, seeds });
        expect(cellChance({ germination, usable, seeds: seeds + 1 })).toBeGreaterThanOrEqual(chance - 1e-15);
        expect(chance).toBeLessThanOrEqual(usable);
      }),
    );
  });
});

describe("shareInterval", () => {
  it("is 58.3 to 82.5 % for 36 of 50, worked by hand from Wilson 1927", () => {
    // z²/n = 0.076832; centre (0.72 + 0.038416) ÷ 1.076832 = 0.7043031; half 1.96 ÷ 1.076832 × √(0.004032 + 0.00038416)
    const { share, low, high } = shareInterval({ good: 36, total: 50 });
    expect(share).toBe(0.72);
    expect(low).toBeCloseTo(0.583346, 6);
    expect(high).toBeCloseTo(0.82526, 6);
  });

  it("solves (share − limit)² = z²·limit·(1 − limit)/n, which is how Wilson defined it", () => {
    fc.assert(
      fc.property(whole(1, 2000), whole(0, 2000), (total, some) => {
        const good = Math.min(some, total);
        const { share, low, high } = shareInterval({ good, total });
        for (const limit of [low, high]) {
          expect((share - limit) ** 2).toBeCloseTo((1.96 ** 2 * limit * (1 - limit)) / total, 10);
        }
        expect(low).toBeGreaterThanOrEqual(0);
        expect(high).toBeLessThanOrEqual(1);
        expect(low <= share && share <= high).toBe(true);
      }),
    );
  });

  it("mirrors when good and bad change places", () => {
    fc.assert(
      fc.property(whole(1, 500), whole(0, 500), (total, some) => {
        const good = Math.min(some, total);
        const [one, other] = [shareInterval({ good, total }), shareInterval({ good: total - good, total })];
        expect(one.low).toBeCloseTo(1 - other.high, 12);
      }),
    );
  });
});

describe("standingOf", () => {
  it("judges by the whole interval, and not at all under 20 cells", () => {
    expect(standingOf({ good: 36, total: 50 }, 0.8)).toBe("not proven");
    expect(standingOf({ good: 107, total: 150 }, 0.8)).toBe("below");
    expect(standingOf({ good: 390, total: 400 }, 0.8)).toBe("above");
    expect(standingOf({ good: 19, total: 19 }, 0.1)).toBe("no verdict");
    expect(standingOf({ good: 20, total: 20 }, 0.1)).toBe("above");
  });
});

describe("potSeed and thousandSeedMass", () => {
  it.each(values.titled<{ seeds_per_gram: number }, { thousand_seed_weight_g: number }>("SEED"))(
    "%s",
    (_, { inputs, expected, decimals }) =>
      agrees(thousandSeedMass(inputs.seeds_per_gram), expected.thousand_seed_weight_g, decimals),
  );

  type Tray = { area_in2: number; density: number; seeds_per_gram: number };
  it.each(values.titled<Tray, { grams: number }>("MICRO"))("%s", (_, { inputs, expected, decimals }) => {
    const squareInch = 2.54 ** 2;
    const grams = potSeed({
      area: inputs.area_in2 * squareInch,
      density: inputs.density / squareInch,
      thousandSeeds: thousandSeedMass(inputs.seeds_per_gram),
    });
    agrees(grams, expected.grams, decimals);
  });

  it("is 36 cm² × 3 × 2.3 g ÷ 1000", () => {
    expect(potSeed({ area: 36, density: 3, thousandSeeds: 2.3 })).toBeCloseTo(0.2484, 12);
  });
});

describe("wholeUp", () => {
  it("rounds up, but not for the dust of a division", () => {
    expect(wholeUp((0.1 + 0.2) / 0.1)).toBe(3);
    expect(wholeUp(3.001)).toBe(4);
    expect(Object.is(wholeUp(0), 0)).toBe(true);
  });
});

it("leaves no published value unasked", () => expect([...values.left]).toEqual([]));
