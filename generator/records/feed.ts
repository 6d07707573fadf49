import type { z } from "zod";
import { amount, count, date, span } from "./amounts.ts";
import { audience, history, initials, notes, reviewed, sources } from "./common.ts";
import {
  type Complain,
  everyone,
  flag,
  group,
  keyShaped,
  list,
  mapping,
  nobody,
  reference,
  sensible,
  text,
  word,
} from "./fields.ts";

const concentration = (usual?: readonly [number, number], most = 600) =>
  amount("mg/L", { within: [0, most], ...(usual ? { usual } : {}) });

/** A target solution: what the line should hold, from which salts, at which strength of stock. It stays in the house. */
export const Feed = group({
  name: text().meta({ label: "Name" }),
  version: count({ within: [1, 10_000] }).meta({ label: "Version" }),
  audience: audience().optional(),
  for: text().meta({ label: "For" }).optional(),
  targets: group({
    N: concentration([40, 350]).meta({ label: "Nitrogen" }),
    P: concentration([10, 90], 300).meta({ label: "Phosphorus" }),
    K: concentration([40, 350]).meta({ label: "Potassium" }),
    Ca: concentration([40, 250], 500).meta({ label: "Calcium" }),
    Mg: concentration([10, 80], 300).meta({ label: "Magnesium" }),
    S: concentration([15, 150], 300).meta({ label: "Sulphur" }).optional(),
    Fe: concentration([0.8, 4], 15).meta({ label: "Iron" }).optional(),
    Mn: concentration([0.1, 2], 10).meta({ label: "Manganese" }).optional(),
    Zn: concentration([0.02, 1], 10).meta({ label: "Zinc" }).optional(),
    B: concentration([0.15, 0.7], 3).meta({ label: "Boron" }).optional(),
    Cu: concentration([0.01, 0.5], 5).meta({ label: "Copper" }).optional(),
    Mo: concentration([0.02, 0.1], 1).meta({ label: "Molybdenum" }).optional(),
  }),
  ec: span("mS/cm", { within: [0, 10], usual: [0.3, 3.5] })
    .meta({ label: "EC at the line" })
    .optional(),
  ph: span("pH", { within: [0, 14], usual: [4.5, 7.5] })
    .meta({ label: "pH at the line" })
    .optional(),
  water: reference("waters").meta({ label: "Water" }),
  salts: list(reference("salts")).meta({ label: "Salts", refers: "salts" }),
  stock: group({
    ratio: amount("%", { within: [0.01, 10], like: "1 %" }).meta({ label: "Ratio" }),
    means: word(["in", "to"]).meta({
      label: "Ratio means",
      help: "`in`: parts in a hundred of finished feed. `to`: parts to a hundred of water.",
    }),
    heads: count({ within: [1, 3] }).meta({ label: "Heads" }),
    tank: amount("L", { within: [0.1, 2000], usual: [5, 200] }).meta({ label: "Tub" }),
    coldest: amount("°C", { within: [-1, 45] }).meta({ label: "Coldest night in the shed" }),
    scale: reference("gear", "scale").meta({ label: "Scale" }).optional(),
  }),
  approved: date().meta({ label: "Approved" }),
  by: initials().optional(),
  supersedes: text().meta({ label: "Replaces" }).optional(),
  reviewed: reviewed().optional(),
  notes: notes().optional(),
  history: history().optional(),
  sources: sources(),
});
export type Feed = z.output<typeof Feed>;

const percent = () => amount("%", { within: [0, 100] });

/** The analysis as the bag prints it, per cent by mass. Oxides and elements are both read; an element twice is refused. */
const analysis = () =>
  sensible(
    group({
      nTotal: percent().optional(),
      nNitrate: percent().optional(),
      nAmmonium: percent().optional(),
      nUrea: percent().optional(),
      P2O5: percent().optional(),
      P: percent().optional(),
      K2O: percent().optional(),
      K: percent().optional(),
      CaO: percent().optional(),
      Ca: percent().optional(),
      MgO: percent().optional(),
      Mg: percent().optional(),
      SO3: percent().optional(),
      S: percent().optional(),
      Na: percent().optional(),
      Cl: percent().optional(),
      Fe: percent().optional(),
      Mn: percent().optional(),
      Zn: percent().optional(),
      B: percent().optional(),
      Cu: percent().optional(),
      Mo: percent().optional(),
    }),
    sound,
  );

