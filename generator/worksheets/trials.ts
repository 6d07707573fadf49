import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { tQuantile } from "../science/distributions.ts";
import {
  failuresUnseen,
  findingOf,
  fisherExact,
  meanInterval,
  medianOf,
  signFlip,
  summaryOf,
} from "../science/evidence.ts";
import { shareInterval } from "../science/seed.ts";
import { amount, choice, everyday, fault, optional, several, text, usually } from "./input.ts";
import { ok, type Refusal, type Solved, warn, worksheet } from "./worksheet.ts";

export const groupSummary = worksheet({
  id: "group-summary",
  question: "What do these few plants show?",
  input: z.strictObject({
    values: several(optional(everyday({ unit: "", label: "Value" })), {
      min: 1,
      max: 1000,
      label: "One value for each plant",
      help: "Leave a plant that died blank",
    }),
    excluded: optional(
      several(
        z.strictObject({ value: optional(everyday({ unit: "", label: "Value" })), reason: text({ label: "Reason" }) }),
        { label: "Plants left out, with the reason" },
      ),
    ),
  }),
  example: { values: [9.3, 11.0, 8.7, null] },
  answer: {
    started: { unit: "", label: "Plants started" },
    died: { unit: "", label: "Died" },
    n: { unit: "", label: "Measured", key: true },
    median: { unit: "", label: "Median", key: true },
    lowest: { unit: "", label: "Lowest" },
    highest: { unit: "", label: "Highest" },
    mean: { unit: "", label: "Mean" },
    sd: { unit: "", label: "Standard deviation", digits: 3 },
    low: { unit: "", label: "Mean, at least" },
    high: { unit: "", label: "Mean, at most" },
  },
  cautions: [],
  source: "Student 1908, Biometrika 6:1–25; 95 % interval",
  solve({ values, excluded = [] }): Solved {
    const measured = values.filter((value) => value !== undefined);
    const n = measured.length;
    const died = values.length - n;
    const started = values.length + excluded.length;
    const counts = `${started} started: ${n} measured, ${died} died, ${excluded.length} excluded`;
    const left =
      excluded.length > 0 &&
      warn(`${excluded.length} excluded: ${list([...new Set(excluded.map(({ reason }) => reason))])}.`);
    if (n === 0) {
      const none = { median: null, lowest: null, highest: null, mean: null, sd: null, low: null, high: null };
      return {
        answer: { started, died, n, ...none },
        working: [counts],
        notes: [died > 0 && warn(`${died} died.`), left],
        refusal: { why: "There are none to summarise: no plant was measured.", by: null, nearest: {} },
      };
    }
    const summary = summaryOf(measured);
    const { mean, sd } = summary;
    const interval = n >= 10 && sd !== undefined ? { sd, ...meanInterval(summary) } : undefined;
    const median = medianOf(measured);
    const sorted = measured.toSorted((a, b) => a - b).map((value) => number(value, 6));
    return {
      answer: {
        started,
        died,
        n,
        median,
        lowest: Math.min(...measured),
        highest: Math.max(...measured),
        mean: n < 5 ? null : mean,
        sd: interval?.sd ?? null,
        low: interval?.low ?? null,
        high: interval?.high ?? null,
      },
      working: [
        counts,
        `In order: ${sorted.join(", ")}; median ${number(median, 6)}`,
        ...(n < 5 ? [] : [`Mean = sum ÷ ${n} = ${number(mean, 6)}`]),
        ...(interval
          ? [
              `Mean ± t × SD ÷ √n = ${number(mean, 6)} ± ${number(tQuantile(0.975, n - 1))} × ${number(interval.sd)} ÷ √${n}: ${number(interval.low, 6)} to ${number(interval.high, 6)}`,
            ]
          : []),
      ],
      notes: [
        n < 5 && warn(`${n} are too few for more than a list of every value: no mean, no interval.`),
        died > 0 && warn(`${died} died. Show losses first: more from each survivor is no gain when many die.`),
        left,
        n >= 5 && n < 10 && ok("Under ten plants a mean is shown without an interval."),
      ],
    };
  },
});

