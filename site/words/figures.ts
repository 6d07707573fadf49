import { bagNames } from "./trade.ts";

/** A table of figures. */
export const figures = { what: "What", figure: "Figure", from: "Leans on", none: "No figures are recorded." } as const;

/** Figures that go by a number or a sign, by their topic. */
export const listed: Readonly<Record<string, (step: string) => string>> = {
  readings: (place: string) => `Measured at port ${Number(place) + 1}`,
  analysis: (part: string) => bagNames[part] ?? part,
  solubility: (celsius: string) => `At ${celsius.replace("-", "−")} °C`,
};

/** What figures are about, by the first step of their path. */
export const topics: Readonly<Record<string, string>> = {
  ec: "Feed strength (EC)",
  ph: "pH",
  roots: "Roots",
  light: "Light",
  air: "Air",
  plug: "Plugs",
  growth: "Growth",
  seed: "Seed",
  stages: "Stages",
  cutting: "Cutting",
  form: "Form",
  tower: "Tower",
  keeping: "Keeping",
  posting: "Posting",
  spacing: "Outdoors",
  season: "Outdoors",
  micro: "As a micro herb",
  targets: "Wanted in the feed",
  stock: "Stock",
  analysis: "On the bag",
  solubility: "Dissolves",
  readings: "Light at the ports",
  ions: "In the water",
  reading: "Reading",
  other: "Figures",
};

/** What the figures of a page lean on, and the page of all works. */
export const sources = {
  heading: "Where the figures come from",
  legend: "The letter after a figure says what it rests on.",
  note: "Note",
  covers: "for",
  borrowed: (plant: string) => `borrowed from ${plant}`,
  shared: "See all sources",
  part: "read in part",
  memory: "from memory, not looked up again",
  published: "Published works",
  own: "Our own trials",
  none: "No published work stands behind this edition’s figures.",
} as const;

/** What others say of a crop. */
export const others = {
  heading: "Others say",
  found: "Found in trials",
} as const;

/** The page that says how sure the figures are. */
export const sure = {
  title: "How sure are we?",
  intro: "Every figure has a letter for what it rests on. This page says what the letters are worth.",
  names: ["how sure", "sources", "guess", "where do the figures come from", "can I trust it", "what the letters mean"],
  bar: "All in one bar",
  of: (total: string) => `${total} figures in this edition, the surest kind on the left.`,
  means: "What the letters mean",
  plain: {
    published:
      "Somebody measured or tabled it and printed it, and we name the work. It may be another place, another sort or another year.",
    "own-trial": "We measured it here, on our own plants. The page of the trial shows every value.",
    "common-practice": "Growers do it and it mostly works. No one work stands behind it.",
    memory:
      "A guess by somebody who knows the crop. Nobody has looked it up or measured it yet. Check before you lean on it.",
    demo: "Made up, to show what a record looks like. Use none of it.",
  },
  chain: "A figure that is worked out from others is only as sure as the weakest of them.",
  counted: "Counted",
  table: "What the figures of each kind of record rest on",
  kind: "Kind of record",
  all: "All",
  kinds: { crops: "Crops", feeds: "Feeds", salts: "Salts", waters: "Waters", gear: "Lines and gear" } as Readonly<
    Record<string, string>
  >,
  weakest: "Where we guess most",
  weakestSays: "The crops with most figures from memory. Look these up, or measure them, first.",
  ofFigures: "Of all its figures",
} as const;
