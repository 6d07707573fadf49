import { cationsOverTen, expectedConductivity, standardMethods } from "../science/conductivity.ts";
import { ammoniumShare, anions, balance, cations, ionicStrength, type Species } from "../science/ions.ts";
import {
  delivered,
  elements,
  type Feed,
  level,
  type Masses,
  miss,
  type Step,
  type TargetElement,
  type Targets,
} from "../science/solution.ts";
import { nitrateToMove, type Solubility, type Tub, toWeighable, tubs } from "../science/tubs.ts";
import type { ShelfSalt } from "./shelf.ts";
import { solubilityAnswer, solubilityFields } from "./tub-limits.ts";
import type { AnswerField } from "./worksheet.ts";

/** A recipe that has been worked out both ways, before anybody says whether it may be mixed. */
export interface Recipe {
  readonly input: {
    readonly targets: Targets;
    readonly water: Readonly<Partial<Record<Species, number | undefined>>>;
    readonly salts: readonly ShelfSalt[];
    readonly stock: {
      readonly ratioPercent: number;
      readonly ratioMeans: "in" | "to";
      readonly heads: number;
      readonly tankLitres: number;
      readonly scaleDivisionGrams: number;
      readonly coldestTempC: number;
    };
    readonly method: "stepwise" | "least-squares";
    readonly nitricAcidMeq: number;
    readonly litresPerPortDay?: number | undefined;
  };
  /** The water with its acid. */
  readonly start: Feed;
  readonly ratio: number;
  /** Feed that one tank makes [m³]. */
  readonly treats: number;
  readonly byHand: { readonly masses: Masses; readonly steps: readonly Step[] };
  readonly bySquares: { readonly masses: Masses; readonly objective: number };
  /** Of the method chosen [g/m³]. */
  readonly masses: Masses;
  readonly dissolved: Solubility;
  /** The id of the one shelf salt that would help most. */
  buy(): string | undefined;
}

export type Grade = "met" | "near" | "missed";

/** Within 5 % is met, within 10 % is near; null where nothing was asked for. */
export function gradeOf(percent: number | undefined): Grade | null {
  if (percent === undefined) return null;
  const off = Math.abs(percent) - 1e-9;
  return off <= 5 ? "met" : off <= 10 ? "near" : "missed";
}

export type RecipeAnswer = ReturnType<typeof recipeAnswer>;

