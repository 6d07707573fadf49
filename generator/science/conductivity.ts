import { type Analysis, amountOf, cations, feedIons, ionicStrength, type Species, species } from "./ions.ts";
import type { Celsius, In, MilliSiemens, MmolPerL } from "./units.ts";

/**
 * Conductivity at 25 °C from the ions [mS/cm]: the sum at infinite dilution, brought down by a monovalent activity
 * coefficient squared. Meant for waters below 0.5 mol/L ionic strength.
 * @see Standard Methods for the Examination of Water and Wastewater, method 2510 A, calculated conductivity.
 */
export function standardMethods(analysis: Analysis): MilliSiemens {
  const root = Math.sqrt(ionicStrength(analysis));
  const activity = 10 ** (-0.5 * (root / (1 + root) - 0.3 * root ** 2));
  return (limitingConductivity(analysis) * activity ** 2) / 1000;
}

/** What the ions would conduct if none hindered another [µS/cm]: κ° = Σ |z|·λ·c. */
export function limitingConductivity(analysis: Analysis): In<"µS/cm"> {
  return species.reduce((sum, name) => {
    const { charge, conductance } = feedIons[name];
    return sum + Math.abs(charge) * conductance * amountOf(analysis, name);
  }, 0);
}

/** The quick rule: cations [meq/L] ÷ 10. @see Richards, ed. (1954), USDA Agriculture Handbook 60. */
export function cationsOverTen(analysis: Analysis): MilliSiemens {
  return cations(analysis) / 10;
}

/**
 * A line through Dutch feeds of 1 to 5 mS/cm: cations = 9.819·EC − 1.462. It does not go through zero, so it is too high
 * for rain and for plain water. @see Sonneveld, Voogt and Spaans (1999), Acta Horticulturae 481, 331–340, as quoted by
 * Savvas and Adamidis (1999), Journal of Plant Nutrition 22, 1415; coefficients from memory.
 */
export function sonneveld(analysis: Analysis): MilliSiemens {
  return (cations(analysis) + 1.462) / 9.819;
}

/**
 * Conductivity from free ions, each with a molal conductivity λ = λ°(T) − A(T)·√I/(1 + B·√I) [mS/cm], 5 to 90 °C and up to
 * 1 mol/L. Sulphate first pairs with calcium and magnesium, as the authors ask, and the pairs do not conduct. H2PO4⁻ is
 * not in their table: it has 36.0 from the CRC Handbook and slows down as bicarbonate does, which is our own choice.
 * @see McCleskey, Nordstrom, Ryan and Ball (2012), Geochimica et Cosmochimica Acta 77, 369–382, table 1; read in
 * secondary copies, of which two were compared for K and Na. Pairing: log K 2.14 for CaSO4 (phreeqc.dat), 2.37 for MgSO4 (the same file, from memory).
 */
export function mcCleskey(analysis: Analysis, temperature: Celsius = 25): MilliSiemens {
  const free = freeIons(analysis);
  const root = Math.sqrt(strength(free));
  const total = species.reduce((sum, name) => {
    const { limit, slope, bend } = molalConductivities[name];
    const [limiting, slowing] = [at(limit, temperature), at(slope, temperature)];
    return sum + free[name] * (limiting - (slowing * root) / (1 + bend * root));
  }, 0);
  return total / 1000;
}

/** The conductivity that a good meter should show, and the band that holds every figure it was compared with. */
export interface ExpectedConductivity {
  readonly value: MilliSiemens;
  readonly low: MilliSiemens;
  readonly high: MilliSiemens;
}

/**
 * What a meter should read at 25 °C [mS/cm]. Of four published methods this one has the smallest residuals against
 * standards and standard feeds from 0.5 to 3 mS/cm; `tests/science/conductivity.test.ts` holds the comparison.
 */
export function expectedConductivity(analysis: Analysis): ExpectedConductivity {
  const value = mcCleskey(analysis);
  return { value, low: value * (1 - errorBand / 100), high: value * (1 + errorBand / 100) };
}

/**
 * Half width of the band [%]: the largest residual of `mcCleskey` over those eight solutions, rounded up. Three of them
 * are potassium chloride standards, measured; five are feeds with the EC that their authors state, so part of the
 * band is the authors' own rounding.
 */
export const errorBand: In<"%"> = 9;

