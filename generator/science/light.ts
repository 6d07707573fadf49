import type { In, MicroMol, Mol, Span } from "./units.ts";

/** Lux that one µmol/m²/s makes [lux per µmol/m²/s], by lamp: a rough guide, since lux leaves out red and blue. Common practice. */
export const luxPerFlux = { sun: 54, "white-led": 70 } as const;

/**
 * Daily light integral [mol/m²/day] of a steady photon flux [µmol/m²/s] for so many hours a day [h].
 * By definition: 3600 s in an hour, a million µmol in a mol.
 */
export function dailyLightIntegral({ flux, hours }: { flux: MicroMol; hours: In<"h"> }): Mol {
  return flux * hours * perHour;
}

/** Photon flux [µmol/m²/s] that gives `integral` [mol/m²/day] in `hours` [h], above 0; the inverse of {@link dailyLightIntegral}. */
export function fluxFor({ integral, hours }: { integral: Mol; hours: In<"h"> }): MicroMol {
  return integral / (hours * perHour);
}

/** Hours a day [h] that give `integral` [mol/m²/day] at `flux` [µmol/m²/s], above 0. More than 24 says that it cannot be. */
export function hoursFor({ integral, flux }: { integral: Mol; flux: MicroMol }): In<"h"> {
  return integral / (flux * perHour);
}

/** Photon flux [µmol/m²/s] of a reading in lux, by the lux that one µmol/m²/s makes of this light. */
export function fluxOfLux(illuminance: In<"lux">, factor: In<"lux per µmol/m²/s">): MicroMol {
  return illuminance / factor;
}

/**
 * The light that can fall outdoors on a day [mol/m²/day], from the sunlight above the air [MJ/m²/day], 0 or more: from that of
 * a sky overcast all day to that of a clear one. A month lies between the two; where, only a measurement says.
 * Of sunlight 0.45 is light that plants use, common practice.
 * @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 35 with 0.25 and 0.50; 4.57 µmol/J of daylight: McCree 1972,
 * Agricultural Meteorology 10:443–453, as in Thimijan and Heins 1983, HortScience 18:818–822
 */
export function lightUnderSky(above: In<"MJ/m²/day">): Span<"mol/m²/day"> {
  const all = above * usedShare * molPerMegajoule;
  return { low: overcastShare * all, high: (overcastShare + clearShare) * all };
}

const overcastShare = 0.25;
const clearShare = 0.5;
const usedShare = 0.45;
const molPerMegajoule: In<"mol/MJ"> = 4.57;

export interface LampPlan {
  /** At the present flux; may be more than 24. */
  readonly hoursNeeded: In<"h">;
  readonly integralAtLongest: Mol;
  readonly fluxAtLongest: MicroMol;
  /** Whether the present flux reaches the target within the longest day. */
  readonly reached: boolean;
  /** The plan: the present flux for the hours needed, or a stronger one for the longest day. */
  readonly flux: MicroMol;
  readonly hours: In<"h">;
  readonly power: In<"W/m²">;
  readonly energy: In<"kWh/m²/day">;
}

interface Lamps {
  readonly flux: MicroMol;
  readonly target: Mol;
  /** Longest day that the crop bears. */
  readonly longest: In<"h">;
  readonly efficacy: In<"µmol/J">;
  /** Of the lamp's light, the part that falls on leaves, above 0 to 1. */
  readonly share: number;
}

/** How long or how strong lamps must be for a daily light integral, and what they draw for each m² of leaves. */
export function lampPlan({ flux, target, longest, efficacy, share }: Lamps): LampPlan {
  const hoursNeeded = hoursFor({ integral: target, flux });
  const fluxAtLongest = fluxFor({ integral: target, hours: longest });
  const reached = hoursNeeded <= longest + 1e-9;
  const plan = reached ? { flux, hours: hoursNeeded } : { flux: fluxAtLongest, hours: longest };
  const power = plan.flux / efficacy / share;
  return {
    hoursNeeded,
    integralAtLongest: dailyLightIntegral({ flux, hours: longest }),
    fluxAtLongest,
    reached,
    ...plan,
    power,
    energy: (power * plan.hours) / 1000,
  };
}

/** mol/m² in an hour of 1 µmol/m²/s. */
const perHour = 0.0036;
