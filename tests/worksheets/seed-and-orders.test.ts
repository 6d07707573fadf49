import { describe, it } from "vitest";
import { type Asked, amiss, answers, titled } from "./asked.ts";

const plugs = { ready: "2027-04-30", toleranceDays: 6 };
const pots = { pots: 24, areaCm2: 36, seedsPerCm2: 3, thousandSeedGrams: 2.3 };
const order = { gramsPerWeek: 2400, gramsPerCut: 32, cutIntervalDays: 9 };

const asked: readonly Asked[] = [
  {
    of: "germination-test",
    input: { tests: [{ up: 19, sown: 19 }], standardPercent: 10 },
    verdict: "warn",
    says: ["no verdict", "guide"],
    answer: { standing: "no verdict", high: 100 },
  },
  {
    of: "germination-test",
    input: { tests: [{ up: 390, sown: 400 }], standardPercent: 80 },
    verdict: "ok",
    answer: { standing: "above", percent: 97.5 },
  },
  {
    of: "germination-test",
    input: { tests: [{ up: 0, sown: 50 }] },
    verdict: "ok",
    answer: { standing: null, low: 0 },
  },
  {
    of: "cells-to-sow",
    input: { need: 120, germinationPercent: 72, usablePercent: 95, seedsPerCell: 2 },
    verdict: "ok",
    // 1 − 0.28² = 0.9216, × 0.95
    answer: { cellChance: 0.87552, safeCells: 145, seeds: 290, trays: null, spareCells: null },
  },
  {
    of: "cells-to-sow",
    input: { need: 10, germinationPercent: 40, usablePercent: 100 },
    verdict: "refuse",
    says: ["lot"],
    by: 0,
    nearest: { germinationPercent: 40 },
    answer: { cellChance: 0.4, safeCells: null },
  },
  {
    of: "cells-to-sow",
    input: { need: 10, germinationPercent: 90, usablePercent: 0 },
    verdict: "refuse",
    by: 0.4,
    nearest: {},
  },
  { of: "cells-to-sow", input: { need: 10, germinationPercent: 55 }, verdict: "warn", says: ["weak"] },
  {
    of: "cells-to-sow",
    input: { need: 0, germinationPercent: 90, cellsPerTray: 104 },
    verdict: "ok",
    answer: { averageCells: 0, averageChancePercent: 100, safeCells: 0, seeds: 0, trays: 0, spareCells: 0 },
  },
  {
    of: "micro-pots",
    input: { ...pots, seedFoodUse: false, allergens: ["sesame"] },
    verdict: "refuse",
    says: ["food", "allergen", "sesame"],
    nearest: {},
    answer: { potsToSow: null },
  },
  { of: "micro-pots", input: { ...pots, seedsPerCm2: 300, seedFoodUse: true }, verdict: "warn", says: ["thick"] },
  {
    of: "ports-for-order",
    input: { ...order, portsFree: 100 },
    verdict: "refuse",
    says: ["free"],
    by: 5,
    nearest: { gramsPerWeek: 2289.7778 },
  },
  {
    of: "ports-for-order",
    input: { ...order, portsFree: 110 },
    verdict: "warn",
    says: ["90"],
    answer: { percentOfFree: 95.454545 },
  },
  {
    of: "ports-for-order",
    input: { ...order, gramsPerWeek: 0, portsFree: 0 },
    verdict: "ok",
    answer: { ports: 0, percentOfFree: null },
  },
  {
    of: "dispatch-day",
    input: { ...plugs, toleranceDays: 3, holidays: [] },
    verdict: "refuse",
    says: ["life"],
    by: 1,
    nearest: { transitDays: 1 },
    answer: { dispatch: null, lifeLeftDays: 0 },
  },
  {
    of: "dispatch-day",
    input: { ...plugs, toleranceDays: 4 },
    verdict: "warn",
    says: ["one day", "holidays not checked"],
    answer: { dispatch: "2027-05-03", lifeLeftDays: 1 },
  },
  {
    of: "dispatch-day",
    input: { ...plugs, toleranceDays: 20, transitDays: 6, holidays: [] },
    verdict: "refuse",
    says: ["no day"],
    by: null,
    nearest: {},
  },
  {
    of: "dispatch-day",
    input: { ...plugs, lowestC: 5, highestC: 31, holidays: [] },
    verdict: "refuse",
    says: ["held"],
    by: 3,
    nearest: { date: "2027-05-04" },
  },
  {
    of: "dispatch-day",
    input: { ...plugs, lowestC: -5, highestC: 31, holidays: [], tender: false },
    verdict: "ok",
    answer: { arrives: "2027-05-05" },
  },
  {
    of: "use-by",
    input: { harvested: "2027-02-27", shelfDays: 2, today: "2027-03-03" },
    verdict: "refuse",
    says: ["past"],
    by: 2,
    nearest: {},
    answer: { daysLeft: -2 },
  },
  {
    of: "use-by",
    input: { harvested: "2027-02-27", shelfDays: 2, today: "2027-03-01" },
    verdict: "warn",
    says: ["today"],
    answer: { useBy: "2027-03-01", daysLeft: 0 },
  },
  {
    of: "use-by",
    input: { harvested: "2027-02-27", shelfDays: 2, holdLowC: 2, holdHighC: 5, storeC: 9 },
    verdict: "refuse",
    says: ["warm"],
    by: 4,
    nearest: { storeC: 5 },
    answer: { useBy: "2027-03-01" },
  },
  {
    of: "unit-cost",
    input: { costs: { seed: 0.3, labour: null }, usablePercent: 60, price: 0.4 },
    verdict: "warn",
    says: ["labour not counted", "usable", "below cost"],
    answer: { unitCost: 0.5, lossCost: 0.2, margin: -0.1, marginPercent: -25 },
  },
  {
    of: "unit-cost",
    input: { costs: { labour: 0 }, usablePercent: 80, price: 0 },
    verdict: "ok",
    answer: { margin: 0, marginPercent: null },
  },
];

describe("answers, warnings and refusals", () => {
  it.each(titled(asked))("%s %s", (_, __, wanted) => answers(wanted));
});

describe("what is not well put", () => {
  it.each([
    ["germination-test", { tests: [{ up: 51, sown: 50 }] }, "tests[0].up"],
    ["micro-pots", pots, "seedFoodUse"],
    ["dispatch-day", { ...plugs, lowestC: 9, highestC: 3 }, "lowestC"],
    ["dispatch-day", { ...plugs, holidays: ["2027-05-32"] }, "holidays[0]"],
    ["use-by", { harvested: "2027-01-01", shelfDays: 3, holdLowC: 9, holdHighC: 3 }, "holdLowC"],
    ["unit-cost", { costs: { labour: null }, usablePercent: 80 }, "costs"],
    ["unit-cost", { costs: { labour: -1 }, usablePercent: 80 }, "costs.labour"],
  ])("%s %j is said to be amiss at %s", amiss);
});