export const pairedBlocks = worksheet({
  id: "paired-blocks",
  question: "Is A better than B by enough to matter?",
  input: z
    .strictObject({
      a: several(everyday({ unit: "", label: "Value of A" }), {
        min: 1,
        max: 20,
        label: "A, one value for each block",
      }),
      b: several(everyday({ unit: "", label: "Value of B" }), { min: 1, max: 20, label: "B, in the same blocks" }),
      worthwhile: everyday({ unit: "", above: 0, label: "Least difference that matters" }),
      through: usually(
        choice(["plant", "feed"], { label: "The treatment comes by", help: "By the plant, or through the feed" }),
        "plant",
      ),
      isolatedTowers: optional(everyday({ unit: "", min: 0, whole: true, label: "Towers fed on their own" })),
    })
    .superRefine(({ a, b }, context) => {
      if (a.length !== b.length) {
        fault(
          context,
          ["b"],
          `Unexpected ${b.length} values beside ${a.length} of a, expected one pair for each block`,
        );
      }
    }),
  example: { a: [9.3, 11.0, 8.7, 10.7], b: [7.0, 8.3, 7.7, 8.0], worthwhile: 1.5 },
  answer: {
    blocks: { unit: "", label: "Blocks" },
    meanA: { unit: "", label: "Mean of A" },
    meanB: { unit: "", label: "Mean of B" },
    differences: { unit: "", label: "Differences, A less B" },
    "differences.*": { unit: "", label: "Difference, A less B" },
    meanDifference: { unit: "", label: "Mean difference", key: true },
    percentOfB: { unit: "%", label: "Difference of B", digits: 3 },
    sd: { unit: "", label: "Standard deviation of the differences", digits: 3 },
    low: { unit: "", label: "Difference, at least", digits: 3, key: true },
    high: { unit: "", label: "Difference, at most", digits: 3, key: true },
    signFlipP: { unit: "", label: "Chance of it if A and B were alike", digits: 3 },
    provisional: { unit: "", label: "Provisional" },
    words: { unit: "", label: "In words", key: true },
  },
  cautions: [],
  source: "Student 1908, Biometrika 6:1–25, 95 % interval; randomisation after Fisher 1935, The Design of Experiments",
  solve({ a, b, worthwhile, through, isolatedTowers }) {
    const blocks = a.length;
    const differences = a.map((value, index) => value - b[index]!);
    const [meanA, meanB] = [summaryOf(a).mean, summaryOf(b).mean];
    const { mean: meanDifference, sd: spread } = summaryOf(differences);
    const largest = Math.max(...[...a, ...b].map(Math.abs));
    // What the subtraction of two decimals leaves over is no spread.
    const sd = spread !== undefined && spread <= 1e-13 * largest ? 0 : spread;
    const towers = isolatedTowers ?? 0;
    const refusal = ((): Refusal | undefined => {
      if (blocks === 1) {
        return {
          why: "One pair is n = 1: it shows what happened once, not what will. It takes 4 blocks.",
          by: 3,
          nearest: { blocks: 4 },
        };
      }
      if (through === "feed" && towers < 2 * blocks) {
        return {
          why: `What comes through the feed reaches every tower on it: on one line that is n = 1 for the whole site. It takes ${2 * blocks} isolated towers, each fed on its own, and there are ${towers}.`,
          by: 2 * blocks - towers,
          nearest: { isolatedTowers: Math.max(8, 2 * blocks) },
        };
      }
      return undefined;
    })();
    const settled = refusal || blocks < 4 || !sd ? undefined : meanInterval({ n: blocks, mean: meanDifference, sd });
    const signFlipP = settled ? signFlip(differences) : null;
    const words = settled ? findingOf(settled, worthwhile) : null;
    const provisional = blocks < 6;
    return {
      answer: {
        blocks,
        meanA,
        meanB,
        differences,
        meanDifference,
        percentOfB: meanB === 0 ? null : (100 * meanDifference) / meanB,
        sd: refusal ? null : (sd ?? null),
        low: settled?.low ?? null,
        high: settled?.high ?? null,
        signFlipP,
        provisional,
        words,
      },
      working: [
        `Differences = ${differences.map((difference) => number(difference)).join(", ")}; mean ${number(meanDifference)}`,
        ...(settled && sd
          ? [
              `Mean ± t × SD ÷ √n = ${number(meanDifference)} ± ${number(tQuantile(0.975, blocks - 1))} × ${number(sd)} ÷ √${blocks}: ${number(settled.low)} to ${number(settled.high)}`,
              `Of ${2 ** blocks} choices of sign, ${number((signFlipP ?? 0) * 2 ** blocks, 12)} give a mean as far from 0: ${number(signFlipP ?? 0)}`,
              `Against ${number(worthwhile)}: ${words}`,
            ]
          : []),
      ],
      notes: [
        blocks > 1 && blocks < 4 && warn(`${blocks} blocks are too few for an interval: start at 4.`),
        !refusal &&
          sd === 0 &&
          warn("Every block shows the same difference: there is no spread to reckon an interval from."),
        provisional &&
          blocks >= 4 &&
          warn(
            "Provisional: with so few blocks the randomisation test cannot go below 0.05, and the interval leans on a normal shape.",
          ),
      ],
      refusal,
    };
  },
});

