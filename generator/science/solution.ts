import type { Analysis } from "./ions.ts";
import { nonNegativeLeastSquares } from "./least-squares.ts";
import type { In, MeqPerL, MgPerL } from "./units.ts";

/** The five elements that a recipe aims at. Sulphur comes along. */
export const elements = ["N", "P", "K", "Ca", "Mg"] as const;
export type TargetElement = (typeof elements)[number];
export type Targets = Readonly<Record<TargetElement, MgPerL>>;

/** What a salt may hold, as a share of its mass. */
export const parts = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "Fe"] as const;
export type Part = (typeof parts)[number];
export type Fractions = Readonly<Partial<Record<Part, In<"g/g"> | undefined>>>;

export interface Salt {
  readonly id: string;
  readonly fractions: Fractions;
}

/** What a feed holds; N is nitrate and ammonium together. */
export const feedParts = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"] as const;
export type FeedPart = (typeof feedParts)[number];
export type Feed = Readonly<Record<FeedPart, MgPerL>>;

/** Salts weighed into a cubic metre [g/m³], in the order of the list of salts. */
export type Masses = readonly In<"g/m³">[];

/** What the water brings, with nitric acid in it: nitrate is added, bicarbonate taken away until none is left. */
export function credit(water: Analysis, nitricAcid: MeqPerL): Feed {
  const { NO3N = 0, NH4N = 0, P = 0, K = 0, Ca = 0, Mg = 0, S = 0, Na = 0, Cl = 0, HCO3 = 0 } = water;
  return {
    NO3N: NO3N + 14.007 * nitricAcid,
    NH4N,
    P,
    K,
    Ca,
    Mg,
    S,
    Na,
    Cl,
    HCO3: Math.max(0, HCO3 - 61.02 * nitricAcid),
  };
}

/** The feed that `masses` of `salts` make in a water. What goes in comes out: nothing is lost and nothing is rounded. */
export function delivered(start: Feed, salts: readonly Salt[], masses: Masses): Feed {
  const brought = (part: FeedPart) =>
    part === "HCO3" ? 0 : salts.reduce((sum, { fractions }, index) => sum + (fractions[part] ?? 0) * masses[index]!, 0);
  return Object.fromEntries(feedParts.map((part) => [part, start[part] + brought(part)])) as Feed;
}

/** One element in a feed [mg/L]. */
export function level(feed: Feed, element: TargetElement): MgPerL {
  return element === "N" ? feed.NO3N + feed.NH4N : feed[element];
}

/** Share of a salt that is `element`, 0 to 1. */
export function fraction({ NO3N, NH4N, ...others }: Fractions, element: TargetElement): In<"g/g"> {
  return element === "N" ? (NO3N ?? 0) + (NH4N ?? 0) : (others[element] ?? 0);
}

/** How far a feed is from its target [%]; undefined where nothing was asked for. */
export function miss(feed: Feed, targets: Targets, element: TargetElement): In<"%"> | undefined {
  const target = targets[element];
  return target < nothing ? undefined : (100 * (level(feed, element) - target)) / target;
}

/** Σ (miss/100)² over the elements that are asked for. */
export function sumOfMisses(feed: Feed, targets: Targets): number {
  return elements.reduce((sum, element) => sum + ((miss(feed, targets, element) ?? 0) / 100) ** 2, 0);
}

/** What a salt is taken for in a recipe worked by hand. */
export type Role =
  | "calcium"
  | "phosphorus"
  | "magnesium nitrate"
  | "magnesium sulphate"
  | "potassium nitrate"
  | "potassium sulphate";

/** One line of a recipe worked by hand: the salt, what was still short, and the grams that close it. */
export interface Step {
  readonly role: Role;
  readonly salt: number;
  /** The elements that bound the mass, each with what was short [mg/L] and the salt's share of it. */
  readonly bounds: readonly { readonly element: TargetElement; readonly short: MgPerL; readonly fraction: number }[];
  readonly mass: In<"g/m³">;
}

/**
 * A recipe as one works it by hand: calcium first, then phosphorus, magnesium, potassium nitrate up to the nitrogen, and
 * potassium sulphate for the rest. Each role goes to the first salt that fits it, and no mass is ever negative.
 * @see Sonneveld and Voogt (2009), Plant Nutrition of Greenhouse Crops, chapter 12, for the order of the salts.
 */
