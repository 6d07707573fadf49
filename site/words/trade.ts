/** The lines of an analysis, as bags print them. */
export const bagNames: Readonly<Record<string, string>> = {
  nTotal: "Nitrogen, all (N)",
  nNitrate: "Nitrate nitrogen (N)",
  nAmmonium: "Ammonium nitrogen (N)",
  nUrea: "Urea nitrogen (N)",
  P2O5: "Phosphate (P₂O₅)",
  P: "Phosphorus (P)",
  K2O: "Potash (K₂O)",
  K: "Potassium (K)",
  CaO: "Lime (CaO)",
  Ca: "Calcium (Ca)",
  MgO: "Magnesia (MgO)",
  Mg: "Magnesium (Mg)",
  SO3: "Sulphate (SO₃)",
  S: "Sulphur (S)",
  Na: "Sodium (Na)",
  Cl: "Chloride (Cl)",
  Fe: "Iron (Fe)",
  Mn: "Manganese (Mn)",
  Zn: "Zinc (Zn)",
  B: "Boron (B)",
  Cu: "Copper (Cu)",
  Mo: "Molybdenum (Mo)",
};

/** What chemical signs are called. */
export const elementNames: Readonly<Record<string, string>> = {
  N: "nitrogen",
  NO3N: "nitrate nitrogen",
  NH4N: "ammonium nitrogen",
  P: "phosphorus",
  K: "potassium",
  Ca: "calcium",
  Mg: "magnesium",
  S: "sulphur",
  Fe: "iron",
  Mn: "manganese",
  Zn: "zinc",
  B: "boron",
  Cu: "copper",
  Mo: "molybdenum",
  Na: "sodium",
  Cl: "chloride",
  HCO3: "bicarbonate",
  SO4: "sulphate",
};

/** What the nearest thing that can be is called, by its name in a refusal. */
export const nearestNames: Readonly<Record<string, { readonly label: string; readonly unit: string }>> = {
  element: { label: "Furthest off", unit: "" },
  delivered: { label: "Can be delivered", unit: "mg/L" },
  buy: { label: "Would help most", unit: "" },
  date: { label: "Earliest day", unit: "" },
  scaleDivisionGrams: { label: "A scale that shows", unit: "g" },
  linesNeeded: { label: "Lines needed", unit: "" },
  germinationPercent: { label: "Germination needed", unit: "%" },
};

/** The two ways of working a recipe. */
export const methodNames: Readonly<Record<string, string>> = {
  stepwise: "step by step",
  leastSquares: "closest fit",
};

/** What a figure can rest on. It stands apart, so that a browser that needs its letters is not sent every word. */
export const basis = {
  published: { letter: "P", word: "Published", says: "printed in the work named" },
  "own-trial": { letter: "T", word: "Own trial", says: "measured here" },
  "common-practice": { letter: "C", word: "Common practice", says: "what growers do; no one source" },
  memory: { letter: "M", word: "From memory", says: "a guess until someone looks it up" },
  demo: { letter: "D", word: "Demo", says: "invented for this demo book" },
} as const;

/** How far a crop is trusted. */
export const status = {
  trial: { word: "On trial", says: "Grown in a trial. Figures may move." },
  tried: { word: "Tried", says: "Grown here; not yet through every season." },
  trusted: { word: "Trusted", says: "Grown here through the seasons." },
  retired: { word: "Retired", says: "No longer grown here." },
} as const;

/** The kinds of crops, as groups. */
export const kinds = {
  leaf: "Leaves",
  herb: "Herbs",
  fruit: "Fruit",
  flower: "Flowers",
  micro: "Micro herbs",
} as const;

/** The kind of one crop. */
export const kind = { leaf: "leaf", herb: "herb", fruit: "fruit", flower: "flower", micro: "micro herb" } as const;

/** The stages of a crop, as the staff call them. */
export const stages = {
  germination: "Germination",
  tray: "Flood tray",
  mister: "Mister",
  hardening: "Hardening off",
  tower: "Tower",
} as const;

/** The stages of a crop, as customers meet them. */
export const stagesOut = {
  germination: "Seed",
  tray: "Seedling",
  mister: "Rooting",
  hardening: "Hardening off",
  tower: "Growing",
} as const;

/** Places on a tower. */
export const zones = {
  top: "The top tiers",
  upper: "The upper tiers",
  middle: "The middle tiers",
  lower: "The lower tiers",
  base: "The lowest tiers, at the base",
  any: "Any tier",
  none: "Not on a tower",
} as const;

/** What pollinates a crop. */
export const pollination = {
  none: "Needs no pollinator.",
  insect: "Needs insects, or a soft brush from flower to flower.",
  shake: "Shake the open flowers at midday.",
} as const;

/** How strongly a crop is fed. */
export const feeding = { lightly: "Lightly", medium: "Medium", strongly: "Strongly" } as const;
