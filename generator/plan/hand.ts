import { dayNumber } from "../science/calendar.ts";
import type { Demand } from "./demands.ts";
import { type Day, type Leg, remaining } from "./passage.ts";
import type { Hold } from "./places.ts";
import type { GrownCrop, Standing, Yard } from "./yard.ts";

/** Plants of a batch in hand that are kept for an order. */
export interface Allotment {
  readonly batch: string;
  readonly order: string;
  readonly of: Demand["of"];
  readonly units: number;
  readonly from: Day;
  readonly until: Day;
}

/** A batch in hand with what is still before it. */
export interface InHand {
  readonly batch: Standing;
  readonly legs: readonly Leg[];
  /** Ready to leave the bench as a plug or a pot; undefined when it is past that. */
  readonly plug: Day | undefined;
  /** Ready to be cut on the tower; undefined for a crop that never goes there. */
  readonly ready: Day | undefined;
  /** The first day after its cut window; today for a batch that is past it. */
  readonly end: Day;
  /** Its window is over: it takes room and gives nothing that the record vouches for. */
  readonly past: boolean;
}

/** Parts of demands that no batch in hand covers, and what the batches give. */
export interface Covered {
  readonly allotments: readonly Allotment[];
  readonly open: readonly Demand[];
}

/** A plug keeps on the bench for so long after it is ready. Common practice. */
const plugKeeps = 7;

/** Every batch in hand with its days to come, in the order of the batches. */
export function inHand(yard: Yard): readonly InHand[] {
  const today = dayNumber(yard.today);
  return yard.batches.flatMap((batch) => {
    const crop = yard.crops.get(batch.crop);
    if (!crop) return [];
    const at = { stage: batch.stage, since: dayNumber(batch.since), today, latitude: yard.latitude };
    const legs = remaining(crop, "tower", at);
    const tower = legs.find(({ stage }) => stage === "tower");
    const benchLegs = legs.filter(({ stage }) => stage !== "tower");
    const plug = benchLegs.length > 0 ? benchLegs.at(-1)!.until : undefined;
    const ready =
      tower && (batch.firstCut === undefined ? towerReady(crop, tower, batch, yard) : dayNumber(batch.firstCut));
    const from = ready ?? plug ?? today;
    const end = from + Math.max(1, (ready === undefined && !crop.micro ? plugKeeps : crop.cutWindow) ?? 1);
    return [{ batch, legs, plug, ready, end: Math.max(end, today + 1), past: end <= today }];
  });
}

/**
 * Keeps batches in hand for demands of their crop: the earliest need first, and of the batches the one that is over soonest.
 * The order that is named `after` takes only what all others leave.
 */
export function cover(demands: readonly Demand[], hands: readonly InHand[], yard: Yard, after?: string): Covered {
  const today = dayNumber(yard.today);
  const last = dayNumber(yard.until) + 1;
  const books = hands.map((hand) => ({ hand, used: new Float64Array(Math.max(0, last - today) + 1) }));
  const allotments: Allotment[] = [];
  const open: Demand[] = [];
  for (const demand of demands.toSorted(
    (a, b) =>
      Number(a.order === after) - Number(b.order === after) ||
      a.need - b.need ||
      (a.order < b.order ? -1 : a.order > b.order ? 1 : 0),
  )) {
    const crop = yard.crops.get(demand.crop)!;
    const lasting = demand.standing && demand.of === "ports" && !crop.once;
    const first = Math.max(demand.need, today);
    const wanting = new Float64Array(Math.max(1, (lasting ? demand.until : first + 1) - first)).fill(demand.units);
    const mine = books
      .filter(({ hand: { batch } }) => batch.crop === demand.crop && (batch.order ?? demand.order) === demand.order)
      .toSorted(
        (a, b) =>
          Number(b.hand.batch.order === demand.order) - Number(a.hand.batch.order === demand.order) ||
          a.hand.end - b.hand.end ||
          (a.hand.batch.id < b.hand.batch.id ? -1 : 1),
      );
    for (const { hand, used } of mine) {
      const span = servable(hand, demand, { first, lasting });
      if (!span) continue;
      const [from, until] = span;
      const held = heldFor(demand, crop, { lasting, from, until, last });
      for (const [start, stop] of levels(wanting, from - first, until - first)) {
        const begins = first + start;
        const over = lasting ? first + stop : held;
        let free = hand.batch.plants;
        for (let day = begins; day < over; day++) free = Math.min(free, hand.batch.plants - (used[day - today] ?? 0));
        const units = Math.min(free, wanting[start]!);
        if (units <= 0) continue;
        for (let day = begins; day < over; day++) if (day - today < used.length) used[day - today]! += units;
        for (let day = start; day < stop; day++) wanting[day]! -= units;
        keep(allotments, {
          batch: hand.batch.id,
          order: demand.order,
          of: demand.of,
          units,
          from: begins,
          until: first + stop,
        });
      }
    }
    open.push(...leftover(demand, wanting, first));
  }
  return { allotments, open };
}

