import { dateOf, dayNumber, isoWeek, type PlainDate } from "../science/calendar.ts";
import { choose, type Method, type Search } from "./choose.ts";
import { type Allotment, cover, holdsOf, type InHand, inHand } from "./hand.ts";
import {
  aheadOf,
  type BatchAhead,
  byNeed,
  bySowing,
  type Clash,
  type Kept,
  keptOf,
  type PlaceUse,
  type PlannedSowing,
  type Shortfall,
  sowingOf,
  usesOf,
} from "./parts.ts";
import { type Hold, ledger, overfull } from "./places.ts";
import { holdersOf, unmetOf } from "./shortfalls.ts";
import { demandsOf, picked, sowableOf } from "./sowable.ts";
import type { Promised, Yard } from "./yard.ts";

export type { Clash, Holder, Kept, PlaceUse, PlannedSowing, Reason, Shortfall } from "./parts.ts";

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
      sowings: chosen.map((one) => sowingOf(one, yard)).toSorted(bySowing),
      kept: allotments.map(keptOf),
      shortfalls: [...recorded.shortfalls, ...sown.shortfalls, ...unmet].toSorted(byNeed),
      clashes,
      batches: hands.map(aheadOf),
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
        sowings: added.map((one) => sowingOf(one, yard)).toSorted(bySowing),
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

/** The room that a batch in hand takes, once what is posted of it has left. */
function handHolds(hand: InHand, allotments: readonly Allotment[], yard: Yard): readonly Hold[] {
  const posted = allotments
    .filter(({ batch, of }) => batch === hand.batch.id && of === "plugs")
    .reduce((sum, { units }) => sum + units, 0);
  return holdsOf(hand, yard.crops.get(hand.batch.crop)!, posted, yard);
}
