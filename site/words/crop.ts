/** The card of a crop. */
export const crop = {
  edible: "Eat",
  inedible: "Do not eat",
  lookalikes: "Not to be taken for",
  allergen: "Allergen",
  allergenSays: (groups: string) => `${groups}. Tell the kitchen: a garnish counts.`,
  stop: "Before you start",
  keys: {
    ec: "EC",
    ph: "pH",
    air: "Air by day",
    lowest: "Not below",
    feeding: "Feed",
    spacing: "Apart",
    sow: "Sow at",
    height: "Cut height",
  },
  lineAt: (line: string) => `${line} is set at`,
  seedlings: "seedlings",
  next: (stage: string, to: string | undefined) =>
    to
      ? `Next move: ${stage.toLowerCase()} to ${to.toLowerCase()}, after`
      : `Next: cut from the ${stage.toLowerCase()}, after`,
  sign: (ready: string, last: boolean) =>
    `${last ? "Cut" : "Move it"} when you see: ${ready[0]?.toLowerCase()}${ready.slice(1)}`,
  due: (code: string, day: string) => `${code} from ${day}`,
  cutIn: "Days to cut",
  signs: "What to look for",
  ready: "Move it when you see",
  readySays: "Go by the sign first; the days are how long it mostly takes.",
  likes: "What it likes",
  life: "From seed to last cut",
  tower: "On the tower",
  cut: "Cut and store",
  trouble: "Something looks wrong",
  first: "First",
  because: "Because",
  growing: "Growing on at home",
  growingFor: "What we tell customers",
  place: "Where will it grow?",
  light: "Light",
  season: "Sow outdoors",
  seasonSays: "for 50° north; in the south, half a year later",
  pollination: "Pollination",
  seed: "Sow",
  figures: "Every figure",
  sums: "Worked out",
  changed: "What changed on this card",
  changedWas: "was",
  changedFor: "The trial",
  trialFigure: (figure: string) => `trial: ${figure},`,
  trialPlants: (n: number) => `n = ${n}`,
  trialPage: (word: string) => `${word}: the page of the trial`,
  trialRange: (range: string) => `Range of the plants: ${range}`,
  trialAlone: "From one trial",
  batches: "In hand today",
  noBatches: "No open batches.",
  lines: "Drinks from",
  noLines: "No line carries it.",
  day: (day: number) => `day ${day}`,
  onPaper: (place: string) => `${place}, on one sheet to print`,
  firstDays: "When your plugs come",
} as const;

/** The sections of a card that customers grow on by, by their headings. */
export const growing: Readonly<Record<string, { readonly id: string; readonly word: string }>> = {
  "Growing on in a soil bed": { id: "bed", word: "Soil bed" },
  "Growing on in a pot": { id: "pot", word: "Pot" },
  "Growing on without soil": { id: "soilless", word: "Without soil" },
};

/** A band of a figure, drawn: what a crop likes and bears, and what the line is set at. */
export const band = {
  preferred: "Best",
  tolerated: "Bears",
  set: "Line set at",
  says: (label: string, parts: readonly string[]) => `${label}: ${parts.join("; ")}`,
  key: { preferred: "best", tolerated: "bears it", set: "where the line is set" },
} as const;

/** The life of a crop, drawn to scale. */
export const life = {
  says: (season: string, parts: readonly string[]) => `${season}${parts.join(", then ")}`,
  all: "",
  summer: "Summer",
  winter: "Winter",
  cutting: "Cutting",
  days: (text: string) => `about ${text} in all`,
  start: "sown",
  scale: "Drawn to scale, by the middle of each span.",
  batch: (code: string, day: number) => `${code}, day ${day}`,
} as const;

/** A tower, drawn unrolled. */
export const tower = {
  says: (zone: string, tiers: string, count: number) =>
    `A tower of ${count} tiers unrolled, tier 1 at the bottom. ${zone}${tiers}.`,
  tiers: (from: number, to: number) => (from === to ? `: tier ${from}` : `: tiers ${from} to ${to}`),
  face: "Face 1 is the one with the paint dot.",
  tier: "Tier",
  none: "Not planted on a tower.",
  planting: "What goes where",
  planted: "The tower unrolled, tier 1 at the bottom: the crop in each port",
  free: "A dotted port stays empty; ! is short of light.",
} as const;
