import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { wholeUp } from "../science/counting.ts";
import { binomialAtLeast } from "../science/distributions.ts";
import {
  averageCells as averageOf,
  cellChance as chanceOf,
  potSeed,
  safeCells as safeOf,
  shareInterval,
  standingOf,
} from "../science/seed.ts";
import { amount, everyday, fault, flag, optional, several, text, usually } from "./input.ts";
import { ok, type Solved, warn, worksheet } from "./worksheet.ts";

export const germinationTest = worksheet({
  id: "germination-test",
  question: "Is this lot good enough?",
  input: z
    .strictObject({
      tests: several(
        z.strictObject({
          up: everyday({ unit: "", min: 0, whole: true, label: "Cells with a shoot" }),
          sown: everyday({ unit: "", min: 1, whole: true, label: "Cells sown" }),
        }),
        { min: 1, max: 20, label: "Tests of this lot", help: "Count cells with a shoot, not shoots" },
      ),
      standardPercent: optional(amount({ unit: "%", min: 0, max: 100, label: "Standard to meet" })),
    })
    .superRefine(({ tests }, context) => {
      for (const [index, { up, sown }] of tests.entries()) {
        if (up > sown) {
          fault(
            context,
            ["tests", index, "up"],
            `Unexpected ${up} of ${sown}, expected no more cells up than sown: count cells, not shoots`,
          );
        }
      }
    }),
  example: { tests: [{ up: 36, sown: 50 }], standardPercent: 80 },
  answer: {
    up: { unit: "", label: "Cells up" },
    sown: { unit: "", label: "Cells sown" },
    percent: { unit: "%", label: "Germination", digits: 3, key: true },
    low: { unit: "%", label: "At least", digits: 3, key: true },
    high: { unit: "%", label: "At most", digits: 3, key: true },
    standing: { unit: "", label: "Against the standard", key: true },
  },
  cautions: [],
  source: "Wilson 1927, Journal of the American Statistical Association 22:209–212; 95 % interval",
  solve({ tests, standardPercent }) {
    const up = tests.reduce((sum, test) => sum + test.up, 0);
    const sown = tests.reduce((sum, test) => sum + test.sown, 0);
    const { share, low, high } = shareInterval({ good: up, total: sown });
    const standing =
      standardPercent === undefined ? null : standingOf({ good: up, total: sown }, standardPercent / 100);
    const standard = quantity(standardPercent ?? 0, "%");
    const p = number(share);
    return {
      answer: { up, sown, percent: 100 * share, low: 100 * low, high: 100 * high, standing },
      working: [
        `Germination = ${tests.map((test) => test.up).join(" + ")} of ${tests.map((test) => test.sown).join(" + ")} = ${up} ÷ ${sown} = ${quantity(100 * share, "%", 3)}`,
        `Centre = (${p} + 1.96² ÷ (2 × ${sown})) ÷ (1 + 1.96² ÷ ${sown}) = ${number((low + high) / 2)}`,
        `Half-width = 1.96 ÷ (1 + 1.96² ÷ ${sown}) × √(${p} × (1 − ${p}) ÷ ${sown} + 1.96² ÷ (4 × ${sown}²)) = ${number((high - low) / 2)}`,
        `So ${number(100 * low, 3)} to ${quantity(100 * high, "%", 3)}`,
      ],
      notes: [
        sown < 20 && warn(`With ${sown} cells there is no verdict: sow 50 or more.`),
        sown < 50 && warn("Fewer than 50 cells are a guide at best; a formal test has 400."),
        standing === "not proven" &&
          warn(
            `Not proven: the interval has the standard of ${standard} inside it. Sow by the test meanwhile, and retest.`,
          ),
        standing === "below" && warn(`The lot is below the standard of ${standard}, beyond chance.`),
        standing === "above" && ok(`The lot is above the standard of ${standard}, beyond chance.`),
      ],
    };
  },
});

