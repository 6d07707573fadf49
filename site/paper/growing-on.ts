import type { CustomerEdition } from "../../generator/editions.ts";
import { list } from "../../generator/format.ts";
import { words } from "../words.ts";

type Crop = CustomerEdition["crops"][number];

export const systems = ["bed", "pot", "soilless"] as const;
export type System = (typeof systems)[number];

/** The most words that a growing-on sheet may have, all of it counted: a stranger reads it standing, with wet hands. */
export const mostWords = 220;

/** What a growing-on sheet says, in its order; a line that is undefined has no room or nothing to say. */
export interface GrowingOn {
  readonly steps: readonly string[];
  readonly plant: string;
  readonly usual: string | undefined;
  readonly panel: string;
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
 * what the panel says anyway, then the second trouble. `frame` is what stands on the sheet besides.
 */
export function growingOn(crop: Crop, system: System, frame: readonly string[]): GrowingOn {
  const { growing } = words.paper;
  const panel = withoutLinks(systemOf(crop, system) ?? "");
  const said = textOf(panel);
  const micro = crop.kind === "micro";
  const lowest = crop.figures["air.lowest"];
  const tender = lowest !== undefined && lowest.low > 0;
  const last = crop.stages.at(-1);
  const cautions = Object.values(crop.cautions ?? {}).map((text) => /^[^.]*\./.exec(text)?.[0] ?? text);
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
    troubles: shortest(Object.values(crop.trouble ?? {})),
    eaten: list(crop.eaten),
    uneaten: crop.uneaten && list(crop.uneaten),
    allergens: crop.allergens?.length ? list(crop.allergens) : undefined,
    care: cautions[0],
  };
  const plainly: Partial<GrowingOn>[] = [
    /frost|harden/i.test(said) ? { weather: lowest && growing.lowest(lowest.text) } : {},
    /\b(cut|pick|take|harvest|pinch|snip|pull|lift)/i.test(said) ? { cut: undefined } : {},
    { care: cautions.toSorted((a, b) => count(a) - count(b))[0] },
    { care: undefined },
    { troubles: sheet.troubles.slice(0, 1) },
    { usual: undefined },
    { cut: undefined },
    /\b(sun|light|shade|bright|windowsill|sill)/i.test(said) ? { light: undefined } : {},
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
    textOf(sheet.panel),
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

/** The two troubles that are soonest told, in the order of the record. */
function shortest(all: readonly { readonly sign: string; readonly first: string }[]) {
  const length = ({ sign, first }: { readonly sign: string; readonly first: string }) => count(`${sign} ${first}`);
  const two = new Set(all.toSorted((a, b) => length(a) - length(b)).slice(0, 2));
  return all.filter((trouble) => two.has(trouble));
}

function count(text: string): number {
  return text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;
}

function textOf(html: string): string {
  return html.replace(/<[^>]*>/g, " ");
}

/** On paper a link leads nowhere. */
function withoutLinks(html: string): string {
  return html.replace(/<\/?a\b[^>]*>/g, "");
}