/** A fertiliser salt on the shelf, by its own bag. */
export const Salt = group({
  name: text().meta({ label: "Name" }),
  formula: text().meta({ label: "Formula" }).optional(),
  audience: audience().optional(),
  analysis: analysis().meta({ label: "Analysis on the bag" }),
  tub: word(["A", "B", "C"]).meta({ label: "Tub" }),
  solubility: mapping(
    keyShaped(/^-?\d+$/, "whole degrees Celsius without the unit, such as `20`"),
    amount("g/L", { within: [0.1, 3000] }),
  )
    .meta({ label: "Dissolves, g/L by °C", help: "By temperature: `{ 0: 133 g/L, 20: 316 g/L }`." })
    .optional(),
  hazard: text().meta({ label: "Hazard" }).optional(),
  place: text().meta({ label: "Kept" }).optional(),
  opened: date().meta({ label: "Opened" }).optional(),
  stock: amount("kg", { within: [0, 100_000] })
    .meta({ label: "On hand" })
    .optional(),
  counted: date().meta({ label: "Counted", help: "The day on which what is on hand was weighed." }).optional(),
  lead: amount("days", { within: [0, 365], usual: [1, 60], like: "7 days" })
    .meta({ label: "Comes within", help: "From the order until the bag is on the shelf." })
    .optional(),
  reorder: amount("kg", { within: [0, 100_000] })
    .meta({ label: "Order at" })
    .optional(),
  lot: nobody(text()).meta({ label: "Bag lot", reader: "nobody" }).optional(),
  price: nobody(amount("¤/kg", { within: [0, 100_000] }))
    .meta({ label: "Price", reader: "nobody" })
    .optional(),
  supplier: nobody(text()).meta({ label: "Supplier", reader: "nobody" }).optional(),
  reviewed: reviewed().optional(),
  notes: notes().optional(),
  sources: sources(),
});
export type Salt = z.output<typeof Salt>;

/** An analysis of a water. A line that is not there was not measured; it is never nought. */
export const Water = group({
  name: everyone(text()).meta({ label: "Name" }),
  audience: audience().optional(),
  from: word(["rain", "mains", "well", "blend", "other"]).meta({ label: "From" }),
  sampled: date().meta({ label: "Sampled" }),
  method: text().meta({ label: "Measured by" }).optional(),
  lab: nobody(text()).meta({ label: "Laboratory", reader: "nobody" }).optional(),
  ph: amount("pH", { within: [0, 14], usual: [4, 9] })
    .meta({ label: "pH" })
    .optional(),
  ec: amount("mS/cm", { within: [0, 5], usual: [0, 0.9] })
    .meta({ label: "EC" })
    .optional(),
  ions: group(
    Object.fromEntries(
      (["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3", "Fe", "B"] as const).map((ion) => [
        ion,
        amount("mg/L", { within: [0, 2000] })
          .meta({ label: ion })
          .optional(),
      ]),
    ) as Record<Ion, z.ZodOptional<ReturnType<typeof amount<"mg/L">>>>,
  ).meta({ label: "Analysis" }),
  microbes: text().meta({ label: "Microbes" }).optional(),
  due: date().meta({ label: "Next test due" }).optional(),
  safe: flag().meta({ label: "Drinking quality" }).optional(),
  notes: notes().optional(),
  sources: sources(),
});
export type Water = z.output<typeof Water>;

export type Ion = "NO3N" | "NH4N" | "P" | "K" | "Ca" | "Mg" | "S" | "Na" | "Cl" | "HCO3" | "Fe" | "B";

const twins = [
  ["P2O5", "P"],
  ["K2O", "K"],
  ["CaO", "Ca"],
  ["MgO", "Mg"],
  ["SO3", "S"],
] as const;

function sound(label: Readonly<Partial<Record<string, number | undefined>>>, complain: Complain): void {
  for (const [oxide, element] of twins) {
    if (label[oxide] !== undefined && label[element] !== undefined) {
      complain([element], {
        rule: "analysis-twice",
        written: element,
        expected: `\`${oxide}\` or \`${element}\`, not both`,
        note: "They are one element in two forms. Keep what the bag prints.",
      });
    }
  }
  const parts = [label.nNitrate, label.nAmmonium, label.nUrea].filter((part) => part !== undefined);
  const split = parts.reduce((sum, part) => sum + part, 0);
  if (label.nTotal !== undefined && parts.length > 0 && Math.abs(split - label.nTotal) > 0.2 + 1e-9) {
    complain(["nTotal"], {
      rule: "analysis-split",
      written: `${label.nTotal} %`,
      expected: `about ${Number(split.toFixed(2))} %, the sum of its parts`,
      note: "Read the bag again: total nitrogen is nitrate, ammonium and urea together.",
    });
  }
  const counted = new Set(twins.filter(([oxide]) => label[oxide] !== undefined).map(([, element]) => String(element)));
  if (parts.length > 0) counted.add("nTotal");
  const total = Object.entries(label).reduce((sum, [key, part]) => (counted.has(key) ? sum : sum + (part ?? 0)), 0);
  if (total > 100 + 1e-9) {
    complain([], {
      rule: "analysis-sum",
      written: `${Number(total.toFixed(2))} % in all`,
      expected: "at most 100 %",
      note: "The parts of a bag are at most the bag. Is one of them there twice, or is a point lost?",
    });
  }
}
