import type { StaffEdition } from "../../generator/editions.ts";
import { fixed, quantity } from "../../generator/format.ts";
import type { Sum } from "../figures.ts";
import { tubsOf } from "../recipe.ts";
import { answerAt } from "../sums.ts";
import { words } from "../words.ts";

type Feed = StaffEdition["feeds"][number];

/** One thing to weigh, as it stands on the bag. */
export interface Weighing {
  readonly name: string;
  /** How much, with its unit, to the division of the scale; undefined when a carrier solution is needed. */
  readonly weigh: string | undefined;
  readonly carrier: string | undefined;
  readonly hazard: string | undefined;
}

/** What goes into one tub, in order, the trace salts after the others. */
export interface TubMix {
  readonly letter: string;
  readonly salts: readonly Weighing[];
  readonly traces: readonly Weighing[];
}

/** A feed's tubs to weigh out; none when its recipe was refused, so that no sheet can be mixed by. */
export function mixOf(feed: Feed, { salts, gear }: Pick<StaffEdition, "salts" | "gear">): readonly TubMix[] {
  const recipe = feed.sums.find(({ worksheet }) => worksheet === "feed-recipe");
  if (!recipe || recipe.outcome.refusal) return [];
  const bag = (id: string) => salts.find((salt) => salt.id === id);
  const division = gear.find(({ id }) => id === feed.stock.scale)?.figures.division?.low;
  const traces = feed.sums.find(({ worksheet }) => worksheet === "trace-weights");
  const apart = traces && !traces.outcome.refusal ? tracesOf(traces, feed, salts, division) : [];
  const tubs = tubsOf(recipe);
  const letters = [...new Set([...tubs.map(({ letter }) => letter), ...apart.map(({ tub }) => tub)])].sort();
  return letters.map((letter) => ({
    letter,
    salts: (tubs.find((tub) => tub.letter === letter)?.salts ?? []).map(({ id, weigh }) => ({
      name: bag(id)?.name ?? id,
      weigh,
      carrier: undefined,
      hazard: bag(id)?.hazard,
    })),
    traces: apart.filter(({ tub }) => tub === letter),
  }));
}

function tracesOf(sum: Sum, feed: Feed, salts: StaffEdition["salts"], division: number | undefined) {
  const grams = Object.entries((answerAt(sum, "grams") ?? {}) as Readonly<Record<string, number>>);
  return grams.flatMap(([trace, amount]) => {
    const salt = salts.find(
      ({ id, figures }) => feed.salts.includes(id) && (figures[`analysis.${trace}`]?.low ?? 0) > 0,
    );
    if (!salt || amount <= 0) return [];
    const carried = answerAt(sum, `carrierGrams.${trace}`);
    return [
      {
        tub: salt.tub,
        name: salt.name,
        weigh: typeof carried === "number" ? undefined : rounded(amount, division),
        carrier: typeof carried === "number" ? words.paper.mix.carrier(rounded(carried, division)) : undefined,
        hazard: salt.hazard,
      },
    ];
  });
}

/** Grams to the division of the scale, with its decimals, so that the display reads the same. */
function rounded(grams: number, division: number | undefined): string {
  if (division === undefined) return quantity(grams, "g");
  const places = Math.max(0, -Math.floor(Math.log10(division) + 1e-9));
  return `${fixed(Math.round(grams / division) * division, places)}\u202fg`;
}
