import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { smallestWeighable } from "../science/tubs.ts";
import { amount, choice, each, fault, optional, usually } from "./input.ts";
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
