import { dateOf, dayNumber, isoWeek, type PlainDate } from "../science/calendar.ts";
import { choose, type Method, type Search } from "./choose.ts";
import { asks, type Demand, type Gap } from "./demands.ts";
import { type Allotment, cover, holdsOf, type InHand, inHand } from "./hand.ts";
import type { Leg } from "./passage.ts";
import { type Hold, type Ledger, ledger, overfull } from "./places.ts";
import { compare, gapOf, holdersOf, inTime, type Picked, type Sowable, short, tidy, unmetOf } from "./shortfalls.ts";
import { type Choice, choicesFor, earliestReady, type Seeding, seeding, type Unsown } from "./sowing.ts";
import type { GrownCrop, Promised, StageName, Yard } from "./yard.ts";

/** One sowing of the plan: what, when, for which order, and where it goes from there. */
export interface PlannedSowing extends Seeding {
  readonly order: string;
  readonly crop: string;
  readonly of: Demand["of"];
  readonly units: number;
  readonly sown: PlainDate;
  readonly week: string;
  readonly count: PlainDate | undefined;
  readonly stages: readonly PlannedStage[];
  readonly ready: PlainDate;
  readonly need: PlainDate;
  readonly until: PlainDate;
  readonly waits: number;
  readonly late: number;
  readonly line: string | undefined;
}

export interface PlannedStage {
  readonly stage: StageName;
  readonly from: PlainDate;
  readonly until: PlainDate;
}

/** Plants of a batch in hand kept for an order, from the first day until the day before `until`. */
export interface Kept {
  readonly batch: string;
  readonly order: string;
  readonly of: Demand["of"];
  readonly units: number;
  readonly from: PlainDate;
  readonly until: PlainDate;
}

/** What of an order cannot be, and why. */
export interface Shortfall {
  readonly order: string;
  readonly crop: string;
  readonly of: Demand["of"] | undefined;
  readonly units: number | undefined;
  readonly from: PlainDate;
  readonly until: PlainDate | undefined;
  readonly reason: Reason;
}

export type Reason =
  | Gap
  | Unsown
  | { readonly why: "late"; readonly earliest: PlainDate; readonly days: number; readonly batches: readonly WouldDo[] }
  | { readonly why: "no-day" }
  | {
      readonly why: "no-room";
      readonly place: string;
      readonly on: PlainDate;
      readonly by: number;
      readonly holders: readonly Holder[];
      readonly earliest: PlainDate | undefined;
    };

/** A batch in hand that would be ready in time, were it not kept for something else. */
export interface WouldDo {
  readonly batch: string;
  readonly ready: PlainDate;
  readonly plants: number;
}

/** Who takes how much of a place on a day. */
export interface Holder {
  readonly order: string | undefined;
  readonly batch: string | undefined;
  readonly amount: number;
}

/** What a place has room for, and what it holds on every day of the plan. */
export interface PlaceUse {
  readonly place: string;
  /** Undefined when no record says. */
  readonly room: number | undefined;
  readonly taken: readonly number[];
}

/** A day on which what stands already is more than there is room for. */
export interface Clash {
  readonly place: string;
  readonly on: PlainDate;
  readonly by: number;
  readonly most: number;
  readonly holders: readonly Holder[];
}

export interface BatchAhead {
  readonly batch: string;
  readonly code: string;
  readonly crop: string;
  readonly stages: readonly PlannedStage[];
  readonly ready: PlainDate | undefined;
  readonly end: PlainDate;
  readonly past: boolean;
}

/** What the yard does from a day on. */
export interface Plan {
  readonly today: PlainDate;
  readonly until: PlainDate;
  readonly method: Method;
  readonly sowings: readonly PlannedSowing[];
  readonly kept: readonly Kept[];
  readonly shortfalls: readonly Shortfall[];
  readonly clashes: readonly Clash[];
  readonly batches: readonly BatchAhead[];
  readonly places: readonly PlaceUse[];
}

/** A plan that stands, and what could be put beside it. */
export interface Settled {
  readonly plan: Plan;
  /** The part that one more order would have: it takes only the plants and the room that all others leave. */
  beside(order: Promised): Beside;
}

/** What one more order gets, what of it cannot be, and what every place holds with it. */
export type Beside = Pick<Plan, "sowings" | "kept" | "shortfalls" | "places">;