export const cellsToSow = worksheet({
  id: "cells-to-sow",
  question: "How many cells to be sure of enough?",
  input: z.strictObject({
    need: amount({ unit: "", min: 0, max: 100_000, whole: true, label: "Plugs needed" }),
    germinationPercent: amount({ unit: "%", min: 0, max: 100, label: "Germination of the lot" }),
    usablePercent: usually(everyday({ unit: "%", min: 0, max: 100, label: "Of the plugs that come up, usable" }), 100),
    confidencePercent: usually(amount({ unit: "%", min: 50, max: 99.9, label: "How sure" }), 95),
    seedsPerCell: usually(amount({ unit: "", min: 1, max: 10, whole: true, label: "Seeds in a cell" }), 1),
    cellsPerTray: optional(everyday({ unit: "", min: 1, whole: true, label: "Cells in a tray" })),
  }),
  example: { need: 120, germinationPercent: 72, usablePercent: 95, cellsPerTray: 104 },
  answer: {
    cellChance: { unit: "", label: "Chance of a usable plug from a cell", digits: 3 },
    averageCells: { unit: "", label: "Cells by the average" },
    averageChancePercent: { unit: "%", label: "Chance that the average is enough", digits: 3 },
    safeCells: { unit: "", label: "Cells to sow", key: true },
    seeds: { unit: "", label: "Seeds", key: true },
    trays: { unit: "", label: "Trays", key: true },
    spareCells: { unit: "", label: "Spare cells" },
  },
  cautions: [],
  source: "binomial distribution, exact",
  solve({ need, germinationPercent, usablePercent, confidencePercent, seedsPerCell, cellsPerTray }): Solved {
    const germination = germinationPercent / 100;
    const usable = usablePercent / 100;
    const confidence = confidencePercent / 100;
    const cellChance = chanceOf({ germination, usable, seeds: seedsPerCell });
    const single = germination * usable;
    const working = [
      `Chance of a cell = (1 − (1 − ${number(germination)})^${seedsPerCell}) × ${number(usable)} = ${number(cellChance)}`,
    ];
    const weak =
      single < 0.6 - 1e-12 &&
      warn(`Only ${quantity(100 * single, "%", 3)} of the seeds give a usable plug: a weak lot. Find out why.`);
    if (need > 0 && single <= 0.4 + 1e-12) {
      const wanted = usable > 0 ? (100 * 0.4) / usable : undefined;
      const way =
        wanted === undefined || wanted > 100
          ? "No germination can make up for so few usable plugs."
          : `It would take a germination above ${quantity(wanted, "%", 3)}.`;
      return {
        answer: {
          cellChance,
          averageCells: null,
          averageChancePercent: null,
          safeCells: null,
          seeds: null,
          trays: null,
          spareCells: null,
        },
        working,
        notes: [weak],
        refusal: {
          why: `Germination times usable is ${number(single, 3)}, and at 0.4 or under a sowing cannot be relied on: change the lot. ${way}`,
          by: Math.max(0, 0.4 - single),
          nearest: wanted === undefined ? {} : { germinationPercent: wanted },
        },
      };
    }
    const averageCells = need === 0 ? 0 : averageOf(need, cellChance);
    const averageChancePercent = 100 * binomialAtLeast(need, averageCells, cellChance);
    const safeCells = safeOf({ need, chance: cellChance, confidence });
    const trays = cellsPerTray === undefined ? null : wholeUp(safeCells / cellsPerTray);
    const spareCells = trays === null || cellsPerTray === undefined ? null : trays * cellsPerTray - safeCells;
    const chance = (cells: number) => quantity(100 * binomialAtLeast(need, cells, cellChance), "%", 4);
    return {
      answer: {
        cellChance,
        averageCells,
        averageChancePercent,
        safeCells,
        seeds: safeCells * seedsPerCell,
        trays,
        spareCells,
      },
      working: [
        ...working,
        ...(need === 0
          ? ["Nothing is needed, so nothing is sown"]
          : [
              `By the average = ${need} ÷ ${number(cellChance)}, rounded up = ${averageCells}; chance of ${need} or more from them ${chance(averageCells)}`,
              `Fewest cells with ${need} or more in ${number(confidencePercent)} of 100 sowings = ${safeCells}: ${chance(safeCells)}${safeCells > need ? `, against ${chance(safeCells - 1)} from ${safeCells - 1}` : ""}`,
            ]),
        ...(trays === null
          ? []
          : [`Trays = ${safeCells} ÷ ${cellsPerTray}, rounded up = ${trays}, with ${spareCells} cells to spare`]),
      ],
      notes: [
        weak,
        spareCells !== null && spareCells > 0 && ok("Never share a tray code between two lots, even for spare cells."),
      ],
    };
  },
});

