import { fixed, gap, list, quantity } from "../../generator/format.ts";
import { acidMolarity, acids, acidVolume } from "../../generator/science/carbonate.ts";
import { feedRecipe } from "../../generator/worksheets/feed.ts";
import { traceWeights } from "../../generator/worksheets/traces.ts";
import { type Outcome, run } from "../../generator/worksheets/worksheet.ts";
import { paperWords } from "../paper/words.ts";
import { inputOf, pairsOf } from "./address.ts";
import { innerUnits } from "./units.ts";
import { tubs } from "./view.ts";

/** A feed as its paper needs it: printed into the page, so that a browser can work it out anew. */
export interface MixFeed {
  readonly id: string;
  readonly name: string;
  readonly version: number;
  /** What its water is called. */
  readonly water: string;
  /** The inputs of its recipe, and of its trace salts if it has any. */
  readonly recipe: Input;
  readonly traces?: Input | undefined;
  /** By trace element, the salt that brings it. */
  readonly traceSalts: Readonly<Record<string, string>>;
  readonly bags: Readonly<Record<string, Bag>>;
  /** What the scale shows [g]. */
  readonly division?: number | undefined;
  /** The foot of each page as it is approved, its last sentence apart; and what the letter after its figures is. */
  readonly foot: { readonly edition: string; readonly said: string; readonly demo: string };
  readonly basis: { readonly letter: string; readonly word: string };
}

export interface Bag {
  readonly name: string;
  readonly tub: string;
  readonly hazard?: string | undefined;
  /** It brings iron, which strong acid breaks. */
  readonly iron?: boolean | undefined;
}

type Input = Readonly<Record<string, unknown>>;

/** A feed worked out, as its paper shows it. */
export interface Mix {
  readonly feed: MixFeed;
  readonly recipe: Outcome;
  readonly traces: Outcome | undefined;
  readonly tubs: readonly TubMix[];
  readonly stock: Stock;
  /** What differs from the record, in words; empty for the recipe that is approved. */
  readonly changed: readonly string[];
  /** Nitric acid that the recipe counts on [meq/L]. */
  readonly acidMeq: number;
  /** Feed that one tub makes [m³]. */
  readonly treats: number;
}

/** What goes into one tub, in order, the trace salts after the others. */
export interface TubMix {
  readonly letter: string;
  readonly salts: readonly Weighing[];
  readonly traces: readonly Weighing[];
}

/** One thing to weigh, as it stands on the bag. */
export interface Weighing {
  readonly name: string;
  /** How much, with its unit, to the division of the scale; undefined when a carrier solution is needed. */
  readonly weigh?: string | undefined;
  /** What the carrier solution takes [g, with its unit]. */
  readonly carrier?: string | undefined;
  readonly hazard?: string | undefined;
}

interface Stock {
  readonly ratioPercent: number;
  readonly ratioMeans: "in" | "to";
  readonly tankLitres: number;
  readonly scaleDivisionGrams?: number;
  readonly coldestTempC: number;
}

/**
 * A feed's tubs, from its record or with what an address changes of it (`pairs`, as a form keeps them). Undefined when what
 * the address holds cannot be read as a recipe: nobody weighs by half of one.
 */
export function mixOf(feed: MixFeed, pairs: ReadonlyMap<string, string> = new Map()): Mix | undefined {
  const input = pairs.size === 0 ? feed.recipe : merged(feed.recipe, pairs);
  const result = run(feedRecipe, input);
  if (!("outcome" in result)) return undefined;
  const { outcome } = result;
  const stock = {
    ratioPercent: 1,
    ratioMeans: "in",
    tankLitres: 100,
    coldestTempC: 5,
    ...(input.stock as object),
  } as Stock;
  const treats = typeof outcome.answer.treatsM3 === "number" ? outcome.answer.treatsM3 : 0;
  const division = stock.scaleDivisionGrams ?? feed.division;
  const traces =
    outcome.refusal || !feed.traces
      ? undefined
      : tracesOf(pairs.size === 0 ? feed.traces : { ...feed.traces, treatedM3: treats, scaleDivisionGrams: division });
  const apart = traces && !traces.refusal ? weighings(traces, feed, division) : [];
  const names = Object.fromEntries(Object.entries(feed.bags).map(([id, { name }]) => [id, name]));
  const filled = tubs(outcome, { units: innerUnits, names });
  const letters = [...new Set([...filled, ...apart].map(({ letter }) => letter))].sort();
  return {
    feed,
    recipe: outcome,
    traces,
    stock,
    treats,
    acidMeq: typeof input.nitricAcidMeq === "number" ? input.nitricAcidMeq : 0,
    changed: pairs.size === 0 ? [] : changes(pairsOf(feed.recipe), pairsOf(input)),
    tubs: letters.map((letter) => ({
      letter,
      salts: (filled.find((tub) => tub.letter === letter)?.salts ?? []).map(({ id, name, weigh }) => ({
        name,
        weigh,
        hazard: feed.bags[id]?.hazard,
      })),
      traces: apart.filter((one) => one.letter === letter),
    })),
  };
}