/**
 * Turns orders into sowings: each order is first met from batches in hand, the rest is sown back from its day on days that
 * the yard sows, and all of it finds room together or is refused with the reason. With a `search` the choice of days is the
 * best there is; without one a simple rule makes it.
 */
export function plan(yard: Yard, search?: Search): Plan {
  return settle(yard, search).plan;
}

/** The same plan, kept open so that one more order after another can be tried beside it. */
export function settle(yard: Yard, search?: Search): Settled {
  const first = dayNumber(yard.today);
  const last = dayNumber(yard.until);
  const hands = inHand(yard);
  const recorded = demandsOf(yard.orders, yard);
  const { allotments, open } = cover(recorded.demands, hands, yard);
  const sown = sowableOf(open, yard.orders, hands, yard);
  const book = ledger(yard.places, first, last);
  const standing = hands.map((hand) => ({ hand, holds: handHolds(hand, allotments, yard) }));
  for (const { holds } of standing) book.put(holds);
  const clashes = overfull(book).map(({ place, day, by, most }) => ({
    place,
    on: dateOf(day),
    by,
    most,
    holders: holdersOf(place, day, [], standing),
  }));
  const { method, picks } = choose(sown.sowable, book, search);
  const chosen = picked(sown.sowable, picks);
  for (const { pick } of chosen) book.put(pick.holds);
  const unmet = unmetOf(sown.sowable, picks, book, chosen, standing, yard);
  return {
    plan: {
      today: yard.today,
      until: yard.until,
      method,
      sowings: chosen.map((one) => sowing(one, yard)).toSorted(bySowing),
      kept: allotments.map(keptOf),
      shortfalls: [...recorded.shortfalls, ...sown.shortfalls, ...unmet].toSorted(byNeed),
      clashes,
      batches: hands.map(ahead),
      places: usesOf(book),
    },
    beside(order) {
      const asked = demandsOf([order], yard);
      const covered = cover([...recorded.demands, ...asked.demands], hands, yard, order.id);
      const left = covered.open.filter((demand) => demand.order === order.id);
      const more = sowableOf(left, [order], hands, yard);
      const { picks } = choose(more.sowable, book, search);
      const added = picked(more.sowable, picks);
      for (const { pick } of added) book.put(pick.holds);
      const unmet = unmetOf(more.sowable, picks, book, [...chosen, ...added], standing, yard);
      const places = usesOf(book);
      for (const { pick } of added) book.put(pick.holds, -1);
      return {
        sowings: added.map((one) => sowing(one, yard)).toSorted(bySowing),
        kept: covered.allotments.filter((one) => one.order === order.id).map(keptOf),
        shortfalls: [...asked.shortfalls, ...more.shortfalls, ...unmet].toSorted(byNeed),
        places,
      };
    },
  };
}

/** The least room that is left in a place in each ISO week of a plan; undefined where no record says how much there is. */
export function freeByWeek({ today, until, places }: Pick<Plan, "today" | "until" | "places">, place: string) {
  const use = places.find((one) => one.place === place);
  const free = new Map<string, number | undefined>();
  const first = dayNumber(today);
  for (let day = first; day <= dayNumber(until); day++) {
    const week = isoWeek(dateOf(day));
    const left = use?.room === undefined ? undefined : use.room - use.taken[day - first]!;
    const known = free.get(week);
    free.set(week, left === undefined ? undefined : Math.min(known ?? left, left));
  }
  return free;
}

/** What orders ask within the days looked at, and those that cannot be read or worked out. */
function demandsOf(orders: readonly Promised[], yard: Yard) {
  const [first, last] = [dayNumber(yard.today), dayNumber(yard.until)];
  const demands: Demand[] = [];
  const shortfalls: Shortfall[] = [];
  for (const order of orders) {
    const crop = yard.crops.get(order.crop);
    const asked = crop && asks(order, crop, yard);
    if (!asked) continue;
    if ("gap" in asked) shortfalls.push(...gapOf(order, asked));
    else demands.push(...asked.demands.filter(({ need, until }) => need <= last && until > first));
  }
  return { demands, shortfalls };
}