/** Every figure of the recipe; `refused` leaves out whatever somebody could weigh by. */
export function recipeAnswer(recipe: Recipe, refused: boolean) {
  const { input, start, masses, byHand, bySquares } = recipe;
  const { salts, targets, stock } = input;
  const hand = methodAnswer(recipe, byHand.masses);
  const squares = methodAnswer(recipe, bySquares.masses);
  const feed = delivered(start, salts, masses);
  const overshoot = (["Ca", "P", "Mg"] as const).filter(
    (element) => squares.delivered[element] > 1.15 * targets[element] * (1 + 1e-12),
  );
  const tubKg = inTubs(salts, (index) => (masses[index]! * recipe.treats) / 1000, sum);
  const nitrate = byHand.steps.find(({ role }) => role === "potassium nitrate")?.salt;
  const moveNitrateKg =
    nitrate !== undefined && salts[nitrate]?.tub === "B"
      ? nitrateToMove({
          inB: (masses[nitrate]! * recipe.treats) / 1000,
          tubA: tubKg.A ?? 0,
          tubB: tubKg.B ?? 0,
        })
      : 0;
  const weighed = masses.map((mass) => toWeighable(mass * recipe.treats, stock.scaleDivisionGrams));
  const missed = [hand, squares].map(({ missPercent }) => Object.values(missPercent));
  const short = [missed[0], input.method === "stepwise" ? missed[0] : missed[1]]
    .flat()
    .some((percent) => (percent ?? 0) < -5);
  const costPerM3 = cost(salts, masses);
  const readable = ionicStrength(feed) <= 1;
  const expected = readable ? expectedConductivity(feed) : undefined;
  const ec = standardMethods(feed);
  return {
    stepwise: hand,
    leastSquares: {
      ...squares,
      objective: bySquares.objective,
      overshoot,
      advised: overshoot.length === 0,
    },
    chosen: input.method,
    excess: byElement((element) => Math.max(0, level(start, element) - targets[element])),
    ec: Number.isFinite(ec) ? ec : null,
    ecQuick: cationsOverTen(feed),
    ecExpected: expected?.value ?? null,
    ecExpectedLow: expected?.low ?? null,
    ecExpectedHigh: expected?.high ?? null,
    cations: cations(feed),
    anions: anions(feed),
    balancePercent: balance(feed) ?? null,
    ammoniumSharePercent: ammoniumShare(feed) ?? null,
    alkalinityLeftMeq: input.water.HCO3 === undefined ? null : feed.HCO3 / 61.02,
    treatsM3: recipe.treats,
    tubKg,
    tubs: refused ? null : inTubs(salts, (index) => weighed[index]!, named(salts)),
    deliveredWeighed: refused
      ? null
      : feedAnswer(
          delivered(
            start,
            salts,
            weighed.map((grams) => grams / recipe.treats),
          ),
        ),
    moveNitrateKg,
    evened:
      refused || nitrate === undefined || moveNitrateKg === 0 ? null : evened(recipe, weighed, nitrate, moveNitrateKg),
    order: refused ? null : mixingOrder(recipe),
    solubility: solubilityAnswer(salts, recipe.dissolved),
    costPerM3,
    costPerPortDay:
      costPerM3 === null || input.litresPerPortDay === undefined ? null : (costPerM3 * input.litresPerPortDay) / 1000,
    suggestedSalt: short ? (recipe.buy() ?? null) : null,
  };
}

const feedSpecies = ["N", "NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"] as const;

function feedAnswer(feed: Feed): Readonly<Record<(typeof feedSpecies)[number], number>> {
  return { N: level(feed, "N"), ...feed };
}

function methodAnswer({ start, input: { salts, targets } }: Recipe, masses: Masses) {
  const feed = delivered(start, salts, masses);
  return {
    gramsPerM3: Object.fromEntries(salts.map(({ id }, index) => [id, masses[index]!])),
    delivered: feedAnswer(feed),
    missPercent: byElement((element) => miss(feed, targets, element) ?? null),
    grade: byElement((element) => gradeOf(miss(feed, targets, element))),
  };
}

function byElement<Value>(of: (element: TargetElement) => Value): Readonly<Record<TargetElement, Value>> {
  return Object.fromEntries(elements.map((element) => [element, of(element)])) as Record<TargetElement, Value>;
}

/** For each tub that holds salts, what `gather` makes of its salts' values. */
function inTubs<Held>(
  salts: readonly ShelfSalt[],
  value: (index: number) => number,
  gather: (held: readonly (readonly [index: number, value: number])[]) => Held,
): Readonly<Partial<Record<Tub, Held>>> {
  return Object.fromEntries(
    tubs.flatMap((tub) => {
      const held = salts.flatMap((salt, index) => (salt.tub === tub ? [[index, value(index)] as const] : []));
      return held.length > 0 ? [[tub, gather(held)]] : [];
    }),
  );
}

function sum(held: readonly (readonly [number, number])[]): number {
  return held.reduce((total, [, value]) => total + value, 0);
}

function named(salts: readonly ShelfSalt[]) {
  return (held: readonly (readonly [number, number])[]) =>
    Object.fromEntries(held.map(([index, grams]) => [salts[index]!.id, grams]));
}

/** The tubs once part of the potassium nitrate has gone from B to A, to the scale's division. */
function evened({ input: { salts, stock } }: Recipe, weighed: readonly number[], nitrate: number, kilograms: number) {
  const moved = Math.min(weighed[nitrate]!, toWeighable(1000 * kilograms, stock.scaleDivisionGrams));
  const left = inTubs(salts, (index) => weighed[index]! - (index === nitrate ? moved : 0), named(salts));
  return { ...left, A: { ...left.A, [salts[nitrate]!.id]: moved } };
}

