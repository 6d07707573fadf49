import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { standardMethods } from "../science/conductivity.ts";
import { deviation, lineWith } from "../science/delivery.ts";
import { type Analysis, type Species, species, unmeasured } from "../science/ions.ts";
import { concentrate } from "./delivery.ts";
import { amount, choice, each, everyday, fault, optional } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

const load = (label: string) =>
  each(species, (name) => optional(everyday({ unit: "mg/L", min: 0, max: 2000, label: `${name}, ${label}` })));

const tub = (label: string) =>
  load(label)
    .superRefine((elements, context) => {
      if (species.every((name) => elements[name] === undefined)) {
        fault(context, [], `Missing, expected what the tub adds of at least one of ${species.join(", ")}`);
      }
    })
    .meta({ label, unit: "mg/L" });

/** Elements as people speak of them: nitrogen in one figure, then the rest. */
const elements = ["N", ...species] as const;
type Element = (typeof elements)[number];

const table = (label: string, unit = "mg/L") => ({ unit, label, digits: 3 });

export const oneHead = worksheet({
  id: "one-head",
  question: "What happens when one injector head alone is moved or blocked?",
  input: z.strictObject({
    tubA: tub("added by tub A at the set ratio"),
    tubB: tub("added by tub B at the set ratio"),
    water: optional(load("in the water")).meta({ label: "In the water", unit: "mg/L" }),
    head: choice(["A", "B"], { label: "The head" }),
    percentOfSet: amount({
      unit: "%",
      min: 0,
      max: 300,
      label: "Gives, of its setting",
      help: "0 is blocked, 120 is a fifth more",
    }),
  }),
  example: {
    tubA: { NO3N: 96.25, NH4N: 7.35, Ca: 127 },
    tubB: { NO3N: 46.4, P: 40, K: 189.5, Mg: 35.5, S: 51.2 },
    water: { Ca: 3, Na: 4, Cl: 6, HCO3: 12 },
    head: "A",
    percentOfSet: 120,
  },
  answer: {
    ecBefore: { unit: "mS/cm", label: "EC as set", digits: 3, key: true },
    ecAfter: { unit: "mS/cm", label: "EC now", digits: 3, key: true },
    ecChangePercent: { unit: "%", label: "Change of EC", digits: 3 },
    kToCaBefore: { unit: "", label: "K to Ca as set", digits: 3 },
    kToCaAfter: { unit: "", label: "K to Ca now", digits: 3, key: true },
    mostChanged: { unit: "", label: "Changes most" },
    "before.*": table("As set"),
    "after.*": table("Now"),
    "changePercent.*": table("Change", "%"),
  },
  cautions: [concentrate],
  source: "mass balance; EC by Standard Methods 2510",
  solve({ tubA, tubB, water = {}, head, percentOfSet }) {
    const loads = { water, tubA, tubB };
    const before = lineWith(loads, head, 1);
    const after = lineWith(loads, head, percentOfSet / 100);
    const [was, is] = [figures(before), figures(after)];
    const changePercent = Object.fromEntries(
      elements.flatMap((name) =>
        was[name] === undefined ? [] : [[name, deviation(is[name] ?? 0, was[name]) ?? null]],
      ),
    ) as Partial<Record<Element, number | null>>;
    const mostChanged = elements
      .filter((name) => changePercent[name] !== undefined && Math.abs(changePercent[name] ?? 0) > 1e-9)
      .sort((a, b) => Math.abs(changePercent[b] ?? 0) - Math.abs(changePercent[a] ?? 0))[0];
    const [ecBefore, ecAfter] = [standardMethods(before), standardMethods(after)];
    const ecChangePercent = deviation(ecAfter, ecBefore) ?? null;
    const blank = unmeasured(water).filter((name) => before[name] !== undefined);
    const shown = (["N", "K", "Ca"] as const).filter((name) => was[name] !== undefined);
    return {
      answer: {
        ecBefore,
        ecAfter,
        ecChangePercent,
        kToCaBefore: ratio(before),
        kToCaAfter: ratio(after),
        mostChanged: mostChanged ?? null,
        before: was,
        after: is,
        changePercent,
      },
      working: [
        ...shown.map((name) => line(name, loads, head, percentOfSet, is[name] ?? 0)),
        `EC as set = ${quantity(ecBefore, "mS/cm")}, now ${quantity(ecAfter, "mS/cm")}: κ° × y² ÷ 1000 of each`,
        ratio(before) !== null &&
          `K to Ca = ${number(was.K ?? 0)} ÷ ${number(was.Ca ?? 0)} = ${number(ratio(before) ?? 0, 3)}, now ${ratio(after) === null ? "without Ca" : `${number(is.K ?? 0)} ÷ ${number(is.Ca ?? 0)} = ${number(ratio(after) ?? 0, 3)}`}`,
      ].filter((text) => text !== false),
      notes: [
        Math.abs(percentOfSet - 100) > 5 &&
          mostChanged !== undefined &&
          warn(
            `The elements shift while EC says little: ${mostChanged} by ${signed(changePercent[mostChanged] ?? 0)}, EC by ${signed(ecChangePercent ?? 0)}. Dip both tubs, and test each head by itself.`,
          ),
        percentOfSet === 0 &&
          warn(`Head ${head} is blocked: the plants get only what tub ${head === "A" ? "B" : "A"} and the water hold.`),
        Math.abs(percentOfSet - 100) <= 5 && ok("Within 5 % of its setting a head is as true as it gets."),
        blank.length > 0 &&
          warn(
            `${list(blank)} of the water ${blank.length === 1 ? "was" : "were"} not measured and counted as 0. Blank is not none.`,
          ),
        ok("EC cannot tell which element is missing."),
      ],
    };
  },
});

function figures(analysis: Analysis): Partial<Record<Element, number>> {
  const { NO3N, NH4N } = analysis;
  const nitrogen = NO3N === undefined && NH4N === undefined ? {} : { N: (NO3N ?? 0) + (NH4N ?? 0) };
  return { ...nitrogen, ...(analysis as Partial<Record<Species, number>>) };
}

function ratio({ K, Ca }: Analysis): number | null {
  return K === undefined || !Ca ? null : K / Ca;
}

function line(
  name: "N" | "K" | "Ca",
  { water, tubA, tubB }: Readonly<Record<"water" | "tubA" | "tubB", Analysis>>,
  head: "A" | "B",
  percent: number,
  now: number,
): string {
  const [w, a, b] = [water, tubA, tubB].map((part) => number(figures(part)[name] ?? 0));
  const times = ` × ${number(percent / 100)}`;
  return `${name} = ${w} + ${a}${head === "A" ? times : ""} + ${b}${head === "B" ? times : ""} = ${quantity(now, "mg/L")}`;
}

function signed(percent: number): string {
  return `${percent > 0 ? "+" : ""}${quantity(percent, "%", 2)}`;
}