/** What no batch covers, with every way of sowing for it, and what cannot be sown for at all or comes too late. */
function sowableOf(open: readonly Demand[], orders: readonly Promised[], hands: readonly InHand[], yard: Yard) {
  const named = new Map(orders.map(({ id, lot }) => [id, lot]));
  const sowable: Sowable[] = [];
  const shortfalls: Shortfall[] = [];
  for (const demand of open) {
    const crop = yard.crops.get(demand.crop)!;
    const seed = seeding(demand, crop, yard, named.get(demand.order));
    if ("why" in seed) {
      shortfalls.push(short(demand, seed));
      continue;
    }
    const earliest = earliestReady(demand, crop, yard);
    if (earliest === undefined) {
      shortfalls.push(short(demand, { why: "no-day" }));
      continue;
    }
    for (const part of demand.need < earliest ? inTime(demand, earliest, hands, shortfalls) : [demand])
      for (const piece of pieces(part, crop)) {
        const choices = choicesFor(piece, crop, yard, seed);
        if (choices.length > 0) sowable.push({ demand: piece, choices, seed });
        else shortfalls.push(short(piece, { why: "no-day" }));
      }
  }
  return { sowable, shortfalls };
}

function picked(sowable: readonly Sowable[], picks: readonly (Choice | undefined)[]): readonly Picked[] {
  return sowable.flatMap((one, index) => (picks[index] ? [{ ...one, pick: picks[index] }] : []));
}

function usesOf(book: Ledger): readonly PlaceUse[] {
  return book.places.map((place) => ({
    place,
    room: Number.isFinite(book.room(place)) ? book.room(place) : undefined,
    taken: Array.from({ length: book.last - book.first + 1 }, (_, day) => tidy(book.taken(place, book.first + day))),
  }));
}

function keptOf(allotment: Allotment): Kept {
  return { ...allotment, from: dateOf(allotment.from), until: dateOf(allotment.until) };
}

/** A standing order in ports is sown again and again, each sowing for one cut window. */
function pieces(demand: Demand, crop: GrownCrop): readonly Demand[] {
  if (!demand.standing || demand.of !== "ports" || crop.once || crop.cutWindow === undefined) return [demand];
  const window = Math.max(1, Math.floor(crop.cutWindow));
  const most = Math.max(window, Math.floor(crop.cutWindowMost ?? window));
  const parts: Demand[] = [];
  for (let need = demand.need; need < demand.until; ) {
    const until = demand.until - need <= most ? demand.until : need + window;
    parts.push({ ...demand, need, until });
    need = until;
  }
  return parts;
}

function handHolds(hand: InHand, allotments: ReturnType<typeof cover>["allotments"], yard: Yard): readonly Hold[] {
  const posted = allotments
    .filter(({ batch, of }) => batch === hand.batch.id && of === "plugs")
    .reduce((sum, { units }) => sum + units, 0);
  return holdsOf(hand, yard.crops.get(hand.batch.crop)!, posted, yard);
}

function sowing({ demand, seed, pick }: Picked, yard: Yard): PlannedSowing {
  const counting = yard.crops.get(demand.crop)!.countDay;
  return {
    ...seed,
    order: demand.order,
    crop: demand.crop,
    of: demand.of,
    units: demand.units,
    sown: dateOf(pick.sown),
    week: isoWeek(dateOf(pick.sown)),
    count: counting === undefined ? undefined : dateOf(pick.sown + counting),
    stages: pick.legs.map(stageOf),
    ready: dateOf(pick.ready),
    need: dateOf(demand.need),
    until: dateOf(demand.until),
    waits: pick.waits,
    late: pick.late,
    line: pick.line,
  };
}

function ahead({ batch, legs, ready, plug, end, past }: InHand): BatchAhead {
  const on = ready ?? plug;
  return {
    batch: batch.id,
    code: batch.code,
    crop: batch.crop,
    stages: legs.map(stageOf),
    ready: on === undefined ? undefined : dateOf(on),
    end: dateOf(end),
    past,
  };
}

function stageOf({ stage, from, until }: Leg): PlannedStage {
  return { stage, from: dateOf(from), until: dateOf(until) };
}

function bySowing(a: PlannedSowing, b: PlannedSowing): number {
  return compare(a.sown, b.sown) || compare(a.crop, b.crop) || compare(a.order, b.order) || compare(a.need, b.need);
}

function byNeed(a: Shortfall, b: Shortfall): number {
  return compare(a.from, b.from) || compare(a.order, b.order);
}