/** Factor from a reading at `temperature` to 25 °C, in a straight line: 1/(1 + a·(T − 25)), `a` in % a degree, usually 2. */
export function toTwentyFive(temperature: Celsius, percentPerDegree = 2): number {
  return 1 / (1 + (percentPerDegree / 100) * (temperature - 25));
}

interface MolalConductivity {
  /** a·T² + b·T + c, limiting conductivity [mS·kg/(cm·mol)·10⁻³] and how strongly it falls with √I. */
  readonly limit: Quadratic;
  readonly slope: Quadratic;
  readonly bend: number;
}
type Quadratic = readonly [square: number, linear: number, constant: number];

const bicarbonate: MolalConductivity = {
  limit: [0.000614, 0.9048, 21.14],
  slope: [-0.00503, 0.8957, 10.97],
  bend: 0.1,
};

const dihydrogenPhosphate = scaled(bicarbonate, 36.0 / at(bicarbonate.limit, 25));

const molalConductivities: Readonly<Record<Species, MolalConductivity>> = {
  NO3N: { limit: [0.001925, 1.214, 39.9], slope: [0.00118, 0.5045, 23.31], bend: 0.1 },
  NH4N: { limit: [0.003341, 1.285, 39.04], slope: [0.00132, 0.607, 11.19], bend: 0.3 },
  P: dihydrogenPhosphate,
  K: { limit: [0.003046, 1.261, 40.7], slope: [0.00535, 0.9316, 22.59], bend: 1.5 },
  Ca: { limit: [0.009645, 1.984, 62.28], slope: [0.03174, 2.334, 132.3], bend: 2.8 },
  Mg: { limit: [0.01068, 1.695, 57.16], slope: [0.02453, 1.915, 80.5], bend: 2.1 },
  S: { limit: [0.01037, 2.838, 82.37], slope: [0.03324, 5.889, 193.5], bend: 2.6 },
  Na: { limit: [0.003763, 0.877, 26.23], slope: [0.00027, 1.141, 32.07], bend: 1.7 },
  Cl: { limit: [0.003817, 1.337, 40.99], slope: [0.00613, 0.9469, 22.01], bend: 1.5 },
  HCO3: bicarbonate,
};

function at([square, linear, constant]: Quadratic, temperature: number): number {
  return square * temperature ** 2 + linear * temperature + constant;
}

function scaled({ limit, slope, bend }: MolalConductivity, factor: number): MolalConductivity {
  const times = ([square, linear, constant]: Quadratic): Quadratic => [
    square * factor,
    linear * factor,
    constant * factor,
  ];
  return { limit: times(limit), slope: times(slope), bend };
}

type Amounts = Readonly<Record<Species, MmolPerL>>;

/** Equilibrium constants of the pairs at 25 °C [L/mol], and the activity coefficient of charge 2 by Davies (1962). */
const pairing = { Ca: 10 ** 2.14, Mg: 10 ** 2.37 } as const;

/** Amounts left as free ions [mmol/L] once calcium and magnesium sulphate have paired; the loop settles within 1e-9. */
function freeIons(analysis: Analysis): Amounts {
  const total = Object.fromEntries(species.map((name) => [name, amountOf(analysis, name)])) as Record<
    Species,
    MmolPerL
  >;
  let free: Amounts = total;
  for (let round = 0; round < 100; round++) {
    const root = Math.sqrt(strength(free));
    const activity = 10 ** (-0.509 * 4 * (root / (1 + root) - 0.3 * root ** 2));
    const attraction = (name: "Ca" | "Mg") => (pairing[name] * Math.min(activity, 1) ** 2) / 1000;
    const sulphate = free.S;
    const calcium = total.Ca / (1 + attraction("Ca") * sulphate);
    const magnesium = total.Mg / (1 + attraction("Mg") * sulphate);
    const settled = total.S / (1 + attraction("Ca") * calcium + attraction("Mg") * magnesium);
    free = { ...total, Ca: calcium, Mg: magnesium, S: settled };
    if (Math.abs(settled - sulphate) <= 1e-9 * (1 + settled)) break;
  }
  return free;
}

function strength(amounts: Amounts): In<"mol/L"> {
  return species.reduce((sum, name) => sum + feedIons[name].charge ** 2 * amounts[name], 0) / 2000;
}
