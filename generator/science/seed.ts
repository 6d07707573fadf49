import { wholeUp } from "./counting.ts";
import { binomialAtLeast } from "./distributions.ts";
import type { In } from "./units.ts";

/**
 * Wilson's score interval of a share: `good` of `total`, z = 1.96, so 95 %. Shares 0 to 1; never beyond either end.
 * @see Wilson 1927, Journal of the American Statistical Association 22:209–212
 */
export function shareInterval({ good, total }: Count): { share: number; low: number; high: number } {
  const z = 1.96;
  const share = good / total;
  const scale = 1 + z ** 2 / total;
  const centre = (share + z ** 2 / (2 * total)) / scale;
  const half = (z / scale) * Math.sqrt((share * (1 - share)) / total + z ** 2 / (4 * total ** 2));
  // With none or all good, one end is exactly 0 or 1; the subtraction would leave a crumb.
  return { share, low: good === 0 ? 0 : centre - half, high: good === total ? 1 : centre + half };
}

export type Standing = "above" | "below" | "not proven" | "no verdict";

/** Where a germination test stands against a standard share: by its whole interval, and not at all under 20 cells. */
export function standingOf(test: Count, standard: number): Standing {
  if (test.total < 20) return "no verdict";
  const { low, high } = shareInterval(test);
  if (low >= standard - 1e-12) return "above";
  return high < standard ? "below" : "not proven";
}

/** Chance that a cell gives a usable plug: at least one of its seeds comes up, and the plug is fit to use. Shares 0 to 1. */
export function cellChance({
  germination,
  usable,
  seeds,
}: {
  germination: number;
  usable: number;
  seeds: number;
}): number {
  return (1 - (1 - germination) ** seeds) * usable;
}

/** Cells that give `need` plugs on the average. Half of such sowings fall short. `chance` of a cell above 0. */
export function averageCells(need: number, chance: number): number {
  return wholeUp(need / chance);
}

/**
 * The fewest cells that give at least `need` plugs with at least `confidence`, 0 to below 1, each cell of `chance` above 0.
 * Exact binomial, not the normal approximation; a tie to within 1e-12 counts as enough.
 */
export function safeCells({ need, chance, confidence }: { need: number; chance: number; confidence: number }): number {
  if (need === 0) return 0;
  const enough = (cells: number) => binomialAtLeast(need, cells, chance) >= confidence - 1e-12;
  let short = need - 1;
  let high = need;
  while (!enough(high)) {
    short = high;
    high = Math.ceil(high * 1.1) + 1;
  }
  while (high - short > 1) {
    const middle = Math.floor((short + high) / 2);
    if (enough(middle)) high = middle;
    else short = middle;
  }
  return high;
}

/** Seed for one pot [g] of so many seeds a cm², by the mass of a thousand seeds [g]. */
export function potSeed({ area, density, thousandSeeds }: Pot): In<"g"> {
  return (area * density * thousandSeeds) / 1000;
}

/** The mass of a thousand seeds [g] of which a gram holds so many. */
export function thousandSeedMass(seedsPerGram: In<"seeds/g">): In<"g"> {
  return 1000 / seedsPerGram;
}

interface Count {
  readonly good: number;
  readonly total: number;
}

interface Pot {
  readonly area: In<"cm²">;
  readonly density: In<"/cm²">;
  readonly thousandSeeds: In<"g">;
}
