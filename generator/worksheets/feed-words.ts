import { list, number, quantity } from "../format.ts";
import { limitingConductivity } from "../science/conductivity.ts";
import { ionicStrength, unmeasured } from "../science/ions.ts";
import { delivered, elements, level, miss, type TargetElement } from "../science/solution.ts";
import { smallestWeighable } from "../science/tubs.ts";
import { gradeOf, type Recipe, type RecipeAnswer } from "./feed-answer.ts";
import { saltName } from "./shelf.ts";
import { solubilityNotes, solubilityRefusal, solubilityWorking } from "./tub-limits.ts";
import { type Note, ok, type Refusal, warn } from "./worksheet.ts";

/** Why a recipe must not be mixed: an element is missed, or a tub does not dissolve. */
export function recipeRefusal(recipe: Recipe, answer: RecipeAnswer): Refusal | undefined {
  const { input, start, masses, dissolved } = recipe;
  const { salts, targets } = input;
  const feed = delivered(start, salts, masses);
  const percent = (element: TargetElement) => miss(feed, targets, element) ?? 0;
  const missed = elements.filter((element) => gradeOf(miss(feed, targets, element)) === "missed");
  const [first, ...others] = missed;
  if (first === undefined) return solubilityRefusal(salts, dissolved);

  const worst = others.reduce((most, next) => (Math.abs(percent(next)) > Math.abs(percent(most)) ? next : most), first);
  const said = missed.map((element) => {
    const figures = `${number(level(feed, element))} of ${quantity(targets[element], "mg/L")}`;
    if (percent(element) < 0) return `${element} is short (${figures})`;
    return answer.excess[element] > 0
      ? `${element} is over (${figures}) because the water brings it: blend with softer water, treat it, or aim higher`
      : `${element} is over (${figures})`;
  });
  const buy = answer.suggestedSalt;
  return {
    why: `These salts cannot make this feed: ${list(said)}.${buy ? ` The one salt that would help most is ${saltName(buy)}.` : ""}`,
    by: Math.abs(level(feed, worst) - targets[worst]),
    nearest: { element: worst, delivered: level(feed, worst), buy },
  };
}

/** What somebody should look at before mixing. */
export function recipeNotes(recipe: Recipe, answer: RecipeAnswer): readonly (Note | false)[] {
  const { input, masses, dissolved } = recipe;
  const { salts, targets, stock } = input;
  const method = input.method === "stepwise" ? answer.stepwise : answer.leastSquares;
  const { delivered: feed, grade, missPercent } = method;
  const blank = unmeasured(input.water);
  const { balancePercent: off, ammoniumSharePercent: ammonium, alkalinityLeftMeq: alkalinity } = answer;
  const least = smallestWeighable(stock.scaleDivisionGrams);
  const light = salts.filter((_, index) => masses[index]! > 0 && masses[index]! * recipe.treats < least);
  const near = elements.filter((element) => grade[element] === "near");
  const excess = elements.filter((element) => answer.excess[element] > 0);
  return [
    near.length > 0 &&
      warn(
        `${list(near.map((element) => `${element} is ${number(Math.abs(missPercent[element] ?? 0), 2)} % ${(missPercent[element] ?? 0) < 0 ? "under" : "over"}`))}: near, not met.`,
      ),
    excess.length > 0 &&
      warn(
        `The water alone is over the target: ${list(excess.map((element) => `${element} by ${quantity(answer.excess[element], "mg/L", 3)}${targets[element] === 0 ? " (none was asked for)" : ""}`))}. No salt takes it away: blend, treat or aim elsewhere.`,
      ),
    (feed.S < 30 || feed.S > 130) && warn(`Sulphur is ${quantity(feed.S, "mg/L", 3)}, outside the usual 30–130 mg/L.`),
    feed.Na > 50 && warn(`Sodium is ${quantity(feed.Na, "mg/L", 3)}, over 50: it builds up in the bases.`),
    feed.Cl > 70 && warn(`Chloride is ${quantity(feed.Cl, "mg/L", 3)}, over 70: it builds up in the bases.`),
    blank.length > 0 &&
      warn(
        `${list(blank)} ${blank.length === 1 ? "was" : "were"} not measured in the water and counted as 0. Blank is not none.`,
      ),
    ...solubilityNotes(salts, (index) => masses[index]! > 0, dissolved),
    off !== null &&
      Math.abs(off) > 5 &&
      warn(`The charge balance is ${quantity(off, "%", 3)}, more than 5 % off: look at the labels and the water test.`),
    ammonium !== null &&
      ammonium > 15 &&
      warn(`Ammonium is ${quantity(ammonium, "%", 3)} of the nitrogen, more than 15 %.`),
    alkalinity !== null &&
      alkalinity < 0.5 &&
      warn(
        `Only ${quantity(alkalinity, "meq/L", 3)} of alkalinity is left, less than 0.5: pH will drift. A little hard water steadies it.`,
      ),
    light.length > 0 &&
      warn(
        `The scale is too coarse for ${list(light.map(({ id }) => saltName(id)))}: less than ${quantity(least, "g")}, so more than 2 % off.`,
      ),
    input.method === "least-squares" &&
      !answer.leastSquares.advised &&
      warn(
        `Least squares would overshoot ${list(answer.leastSquares.overshoot)} by more than 15 % to reach the rest. Work by hand instead.`,
      ),
    answer.ecExpected !== null &&
      answer.ecExpectedLow !== null &&
      answer.ecExpectedHigh !== null &&
      ok(
        `Expect ${number(answer.ecExpectedLow, 3)} to ${quantity(answer.ecExpectedHigh, "mS/cm", 3)} on a meter that was checked. EC cannot tell which element is missing.`,
      ),
    answer.ecExpected === null && ok("EC cannot tell which element is missing."),
  ];
}