export const microPots = worksheet({
  id: "micro-pots",
  question: "How much seed and how many pots?",
  input: z.strictObject({
    pots: amount({ unit: "", min: 0, max: 100_000, whole: true, label: "Pots wanted" }),
    usablePercent: usually(everyday({ unit: "%", above: 0, max: 100, label: "Pots fit to sell" }), 100),
    areaCm2: everyday({ unit: "cm²", above: 0, label: "Area of a pot" }),
    seedsPerCm2: everyday({ unit: "/cm²", above: 0, label: "Seeds" }),
    thousandSeedGrams: everyday({ unit: "g", above: 0, label: "Mass of a thousand seeds" }),
    potsPerTray: usually(everyday({ unit: "", min: 1, label: "Pots in a tray" }), 24),
    seedFoodUse: flag({ label: "The seed is untreated and supplied for food" }),
    allergens: optional(several(text({ label: "Allergen" }), { label: "Allergens" })),
  }),
  example: {
    pots: 140,
    usablePercent: 93,
    areaCm2: 36,
    seedsPerCm2: 3,
    thousandSeedGrams: 2.3,
    seedFoodUse: true,
    allergens: ["mustard"],
  },
  answer: {
    potsToSow: { unit: "", label: "Pots to sow", key: true },
    gramsPerPot: { unit: "g", label: "Seed for a pot", digits: 3, key: true },
    totalGrams: { unit: "g", label: "Seed for all", digits: 3, key: true },
    trays: { unit: "", label: "Trays" },
    seedsPerPot: { unit: "", label: "Seeds in a pot", digits: 3 },
  },
  cautions: [
    {
      text: "Warm, wet seed breeds what it carries: food-grade untreated seed, clean hands and trays. Sprouts, cut leaf and living pots may be under different law.",
      defer: "the local food authority",
    },
    {
      text: "Mustard, celery, sesame, lupin and soya are allergens, and a garnish counts: tell the kitchen in writing.",
      defer: "food law on labelling",
    },
  ],
  source: "common practice",
  solve({ pots, usablePercent, areaCm2, seedsPerCm2, thousandSeedGrams, potsPerTray, seedFoodUse, allergens = [] }) {
    const told =
      allergens.length > 0 &&
      warn(`${allergens.length > 1 ? "Allergens" : "Allergen"}: ${list(allergens)}. Tell the kitchen.`);
    if (!seedFoodUse) {
      return {
        answer: { potsToSow: null, gramsPerPot: null, totalGrams: null, trays: null, seedsPerPot: null },
        working: ["Nothing is worked out for seed that is not for food"],
        notes: [told],
        refusal: {
          why: "This seed is not known to be untreated and supplied for food. Do not sow it to eat; ask the supplier in writing.",
          by: null,
          nearest: {},
        },
      };
    }
    const potsToSow = wholeUp(pots / (usablePercent / 100));
    const gramsPerPot = potSeed({ area: areaCm2, density: seedsPerCm2, thousandSeeds: thousandSeedGrams });
    const totalGrams = potsToSow * gramsPerPot;
    const trays = wholeUp(potsToSow / potsPerTray);
    const seedsPerPot = areaCm2 * seedsPerCm2;
    const gramsPerCm2 = gramsPerPot / areaCm2;
    return {
      answer: { potsToSow, gramsPerPot, totalGrams, trays, seedsPerPot },
      working: [
        `Pots to sow = ${pots} ÷ ${number(usablePercent / 100)}, rounded up = ${potsToSow}`,
        `Seeds in a pot = ${number(areaCm2)} × ${number(seedsPerCm2)} = ${number(seedsPerPot)}`,
        `Seed for a pot = ${number(areaCm2)} × ${number(seedsPerCm2)} × ${number(thousandSeedGrams)} ÷ 1000 = ${quantity(gramsPerPot, "g")}`,
        `Seed for all = ${potsToSow} × ${number(gramsPerPot)} = ${quantity(totalGrams, "g")}`,
        `Trays = ${potsToSow} ÷ ${number(potsPerTray)}, rounded up = ${trays}`,
      ],
      notes: [
        told,
        gramsPerCm2 > 0.5 + 1e-12 &&
          warn(`${quantity(gramsPerCm2, "g/cm²", 3)} is very thick: it heats and rots. Check the seeds for each cm².`),
      ],
    };
  },
});
