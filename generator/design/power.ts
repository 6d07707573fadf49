import { detectable, trialSize } from "../science/evidence.ts";

/** The spread that is expected [%]: between plants of one treatment, between towers fed alike, or of the blocks' differences. */
export interface Spread {
  readonly percent: number;
  readonly of: "plants" | "towers" | "differences";
}

/** What a design is measured by: how far apart plants are, and how many of a treatment stand in a block. */
interface Sizes {
  readonly spread: Spread;
  readonly plants: number;
}

/** With fewer blocks than these there is no interval. */
export const fewest = 4;

/** As many blocks as a comparison of pairs takes in. */
export const most = 20;

/**
 * The difference [%] that so many blocks show four times in five: that of two blocks fewer by the normal sum, as they are
 * few. Undefined for two blocks or one, which show nothing.
 */
export function shows({ spread, plants, blocks }: Sizes & { blocks: number }): number | undefined {
  if (blocks <= 2) return undefined;
  return detectable({ design: "pairs", spread: ofDifferences({ spread, plants }), each: blocks - 2 });
}

/** The fewest blocks that show a difference [%]: two more than by the normal sum, and never under four. */
export function blocksFor(wanted: number, { spread, plants }: Sizes): number {
  const pairs = trialSize({ design: "pairs", spread: ofDifferences({ spread, plants }), difference: wanted });
  return Math.max(fewest, pairs + 2);
}

/** The fewest plants of a treatment in a block with which so many blocks show a difference [%]; undefined if more plants do not help. */
export function plantsFor(wanted: number, { spread, blocks }: { spread: Spread; blocks: number }): number | undefined {
  if (spread.of !== "plants" || blocks <= 2) return undefined;
  const one = shows({ spread, plants: 1, blocks })!;
  return Math.max(1, Math.ceil((one / wanted) ** 2 - 1e-9));
}

/** Standard deviation of the blocks' differences [%]: means of independent plants or towers, so that variances add. */
function ofDifferences({ spread: { percent, of }, plants }: Sizes): number {
  if (of === "differences") return percent;
  return percent * Math.sqrt(of === "towers" ? 2 : 2 / plants);
}