/** The tub that acid goes into: one without iron, which strong acid takes from its chelate; undefined when all have some. */
export function acidTub({ tubs: all, feed }: Mix): string | undefined {
  const iron = new Set(Object.values(feed.bags).flatMap((bag) => (bag.iron ? [bag.name] : [])));
  return all.find(({ salts, traces }) => ![...salts, ...traces].some(({ name }) => iron.has(name)))?.letter;
}

/** Nitric acid for one tub [mL], from the bottle's own strength [% by mass] and density [kg/L]. */
export function acidMillilitres({ acidMeq, treats }: Mix, strength: number, density: number): number {
  const { molarMass, protons } = acids.nitric;
  return acidVolume(acidMeq, acidMolarity({ density, strength, molarMass }), protons) * treats;
}

/** Grams to the division of the scale, with its decimals, so that the display reads the same. */
export function toDivision(grams: number, division: number | undefined): string {
  if (division === undefined) return quantity(grams, "g");
  const places = Math.max(0, -Math.floor(Math.log10(division) + 1e-9));
  return `${fixed(Math.round(grams / division) * division, places)}${gap}g`;
}

function tracesOf(input: Input): Outcome | undefined {
  const result = run(traceWeights, input);
  return "outcome" in result ? result.outcome : undefined;
}

function weighings({ answer }: Outcome, feed: MixFeed, division: number | undefined) {
  const carried = (answer.carrierGrams ?? {}) as Readonly<Record<string, unknown>>;
  return Object.entries((answer.grams ?? {}) as Readonly<Record<string, number>>).flatMap(([trace, grams]) => {
    const bag = feed.bags[feed.traceSalts[trace] ?? ""];
    if (!bag || grams <= 0) return [];
    const solution = carried[trace];
    const by =
      typeof solution === "number"
        ? { carrier: toDivision(solution, division) }
        : { weigh: toDivision(grams, division) };
    return [{ letter: bag.tub, name: bag.name, hazard: bag.hazard, ...by }];
  });
}

/** The inputs of the record with what an address says instead: numbers where they can be, a blank for nothing. */
function merged(recipe: Input, pairs: ReadonlyMap<string, string>): Input {
  const whole = typed(inputOf(new Map([...pairsOf(recipe), ...pairs]))) as Record<string, unknown>;
  return { ...whole, salts: Object.values((whole.salts ?? {}) as object) };
}

function typed(value: unknown): unknown {
  if (typeof value === "object" && value !== null) {
    const entries = Object.entries(value).map(([key, inner]) => [key, typed(inner)] as const);
    const said = entries.filter(([, inner]) => inner !== undefined);
    return said.length === 0 && entries.length > 0 ? undefined : Object.fromEntries(said);
  }
  if (value === "") return undefined;
  return Number.isFinite(Number(value)) ? Number(value) : value;
}

/** What one set of inputs has otherwise than another, a sentence for each group: what it is called, and the figure. */
function changes(before: ReadonlyMap<string, string>, now: ReadonlyMap<string, string>): readonly string[] {
  const { groups, usual, words } = paperWords.mix.changed;
  const found = new Map<string, string[]>();
  for (const name of new Set([...before.keys(), ...now.keys()])) {
    if (before.get(name) === now.get(name)) continue;
    const [group = "", ...steps] = name.split(".");
    const what = steps.at(-1) ?? "";
    const said = [words[what] ?? what, now.get(name) ?? usual].filter((part) => part !== "").join(gap);
    found.set(group, [...(found.get(group) ?? []), said]);
  }
  return [...found].map(([group, said]) => `${groups[group] ?? group}: ${list(said)}`);
}
