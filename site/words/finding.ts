import type { SearchWords } from "../search/search.ts";
import { basis } from "./trade.ts";

/** What kind of page was found. */
export const searchKinds = {
  crop: "Crop",
  micro: "Micro herb",
  symptom: "Sign",
  job: "How to",
  feed: "Feed",
  gear: "Gear",
  order: "Order",
  batch: "Batch",
  lot: "Seed lot",
  salt: "Salt",
  water: "Water",
  trial: "Trial",
  words: "Trade words",
  emergency: "Emergency",
  list: "List",
  sum: "Sum",
};

/** How people ask for a figure after a name, as in `basil ec`; longer ways first where one holds another. */
export const asked = {
  ec: ["feed strength", "conductivity", "ec"],
  ph: ["ph"],
  air: ["air temperature", "temperature", "temp", "how warm"],
  lowest: ["lowest temperature", "minimum temperature", "how cold", "frost", "coldest"],
  roots: ["root temperature", "water temperature", "root temp"],
  light: ["daily light", "light", "dli"],
  spacing: ["spacing", "how far apart", "apart"],
  sowing: ["germination temperature", "germination temp", "sowing temperature", "seed temperature"],
  depth: ["sowing depth", "how deep to sow", "how deep", "depth"],
  store: ["storage temperature", "fridge temperature", "fridge", "storage", "store"],
  keeps: ["shelf life", "how long does it keep", "keeps", "keep", "storage", "store"],
  cut: ["cutting height", "cut height", "how high to cut"],
} as const;

/** What the search says; the browser needs these words and no others. */
export const searchWords: SearchWords = {
  opening: "Opening the index…",
  unbuilt: "The search works in the built book.",
  failed: "A file of the search is missing. Use A to Z, or copy the whole folder again.",
  results: "Pages found",
  found: (pages, listed, query) =>
    pages > listed
      ? `${pages} pages for “${query}”, the best ${listed}:`
      : `${pages} ${pages === 1 ? "page" : "pages"} for “${query}”:`,
  nothing: (query, near) =>
    near > 0 ? `Nothing for “${query}”. Did you mean one of these?` : `Nothing for “${query}”.`,
  also: (names) => `also ${names.join(", ")}`,
  kinds: searchKinds,
  asked,
  fillers: ["what", "is", "the", "for", "of", "to", "in", "at", "on", "a", "can", "go", "how", "do", "i", "it", "does"],
  basis: Object.fromEntries(Object.values(basis).map(({ letter, word }) => [letter, word])),
};

/** What the list of crops says of a name typed above it, and the kind chosen: the browser needs these words too. */
export const filterWords = {
  shown: (shown: number, all: number) =>
    shown === all ? `${all} crops` : `${shown} of ${all} ${all === 1 ? "crop" : "crops"}`,
  none: (typed: string) => `Nothing matches “${typed}” among these. Try fewer letters, or choose All.`,
} as const;

/** The filter above a list. */
export const filter = {
  label: "Show",
  all: "All",
  text: "Only names with",
} as const;

/** The page of all names. */
export const index = {
  title: "A to Z",
  intro: "Every name, sign and job in this edition. It needs no script.",
  missing: "Not in the book?",
  missingSays: "Write down the word you looked for and give it to whoever keeps the book:",
  looked: "You looked for",
  goTo: "Letters",
  signOf: (crop: string) => `sign on ${crop}`,
  see: "see",
} as const;

/** The page for addresses that lead nowhere. */
export const missing = {
  title: "No such page",
  says: "This address leads nowhere in this edition. Find it by name instead.",
} as const;