/** The sums with their numbers, line by line; no grams when the recipe is refused. */
export function recipeWorking(recipe: Recipe, answer: RecipeAnswer, mixable: boolean): readonly string[] {
  const { input, start, ratio, byHand, masses, dissolved } = recipe;
  const { salts, targets, stock } = input;
  const feed = delivered(start, salts, masses);
  const tub = (index: number) => `${saltName(salts[index]!.id)}, tub ${salts[index]!.tub}`;
  return [
    ...(input.nitricAcidMeq > 0
      ? [
          `Nitric acid: NO3-N + 14.007 × ${number(input.nitricAcidMeq)} = ${quantity(start.NO3N, "mg/L")}; HCO3 − 61.02 × ${number(input.nitricAcidMeq)}, not below 0, = ${quantity(start.HCO3, "mg/L")}`,
        ]
      : []),
    ...elements.map(
      (element) =>
        `${element}: target ${number(targets[element])} − water ${number(level(start, element))} = ${quantity(targets[element] - level(start, element), "mg/L")}`,
    ),
    ...(mixable && input.method === "stepwise"
      ? byHand.steps.map(
          ({ salt, bounds, mass }) =>
            `${saltName(salts[salt]!.id)}: ${bounds.length > 1 ? "the smaller of " : ""}${list(bounds.map(({ element, short, fraction }) => `${number(short)} mg/L of ${element} still short ÷ ${number(fraction)}`))} = ${quantity(mass, "g/m³")}`,
        )
      : []),
    ...(input.method === "least-squares"
      ? [
          `Least squares over all salts: Σ weight × ((delivered − target) ÷ target)² = ${number(answer.leastSquares.objective)}`,
        ]
      : []),
    ...(mixable && input.method === "least-squares"
      ? salts.flatMap(({ id }, index) =>
          masses[index]! > 0 ? [`${saltName(id)}: ${quantity(masses[index]!, "g/m³")}`] : [],
        )
      : []),
    ...elements.flatMap((element) => {
      const off = miss(feed, targets, element);
      const got = number(level(feed, element));
      return off === undefined
        ? [`${element} delivered: ${got} mg/L; none was asked for`]
        : [
            `${element} delivered: ${got} mg/L; 100 × (${got} − ${number(targets[element])}) ÷ ${number(targets[element])} = ${quantity(off, "%", 2)}`,
          ];
    }),
    stock.ratioMeans === "to"
      ? `Dosing share = ${number(stock.ratioPercent / 100)} ÷ (1 + ${stock.heads} × ${number(stock.ratioPercent / 100)}) = ${number(ratio)}`
      : `Dosing share = ${number(stock.ratioPercent)} ÷ 100 = ${number(ratio)}`,
    `One tank makes ${number(stock.tankLitres)} ÷ (1000 × ${number(ratio)}) = ${quantity(recipe.treats, "m³")} of feed`,
    ...(mixable
      ? salts.flatMap((_, index) =>
          masses[index]! > 0
            ? [
                `${tub(index)}: ${number(masses[index]!, 5)} × ${number(recipe.treats)} = ${quantity(masses[index]! * recipe.treats, "g", 6)}`,
              ]
            : [],
        )
      : []),
    ...solubilityWorking(salts, dissolved, mixable),
    ...(answer.ec === null
      ? []
      : [
          `EC: κ° = ${quantity(limitingConductivity(feed), "µS/cm")}, ionic strength ${quantity(ionicStrength(feed), "mol/L")}, so κ° × y² ÷ 1000 = ${quantity(answer.ec, "mS/cm")}`,
        ]),
    `Quick EC = ${number(answer.cations)} ÷ 10 = ${quantity(answer.ecQuick, "mS/cm")}`,
    ...(answer.balancePercent === null
      ? []
      : [
          `Balance = 100 × (${number(answer.cations)} − ${number(answer.anions)}) ÷ (${number(answer.cations)} + ${number(answer.anions)}) = ${quantity(answer.balancePercent, "%")}`,
        ]),
    ...(answer.ammoniumSharePercent === null
      ? []
      : [
          `Ammonium share = 100 × ${number(feed.NH4N)} ÷ ${number(level(feed, "N"))} = ${quantity(answer.ammoniumSharePercent, "%")}`,
        ]),
    ...(answer.costPerM3 === null
      ? []
      : [`Cost = Σ g/m³ × price ÷ 1000 = ${quantity(answer.costPerM3, "¤")} for a cubic metre`]),
  ];
}
