import { z } from "zod";
import { date as dateSaid, list, number, quantity } from "../format.ts";
import { daysBetween } from "../science/calendar.ts";
import { smallestWeighable, solubility } from "../science/tubs.ts";
import { amount, choice, date, each, fault, optional, text, together, usually } from "./input.ts";
import { onceEach, saltName, weighedSaltInput } from "./shelf.ts";
import {
  solubilityAnswer,
  solubilityFields,
  solubilityNotes,
  solubilityRefusal,
  solubilityWorking,
  worstWhere,
} from "./tub-limits.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

/** Trace elements: the most one may ask for, the usual range, and the element's share of its usual salt or chelate. */
const traces = {
  Fe: { max: 15, usual: [0.8, 4], share: 0.11 },
  Mn: { max: 10, usual: undefined, share: 0.325 },
  Zn: { max: 10, usual: undefined, share: 0.227 },
  B: { max: 3, usual: [0.15, 0.7], share: 0.174 },
  Cu: { max: 5, usual: undefined, share: 0.254 },
  Mo: { max: 1, usual: [0.02, 0.1], share: 0.396 },
} as const;
const traceElements = ["Fe", "Mn", "Zn", "B", "Cu", "Mo"] as const;

/** The highest pH at which each chelate still holds its iron. Common practice. */
const chelateCeiling = { EDTA: 6, DTPA: 7, EDDHA: 9 } as const;

export const traceWeights = worksheet({
  id: "trace-weights",
  question: "Can my scale weigh the trace salts?",
  input: z.strictObject({
    targets: each(traceElements, (element) =>
      optional(amount({ unit: "mg/L", min: 0, max: traces[element].max, label: `${element} wanted` })),
    )
      .superRefine((targets, context) => {
        if (traceElements.every((element) => targets[element] === undefined)) {
          fault(context, [], `Missing, expected at least one of ${traceElements.join(", ")}`);
        }
      })
      .meta({ label: "Wanted in the feed", unit: "mg/L" }),
    water: usually(
      each(traceElements, (element) =>
        optional(amount({ unit: "mg/L", min: 0, max: traces[element].max, label: `${element} in the water` })),
      ),
      {} as Record<(typeof traceElements)[number], number | undefined>,
    ),
    fractions: optional(
      each(traceElements, (element) =>
        usually(amount({ unit: "", above: 0, max: 1, label: `${element}, share of its salt` }), traces[element].share),
      ),
    ),
    treatedM3: amount({ unit: "m³", above: 0, max: 1000, label: "Feed that the tub makes" }),
    scaleDivisionGrams: usually(amount({ unit: "g", above: 0, max: 100, label: "Scale division" }), 0.1),
    ironChelate: usually(choice(["EDTA", "DTPA", "EDDHA"], { label: "Iron chelate" }), "DTPA"),
    feedPh: optional(amount({ unit: "pH", min: 0, max: 14, label: "pH of the feed" })),
  }),
  example: {
    targets: { Fe: 2, Mn: 0.5, Zn: 0.25, B: 0.35, Cu: 0.06, Mo: 0.05 },
    treatedM3: 10,
    scaleDivisionGrams: 0.1,
  },
  answer: {
    "grams.*": { unit: "g", label: "Weigh", digits: 4, key: true },
    "weighErrorPercent.*": { unit: "%", label: "Error of weighing", digits: 2 },
    smallestGrams: { unit: "g", label: "Least that the scale weighs to 2 %", digits: 3 },
    carrier: { unit: "", label: "By carrier solution" },
    "carrierGrams.*": { unit: "g", label: "Weigh ten times, dissolve in 1 L, use 100 mL", digits: 4 },
  },
  cautions: [
    {
      text: "Trace salts are dusty and several are harmful by mouth or lung: mask, gloves, still air, never a pinch or a spoon.",
      defer: "The product's safety data sheet decides.",
    },
  ],
  source: "common practice: half a division is at most 2 % of what is weighed",
  solve({ targets, water, fractions, treatedM3, scaleDivisionGrams: division, ironChelate, feedPh }) {
    const smallest = smallestWeighable(division);
    const rows = traceElements.flatMap((element) => {
      const target = targets[element];
      if (target === undefined) return [];
      const share = fractions?.[element] ?? traces[element].share;
      const present = water[element];
      const grams = (Math.max(0, target - (present ?? 0)) / share) * treatedM3;
      const error = (100 * division) / 2 / grams;
      return [{ element, target, share, present, grams, error: Number.isFinite(error) ? error : undefined }];
    });
    const light = rows.filter(({ grams }) => grams > 0 && grams < smallest);
    const least = light.reduce((low, row) => Math.min(low, row.grams), Number.POSITIVE_INFINITY);
    const worst = light.find(({ grams }) => grams === least);
    const blank = rows.filter(({ present }) => present === undefined).map(({ element }) => element);
    const byElement = <Value>(of: (row: (typeof rows)[number]) => Value, among = rows) =>
      Object.fromEntries(among.map((row) => [row.element, of(row)]));
    return {
      answer: {
        grams: byElement(({ grams }) => grams),
        weighErrorPercent: byElement(({ error }) => error ?? null),
        smallestGrams: smallest,
        carrier: light.map(({ element }) => element),
        carrierGrams: byElement(({ grams }) => 10 * grams, light),
      },
      working: [
        `Least to weigh = 25 × ${number(division)} = ${quantity(smallest, "g")}`,
        ...rows.map(
          ({ element, target, present, share, grams, error }) =>
            `${element}: (${number(target)} − ${number(present ?? 0)}) ÷ ${number(share)} × ${quantity(treatedM3, "m³")} = ${quantity(grams, "g")}${error === undefined ? "" : `, weighed to ${quantity(error, "%", 2)}`}`,
        ),
      ],
      notes: [
        light.length > 0 &&
          warn(
            `${list(light.map(({ element }) => element))} need a carrier solution: weigh ten times the grams, dissolve in 1 L, use 100 mL.`,
          ),
        ...rows.map(({ element, target }) => {
          const usual = traces[element].usual;
          return (
            usual !== undefined &&
            (target < usual[0] || target > usual[1]) &&
            warn(
              `${element} at ${quantity(target, "mg/L")} is outside the usual ${usual[0]}–${quantity(usual[1], "mg/L")}.`,
            )
          );
        }),
        ...rows.map(
          ({ element, target, present = 0 }) =>
            present > target &&
            warn(`The water already holds ${quantity(present, "mg/L")} of ${element}, more than the target.`),
        ),
        targets.Fe !== undefined &&
          feedPh !== undefined &&
          feedPh > chelateCeiling[ironChelate] &&
          warn(
            `${ironChelate} chelate loses its iron above pH ${chelateCeiling[ironChelate]}; the feed is at ${number(feedPh)}.`,
          ),
        blank.length > 0 && ok(`No credit is taken for ${list(blank)} in the water: it was not given.`),
      ],
      refusal:
        worst && 10 * worst.grams < smallest
          ? {
              why: `This scale cannot weigh ${worst.element}, not even ten times as much: ${quantity(10 * worst.grams, "g")} is below ${quantity(smallest, "g")}. Use a finer scale or a ready trace mix.`,
              by: smallest - 10 * worst.grams,
              nearest: { scaleDivisionGrams: (10 * worst.grams) / 25 },
            }
          : undefined,
    };
  },
});

