import type { paperWords } from "../paper/words.ts";

/** The ways from a page to its paper. */
export const papers = {
  title: "On paper",
  one: {
    "growing-on": (title: string) => `Growing-on sheet: ${title}`,
    "bench-card": () => "Bench card",
    "stock-mix": () => "Stock mix, one page a tub",
    "sowing-list": (title: string) => title,
    "pick-list": (title: string) => title,
    "tower-map": () => "Tower map",
    labels: (title: string) => `Tray labels: ${title}`,
    "trial-report": () => "Trial report, one page",
    "data-sheet": () => "Data sheet, a line for each plant",
  } as Readonly<Record<keyof typeof paperWords.kinds, (title: string) => string>>,
} as const;

/** The shelf of guides. */
export const guides = {
  title: "How we do it",
  titleOut: "How to",
  intro: "One job a page.",
  stop: "Before you start",
} as const;

/** The words of the trade. */
export const glossary = {
  title: "Trade words",
  intro: "What the words on the labels and benches mean.",
  see: "See also",
  also: "also",
} as const;

/** What changed in the book. */
export const news = {
  title: "What changed",
  intro: "Newest first. If a card you keep is named, print it again.",
  again: "Print again",
} as const;

/** The page for when something goes wrong. */
export const emergency = { title: "Emergency", print: "Print this and hang it by the door." } as const;
