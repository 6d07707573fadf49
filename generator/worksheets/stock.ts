import { z } from "zod";
import { date as dateSaid, number, quantity } from "../format.ts";
import { daysBetween } from "../science/calendar.ts";
import { solubility } from "../science/tubs.ts";
import { amount, date, fault, optional, text, together, usually } from "./input.ts";
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
