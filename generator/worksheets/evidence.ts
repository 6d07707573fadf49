import { z } from "zod";
import { number, quantity } from "../format.ts";
import { wholeUp } from "../science/counting.ts";
import { detectable, pooled, safeMean, trialSize as sizeOf } from "../science/evidence.ts";
import { choice, everyday, fault, flag, optional, usually } from "./input.ts";
import { ok, type Solved, warn, worksheet } from "./worksheet.ts";

export const trialSize = worksheet({
  id: "trial-size",
  question: "How many plants or pairs would show it?",
  input: z.strictObject({
    spreadPercent: everyday({
      unit: "%",
      above: 0,
      max: 200,
      label: "Spread between plants",
      help: "Coefficient of variation; for pairs, the standard deviation of the differences",
    }),
    differencePercent: everyday({ unit: "%", above: 0, max: 200, label: "Difference worth finding" }),
    design: usually(choice(["groups", "pairs"], { label: "Design" }), "groups"),
    available: optional(everyday({ unit: "", min: 1, whole: true, label: "Places for each group, or pairs" })),
  }),
  example: { spreadPercent: 20, differencePercent: 20, available: 18 },
  answer: {
    each: { unit: "", label: "In each group, or pairs", key: true },
    withAllowance: { unit: "", label: "With 2 more, as it is few", key: true },
    total: { unit: "", label: "In all" },
    detectablePercent: { unit: "%", label: "Difference that can be found", digits: 3 },
  },
  cautions: [],
  source: "normal approximation, 80 % power, 5 % two-sided",
  solve({ spreadPercent, differencePercent, design, available }) {
    const each = sizeOf({ design, spread: spreadPercent, difference: differencePercent });
    const sides = design === "groups" ? 2 : 1;
    const detectablePercent =
      available === undefined ? null : detectable({ design, spread: spreadPercent, each: available });
    const what = design === "groups" ? "to each group" : "pairs";
    return {
      answer: { each, withAllowance: each + 2, total: sides * each, detectablePercent },
      working: [
        `${number(each, 12)} ${what} = ${sides} × ((1.96 + 0.84) × ${number(spreadPercent)} ÷ ${number(differencePercent)})², rounded up, at least 2`,
        ...(detectablePercent === null || available === undefined
          ? []
          : [
              `${available} ${what} can show ${number(spreadPercent)} × 2.8 × √(${sides} ÷ ${available}) = ${quantity(detectablePercent, "%", 3)}`,
            ]),
      ],
      notes: [
        each < 4 && warn("Fewer than 4 would do by this sum; still use 4 blocks or more, or there is no interval."),
        ok("One spare plant for each treatment, grown but not swapped in later."),
      ],
      refusal:
        available !== undefined && available < each && detectablePercent !== null
          ? {
              why: `${available} ${what} cannot detect ${quantity(differencePercent, "%")}: it takes ${number(each, 12)}. They would show a difference of ${quantity(detectablePercent, "%", 3)}.`,
              by: each - available,
              nearest: { differencePercent: detectablePercent },
            }
          : undefined,
    };
  },
});

export const poolRecord = worksheet({
  id: "pool-record",
  question: "What does the record say with the new batch in?",
  input: z
    .strictObject({
      old: record("The record"),
      new: record("The new batch"),
      sameSeason: usually(flag({ label: "Of the same season" }), true),
      sameSystem: usually(flag({ label: "Grown in the same way" }), true),
    })
    .superRefine((input, context) => {
      for (const name of ["old", "new"] as const) {
        const { mean, low, high } = input[name];
        if (low !== undefined && low > mean) {
          fault(context, [name, "low"], `Unexpected ${low} above the mean ${mean}, expected no more than it`);
        }
        if (high !== undefined && high < mean) {
          fault(context, [name, "high"], `Unexpected ${high} below the mean ${mean}, expected no less than it`);
        }
      }
    }),
  example: { old: { mean: 35, n: 2, low: 33, high: 37 }, new: { mean: 41, n: 1 } },
  answer: {
    mean: { unit: "", label: "Mean", digits: 3, key: true },
    n: { unit: "", label: "Batches", key: true },
    low: { unit: "", label: "Lowest", digits: 3 },
    high: { unit: "", label: "Highest", digits: 3 },
    changePercent: { unit: "%", label: "Change of the mean", digits: 3 },
  },
  cautions: [],
  source: "weighted mean",
  solve({ old, new: added, sameSeason, sameSystem }): Solved {
    if (!sameSeason || !sameSystem) {
      const what = sameSeason ? "way of growing" : sameSystem ? "season" : "season and way of growing";
      return {
        answer: { mean: null, n: null, low: null, high: null, changePercent: null },
        working: [`Another ${what}: nothing is pooled`],
        refusal: {
          why: `They are of another ${what}: keep them apart, each with its own figure.`,
          by: null,
          nearest: {},
        },
      };
    }
    const [before, batch] = [old, added].map(({ mean, n, low = mean, high = mean }) => ({ mean, n, low, high })) as [
      Ends,
      Ends,
    ];
    const { mean, n, low, high } = pooled(before, batch);
    return {
      answer: {
        mean,
        n,
        low,
        high,
        changePercent: before.mean === 0 ? null : (100 * (mean - before.mean)) / before.mean,
      },
      working: [
        `Mean = (${number(before.n, 12)} × ${number(before.mean)} + ${number(batch.n, 12)} × ${number(batch.mean)}) ÷ ${number(n, 12)} = ${number(mean)}`,
        `Range: the widest of ${number(before.low)} to ${number(before.high)} and ${number(batch.low)} to ${number(batch.high)} = ${number(low)} to ${number(high)}`,
      ],
      notes: [
        (batch.mean > 1.5 * before.high || batch.mean < 0.5 * before.low) &&
          warn("The new batch is far outside the old range: look for a slip or a reason before it goes in."),
        ok("Keep the old value, the date and the reason beside the new one."),
      ],
    };
  },
});

