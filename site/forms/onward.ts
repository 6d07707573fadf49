import { type Outcome, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { pairsIn, pairsOf, searchOf } from "./address.ts";
import { formWords } from "./words.ts";

/** A way on from an answer: another page of the book, with what has been filled in carried in its address. */
export interface Way {
  /** From the top of the book, without its ending: `worksheets/water-blend`. */
  readonly page: string;
  readonly search: string;
  readonly hash: string;
  readonly says: string;
}

/** What stands around a sheet: where it is, the rain of the book [mg/L], the feed it is of, and where one came from. */
export interface Around {
  readonly here: string;
  readonly rain?: Ions | undefined;
  /** The feed whose record the form is filled in from, and the pairs of that record. */
  readonly feed?: { readonly id: string; readonly base: ReadonlyMap<string, string> } | undefined;
  /** The page that one came from with its filling, as `backOf` wrote it. */
  readonly back?: string | undefined;
}

type Ions = Readonly<Record<string, number>>;
type Input = Readonly<Record<string, unknown>>;

/**
 * Where one can go from an answer. From a recipe that a water refuses, to the blend with rain that would do; from a blend,
 * back to the recipe with the blend as its water; from a recipe that holds, to the paper to weigh by.
 */
export function waysOn(sheet: Worksheet, input: unknown, outcome: Outcome, around: Around): readonly Way[] {
  const given = input as Input;
  if (sheet.id === "feed-recipe")
    return outcome.refusal ? towardsRain(sheet, given, outcome, around) : towardsPaper(given, around);
  if (sheet.id === "water-blend" && !outcome.refusal) return towardsRecipe(outcome, around);
  return [];
}

/** The page of a way on as an address, for a page one folder below the top of the book; undefined while it is printed. */
export function hrefOf({ page, search, hash }: Way, location?: { readonly pathname: string }): string {
  if (!location) return `/${page}${search}${hash}`;
  return `../${page}${location.pathname.endsWith(".html") ? ".html" : ""}${search}${hash}`;
}

/** Bicarbonate that a feed bears without acid [mg/L]: 1 meq/L. Common practice. */
const bearable = 61;

/** The elements that a recipe asks for, by the ion that brings each with the water. */
const asked = { Ca: "Ca", Mg: "Mg", K: "K", P: "P", N: "NO3N" } as const;

function towardsRain(sheet: Worksheet, input: Input, { answer }: Outcome, around: Around): readonly Way[] {
  const { rain } = around;
  const water = numbers(input.water);
  // A recipe that was never worked out is not refused for its water.
  if (!rain || answer.stepwise === null) return [];
  const most = mostShare(sheet, input, water, rain);
  if (most === undefined) return [];
  const targets = numbers(input.targets);
  const [ion] = Object.entries(asked)
    .filter(([element, name]) => (water[name] ?? 0) > (rain[name] ?? 0) && (targets[element] ?? 0) > 0)
    .toSorted(([a, x], [b, y]) => (water[y] ?? 0) / targets[b]! - (water[x] ?? 0) / targets[a]!)
    .map(([, name]) => name);
  if (ion === undefined) return [];
  const limit = Math.floor(10 * mixed(water[ion]!, rain[ion] ?? 0, most)) / 10;
  const limits = {
    [ion]: limit,
    ...(water.HCO3 !== undefined && (rain.HCO3 ?? 0) < bearable ? { HCO3: bearable } : {}),
  };
  const search = searchOf(
    pairsOf({ mains: water, rain, limits }),
    `?${new URLSearchParams({ back: backOf(input, around) })}`,
  );
  return [{ page: "worksheets/water-blend", search, hash: "", says: formWords.onward.blend }];
}

/** The largest share of this water in rain that the recipe bears, to 1 in 1000; undefined when even rain alone is refused. */
function mostShare(sheet: Worksheet, input: Input, water: Ions, rain: Ions): number | undefined {
  const holds = (share: number) => {
    const names = Object.keys(water).filter((name) => rain[name] !== undefined);
    const blend = Object.fromEntries(names.map((name) => [name, mixed(water[name]!, rain[name]!, share)]));
    const result = run(sheet, { ...input, water: blend });
    return "outcome" in result && result.outcome.refusal === null;
  };
  if (!holds(0)) return undefined;
  let [low, high] = [0, 1];
  while (high - low > 0.001) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

function mixed(water: number, rain: number, share: number): number {
  return share * water + (1 - share) * rain;
}

function towardsPaper(input: Input, { feed }: Around): readonly Way[] {
  if (!feed) return [];
  const search = searchOf(pairsOf(input), "", feed.base);
  return [{ page: `sheets/stock-mix/${feed.id}`, search, hash: "", says: formWords.onward.paper }];
}

function towardsRecipe({ answer }: Outcome, { back }: Around): readonly Way[] {
  const [, page, query = ""] = /^((?:feeds|worksheets)\/[a-z0-9-]+)(\?.*)?$/.exec(back ?? "") ?? [];
  if (page === undefined) return [];
  const blend = numbers(answer.blend);
  const kept = [...pairsIn(query)].filter(([name]) => !name.startsWith("water."));
  // What was not measured in both waters is not known of the blend.
  const water = waterIons.map((ion) => [`water.${ion}`, blend[ion] === undefined ? "" : rounded(blend[ion])] as const);
  const search = searchOf(new Map([...kept, ...water]), "");
  return [{ page, search, hash: "#feed-recipe-answer", says: formWords.onward.recipe }];
}

const waterIons = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"];

/** Where one is, with what has been filled in, as an address from the top of the book. */
function backOf(input: Input, { here, feed }: Around): string {
  const base = here.startsWith("feeds/") ? feed?.base : undefined;
  return `${here}${searchOf(pairsOf(input), "", base)}`;
}

function numbers(value: unknown): Ions {
  const entries = Object.entries((value ?? {}) as object).filter(([, inner]) => typeof inner === "number");
  return Object.fromEntries(entries) as Ions;
}

function rounded(value: number): string {
  return String(Number(value.toPrecision(4)));
}
