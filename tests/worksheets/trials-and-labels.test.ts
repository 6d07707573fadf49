import { describe, expect, it } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { run } from "../../generator/worksheets/worksheet.ts";
import { type Asked, amiss, answers, titled } from "./asked.ts";

const asked: readonly Asked[] = [
  {
    of: "group-summary",
    input: { values: [null], excluded: [{ value: 3, reason: "slug" }] },
    verdict: "refuse",
    says: ["none", "excluded", "slug"],
    answer: { started: 2, died: 1, n: 0, median: null },
  },
  { of: "group-summary", input: { values: [1, 2, 3, 4, 10] }, verdict: "ok", answer: { mean: 4, median: 3, sd: null } },
  {
    of: "group-summary",
    input: { values: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10] },
    verdict: "ok",
    // SD √(82.5 ÷ 9); t(0.975, 9) = 2.262157 (tables)
    answer: { mean: 5.5, sd: 3.02765, low: 3.334149, high: 7.665851 },
  },
  {
    of: "paired-blocks",
    input: { a: [2, 3, 4], b: [1, 1, 1], worthwhile: 1 },
    verdict: "warn",
    says: ["too few"],
    answer: { words: null, sd: 1, provisional: true },
  },
  {
    of: "paired-blocks",
    // 0.3 − 0.1 and 0.7 − 0.5 differ in their last bit, and yet are the same difference.
    input: { a: [0.3, 0.7, 1.2, 1.3], b: [0.1, 0.5, 1.0, 1.1], worthwhile: 1 },
    verdict: "warn",
    says: ["same difference"],
    answer: { sd: 0, low: null, signFlipP: null, words: null },
  },
  {
    of: "paired-blocks",
    input: { a: [2, 3, 4, 5], b: [1, 1, 1, 1], worthwhile: 1, through: "feed", isolatedTowers: 7 },
    verdict: "refuse",
    says: ["n = 1", "isolated"],
    by: 1,
    nearest: { isolatedTowers: 8 },
    answer: { meanDifference: 2.5, sd: null },
  },
  {
    of: "paired-blocks",
    input: { a: [1, 2, 3, 4, 5, 6], b: [0, 0, 0, 0, 0, 0], worthwhile: 1 },
    verdict: "ok",
    answer: { provisional: false, percentOfB: null, signFlipP: 0.03125 },
  },
  {
    of: "two-shares",
    input: { a: { good: 24, total: 24 } },
    verdict: "ok",
    answer: { failureUpperRule: 12.5, failureUpperExact: 11.734604, fisherP: null },
  },
  {
    of: "two-shares",
    input: { a: { good: 24, total: 24 }, b: { good: 19, total: 19 } },
    verdict: "warn",
    says: ["guide"],
    answer: { failureUpperRule: null, fisherP: 1 },
  },
  {
    of: "trial-size",
    input: { spreadPercent: 20, differencePercent: 20, available: 8 },
    verdict: "refuse",
    says: ["detect"],
    by: 8,
    nearest: { differencePercent: 28 },
  },
  {
    of: "trial-size",
    input: { spreadPercent: 5, differencePercent: 20, design: "pairs" },
    verdict: "warn",
    says: ["blocks"],
    answer: { each: 2, withAllowance: 4, total: 2 },
  },
  {
    of: "pool-record",
    input: { old: { mean: 10, n: 1 }, new: { mean: 20, n: 1 } },
    verdict: "warn",
    says: ["outside"],
    answer: { mean: 15, changePercent: 50 },
  },
  {
    of: "pool-record",
    input: { old: { mean: 10, n: 1 }, new: { mean: 20, n: 1 }, sameSeason: false },
    verdict: "refuse",
    says: ["apart"],
    nearest: {},
    answer: { mean: null },
  },
  {
    of: "safe-yield",
    input: { mean: 3, sd: 1, n: 2, wanted: 10 },
    verdict: "refuse",
    says: ["few"],
    by: 1,
    nearest: { n: 3 },
    answer: { safe: null, towersOnMean: 4, towersSafe: null },
  },
  // t(0.95, 3) = 2.353363 (tables): 1 − 2.353363 × 2 ÷ 2
  {
    of: "safe-yield",
    input: { mean: 1, sd: 2, n: 4, wanted: 10 },
    verdict: "refuse",
    says: ["spread"],
    by: 1.353363,
    nearest: {},
    answer: { safe: -1.353363, towersSafe: null },
  },
  { of: "safe-yield", input: { mean: 3, sd: 0.1, n: 7 }, verdict: "warn", says: ["few"], answer: { towersSafe: null } },
  {
    of: "label-code",
    input: { code: " let02-28017-07 " },
    verdict: "ok",
    answer: { body: "LET022801707", printed: "LET02-28017-07-U", valid: null },
  },
  {
    of: "label-code",
    input: { check: "let02 28017 07 u" },
    verdict: "ok",
    answer: { body: "LET022801707", printed: "LET02 28017 07 U", valid: true },
  },
  {
    of: "dilution",
    input: { wanted: 600, litres: 10, bottle: 500, bottleMonths: 7 },
    verdict: "refuse",
    says: ["bottle", "old"],
    by: 100,
    nearest: { wanted: 500 },
    answer: { millilitres: null },
  },
];

describe("answers, warnings and refusals", () => {
  it.each(titled(asked))("%s %s", (_, __, wanted) => answers(wanted));
});

describe("what is not well put", () => {
  it.each([
    ["paired-blocks", { a: [1, 2], b: [1], worthwhile: 1 }, "b"],
    ["two-shares", { a: { good: 3, total: 2 } }, "a.good"],
    ["pool-record", { old: { mean: 3, n: 1, low: 4 }, new: { mean: 3, n: 1, high: 2 } }, "old.low"],
    ["pool-record", { old: { mean: 3, n: 1 }, new: { mean: 3, n: 1, high: 2 } }, "new.high"],
    ["label-code", {}, "code"],
    ["label-code", { code: "A", check: "B" }, "check"],
    ["label-code", { crop: "LET", tray: 1 }, "sown"],
    ["label-code", { code: "LÉT" }, "code"],
    ["label-code", { code: "- -" }, "code"],
    ["label-code", { check: "A" }, "check"],
    ["label-code", { code: "A".repeat(31) }, "code"],
    ["dilution", { wanted: 0, litres: 1, bottle: 5 }, "wanted"],
  ])("%s %j is said to be amiss at %s", amiss);
});

describe("label-code", () => {
  it("warns of each tray whose check character is easily misread by hand", () => {
    const sheet = worksheets.get("label-code")!;
    const verdicts = Array.from({ length: 100 }, (_, tray) => {
      const result = run(sheet, { crop: "LET02", sown: "2028-01-17", tray, handwritten: true });
      if (!("outcome" in result)) throw new Error("There should be an answer");
      const { answer, notes } = result.outcome;
      expect(notes.some(({ text }) => text.includes("skip"))).toBe("IOSZ".includes(String(answer.character)));
      return result.outcome.verdict;
    });
    expect(verdicts).toContain("warn");
    expect(verdicts).toContain("ok");
  });
});