const makeAndUse = {
  text: "A and B never meet as concentrate. Salt into water, with goggles and gloves; nitrates feed a fire: keep them dry and away from anything that burns.",
  defer: "The bags' labels and safety data sheets decide.",
} as const;

export const tubTopUp = worksheet({
  id: "tub-top-up",
  question: "May I top this tub up, and with how much?",
  input: z
    .strictObject({
      fullGrams: z
        .record(z.string(), amount({ unit: "g", min: 0, label: "Grams for a full tank" }))
        .meta({ label: "Salts of a full tank", unit: "g" }),
      tankLitres: amount({ unit: "L", above: 0, max: 2000, label: "Tank" }),
      litresLeft: amount({ unit: "L", min: 0, label: "Left in the tank" }),
      addLitres: optional(amount({ unit: "L", above: 0, label: "To add" })),
      recipeInTub: optional(text({ label: "Recipe in the tub" })),
      recipeNow: optional(text({ label: "Recipe of today" })),
      madeOn: optional(date({ label: "Made on" })),
      today: optional(date({ label: "Today" })),
      maxAgeDays: usually(amount({ unit: "days", min: 1, max: 365, label: "Oldest it may be" }), 42),
    })
    .superRefine(together("madeOn", "today"))
    .superRefine(({ tankLitres, litresLeft, madeOn, today }, context) => {
      if (litresLeft > tankLitres) {
        fault(context, ["litresLeft"], `Unexpected ${litresLeft}, expected at most the tank's ${tankLitres} L`);
      }
      if (madeOn !== undefined && today !== undefined && daysBetween(madeOn, today) < 0) {
        fault(context, ["madeOn"], `Unexpected ${madeOn} after today ${today}, expected the day the tub was made`);
      }
    }),
  example: {
    fullGrams: { "calcium-nitrate": 6684 },
    tankLitres: 100,
    litresLeft: 38,
    recipeInTub: "leaf-3",
    recipeNow: "leaf-3",
  },
  answer: {
    freeLitres: { unit: "L", label: "Room in the tank", digits: 4 },
    addLitres: { unit: "L", label: "Add", digits: 4, key: true },
    "addGrams.*": { unit: "g", label: "Weigh", digits: 5, key: true },
    ageDays: { unit: "days", label: "Age of the tub" },
  },
  cautions: [makeAndUse],
  source: "mass balance",
  solve({ fullGrams, tankLitres, litresLeft, addLitres, recipeInTub, recipeNow, madeOn, today, maxAgeDays }) {
    const freeLitres = tankLitres - litresLeft;
    const added = addLitres ?? freeLitres;
    const ageDays = madeOn === undefined || today === undefined ? null : daysBetween(madeOn, today);
    const unsaid = recipeInTub === undefined || recipeNow === undefined;
    const startAgain = { startLitres: tankLitres };
    const refusal =
      !unsaid && recipeInTub !== recipeNow
        ? {
            why: `The recipe in the tub is “${recipeInTub}” and today's is “${recipeNow}”. Use it up or empty it, rinse, and make a full tank.`,
            by: null,
            nearest: startAgain,
          }
        : ageDays !== null && ageDays > maxAgeDays
          ? {
              why: `The tub is too old: ${quantity(ageDays, "days")}, and ${number(maxAgeDays)} is the most. Empty it, rinse, and make a full tank.`,
              by: ageDays - maxAgeDays,
              nearest: startAgain,
            }
          : added > freeLitres
            ? {
                why: `There is no space for ${quantity(added, "L")}: ${quantity(freeLitres, "L")} is free.`,
                by: added - freeLitres,
                nearest: { addLitres: freeLitres },
              }
            : undefined;
    const addGrams = refusal
      ? null
      : Object.fromEntries(Object.entries(fullGrams).map(([id, grams]) => [id, (grams * added) / tankLitres]));
    return {
      answer: { freeLitres, addLitres: added, addGrams, ageDays },
      working: [
        `Room = ${number(tankLitres)} − ${number(litresLeft)} = ${quantity(freeLitres, "L")}`,
        ...(madeOn !== undefined && today !== undefined && ageDays !== null
          ? [`Age = ${dateSaid(madeOn)} to ${dateSaid(today)} = ${quantity(ageDays, "days")}`]
          : []),
        ...Object.entries(addGrams ?? {}).map(
          ([id, grams]) =>
            `${saltName(id)}: ${number(fullGrams[id] ?? 0, 5)} × ${number(added)} ÷ ${number(tankLitres)} = ${quantity(grams, "g", 5)}`,
        ),
      ],
      notes: [
        ageDays !== null &&
          ageDays > 28 &&
          ageDays <= maxAgeDays &&
          warn(`The tub is ${number(ageDays / 7, 2)} weeks old. Iron chelate fades in light: use it up soon.`),
        unsaid && warn("The recipe was not said for both the tub and today, so it is not compared."),
      ],
      refusal,
    };
  },
});

