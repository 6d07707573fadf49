import type { In } from "./units.ts";

/** What stands against the wind, and what the wind takes hold of. */
export interface Stand {
  /** Water in the base, 1 kg a litre. */
  readonly water: In<"L">;
  readonly base: In<"kg">;
  readonly column: In<"kg">;
  readonly plants: In<"kg">;
  /** From the centre to the edge that it would tip over. */
  readonly radius: In<"m">;
  /** Leafy side that the wind meets. */
  readonly area: In<"m²">;
  /** Height of that side's centre. */
  readonly height: In<"m">;
  /** Drag coefficient, 1.0 for a leafy column; common practice. */
  readonly drag: number;
}

/** Density of air at 15 °C and sea level [kg/m³]; International Standard Atmosphere. */
export const airDensity = 1.225;

/** Standard gravity as rounded in the trade [m/s²]. */
export const gravity = 9.81;

/** The moment of a gust about the tipping edge [N·m], by the drag equation: ½·ρ·C_d·A·v²·h. A guide, no structural calculation. */
export function overturningMoment(stand: Stand, gust: In<"m/s">): In<"N·m"> {
  return windMoment(stand) * gust ** 2;
}

/** The moment of the weight against tipping [N·m]: m·g·r. */
export function restoringMoment({ water, base, column, plants, radius }: Stand): In<"N·m"> {
  return (water + base + column + plants) * gravity * radius;
}

/** The gust at which the two moments are equal [m/s]; the inverse of `overturningMoment`. */
export function tippingGust(stand: Stand): In<"m/s"> {
  return Math.sqrt(restoringMoment(stand) / windMoment(stand));
}

/** Water in the base that makes restoring ÷ overturning equal to `margin` [L]; 0 when the rest is heavy enough. */
export function waterFor(stand: Stand, gust: In<"m/s">, margin: number): In<"L"> {
  const mass = (margin * overturningMoment(stand, gust)) / (gravity * stand.radius);
  return Math.max(0, mass - stand.base - stand.column - stand.plants);
}

function windMoment({ drag, area, height }: Stand): number {
  return 0.5 * airDensity * drag * area * height;
}