/** The room that a batch in hand takes, stage by stage; plugs that leave for the post take no port. */
export function holdsOf({ batch, legs, end }: InHand, crop: GrownCrop, posted: number, yard: Yard): readonly Hold[] {
  const line = yard.places.lines.find(({ crops }) => crops.includes(crop.id));
  const trays = batch.cellsPerTray === undefined ? 1 : Math.ceil(batch.cells / batch.cellsPerTray);
  const staying = Math.max(0, batch.plants - posted);
  return legs.flatMap((leg): readonly Hold[] => {
    if (leg.stage === "germination" || leg.stage === "tray")
      return [{ place: "bench", amount: trays, from: leg.from, until: leg.until }];
    if (leg.stage === "mister") return [{ place: "mister", amount: batch.plants, from: leg.from, until: leg.until }];
    if (leg.stage === "tower" && line && staying > 0)
      return [
        { place: line.id, amount: staying * (1 + crop.empty), from: leg.from, until: Math.max(end, leg.from + 1) },
      ];
    return [];
  });
}

/** Days within which a batch can serve a demand, or undefined when it cannot. */
function servable(
  hand: InHand,
  demand: Demand,
  { first, lasting }: { first: Day; lasting: boolean },
): readonly [Day, Day] | undefined {
  if (demand.way === "bench") {
    const from = hand.plug;
    if (from === undefined || from > first || hand.past) return undefined;
    const keeps = hand.batch.order === demand.order ? Number.POSITIVE_INFINITY : from + plugKeeps;
    return first <= keeps ? [first, first + 1] : undefined;
  }
  if (hand.ready === undefined || hand.past) return undefined;
  if (!lasting) return hand.ready <= first && first < hand.end ? [first, first + 1] : undefined;
  const from = Math.max(first, hand.ready);
  const until = Math.min(demand.until, hand.end);
  return from < until ? [from, until] : undefined;
}

/** Until when plants given to a demand are not free for another: regrown, or never for what is cut once or posted. */
function heldFor(
  demand: Demand,
  crop: GrownCrop,
  { lasting, from, until, last }: { lasting: boolean; from: Day; until: Day; last: Day },
): Day {
  if (lasting) return until;
  if (demand.way === "bench" || crop.once || crop.daysBetweenCuts === undefined) return last;
  return Math.min(last, from + crop.daysBetweenCuts);
}

/** What is left of a demand, cut wherever the number still wanting changes; a few days of less go with what follows them. */
function leftover(demand: Demand, wanting: Float64Array, first: Day): readonly Demand[] {
  const spans = levels(wanting, 0, wanting.length).map(([start, stop]) => ({ start, stop, units: wanting[start]! }));
  for (let at = spans.length - 2; at >= 0; at--) {
    const [span, next] = [spans[at]!, spans[at + 1]!];
    if (span.units > 0 && span.stop - span.start < week && span.units < next.units)
      spans.splice(at, 2, { ...next, start: span.start });
  }
  return spans
    .filter(({ units }) => units > 0)
    .map(({ start, stop, units }) => ({
      ...demand,
      units,
      need: first + start,
      until: start === 0 && stop === wanting.length ? demand.until : first + stop,
    }));
}

const week = 7;

/** The runs of equal numbers of a row between two of its places. */
function levels(row: Float64Array, from: number, until: number): readonly (readonly [number, number])[] {
  const runs: [number, number][] = [];
  for (let start = from; start < until; ) {
    let stop = start + 1;
    while (stop < until && row[stop] === row[start]) stop++;
    runs.push([start, stop]);
    start = stop;
  }
  return runs;
}

/** Adds an allotment, or lengthens the last one when it only goes on. */
function keep(allotments: Allotment[], next: Allotment): void {
  const last = allotments.at(-1);
  if (
    last &&
    last.batch === next.batch &&
    last.order === next.order &&
    last.units === next.units &&
    last.until === next.from
  )
    allotments[allotments.length - 1] = { ...last, until: next.until };
  else allotments.push(next);
}

function towerReady(crop: GrownCrop, tower: Leg, batch: Standing, yard: Yard): Day {
  if (batch.stage !== "tower") return tower.until;
  const [leg] = remaining(crop, "tower", {
    stage: "tower",
    since: dayNumber(batch.since),
    today: Number.NEGATIVE_INFINITY,
    latitude: yard.latitude,
  });
  return leg?.until ?? tower.until;
}