export function stepwise(
  start: Feed,
  salts: readonly Salt[],
  targets: Targets,
): { masses: Masses; steps: readonly Step[] } {
  const masses = salts.map(() => 0);
  const steps: Step[] = [];
  for (const { role, fits, bounded } of order) {
    const salt = salts.findIndex(({ fractions }) => fits((element) => fraction(fractions, element) >= nothing));
    if (salt < 0) continue;
    const feed = delivered(start, salts, masses);
    const bounds = bounded.map((element) => ({
      element,
      short: Math.max(0, targets[element] - level(feed, element)),
      fraction: fraction(salts[salt]!.fractions, element),
    }));
    const mass = Math.min(...bounds.map(({ short, fraction }) => short / fraction));
    masses[salt] = mass;
    steps.push({ role, salt, bounds, mass });
  }
  return { masses, steps };
}

/**
 * The recipe that misses least over all salts at once: masses m ≥ 0 that minimise Σ w·((level − target)/target)² over the
 * elements asked for, plus 1e-6·Σ (m in kg/m³)², which shares the work between salts that do the same.
 * `objective` is the first sum.
 */
export function leastMiss(
  start: Feed,
  salts: readonly Salt[],
  targets: Targets,
  weights: Readonly<Record<TargetElement, number>>,
): { masses: Masses; objective: number } {
  const wanted = elements
    .filter((element) => targets[element] >= nothing && weights[element] > 0)
    .map((element) => ({ element, scale: Math.sqrt(weights[element]) / targets[element] }))
    .sort((a, b) => b.scale - a.scale);
  const columns = salts.map(({ fractions }, place) => [
    ...wanted.map(({ element, scale }) => 1000 * fraction(fractions, element) * scale),
    ...salts.map((_, other) => (other === place ? 1e-3 : 0)),
  ]);
  const target = [
    ...wanted.map(({ element, scale }) => (targets[element] - level(start, element)) * scale),
    ...salts.map(() => 0),
  ];
  const masses = nonNegativeLeastSquares(columns, target).map((kilograms) => 1000 * kilograms);
  const feed = delivered(start, salts, masses);
  const objective = wanted.reduce(
    (sum, { element, scale }) => sum + ((level(feed, element) - targets[element]) * scale) ** 2,
    0,
  );
  return { masses, objective };
}

/**
 * The one salt of `shelf` that would bring the recipe by hand nearest to its targets, or undefined when none helps.
 * Ties go to the first id of the alphabet.
 */
export function saltToBuy<Shelved extends Salt>(
  start: Feed,
  salts: readonly Salt[],
  targets: Targets,
  shelf: readonly Shelved[],
): Shelved | undefined {
  const off = (list: readonly Salt[]) =>
    sumOfMisses(delivered(start, list, stepwise(start, list, targets).masses), targets);
  const present = off(salts);
  const listed = new Set(salts.map(({ id }) => id));
  let best: { salt: Shelved; off: number } | undefined;
  for (const salt of [...shelf].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    if (listed.has(salt.id)) continue;
    const remaining = off([...salts, salt]);
    if (remaining < present - 1e-6 && (best === undefined || remaining < best.off - 1e-9))
      best = { salt, off: remaining };
  }
  return best?.salt;
}

/** Below this a target [mg/L] asks for nothing and a share [g/g] is no source; far under what any laboratory can find. */
const nothing = 1e-9;

type Has = (element: TargetElement) => boolean;

const order: readonly {
  readonly role: Role;
  readonly fits: (has: Has) => boolean;
  readonly bounded: readonly TargetElement[];
}[] = [
  { role: "calcium", fits: (has) => has("Ca"), bounded: ["Ca"] },
  { role: "phosphorus", fits: (has) => has("P") && !has("Ca"), bounded: ["P"] },
  { role: "magnesium nitrate", fits: (has) => has("Mg") && has("N") && !has("Ca") && !has("P"), bounded: ["Mg", "N"] },
  { role: "magnesium sulphate", fits: (has) => has("Mg") && !has("N") && !has("Ca") && !has("P"), bounded: ["Mg"] },
  {
    role: "potassium nitrate",
    fits: (has) => has("K") && has("N") && !has("P") && !has("Ca") && !has("Mg"),
    bounded: ["N", "K"],
  },
  {
    role: "potassium sulphate",
    fits: (has) => has("K") && !has("N") && !has("P") && !has("Ca") && !has("Mg"),
    bounded: ["K"],
  },
];
