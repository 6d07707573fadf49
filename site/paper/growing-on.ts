import type { CustomerEdition } from "../../generator/editions.ts";
import { list } from "../../generator/format.ts";
import { words } from "../words.ts";

type Crop = CustomerEdition["crops"][number];

export const systems = ["bed", "pot", "soilless"] as const;
export type System = (typeof systems)[number];

/** The most words that a growing-on sheet may have above its imprint: a stranger reads it standing, with wet hands. */
export const mostWords = 220;

/** What a growing-on sheet says, in its order; a line that is undefined has no room or nothing to say. */
export interface GrowingOn {
  readonly steps: readonly string[];
  readonly plant: string;
  readonly usual: string | undefined;
  /** The words for one way of growing, a sentence each. */
  readonly panel: readonly string[];
  readonly weather: string | undefined;
  readonly season: Crop["seasons"];
  readonly light: string | undefined;
  readonly first: string | undefined;
  readonly cut: string | undefined;
  readonly troubles: readonly { readonly sign: string; readonly first: string }[];
  readonly eaten: string;
  readonly uneaten: string | undefined;
  readonly allergens: string | undefined;
  readonly care: string | undefined;
}

/** The prose for one way of growing, as HTML; undefined when the record has none. */
export function systemOf(crop: Crop, system: System): string | undefined {
  return crop.prose.find(({ heading }) => words.growing[heading]?.id === system)?.html;
}

/**
 * The sheet of a crop in one way of growing. What does not fit into `mostWords` is left out from the least needed: first
 * what the panel says anyway, a caution and the second trouble last of all. `frame` is what stands on the sheet besides.
 */
export function growingOn(crop: Crop, system: System, frame: readonly string[]): GrowingOn {
  const { growing } = words.paper;
  const said = textOf(systemOf(crop, system) ?? "");
  const panel = said.split(/(?<=[.!?])\s+(?=[A-Z])/).filter((sentence) => sentence !== "");
  const micro = crop.kind === "micro";
  const lowest = crop.figures["air.lowest"];
  const tender = lowest !== undefined && lowest.low > 0;
  const last = crop.stages.at(-1);
  const cautions = Object.values(crop.cautions ?? {}).map(opening);
  let sheet: GrowingOn = {
    steps: micro ? growing.stepsMicro : growing.steps,
    plant: micro
      ? `${growing.eatSoon}.`
      : `${crop.plantWithin === undefined ? growing.plantNow : growing.plant(crop.plantWithin)}${system === "soilless" ? growing.levelWater : growing.level}`,
    usual: micro ? undefined : growing.usual,
    panel,
    weather: [lowest && growing.lowest(lowest.text), !micro && system !== "soilless" && tender && growing.frost]
      .filter(Boolean)
      .join(" "),
    season: system === "bed" && !micro ? crop.seasons : undefined,
    light: crop.light,
    first: last?.ready,
    cut: crop.cut,
    troubles: atHome(Object.values(crop.trouble ?? {})),
    eaten: list(crop.eaten),
    uneaten: crop.uneaten && list(crop.uneaten),
    allergens: crop.allergens?.length ? list(crop.allergens) : undefined,
    care: cautions[0],
  };
  const plainly: Partial<GrowingOn>[] = [
    /frost|harden/i.test(said) ? { weather: lowest && growing.lowest(lowest.text) } : {},
    /\b(level|depth|deep|deeper|bury|crown|neck)\b/i.test(said) ? { plant: sheet.plant.replace(/,.*/, ".") } : {},
    /\b(cut|pick|take|harvest|pinch|snip|pull|lift)/i.test(said) ? { cut: undefined } : {},
    /\b(sun|sunny|sunniest|light|shade|bright|brightest|sill|windowsill)\b/i.test(said) ? { light: undefined } : {},
    { usual: undefined },
    { season: undefined },
    ...cautions
      .slice(1)
      .toSorted((a, b) => count(b) - count(a))
      .map((care) => ({ care })),
    { light: undefined },
    { cut: undefined },
    { care: undefined },
    { troubles: sheet.troubles.toSorted((a, b) => length(a) - length(b)).slice(0, 1) },
  ];
  for (const less of plainly) {
    if (wordsOn(sheet, frame) <= mostWords) break;
    sheet = { ...sheet, ...less };
  }
  return sheet;
}

/** How many words a sheet has with its frame, counted as white space parts them. */
export function wordsOn(sheet: GrowingOn, frame: readonly string[]): number {
  const { growing } = words.paper;
  const texts = [
    ...sheet.steps,
    sheet.plant,
    sheet.usual,
    ...sheet.panel,
    sheet.weather,
    sheet.weather && growing.weather,
    sheet.season && `${growing.season} ${sheet.season.north}`,
    sheet.light && `${growing.light} ${sheet.light}`,
    sheet.first,
    sheet.cut,
    ...sheet.troubles.flatMap(({ sign, first }) => [sign, first]),
    `${growing.eat} ${sheet.eaten}`,
    sheet.uneaten && `${growing.not} ${sheet.uneaten}`,
    sheet.allergens && `${growing.allergen} ${sheet.allergens}`,
    sheet.care && `${growing.care} ${sheet.care}`,
    ...frame,
  ];
  return texts.reduce((sum, text) => sum + count(text ?? ""), 0);
}

/** How long a trouble is told [words]; one that only a yard has is put off. */
function length({ sign, first }: { readonly sign: string; readonly first: string }): number {
  return count(`${sign} ${first}`) + (ofTheYard.test(`${sign} ${first}`) ? yardOnly : 0);
}

/** Two troubles that somebody at home may meet and mend: the soonest told, in the order of the record. */
function atHome(all: readonly { readonly sign: string; readonly first: string }[]) {
  const byLength = all.toSorted((a, b) => length(a) - length(b));
  const mended = byLength.filter((trouble) => length(trouble) < yardOnly);
  const two = new Set(mended.length > 0 ? mended.slice(0, 2) : byLength.slice(0, 1));
  return all.filter((trouble) => two.has(trouble));
}

/** Words for what stands in a yard and in no kitchen. */
const ofTheYard =
  /\b(trays?|flood\w*|sow|sown|seedlings?|port|tower|column|lamps?|vents?|van|mister|meter|tub|batch|lot|pump\w*)\b/i;
const yardOnly = 1000;

/** The first sentence of a caution, and the next where the first is but a word or two. */
export function opening(caution: string): string {
  const sentences = caution.split(/(?<=[.!?])\s+/);
  return count(sentences[0] ?? "") < 4 ? sentences.slice(0, 2).join(" ") : (sentences[0] ?? "");
}

function count(text: string): number {
  return text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;
}

/** The words of some HTML. On paper a link leads nowhere. */
function textOf(html: string): string {
  return html
    .replace(/<[^>]*>/g, " ")
    .replace(/&#x([0-9a-f]+);/gi, (_, hex: string) => String.fromCodePoint(Number.parseInt(hex, 16)))
    .replace(/&amp;/g, "&")
    .replace(/\s+(?=[.,;:!?)])/g, "")
    .replace(/\s+/g, " ")
    .trim();
}
