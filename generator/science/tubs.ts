import type { Masses, Salt } from "./solution.ts";
import type { Celsius, In } from "./units.ts";

/** A concentrate's tub. A and B never hold calcium together with phosphate or sulphate. */
export const tubs = ["A", "B", "C"] as const;
export type Tub = (typeof tubs)[number];

/** A salt with its tub and what dissolves of it: [°C, g/L] points, by rising temperature; none when it is not recorded. */
export interface TubSalt extends Salt {
  readonly tub: Tub;
  readonly solubility: readonly SolubilityPoint[] | undefined;
}
export type SolubilityPoint = readonly [temperature: Celsius, gramsPerLitre: In<"g/L">];

/**
 * The share of the feed that comes from one head: 1 % is 0.01. A machine that doses 1 part *to* 100 of water dilutes by
 * every head's flow as well: r/(1 + heads·r).
 */
export function dosingRatio({
  percent,
  means,
  heads,
}: {
  percent: In<"%">;
  means: "in" | "to";
  heads: number;
}): number {
  const ratio = percent / 100;
  return means === "to" ? ratio / (1 + heads * ratio) : ratio;
}

/** Feed that one full tank of concentrate makes [m³]. */
export function treats(tankLitres: In<"L">, ratio: number): In<"m³"> {
  return tankLitres / (1000 * ratio);
}

/** Tubs that hold a calcium salt and a phosphate or sulphate: these make a white sludge. */
export function sludge(salts: readonly TubSalt[]): readonly Tub[] {
  const holds = (tub: Tub, part: "Ca" | "P" | "S") =>
    salts.some((salt) => salt.tub === tub && (salt.fractions[part] ?? 0) > 0);
  return tubs.filter((tub) => holds(tub, "Ca") && (holds(tub, "P") || holds(tub, "S")));
}

/**
 * What dissolves at `temperature` [g/L]: a straight line between points, and the first or last point beyond them.
 * Undefined when none is recorded.
 */
export function solubilityAt(points: readonly SolubilityPoint[], temperature: Celsius): In<"g/L"> | undefined {
  const after = points.findIndex(([at]) => at >= temperature);
  if (after < 0) return points.at(-1)?.[1];
  const [high, top] = points[after]!;
  const [low, bottom] = points[Math.max(0, after - 1)]!;
  return high === low ? top : bottom + ((top - bottom) * (temperature - low)) / (high - low);
}

/**
 * Grams of a hydrate that 100 g of water dissolve, from a table that counts the salt without its water.
 * The hydrate brings water of its own, so it is more than the ratio of the molar masses.
 * @throws RangeError when the hydrate would melt in its own water before that much dissolves.
 */
export function asHydrate(anhydrous: number, mass: { anhydrous: In<"g/mol">; hydrate: In<"g/mol"> }): number {
  const brought = (anhydrous * (mass.hydrate - mass.anhydrous)) / mass.anhydrous / 100;
  if (brought >= 1)
    throw new RangeError(
      `Unexpected ${anhydrous} g per 100 g of water, expected less than the hydrate's own water allows`,
    );
  return (anhydrous * mass.hydrate) / mass.anhydrous / (1 - brought);
}

/** How near a salt is to its limit in the tub; undefined where its solubility is not recorded. */
export interface Dissolved {
  readonly gramsPerLitre: In<"g/L">;
  /** Four fifths of the solubility. */
  readonly limit: In<"g/L"> | undefined;
  /** Of the whole solubility: 1 is saturated. */
  readonly share: number | undefined;
}

/** Groups of salts that share an ion and so take room from one another. */
export const sharedIons = ["K", "Mg", "SO4"] as const;
export type SharedIon = (typeof sharedIons)[number];

export interface Solubility {
  /** In the order of the salts. */
  readonly perSalt: readonly Dissolved[];
  /** Sum of the shares of each group in each tub that holds salts. */
  readonly shared: ReadonlyMap<Tub, Readonly<Record<SharedIon, number>>>;
  /** The largest share or sum, and where: a salt's place, or a group in a tub. A single salt goes before a group. */
  readonly worst:
    | { readonly share: number; readonly at: number | { readonly ion: SharedIon; readonly tub: Tub } }
    | undefined;
  /** How many times the feed's strength the concentrate may be, at four fifths of the solubility; undefined without a bound. */
  readonly maxConcentration: number | undefined;
}

/**
 * Whether salts stay dissolved in their tubs at the coldest hour: each below 0.8 of its solubility, and so the sum of the
 * shares of salts in one tub that have potassium, magnesium or sulphate in common. Common practice.
 */
export function solubility(salts: readonly TubSalt[], masses: Masses, ratio: number, coldest: Celsius): Solubility {
  const perSalt = salts.map(({ solubility }, index) => {
    const gramsPerLitre = masses[index]! / 1000 / ratio;
    const most = solubility && solubilityAt(solubility, coldest);
    return most === undefined
      ? { gramsPerLitre, limit: undefined, share: undefined }
      : { gramsPerLitre, limit: 0.8 * most, share: gramsPerLitre / most };
  });
  const sum = (tub: Tub, ion: SharedIon) =>
    salts.reduce((total, salt, index) => {
      const counts = salt.tub === tub && (salt.fractions[ion === "SO4" ? "S" : ion] ?? 0) > 0;
      return counts ? total + (perSalt[index]!.share ?? 0) : total;
    }, 0);
  const used = tubs.filter((tub) => salts.some((salt) => salt.tub === tub));
  const shared = new Map(
    used.map((tub) => [tub, { K: sum(tub, "K"), Mg: sum(tub, "Mg"), SO4: sum(tub, "SO4") }] as const),
  );
  const shares = [
    ...perSalt.flatMap(({ share }, index) => (share === undefined ? [] : [{ share, at: index }])),
    ...[...shared].flatMap(([tub, sums]) => sharedIons.map((ion) => ({ share: sums[ion], at: { ion, tub } }))),
  ];
  const checked = perSalt.some(({ share }) => share !== undefined);
  const worst = checked ? shares.reduce((most, next) => (next.share > most.share + 1e-12 ? next : most)) : undefined;
  const times = worst ? Math.floor(0.8 / (worst.share * ratio) + 1e-9) : Number.NaN;
  return {
    perSalt,
    shared,
    worst,
    maxConcentration: Number.isFinite(times) ? times : undefined,
  };
}

/** Potassium nitrate to move from the heavier B into A so that both come as near as it allows [kg]. */
export function nitrateToMove({ inB, tubA, tubB }: { inB: In<"kg">; tubA: In<"kg">; tubB: In<"kg"> }): In<"kg"> {
  return tubB > tubA ? Math.min(inB, (tubB - tubA) / 2) : 0;
}

/** A mass as a scale shows it: the nearest division, half rounded up. */
export function toWeighable(grams: In<"g">, division: In<"g">): In<"g"> {
  return Math.floor(grams / division + 0.5) * division;
}

/** The least that a scale weighs to 2 % [g]: half a division is 2 % of 25 divisions. Common practice. */
export function smallestWeighable(division: In<"g">): In<"g"> {
  return 25 * division;
}
