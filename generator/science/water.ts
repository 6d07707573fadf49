import type { MgPerL } from "./units.ts";

/** The bounds that one ion puts on the share of mains, unclipped; at most one of the two. */
export interface Share {
  readonly most?: number;
  readonly least?: number;
}

/**
 * How much mains a limit allows. Mains richer than rain bounds the share from above, (limit − rain)/(mains − rain); rain
 * that is over the limit and richer than mains bounds it from below. Otherwise there is no bound, nor where
 * the two waters are the same. Mass balance.
 */
export function shareFor({ limit, mains, rain }: { limit: MgPerL; mains: MgPerL; rain: MgPerL }): Share {
  const share = (limit - rain) / (mains - rain);
  if (!Number.isFinite(share)) return {};
  if (mains > rain) return { most: share };
  return rain > limit ? { least: share } : {};
}

/** One ion in a blend [mg/L], for a share of mains from 0 to 1; undefined when either water was not measured. Never for pH. */
export function blended(mains: MgPerL | undefined, rain: MgPerL | undefined, share: number): MgPerL | undefined {
  return mains === undefined || rain === undefined ? undefined : share * mains + (1 - share) * rain;
}
