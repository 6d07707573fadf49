import { z } from "zod";
import { number, quantity } from "../format.ts";
import { deviation, doseStrength, drawnPercent, lineEc, settingFor, shareAddedTo } from "../science/delivery.ts";
import { backflow, concentrate } from "./delivery.ts";
import { amount, choice, everyday, fault, optional, shown, text, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

/** Room for the last bits of floating-point sums, in comparisons with a limit. */
const slack = 1e-9;

export const injectorSetting = worksheet({
  id: "injector-setting",
  question: "What setting gives the EC I want?",
  input: z
    .strictObject({
      ecWater: amount({ unit: "mS/cm", min: 0, max: 5, label: "EC of the water alone" }),
      ecLine: amount({ unit: "mS/cm", min: 0, max: 10, label: "EC of the line, after the injector" }),
      settingPercent: everyday({ unit: "%", above: 0, max: 10, label: "Setting when the line was read" }),
      ecTarget: amount({ unit: "mS/cm", min: 0, max: 10, label: "EC wanted" }),
      minPercent: usually(everyday({ unit: "%", above: 0, max: 10, label: "Lowest setting" }), 0.2),
      maxPercent: usually(everyday({ unit: "%", above: 0, max: 10, label: "Highest setting" }), 2.0),
    })
    .superRefine(({ minPercent, maxPercent }, context) => {
      if (minPercent > maxPercent) {
        fault(
          context,
          ["minPercent"],
          `Unexpected ${minPercent} above maxPercent ${maxPercent}, expected the smaller figure first`,
        );
      }
    }),
  example: { ecWater: 0.1, ecLine: 1.55, settingPercent: 1, ecTarget: 2.2 },
  answer: {
    neededPercent: { unit: "%", label: "Setting", digits: 3, key: true },
    ecPerPercent: { unit: "mS/cm per %", label: "EC that 1 % adds", digits: 3 },
    ecLowest: { unit: "mS/cm", label: "Lowest EC within the range", digits: 3 },
    ecHighest: { unit: "mS/cm", label: "Highest EC within the range", digits: 3 },
    stockFactor: { unit: "", label: "Times the stock's strength", digits: 3 },
  },
  cautions: [concentrate, backflow],
  source: "proportional dosing; common practice",
  solve({ ecWater, ecLine, settingPercent, ecTarget, minPercent, maxPercent }) {
    const strength = doseStrength({ ecWater, ecLine, setting: settingPercent });
    const together = ok("Move both heads together: one head alone changes the balance of the elements.");
    const strengthLine = `EC that 1 % adds = (${number(ecLine)} − ${number(ecWater)}) ÷ ${number(settingPercent)} = ${number(strength)} mS/cm`;
    if (strength <= 0) {
      return {
        answer: { neededPercent: null, ecPerPercent: strength, ecLowest: null, ecHighest: null, stockFactor: null },
        working: [strengthLine],
        notes: [together],
        refusal: {
          why: `The line is no stronger than the water alone, so no stock arrives: look for an empty tub, a blocked strainer or a worn seal, and check both readings.`,
          by: null,
          nearest: {},
        },
      };
    }
    const needed = settingFor({ ecWater, ecTarget, strength });
    const ecLowest = lineEc({ ecWater, strength, setting: minPercent });
    const ecHighest = lineEc({ ecWater, strength, setting: maxPercent });
    const tooStrong = needed > maxPercent + slack;
    const tooWeak = needed < minPercent - slack;
    const byWater = ecTarget <= ecWater;
    const stockFactor = byWater || !(tooStrong || tooWeak) ? null : needed / (tooStrong ? maxPercent : minPercent);
    const nearEnd =
      !tooStrong && !tooWeak && (needed > 0.95 * maxPercent + slack || needed < 1.05 * minPercent - slack);
    return {
      answer: { neededPercent: needed, ecPerPercent: strength, ecLowest, ecHighest, stockFactor },
      working: [
        strengthLine,
        `Setting = (${number(ecTarget)} − ${number(ecWater)}) ÷ ${number(strength)} = ${quantity(needed, "%")}`,
        `EC within the range: ${number(ecWater)} + ${number(strength)} × ${number(minPercent)} = ${quantity(ecLowest, "mS/cm")} to ${number(ecWater)} + ${number(strength)} × ${number(maxPercent)} = ${quantity(ecHighest, "mS/cm")}`,
        stockFactor !== null &&
          `Stock strength × ${number(needed)} ÷ ${number(tooStrong ? maxPercent : minPercent)} = ${number(stockFactor)}`,
      ].filter((line) => line !== false),
      notes: [
        together,
        nearEnd &&
          warn(
            `${quantity(needed, "%")} is at the end of its range: a worn injector is least true there. Change the stock instead.`,
          ),
      ],
      refusal: byWater
        ? {
            why: `The water alone is ${quantity(ecWater, "mS/cm")}, and dosing only adds to it. Blend with a softer water.`,
            by: ecWater - ecTarget,
            nearest: { ec: ecLowest },
          }
        : tooStrong
          ? {
              why: `${quantity(ecTarget, "mS/cm")} is too strong for this stock: it needs ${quantity(needed, "%")} and the injector ends at ${quantity(maxPercent, "%")}. Make the stock ${number(stockFactor ?? 0, 3)} times as strong.`,
              by: needed - maxPercent,
              nearest: { ec: ecHighest, stockFactor },
            }
          : tooWeak
            ? {
                why: `${quantity(ecTarget, "mS/cm")} is too weak for this stock: it needs ${quantity(needed, "%")} and the injector starts at ${quantity(minPercent, "%")}. Make the stock ${number(stockFactor ?? 0, 3)} times as strong.`,
                by: minPercent - needed,
                nearest: { ec: ecLowest, stockFactor },
              }
            : undefined,
    };
  },
});

export const ratioWording = worksheet({
  id: "ratio-wording",
  question: "What does 1:100 mean on this machine?",
  input: z.strictObject({
    ratio: text({ label: "Ratio", help: "As printed: 1:100, 100:1 or 1 %" }).superRefine((written, context) => {
      if (ratioOf(written) === undefined) {
        context.addIssue({
          code: "custom",
          message: `Unexpected ${shown(written)}, expected a ratio such as 1:100 or 1 %, with less stock than water`,
        });
      }
    }),
    means: optional(
      choice(["to", "in"], { label: "The manual means", help: "1 part to 100 of water, or 1 part in 100 of feed" }),
    ),
    heads: usually(amount({ unit: "", min: 1, max: 4, whole: true, label: "Heads" }), 2),
  }),
  example: { ratio: "1:100" },
  answer: {
    percentIfIn: { unit: "%", label: "Each head, if it means parts in the feed", digits: 4, key: true },
    percentIfTo: { unit: "%", label: "Each head, if it means parts to the water", digits: 4, key: true },
    weakByPercent: { unit: "%", label: "Weaker by, if “to”", digits: 3 },
    massFactor: { unit: "", label: "Times the grams, if “to”", digits: 4 },
    percentPerHead: { unit: "%", label: "Each head, as the manual means it", digits: 4 },
  },
  cautions: [],
  source:
    "common practice in fertiliser injection; University of Maryland Extension FS-1121 reads 1:50 as 1 part in 50 parts of feed",
  solve({ ratio, means, heads }) {
    const part = ratioOf(ratio) ?? 0;
    const percentIfIn = 100 * part;
    const percentIfTo = 100 * shareAddedTo(part, heads);
    const massFactor = 1 + heads * part;
    const weakByPercent = (100 * heads * part) / massFactor;
    return {
      answer: {
        percentIfIn,
        percentIfTo,
        weakByPercent,
        massFactor,
        percentPerHead: means === undefined ? null : means === "in" ? percentIfIn : percentIfTo,
      },
      working: [
        `Stock for one part of ${shown(ratio)}: r = ${number(part, 6)}; in the feed that is ${quantity(percentIfIn, "%")}`,
        `To the water: ${number(percentIfIn)} ÷ (1 + ${heads} × ${number(part, 6)}) = ${quantity(percentIfTo, "%")}`,
        `Weaker by 100 × ${heads} × ${number(part, 6)} ÷ ${number(massFactor, 6)} = ${quantity(weakByPercent, "%")}; grams × ${number(massFactor, 6)} make it up`,
      ],
      notes: [
        means === undefined &&
          weakByPercent >= 3 - slack &&
          warn(
            `The two readings of ${shown(ratio)} are ${quantity(weakByPercent, "%", 3)} apart. Look in the machine's manual which it means, and write it on the machine's record.`,
          ),
        means === undefined &&
          weakByPercent < 3 - slack &&
          ok(`The two readings are ${quantity(weakByPercent, "%", 3)} apart, which a grower will not see.`),
      ],
    };
  },
});

export const catchTest = worksheet({
  id: "catch-test",
  question: "Is the injector telling the truth?",
  input: z.strictObject({
    mlDrawn: everyday({ unit: "mL", min: 0, label: "Stock drawn by the head" }),
    litresWater: everyday({ unit: "L", above: 0, label: "Water metered meanwhile", help: "At least 20 L" }),
    dialPercent: everyday({ unit: "%", above: 0, max: 10, label: "Setting on the dial" }),
    mlDrawnB: optional(everyday({ unit: "mL", min: 0, label: "Stock drawn by the second head" })),
  }),
  example: { mlDrawn: 905, litresWater: 96, dialPercent: 1 },
  answer: {
    truePercent: { unit: "%", label: "True setting", digits: 3, key: true },
    deviationPercent: { unit: "%", label: "Off the dial by", digits: 3, key: true },
    truePercentB: { unit: "%", label: "True setting, second head", digits: 3 },
    deviationPercentB: { unit: "%", label: "Second head off the dial by", digits: 3 },
    headDifferencePercent: { unit: "%", label: "Second head against the first", digits: 3 },
  },
  cautions: [concentrate],
  source: "extension practice for injector checks",
  solve({ mlDrawn, litresWater, dialPercent, mlDrawnB }) {
    const truePercent = drawnPercent(mlDrawn, litresWater);
    const off = 100 * (truePercent / dialPercent - 1);
    const truePercentB = mlDrawnB === undefined ? null : drawnPercent(mlDrawnB, litresWater);
    const offB = truePercentB === null ? null : 100 * (truePercentB / dialPercent - 1);
    const headDifferencePercent = mlDrawnB === undefined ? null : (deviation(mlDrawnB, mlDrawn) ?? null);
    const worst = Math.max(Math.abs(off), Math.abs(offB ?? 0));
    const line = (head: string, drawn: number, share: number, percent: number) =>
      `${head}: ${number(drawn)} ÷ ${number(litresWater)} ÷ 10 = ${quantity(share, "%")}; 100 × (${number(share)} ÷ ${number(dialPercent)} − 1) = ${quantity(percent, "%")}`;
    return {
      answer: { truePercent, deviationPercent: off, truePercentB, deviationPercentB: offB, headDifferencePercent },
      working: [
        line("First head", mlDrawn, truePercent, off),
        mlDrawnB !== undefined && line("Second head", mlDrawnB, truePercentB ?? 0, offB ?? 0),
        headDifferencePercent !== null &&
          `Second against first: 100 × (${number(mlDrawnB ?? 0)} − ${number(mlDrawn)}) ÷ ${number(mlDrawn)} = ${quantity(headDifferencePercent, "%")}`,
      ].filter((text) => text !== false),
      notes: [
        worst > 5 + slack &&
          warn(
            `A head is ${quantity(worst, "%", 3)} off its dial: service seals, strainer and check valve, and test again.`,
          ),
        headDifferencePercent !== null &&
          Math.abs(headDifferencePercent) > 5 + slack &&
          warn(
            `The heads differ by ${quantity(Math.abs(headDifferencePercent), "%", 3)}: the balance of the elements is off, and EC will hardly show it.`,
          ),
        mlDrawnB !== undefined &&
          headDifferencePercent === null &&
          warn("The first head drew nothing, so the heads cannot be compared."),
      ],
      refusal:
        litresWater < 20 - slack
          ? {
              why: `${quantity(litresWater, "L")} is too short a test to trust: the injector gives in strokes.`,
              by: 20 - litresWater,
              nearest: { litresWater: 20 },
            }
          : worst > 10 + slack
            ? {
                why: `A head is ${quantity(worst, "%", 3)} off its dial. Stop dosing until it is mended; over 10 % shows in the crop within three weeks.`,
                by: worst - 10,
                nearest: {},
              }
            : undefined,
    };
  },
});

/** The stock's part in a ratio written `1:100`, `100:1` or `1 %`, above 0 and below 1; undefined when it is none of these. */
function ratioOf(written: string): number | undefined {
  const figure = String.raw`(\d+(?:\.\d+)?)`;
  const parts = new RegExp(`^\\s*${figure}\\s*:\\s*${figure}\\s*$`).exec(written);
  const percent = new RegExp(`^\\s*${figure}\\s*%\\s*$`).exec(written);
  const ratio = parts
    ? Math.min(Number(parts[1]), Number(parts[2])) / Math.max(Number(parts[1]), Number(parts[2]))
    : percent
      ? Number(percent[1]) / 100
      : Number.NaN;
  return ratio > 0 && ratio < 1 ? ratio : undefined;
}