/** What goes in first: the salt nearest to its limit, while the water is fresh; unknown solubility goes last. */
function mixingOrder({ input: { salts }, masses, dissolved }: Recipe) {
  return inTubs(
    salts,
    (index) => dissolved.perSalt[index]!.share ?? -1,
    (held) =>
      held
        .filter(([index]) => masses[index]! > 0)
        .sort(([, a], [, b]) => b - a)
        .map(([index]) => salts[index]!.id),
  );
}

function cost(salts: readonly ShelfSalt[], masses: Masses): number | null {
  let total = 0;
  for (const [index, { pricePerKg }] of salts.entries()) {
    if (masses[index] === 0) continue;
    if (pricePerKg === undefined) return null;
    total += (masses[index]! * pricePerKg) / 1000;
  }
  return total;
}

const milligrams = (label: string): AnswerField => ({ unit: "mg/L", label, digits: 4 });
const methodFields = (method: string): Readonly<Record<string, AnswerField>> => ({
  [`${method}.gramsPerM3.*`]: { unit: "g/m³", label: "Salt in a cubic metre of feed", digits: 4, weight: true },
  [`${method}.delivered.*`]: milligrams("Delivered"),
  [`${method}.missPercent.*`]: { unit: "%", label: "Off the target", digits: 2 },
  [`${method}.grade.*`]: { unit: "", label: "Grade" },
});

/** What each figure is measured in and called. */
export const recipeFields: Readonly<Record<string, AnswerField>> = {
  ...methodFields("stepwise"),
  ...methodFields("leastSquares"),
  "leastSquares.objective": { unit: "", label: "Sum of squared misses", digits: 3 },
  "leastSquares.overshoot": { unit: "", label: "Overshot by least squares" },
  "leastSquares.advised": { unit: "", label: "Least squares advised" },
  chosen: { unit: "", label: "Method" },
  "excess.*": milligrams("The water alone is over by"),
  ec: { unit: "mS/cm", label: "EC from its ions (Standard Methods 2510)", digits: 3 },
  ecQuick: { unit: "mS/cm", label: "EC by the quick rule", digits: 3 },
  ecExpected: { unit: "mS/cm", label: "EC to expect on a meter", digits: 3, key: true },
  ecExpectedLow: { unit: "mS/cm", label: "EC to expect, from", digits: 3 },
  ecExpectedHigh: { unit: "mS/cm", label: "EC to expect, to", digits: 3 },
  cations: { unit: "meq/L", label: "Cations", digits: 4 },
  anions: { unit: "meq/L", label: "Anions", digits: 4 },
  balancePercent: { unit: "%", label: "Charge balance", digits: 3 },
  ammoniumSharePercent: { unit: "%", label: "Ammonium share of nitrogen", digits: 3 },
  alkalinityLeftMeq: { unit: "meq/L", label: "Alkalinity left", digits: 3 },
  treatsM3: { unit: "m³", label: "Feed from one tank", digits: 4 },
  "tubKg.*": { unit: "kg", label: "Salts in the tub", digits: 4, weight: true },
  "tubs.*.*": { unit: "g", label: "Weigh", digits: 6, key: true },
  "deliveredWeighed.*": milligrams("Delivered by what is weighed"),
  moveNitrateKg: { unit: "kg", label: "Potassium nitrate that may move from B to A", digits: 4 },
  "evened.*.*": { unit: "g", label: "Weigh, with the tubs evened", digits: 6 },
  "order.*": { unit: "", label: "Order of mixing" },
  ...solubilityFields("solubility."),
  costPerM3: { unit: "¤", label: "Cost of a cubic metre", digits: 3 },
  costPerPortDay: { unit: "¤", label: "Cost a port and day", digits: 3 },
  suggestedSalt: { unit: "", label: "Salt that would help most" },
};

/** The answer of a recipe that was not worked out at all. */
export const unanswered: Readonly<Record<string, null>> = Object.fromEntries(
  [...new Set(Object.keys(recipeFields).map((path) => path.split(".")[0]!))].map((name) => [name, null]),
);