export const safeYield = worksheet({
  id: "safe-yield",
  question: "What may I plan on, and how many towers is that?",
  input: z.strictObject({
    mean: everyday({ unit: "", above: 0, label: "Mean yield of a tower a week" }),
    sd: everyday({ unit: "", min: 0, label: "Standard deviation" }),
    n: everyday({ unit: "", min: 1, whole: true, label: "Tower-weeks measured" }),
    wanted: optional(everyday({ unit: "", min: 0, label: "Wanted a week", help: "In the same unit" })),
  }),
  example: { mean: 3.1, sd: 0.6, n: 12, wanted: 250 },
  answer: {
    safe: { unit: "", label: "Yield to plan on", digits: 3, key: true },
    t: { unit: "", label: "t" },
    towersOnMean: { unit: "", label: "Towers by the mean" },
    towersSafe: { unit: "", label: "Towers to plan on", key: true },
  },
  cautions: [],
  source: "Student 1908, Biometrika 6:1–25; one-sided 95 %",
  solve({ mean, sd, n, wanted }): Solved {
    const towersOnMean = wanted === undefined ? null : wholeUp(wanted / mean);
    const byMean =
      wanted === undefined || towersOnMean === null
        ? []
        : [`Towers by the mean = ${number(wanted)} ÷ ${number(mean)}, rounded up = ${number(towersOnMean, 12)}`];
    if (n < 3) {
      return {
        answer: { safe: null, t: null, towersOnMean, towersSafe: null },
        working: [`${n} measured; a spread takes 3`, ...byMean],
        refusal: { why: `${n} are too few to plan on: measure 3 at least.`, by: 3 - n, nearest: { n: 3 } },
      };
    }
    const { safe, t } = safeMean({ mean, sd, n });
    const towersSafe = wanted === undefined || safe <= 0 ? null : wholeUp(wanted / safe);
    return {
      answer: { safe, t, towersOnMean, towersSafe },
      working: [
        `Yield to plan on = ${number(mean)} − ${number(t)} × ${number(sd)} ÷ √${number(n, 12)} = ${number(safe)}`,
        ...byMean,
        ...(wanted === undefined || towersSafe === null
          ? []
          : [`Towers to plan on = ${number(wanted)} ÷ ${number(safe)}, rounded up = ${number(towersSafe, 12)}`]),
      ],
      notes: [
        n < 8 && warn(`${n} are few: the figure will move as you measure more.`),
        ok("A pilot from the best season promises too much."),
      ],
      refusal:
        safe <= 0
          ? {
              why: "The spread is as large as the yield: nothing can be planned on. Find out why towers differ so.",
              by: -safe,
              nearest: {},
            }
          : undefined,
    };
  },
});

interface Ends {
  readonly mean: number;
  readonly n: number;
  readonly low: number;
  readonly high: number;
}

function record(label: string) {
  return z.strictObject({
    mean: everyday({ unit: "", label: `${label}, mean` }),
    n: everyday({ unit: "", min: 1, whole: true, label: `${label}, how many` }),
    low: optional(everyday({ unit: "", label: `${label}, lowest` })),
    high: optional(everyday({ unit: "", label: `${label}, highest` })),
  });
}
