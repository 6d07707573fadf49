import type { In, MeqPerL } from "./units.ts";

/** Masses that carry one milliequivalent of alkalinity [mg/meq]: bicarbonate, and calcium carbonate (half a mole). */
export const alkalinityMass = { HCO3: 61.02, CaCO3: 50.04, meq: 1 } as const;

/** mg/L of calcium carbonate that 1 mg/L of calcium or magnesium counts for as hardness. */
export const hardnessOf = { calcium: 2.497, magnesium: 4.118 } as const;

/**
 * Acid dissociation constants as pKa at 25 °C and no ionic strength, first proton first.
 * @see Parkhurst and Appelo (2013), USGS Techniques and Methods 6-A43, phreeqc.dat; citric acid from the CRC Handbook of
 * Chemistry and Physics, quoted from memory; nitric and sulphuric acid give all their protons in any feed.
 */
export const dissociation = {
  carbonic: [6.352, 10.329],
  phosphoric: [2.168, 7.207, 12.346],
  citric: [3.13, 4.76, 6.4],
  nitric: [-1.4],
  ammonium: [9.252],
  boric: [9.24],
} as const satisfies Readonly<Record<string, readonly number[]>>;

/**
 * Share of bicarbonate that is still bicarbonate at `ph`, 0 to 1: 1/(1 + 10^(pK − pH)). At pH 5.8 about a fifth is left.
 * @param pK first dissociation constant of carbonic acid, 6.35 by common practice. @see Stumm and Morgan (1996), chapter 4.
 */
export function bicarbonateLeft(ph: In<"pH">, pK = 6.35): number {
  return 1 / (1 + 10 ** (pK - ph));
}

/**
 * Strong acid that takes water from one pH to another with no gas lost [meq/L], free H⁺ and OH⁻ and carbonate counted.
 * Valid for pH 4 to 9 and 25 °C. Negative when `to` lies above `from`.
 * @see Stumm and Morgan (1996), Aquatic Chemistry, chapter 4; applied to irrigation water by Whipker and others (1996).
 */
export function acidBetween({ alkalinity, from, to }: AcidStep): MeqPerL {
  const total = (alkalinity - freeCharge(from)) / carbonateCharge(from);
  return alkalinity - (total * carbonateCharge(to) + freeCharge(to));
}

/** Protons that one mole of an acid has given away at `ph` [mol/mol], from its pKa's. */
export function protonsGiven(pKa: readonly number[], ph: In<"pH">): In<"mol/mol"> {
  let share = 1;
  let total = 1;
  let given = 0;
  for (const [index, constant] of pKa.entries()) {
    share *= 10 ** (ph - constant);
    total += share;
    given += share * (index + 1);
  }
  return given / total;
}

/** The acids that water is treated with: molar mass [g/mol] and protons that neutralise at pH 5 to 6.5 [mol/mol]. */
export const acids = {
  nitric: { molarMass: 63.012, protons: 1 },
  phosphoric: { molarMass: 97.994, protons: 1.04 },
  sulphuric: { molarMass: 98.072, protons: 2 },
  citric: { molarMass: 192.12, protons: 2.1 },
} as const;

/** Moles in a litre of bottled acid [mol/L], from its density [kg/L] and its strength [% by mass]. */
export function acidMolarity({ density, strength, molarMass }: BottledAcid): In<"mol/L"> {
  return (1000 * density * strength) / 100 / molarMass;
}

/** Bottled acid for each cubic metre [mL/m³] that neutralises `alkalinity` [meq/L]. */
export function acidVolume(alkalinity: MeqPerL, molarity: In<"mol/L">, protons: number): In<"mL/m³"> {
  return (alkalinity / (molarity * protons)) * 1000;
}

interface AcidStep {
  readonly alkalinity: MeqPerL;
  readonly from: In<"pH">;
  readonly to: In<"pH">;
}

interface BottledAcid {
  readonly density: In<"kg/L">;
  readonly strength: In<"%">;
  readonly molarMass: In<"g/mol">;
}

/** Charge that each mole of dissolved carbonate holds at `ph` [eq/mol]: bicarbonate once, carbonate twice. */
function carbonateCharge(ph: number): number {
  return protonsGiven(dissociation.carbonic, ph);
}

/** Charge of OH⁻ less H⁺ [meq/L], with pKw 13.995 at 25 °C. */
function freeCharge(ph: number): number {
  return 1000 * (10 ** (ph - 13.995) - 10 ** -ph);
}
