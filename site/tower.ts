import type { StaffCrop } from "./figures.ts";

export type Zone = NonNullable<StaffCrop["tower"]>["zone"];

const fifths = ["base", "lower", "middle", "upper", "top"] as const;

/** The first and last tier of a zone, counted from the bottom: each zone is a fifth of the tower. Undefined for no tier. */
export function tiersOf(zone: Zone, tiers: number): { readonly from: number; readonly to: number } | undefined {
  if (zone === "none") return undefined;
  if (zone === "any") return { from: 1, to: tiers };
  const place = fifths.indexOf(zone);
  const edge = (fifth: number) => Math.round((fifth * tiers) / fifths.length);
  return { from: Math.min(edge(place) + 1, tiers), to: Math.max(edge(place + 1), Math.min(edge(place) + 1, tiers)) };
}
