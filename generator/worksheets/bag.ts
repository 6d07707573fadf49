import { z } from "zod";
import { number, quantity } from "../format.ts";
import { amount, each, fault, optional } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

const printed = [
  "nTotal",
  "nNitrate",
  "nAmmonium",
  "nUrea",
  "NO3",
  "NH4",
  "P2O5",
  "P",
  "K2O",
  "K",
  "CaO",
  "Ca",
  "MgO",
  "Mg",
  "SO3",
  "SO4",
  "S",
] as const;
type Printed = (typeof printed)[number];

/** For each figure of the answer, what may be printed for it and how much of that is the element. */
const elementOf = {
  nitrateN: { nNitrate: 1, NO3: 0.2259 },
  ammoniumN: { nAmmonium: 1, NH4: 0.7765 },
  ureaN: { nUrea: 1 },
  P: { P2O5: 0.4364, P: 1 },
  K: { K2O: 0.8302, K: 1 },
  Ca: { CaO: 0.7147, Ca: 1 },
  Mg: { MgO: 0.603, Mg: 1 },
  S: { SO3: 0.4005, SO4: 0.3338, S: 1 },
} as const satisfies Readonly<Record<string, Partial<Record<Printed, number>>>>;

const percent = (label: string) => ({ unit: "%", label, digits: 4 });

export const labelToElement = worksheet({
  id: "label-to-element",
  question: "What does the bag's label mean as elements?",
  input: z.strictObject({
    label: each(printed, (name) =>
      optional(amount({ unit: "%", min: 0, max: 100, label: name, help: "Percent by mass, as the bag prints it" })),
    )
      .superRefine((label, context) => {
        if (printed.every((name) => label[name] === undefined)) {
          fault(context, [], `Missing, expected at least one of ${printed.join(", ")}`);
        }
        for (const forms of Object.values(elementOf)) {
          const [first, ...others] = Object.keys(forms).filter((name) => label[name as Printed] !== undefined);
          for (const other of others) {
            fault(
              context,
              [other],
              `Unexpected ${other} beside ${first}, expected one form of an element: enter the one that the bag guarantees`,
            );
          }
        }
      })
      .meta({ label: "Label", unit: "%" }),
  }),
  example: { label: { nNitrate: 13.7, K2O: 46.3 } },
  answer: {
    N: { ...percent("Nitrogen, N"), key: true },
    nitrateN: percent("Nitrate nitrogen, NO3-N"),
    ammoniumN: percent("Ammonium nitrogen, NH4-N"),
    ureaN: percent("Urea nitrogen"),
    P: { ...percent("Phosphorus, P"), key: true },
    K: { ...percent("Potassium, K"), key: true },
    Ca: { ...percent("Calcium, Ca"), key: true },
    Mg: { ...percent("Magnesium, Mg"), key: true },
    S: { ...percent("Sulphur, S"), key: true },
  },
  cautions: [],
  source: "IUPAC standard atomic weights 2021 (Prohaska and others 2022)",
  solve({ label }) {
    const working: string[] = [];
    const element = (name: keyof typeof elementOf): number | null => {
      for (const [form, factor] of Object.entries(elementOf[name])) {
        const value = label[form as Printed];
        if (value === undefined) continue;
        working.push(
          factor === 1
            ? `${name} = ${quantity(value, "%")} as printed (${form})`
            : `${name} = ${factor} × ${number(value)} % ${form} = ${quantity(factor * value, "%")}`,
        );
        return factor * value;
      }
      return null;
    };
    const [nitrateN, ammoniumN, ureaN] = [element("nitrateN"), element("ammoniumN"), element("ureaN")];
    const split = [nitrateN, ammoniumN, ureaN].filter((part) => part !== null);
    const parts = split.length > 0 ? split.reduce((sum, part) => sum + part, 0) : null;
    const N = label.nTotal ?? parts;
    if (parts !== null && label.nTotal === undefined) {
      working.push(`N = ${split.map((part) => number(part)).join(" + ")} = ${quantity(parts, "%")}`);
    } else if (label.nTotal !== undefined) working.push(`N = ${quantity(label.nTotal, "%")} as printed (nTotal)`);
    const answer = {
      N: N ?? null,
      nitrateN,
      ammoniumN,
      ureaN,
      P: element("P"),
      K: element("K"),
      Ca: element("Ca"),
      Mg: element("Mg"),
      S: element("S"),
    };
    const apart = label.nTotal !== undefined && parts !== null ? Math.abs(parts - label.nTotal) : 0;
    const total = printed
      .filter((name) => name !== "nTotal" || parts === null)
      .reduce((sum, name) => sum + (label[name] ?? 0), 0);
    return {
      answer,
      working,
      notes: [
        (ureaN ?? 0) > 0 &&
          warn(
            `${quantity(ureaN ?? 0, "%")} of the nitrogen is urea, which roots without soil cannot use quickly. Choose another salt for a feed.`,
          ),
        ok("A bag's guarantee is a floor: the salt may hold a little more than it says."),
      ],
      refusal:
        apart > 0.2 + 1e-9
          ? {
              why: `The nitrogen split does not add up: its parts make ${quantity(parts ?? 0, "%")} and the total says ${quantity(label.nTotal ?? 0, "%")}. Read the bag again; a part may not be printed.`,
              by: apart,
              nearest: { nTotal: parts },
            }
          : total > 100 + 1e-9
            ? {
                why: `The printed figures add to ${quantity(total, "%")}, more than 100 % of the bag.`,
                by: total - 100,
                nearest: {},
              }
            : undefined,
    };
  },
});
