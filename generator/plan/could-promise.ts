import { dateOf, dayNumber, isoWeek, mondayOf, type PlainDate } from "../science/calendar.ts";
import type { In } from "../science/units.ts";
import { type Demand, type Gap, trimmed } from "./demands.ts";
import type { Day } from "./passage.ts";
import { type Ledger, ledger } from "./places.ts";
import type { Plan } from "./plan.ts";
import { choicesFor, earliestReady, seeding, type Unsown } from "./sowing.ts";
import type { GrownCrop, Yard } from "./yard.ts";

/** How much of a crop could still be promised, week by week, from a sowing that is yet to be made; or why nobody can say. */
export type CouldPromise = { readonly crop: string } & (
  | {
      /** The first day on which a sowing made from today on could be ready, the yard's own days to spare included. */
      readonly earliest: PlainDate;
      readonly weeks: readonly PromiseWeek[];
    }
  | { readonly cannot: Gap | Unsown | { readonly why: "no-day" } }
);

/** What one sowing could give that is ready in a week. Each week stands alone: what is promised is gone from all others. */
export interface PromiseWeek {
  readonly week: string;
  /** The first day of the week on which it could be ready. */
  readonly from: PlainDate;
  /** The first day on which it is no longer cut; of what is cut once or handed over, the day after. */
  readonly until: PlainDate;
  /** Ports, or pots for micro herbs, that find room all the way; 0 is a plain no. */
  readonly units: number;
  readonly of: "ports" | "pots";
  /** The place that has no room for one more: `bench`, `mister`, or the id of a line. */
  readonly full: string | undefined;
  /** A week, to whole tens; of what is cut once or handed over, in all. Undefined where the record cannot say. */
  readonly grams: In<"g"> | undefined;
  readonly bunches: number | undefined;
  readonly flowers: number | undefined;
}

/**
 * How much of each crop could be promised beside a plan: from the week in which a sowing of today would be ready, and never
 * before, the most that finds seed, trays, mister and ports on a day of sowing, for one cut window. Only weeks of which the
 * whole window lies within the plan are told, as nothing is known of the room after it. Batches in hand are not counted.
 */
export function couldPromise(
  yard: Yard,
  { today, until, places }: Pick<Plan, "today" | "until" | "places">,
): readonly CouldPromise[] {
  const book = ledger(yard.places, dayNumber(today), dayNumber(until));
  for (const { place, taken } of places)
    taken.forEach((amount, day) => {
      book.put([{ place, amount, from: book.first + day, until: book.first + day + 1 }]);
    });
  return [...yard.crops.values()]
    .filter(({ id, micro }) => micro || yard.places.lines.some(({ crops }) => crops.includes(id)))
    .map((crop) => ({ crop: crop.id, ...ofCrop(crop, yard, book) }));
}

function ofCrop(crop: GrownCrop, yard: Yard, book: Ledger) {
  const field = missing(crop);
  if (field !== undefined) return { cannot: { gap: "field", field } as const };
  const one = demandOf(crop, 1, book.first);
  const seed = seeding(one, crop, yard, undefined);
  if ("why" in seed) return { cannot: seed };
  const earliest = earliestReady(one, crop, yard);
  if (earliest === undefined) return { cannot: { why: "no-day" } as const };
  const weeks: PromiseWeek[] = [];
  for (let need = earliest; ; need = dayNumber(mondayOf(isoWeek(dateOf(need)))) + 7) {
    const { until } = demandOf(crop, 1, need);
    if (until > book.last + 1) break;
    const most = mostUnits(crop, need, yard, book);
    if (most === undefined) continue;
    weeks.push({
      week: isoWeek(dateOf(need)),
      from: dateOf(need),
      until: dateOf(until),
      ...most,
      of: crop.micro ? "pots" : "ports",
      ...yieldOf(crop, most.units),
    });
  }
  return { earliest: dateOf(earliest), weeks };
}

/** The most units that find room all the way, by halving, and what is full then; undefined where no record says how much room. */
function mostUnits(
  crop: GrownCrop,
  need: Day,
  yard: Yard,
  book: Ledger,
): Pick<PromiseWeek, "units" | "full"> | undefined {
  const { bench, lines } = yard.places;
  const carrying = lines.filter(({ crops }) => crops.includes(crop.id)).map(({ ports }) => ports);
  const room = crop.micro ? (bench ?? Number.NaN) * (crop.cellsPerTray ?? Number.NaN) : Math.max(...carrying);
  if (!Number.isFinite(room)) return undefined;
  const lacks = (units: number) => {
    const demand = demandOf(crop, units, need);
    const seed = seeding(demand, crop, yard, undefined);
    return "why" in seed ? [] : choicesFor(demand, crop, yard, seed, 0).map(({ holds }) => book.lacking(holds));
  };
  let most = 0;
  let tooMuch = Math.floor(room) + 1;
  while (tooMuch - most > 1) {
    const middle = Math.floor((most + tooMuch) / 2);
    if (lacks(middle).includes(undefined)) most = middle;
    else tooMuch = middle;
  }
  return { units: most, full: lacks(most + 1)[0]?.place };
}

function demandOf(crop: GrownCrop, units: number, need: Day): Demand {
  const window = crop.micro || crop.once ? 1 : Math.max(1, Math.floor(crop.cutWindow ?? 1));
  return {
    order: "",
    crop: crop.id,
    way: crop.micro ? "bench" : "tower",
    of: crop.micro ? "pots" : "ports",
    units,
    need,
    until: need + window,
    standing: false,
  };
}

/** The field that is wanting to tell what a port gives. Pots are promised as pots, so micro herbs want none. */
function missing(crop: GrownCrop): string | undefined {
  if (crop.micro) return undefined;
  if (crop.gramsPerCut === undefined) {
    if (crop.piecesPerWeek === undefined) return "cutting.each";
    return crop.cutWindow === undefined ? "cutting.window" : undefined;
  }
  if (crop.once) return undefined;
  if (crop.daysBetweenCuts === undefined) return "cutting.regrowth";
  return crop.cutWindow === undefined ? "cutting.window" : undefined;
}

/** What so many ports give a week by the sum of ports for an order read backwards, rounded down. */
function yieldOf(crop: GrownCrop, units: number): Pick<PromiseWeek, "grams" | "bunches" | "flowers"> {
  const each = crop.micro ? crop.gramsPerPot : crop.gramsPerCut;
  const cuts = crop.micro || crop.once ? 1 : 7 / (crop.daysBetweenCuts ?? Number.NaN);
  const grams = each === undefined ? undefined : units * cuts * each * (1 - trimmed);
  return {
    grams: grams === undefined ? undefined : 10 * Math.floor(grams / 10 + 1e-9),
    bunches:
      grams === undefined || crop.gramsPerBunch === undefined
        ? undefined
        : Math.floor(grams / crop.gramsPerBunch + 1e-9),
    flowers: crop.piecesPerWeek === undefined ? undefined : Math.floor(units * crop.piecesPerWeek + 1e-9),
  };
}
