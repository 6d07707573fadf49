/** The front pages. */
export const home = {
  emergency: "If something goes wrong",
  today: "Today",
  inHand: "What stands where",
  worksheets: "Sums to fill in",
  worksheetsSay: "Feed, light, seed, towers, dates: each shows its working.",
  onHand: (open: number) => (open === 1 ? "1 batch open" : `${open} batches open`),
  crops: "Crops in the yard",
  feeds: "Feeds and lines",
  sums: "Answered by sums",
  guides: "How we do it",
  allCrops: (count: number) => `All ${count} crops`,
  plants: "Your plants",
  plantsSays: "Open your plant’s card: what it needs, what to look for, when to cut.",
  arrived: "Your box has come",
  growing: "Growing on",
  growingSays: "The first week, step by step. After it, go by your plant’s own card.",
  safety: "Before you eat it",
  safetyStop: "Before the first bite",
  contact: "Ask us",
  contactSays: "Quote the code on the label. A photo from above and one from underneath tell us most.",
  more: "Read on",
  all: "All",
  yard: "Yard records",
  latest: "Latest change",
  sow: "Sowing days",
  post: "Posting days",
} as const;

/** What is to be done, day by day. */
export const doings = {
  deeds: {
    sow: "Sow",
    count: "Count the seedlings",
    "first-cut": "First cut is due",
    "next-cut": "Next cut is due",
    "last-cut": "The cut window closes",
    cut: "Cut for the order",
    hand: "Hand over",
    post: "Post",
    cannot: "Cannot be met",
    clash: "Too much stands there",
    mix: "Mix stock",
    order: "Order the salt",
    test: "Have the water tested",
    service: "Service is due",
    decide: "The trial stops: decide",
  },
  moves: {
    germination: "Set to germinate",
    tray: "Move to the flood tray",
    mister: "Move to the mister",
    hardening: "Start hardening off",
    tower: "Plant on the tower",
  },
  plants: (count: string) => `${count} plants`,
  litres: (litres: string) => `${litres} L`,
  cells: (count: string) => `${count} cells`,
  trays: (count: number) => (count === 1 ? "1 tray" : `${count} trays`),
  lot: (name: string) => `lot ${name}`,
  by: (codes: string) => `from ${codes}`,
  whole: (from: string, until: string) => `${from} to ${until}`,
  asOf: (day: string) => `As of ${day}, the date of this edition.`,
  nothing: "Nothing is due on this day.",
  nothingNext: "Nothing is due.",
  overdue: "Was due before, and not on record as done:",
  next: "The seven days after it",
  coming: (from: string, until: string) => `Four weeks of it: ${from} to ${until}`,
  later: (from: string, until: string) => `Later: ${from} to ${until}`,
  earlierDay: "Earlier",
  laterDay: "Later",
  thisDay: "Today",
  turn: "Look at another day",
  letters: "What the letter after a day says",
} as const;

/** What the front page says once it knows the day of the reader's own device. */
export const todayWords = {
  same: "Today, by your device. It is also the date of this edition.",
  later: (edition: string, days: number) =>
    `Today, by your device. This edition is dated ${edition}, ${daysLong(days)} ago: what was done since is not in it.`,
  beyond: (edition: string, device: string, days: number) =>
    `This edition is dated ${edition}; your device says ${device}, ${daysLong(days)} later. Ask for a newer one, or read on.`,
  before: (edition: string, device: string, days: number) =>
    `This edition is dated ${edition}; your device says ${device}, ${daysLong(days)} earlier. Check the clock of the device, or read on.`,
  other: (edition: string) => `Another day than your device’s. This edition is dated ${edition}.`,
  last: (until: string) => `This edition knows of nothing after ${until}.`,
} as const;

function daysLong(days: number): string {
  return days === 1 ? "1 day" : `${days} days`;
}
