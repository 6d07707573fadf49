/** The box above every page in which names are typed. */
export const search = { label: "Find", hint: "crop, sign, job or tray code", button: "Find" } as const;

/** The shelves of the book, and the pages that stand beside them. */
export const nav = {
  label: "Book",
  home: "Front page",
  crops: "Crops",
  plants: "Your plants",
  feeds: "Feeds",
  gear: "Lines and gear",
  gearShort: "Lines",
  orders: "Orders",
  guides: "How to",
  guidesOut: "How to",
  batches: "Batches",
  lots: "Seed lots",
  salts: "Salts",
  waters: "Waters",
  trials: "Trials",
  glossary: "Trade words",
  sources: "Sources",
  news: "What changed",
  index: "A–Z",
  emergency: "Emergency",
  sure: "How sure are we?",
  all: "Whole book",
} as const;

/** What each edition is called. */
export const edition = { staff: "Staff edition", customer: "Growers’ edition", of: "Edition of" } as const;

/** The foot of every page. */
export const foot = { help: "Questions:", printed: "Printed from the edition of", pencil: "Pencil notes" } as const;

/** What the theme switch says; it can do nothing before the browser has made it work. */
export const themeWords = { dark: "Dim room", light: "Bright yard" } as const;

/** What is said when a newer edition has been fetched while one reads. */
export const updateWords = {
  newer: (edition: string) => `A newer edition, dated ${edition}, is ready.`,
  again: "A newer printing of this edition is ready.",
  kept: "What you filled in stays.",
  show: "Show it",
  notNow: "Not now",
} as const;
