import type { In, MeqPerL, MgPerL, MmolPerL } from "./units.ts";

/** What a water or a feed is analysed for: nitrogen as N, the rest as the element, bicarbonate as HCO3. */
export const species = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"] as const;
export type Species = (typeof species)[number];

/** An analysis [mg/L]; a species that is missing was not measured, and counts as 0 in sums only. */
export type Analysis = Readonly<Partial<Record<Species, MgPerL | undefined>>>;

interface FeedIon {
  /** Mass that one mole is counted by [g/mol]: N for nitrate, S for sulphate, P for phosphate. */
  readonly mass: In<"g/mol">;
  /** As in a feed at pH 5 to 6.5: phosphate is H2PO4⁻. */
  readonly charge: number;
  /** Equivalent conductance at infinite dilution and 25 °C [S cm²/eq]. */
  readonly conductance: In<"S cm²/eq">;
}

/**
 * The ten ions of a feed. @see Standard Methods for the Examination of Water and Wastewater, method 2510, table of
 * equivalent conductances; H2PO4 33.0 is the older handbook figure (newer tables print 36.0).
 */
export const feedIons: Readonly<Record<Species, FeedIon>> = {
  NO3N: { mass: 14.007, charge: -1, conductance: 71.4 },
  NH4N: { mass: 14.007, charge: 1, conductance: 73.5 },
  P: { mass: 30.974, charge: -1, conductance: 33.0 },
  K: { mass: 39.098, charge: 1, conductance: 73.5 },
  Ca: { mass: 40.078, charge: 2, conductance: 59.5 },
  Mg: { mass: 24.305, charge: 2, conductance: 53.1 },
  S: { mass: 32.06, charge: -2, conductance: 80.0 },
  Na: { mass: 22.99, charge: 1, conductance: 50.1 },
  Cl: { mass: 35.45, charge: -1, conductance: 76.4 },
  HCO3: { mass: 61.02, charge: -1, conductance: 44.5 },
};

/** Species that were not measured. */
export function unmeasured(analysis: Analysis): readonly Species[] {
  return species.filter((name) => analysis[name] === undefined);
}

/** Amount of one species [mmol/L]; not measured counts as 0. */
export function amountOf(analysis: Analysis, name: Species): MmolPerL {
  return (analysis[name] ?? 0) / feedIons[name].mass;
}

/** Sum of positive charges [meq/L]. */
export function cations(analysis: Analysis): MeqPerL {
  return charges(analysis, 1);
}

/** Sum of negative charges [meq/L]. */
export function anions(analysis: Analysis): MeqPerL {
  return charges(analysis, -1);
}

/**
 * How far cations outweigh anions [%]: 100·(cations − anions)/(cations + anions). Undefined below 1 meq/L in all, as in
 * rain, where a small error is a large percentage.
 */
export function balance(analysis: Analysis): In<"%"> | undefined {
  const [positive, negative] = [cations(analysis), anions(analysis)];
  return positive + negative < 1 ? undefined : (100 * (positive - negative)) / (positive + negative);
}

/** Ionic strength I = ½·Σ z²·c [mol/L]. @see Lewis and Randall (1921). */
export function ionicStrength(analysis: Analysis): In<"mol/L"> {
  return species.reduce((sum, name) => sum + feedIons[name].charge ** 2 * amountOf(analysis, name), 0) / 2000;
}

/** Ammonium's share of the mineral nitrogen [%]; undefined when there is no nitrogen. */
export function ammoniumShare({ NO3N = 0, NH4N = 0 }: Analysis): In<"%"> | undefined {
  return NO3N + NH4N > 0 ? (100 * NH4N) / (NO3N + NH4N) : undefined;
}

function charges(analysis: Analysis, sign: 1 | -1): MeqPerL {
  return species
    .filter((name) => Math.sign(feedIons[name].charge) === sign)
    .reduce((sum, name) => sum + Math.abs(feedIons[name].charge) * amountOf(analysis, name), 0);
}