export const tubSolubility = worksheet({
  id: "tub-solubility",
  question: "Will this concentrate stay dissolved on the coldest night?",
  input: z.strictObject({
    salts: z
      .array(weighedSaltInput, { error: "Unexpected value, expected a list of salts with gramsPerM3" })
      .min(1, { error: "Unexpected empty list, expected at least one salt" })
      .superRefine(onceEach)
      .meta({ label: "Salts", unit: "g/m³" }),
    ratioPercent: amount({ unit: "%", above: 0, max: 10, label: "Injector setting" }),
    coldestTempC: usually(amount({ unit: "°C", min: -1, max: 45, label: "Coldest tub" }), 5),
  }),
  example: {
    salts: [
      { id: "calcium-nitrate", gramsPerM3: 790 },
      { id: "monopotassium-phosphate", gramsPerM3: 198 },
      { id: "magnesium-sulphate", gramsPerM3: 490 },
      { id: "potassium-nitrate", gramsPerM3: 300 },
      { id: "potassium-sulphate", gramsPerM3: 380 },
    ],
    ratioPercent: 0.5,
    coldestTempC: 5,
  },
  answer: {
    ...solubilityFields(""),
    worst: { unit: "", label: "Nearest to its limit, as a share of what dissolves", digits: 3, key: true },
    worstWhere: { unit: "", label: "Where", key: true },
  },
  cautions: [makeAndUse],
  source: "suppliers' data sheets; common practice (0.8 margin)",
  solve({ salts, ratioPercent, coldestTempC }) {
    const masses = salts.map(({ gramsPerM3 }) => gramsPerM3);
    const found = solubility(salts, masses, ratioPercent / 100, coldestTempC);
    return {
      answer: {
        ...solubilityAnswer(salts, found),
        worst: found.worst?.share ?? null,
        worstWhere: worstWhere(salts, found),
      },
      working: [
        `In the tub: g/m³ ÷ 1000 ÷ ${number(ratioPercent / 100)}, at ${quantity(coldestTempC, "°C")}`,
        ...solubilityWorking(salts, found, true),
      ],
      notes: [
        ...solubilityNotes(salts, () => true, found),
        ok(
          "Crystals on the bottom in winter mean that the feed has been weak in one element: warming does not mend what has gone down the line.",
        ),
      ],
      refusal: solubilityRefusal(salts, found),
    };
  },
});