export const twoShares = worksheet({
  id: "two-shares",
  question: "Are these two survival rates different?",
  input: z.strictObject({ a: share("A"), b: optional(share("B")) }).superRefine(({ a, b }, context) => {
    for (const [name, side] of Object.entries({ a, b })) {
      if (side && side.good > side.total) {
        fault(context, [name, "good"], `Unexpected ${side.good} of ${side.total}, expected no more than the total`);
      }
    }
  }),
  example: { a: { good: 22, total: 24 }, b: { good: 15, total: 24 } },
  answer: {
    percentA: { unit: "%", label: "A", digits: 3, key: true },
    lowA: { unit: "%", label: "A, at least", digits: 3 },
    highA: { unit: "%", label: "A, at most", digits: 3 },
    percentB: { unit: "%", label: "B", digits: 3, key: true },
    lowB: { unit: "%", label: "B, at least", digits: 3 },
    highB: { unit: "%", label: "B, at most", digits: 3 },
    fisherP: { unit: "", label: "Chance of such a difference if they were alike", digits: 2, key: true },
    failureUpperRule: { unit: "%", label: "Failures not ruled out, by the rule of three", digits: 3 },
    failureUpperExact: { unit: "%", label: "Failures not ruled out, exactly", digits: 3 },
  },
  cautions: [],
  source:
    "Wilson 1927, Journal of the American Statistical Association 22:209–212; Fisher 1935, The Design of Experiments; rule of three",
  solve({ a, b }) {
    const [forA, forB] = [percents(a), b && percents(b)];
    const fisherP = b ? fisherExact(a, b) : null;
    const unseen = !b && a.good === a.total ? failuresUnseen(a.total) : undefined;
    return {
      answer: {
        percentA: forA.percent,
        lowA: forA.low,
        highA: forA.high,
        percentB: forB?.percent ?? null,
        lowB: forB?.low ?? null,
        highB: forB?.high ?? null,
        fisherP,
        failureUpperRule: unseen ? 100 * unseen.rule : null,
        failureUpperExact: unseen ? 100 * unseen.exact : null,
      },
      working: [
        `A = ${a.good} ÷ ${a.total} = ${number(forA.percent, 3)} %, ${number(forA.low, 3)} to ${quantity(forA.high, "%", 3)}`,
        ...(b && forB && fisherP !== null
          ? [
              `B = ${b.good} ÷ ${b.total} = ${number(forB.percent, 3)} %, ${number(forB.low, 3)} to ${quantity(forB.high, "%", 3)}`,
              `All tables with ${a.good + b.good} of ${a.total + b.total} good that are no likelier than this one: ${number(fisherP)}`,
            ]
          : []),
        ...(unseen
          ? [
              `None of ${a.total} failed: 100 × 3 ÷ ${a.total} = ${quantity(100 * unseen.rule, "%", 3)}; exactly 100 × (1 − 0.05^(1 ÷ ${a.total})) = ${quantity(100 * unseen.exact, "%", 3)}`,
            ]
          : []),
      ],
      notes: [
        (a.total < 20 || (b !== undefined && b.total < 20)) && warn("With fewer than 20 plants this is a guide only."),
        unseen && ok("No failure seen is not no failures: up to so many are not ruled out."),
      ],
    };
  },
});

function share(name: string) {
  return z.strictObject({
    good: everyday({ unit: "", min: 0, whole: true, label: `${name}, alive or good` }),
    total: amount({ unit: "", min: 1, max: 1_000_000, whole: true, label: `${name}, in all` }),
  });
}

function percents(count: { good: number; total: number }) {
  const { share: part, low, high } = shareInterval(count);
  return { percent: 100 * part, low: 100 * low, high: 100 * high };
}
