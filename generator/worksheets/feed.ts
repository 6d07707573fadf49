import { z } from "zod";
import { species } from "../science/ions.ts";
import { credit, elements, leastMiss, saltToBuy, stepwise } from "../science/solution.ts";
import { dosingRatio, sludge, solubility, treats, tubs } from "../science/tubs.ts";
import { recipeAnswer, recipeFields, unanswered } from "./feed-answer.ts";
import { recipeNotes, recipeRefusal, recipeWorking } from "./feed-words.ts";
import { amount, choice, each, fault, optional, usually } from "./input.ts";
import { onceEach, saltInput, shelf } from "./shelf.ts";
import { ok, worksheet } from "./worksheet.ts";

const most = { N: 600, P: 300, K: 600, Ca: 500, Mg: 300 } as const;

export const feedRecipe = worksheet({
  id: "feed-recipe",
  question: "What do I weigh into A and B?",
  input: z
    .strictObject({
      targets: each(elements, (element) =>
        amount({ unit: "mg/L", min: 0, max: most[element], label: `${element} wanted` }),
      ).meta({ label: "Targets", unit: "mg/L" }),
      water: each(species, (name) =>
        optional(amount({ unit: "mg/L", min: 0, max: 1000, label: `${name} in the water` })),
      ).meta({ label: "Water", unit: "mg/L", help: "Leave blank what was not measured" }),
      salts: z
        .array(saltInput, { error: "Unexpected value, expected a list of salts" })
        .min(1, { error: "Unexpected empty list, expected 1 to 12 salts" })
        .max(12, { error: "Unexpected length, expected at most 12 salts" })
        .superRefine(onceEach)
        .meta({ label: "Salts on the shelf", unit: "" }),
      stock: usually(
        z.strictObject({
          ratioPercent: usually(amount({ unit: "%", above: 0, max: 10, label: "Injector setting" }), 1),
          ratioMeans: usually(
            choice(["in", "to"], {
              label: "The machine's ratio is 1 part",
              help: "in so many, or to so many; its manual says",
            }),
            "in",
          ),
          heads: usually(amount({ unit: "", min: 1, max: 3, whole: true, label: "Heads" }), 2),
          tankLitres: usually(amount({ unit: "L", above: 0, max: 2000, label: "Tank" }), 100),
          scaleDivisionGrams: usually(amount({ unit: "g", above: 0, max: 100, label: "Scale division" }), 1),
          coldestTempC: usually(amount({ unit: "°C", min: -1, max: 45, label: "Coldest tub" }), 5),
        }),
        { ratioPercent: 1, ratioMeans: "in", heads: 2, tankLitres: 100, scaleDivisionGrams: 1, coldestTempC: 5 },
      ),
      method: usually(choice(["stepwise", "least-squares"], { label: "Method to weigh by" }), "stepwise"),
      weights: usually(
        each(elements, (element) => usually(amount({ unit: "", min: 0, max: 10, label: `Weight of ${element}` }), 1)),
        { N: 1, P: 1, K: 1, Ca: 1, Mg: 1 },
      ),
      nitricAcidMeq: usually(amount({ unit: "meq/L", min: 0, max: 10, label: "Nitric acid in the feed" }), 0),
      litresPerPortDay: optional(amount({ unit: "L", min: 0, max: 20, label: "Feed a port drinks in a day" })),
    })
    .superRefine(({ salts, stock }, context) => {
      const beyond = salts.filter(({ tub }) => tubs.indexOf(tub) >= stock.heads);
      if (beyond.length > 0) {
        fault(
          context,
          ["stock", "heads"],
          `Unexpected ${stock.heads}, expected a head for tub ${[...new Set(beyond.map(({ tub }) => tub))].join(" and ")}, which holds ${beyond.map(({ id }) => id).join(", ")}`,
        );
      }
    }),
  example: {
    targets: { N: 150, P: 40, K: 190, Ca: 130, Mg: 36 },
    water: { NO3N: 0, NH4N: 0, P: 0, K: 0.5, Ca: 3, Mg: 0.5, S: 1, Na: 4, Cl: 6, HCO3: 12 },
    salts: [
      "calcium-nitrate",
      "monopotassium-phosphate",
      "magnesium-sulphate",
      "potassium-nitrate",
      "potassium-sulphate",
    ],
    stock: { ratioPercent: 1, tankLitres: 100 },
  },
  answer: recipeFields,
  cautions: [
    {
      text: "A and B never meet as concentrate: calcium with phosphate or sulphate turns to sludge. Rinse jugs between tubs and mark them.",
      defer: "The bags' labels decide which salts may share a tub.",
    },
    {
      text: "Salt into water, never water onto salt. Goggles and gloves. Nitrates are oxidisers: keep them dry, swept up, and away from fuel, straw and sparks.",
      defer: "The safety data sheets and your local rules on storage decide.",
    },
    { text: "A refused recipe prints no weights: do not mix one.", defer: "Ask the person who keeps the recipes." },
  ],
  source:
    "mass balance; Lawson and Hanson 1974, non-negative least squares; Standard Methods 2510; McCleskey and others 2012 for the EC to expect",
  solve(input) {
    const { targets, water, salts, stock } = input;
    const mixed = sludge(salts);
    if (mixed.length > 0) {
      return {
        answer: unanswered,
        working: [`Tub ${mixed.join(" and ")} would hold calcium with phosphate or sulphate: nothing is worked out`],
        notes: [ok("EC cannot tell which element is missing.")],
        refusal: {
          why: `Tub ${mixed.join(" and ")} holds calcium together with phosphate or sulphate, which turns to white sludge. Put the calcium salts in a tub of their own.`,
          by: null,
          nearest: {},
        },
      };
    }
    const start = credit(water, input.nitricAcidMeq);
    const ratio = dosingRatio({ percent: stock.ratioPercent, means: stock.ratioMeans, heads: stock.heads });
    const byHand = stepwise(start, salts, targets);
    const bySquares = leastMiss(start, salts, targets, input.weights);
    const masses = input.method === "stepwise" ? byHand.masses : bySquares.masses;
    const recipe = {
      input,
      start,
      ratio,
      treats: treats(stock.tankLitres, ratio),
      byHand,
      bySquares,
      masses,
      dissolved: solubility(salts, masses, ratio, stock.coldestTempC),
      buy: (): string | undefined => saltToBuy(start, salts, targets, [...shelf.values()])?.id,
    };
    const refusable = recipeAnswer(recipe, false);
    const refusal = recipeRefusal(recipe, refusable);
    const answer = refusal ? recipeAnswer(recipe, true) : refusable;
    return {
      answer,
      working: recipeWorking(recipe, answer, refusal === undefined),
      notes: recipeNotes(recipe, answer),
      refusal,
    };
  },
});
