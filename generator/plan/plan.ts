import { dateOf, dayNumber, isoWeek, type PlainDate } from "../science/calendar.ts";
import { choose, lackOf, type Method, type Open, type Search } from "./choose.ts";
import { asks, type Demand, type Gap } from "./demands.ts";
import { cover, holdsOf, type InHand, inHand } from "./hand.ts";
import type { Day, Leg } from "./passage.ts";
import { type Hold, type Ledger, ledger, overfull } from "./places.ts";
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

/** A demand of which the seed is known. */
interface Sowable extends Open {
  readonly seed: Seeding;
}

/**
 * Turns orders into sowings: each order is first met from batches in hand, the rest is sown back from its day on days that
 * the yard sows, and all of it finds room together or is refused with the reason. With a `search` the choice of days is the
 * best there is; without one a simple rule makes it.
 */
export function plan(yard: Yard, search?: Search): Plan {
  const first = dayNumber(yard.today);
  const last = dayNumber(yard.until);
  const shortfalls: Shortfall[] = [];
  const demands: Demand[] = [];
  for (const order of yard.orders) {
    const crop = yard.crops.get(order.crop);
    const asked = crop && asks(order, crop, yard);
    if (!asked) continue;
    if ("gap" in asked) shortfalls.push(...gapOf(order, asked));
    else demands.push(...asked.demands.filter(({ need, until }) => need <= last && until > first));
  }
  const hands = inHand(yard);
  const { allotments, open } = cover(demands, hands, yard);
  const named = new Map(yard.orders.map(({ id, lot }) => [id, lot]));
  const sowable: Sowable[] = [];
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
  const { method, picks } = choose(sowable, book, search);
  for (const pick of picks) if (pick) book.put(pick.holds);
  const chosen = sowable.flatMap((one, index) => (picks[index] ? [{ ...one, pick: picks[index] }] : []));
  for (const [index, one] of sowable.entries())
    if (!picks[index]) shortfalls.push(short(one.demand, noRoom(one, book, chosen, standing, yard)));
  for (const { demand, pick } of chosen)
    if (pick.late > 0) shortfalls.push(lateBy(demand, pick, book, chosen, standing));
  return {
    today: yard.today,
    until: yard.until,
    method,
    sowings: chosen.map((one) => sowing(one, yard)).toSorted(bySowing),
    kept: allotments.map((kept) => ({ ...kept, from: dateOf(kept.from), until: dateOf(kept.until) })),
    shortfalls: shortfalls.toSorted(byNeed),
    clashes,
    batches: hands.map(ahead),
    places: book.places.map((place) => ({
      place,
      room: Number.isFinite(book.room(place)) ? book.room(place) : undefined,
      taken: Array.from({ length: last - first + 1 }, (_, day) => tidy(book.taken(place, first + day))),
    })),
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

/** What is left of a demand once it is too late for its first day; the part that is too late is written down. */
function inTime(demand: Demand, earliest: Day, hands: readonly InHand[], shortfalls: Shortfall[]): readonly Demand[] {
  const starts = demand.standing && demand.of === "ports" && earliest < demand.until;
  const missed = { ...demand, until: starts ? earliest : demand.until };
  shortfalls.push(
    short(missed, {
      why: "late",
      earliest: dateOf(earliest),
      days: earliest - demand.need,
      batches: hands
        .filter(({ batch, ready, plug, past }) => {
          const on = demand.way === "tower" ? ready : plug;
          return batch.crop === demand.crop && !past && on !== undefined && on <= demand.need;
        })
        .map(({ batch, ready, plug }) => ({
          batch: batch.id,
          ready: dateOf(demand.way === "tower" ? ready! : plug!),
          plants: batch.plants,
        })),
    }),
  );
  return starts ? [{ ...demand, need: earliest }] : [];
}

interface Picked extends Sowable {
  readonly pick: Choice;
}
interface Taken {
  readonly hand: InHand;
  readonly holds: readonly Hold[];
}

function noRoom(one: Sowable, book: Ledger, chosen: readonly Picked[], standing: readonly Taken[], yard: Yard): Reason {
  const lack = lackOf(one, book);
  if (!lack) return { why: "no-day" };
  return {
    why: "no-room",
    place: lack.place,
    on: dateOf(lack.day),
    by: tidy(lack.by),
    holders: holdersOf(lack.place, lack.day, chosen, standing),
    earliest: one.demand.standing ? undefined : nextWithRoom(one, book, yard),
  };
}

/** A standing order that begins late because an earlier sowing found no room. */
function lateBy(
  demand: Demand,
  pick: Choice,
  book: Ledger,
  chosen: readonly Picked[],
  standing: readonly Taken[],
): Shortfall {
  const full = { place: "bench", day: demand.need };
  for (const { place, from, until } of pick.holds)
    for (let day = from - pick.late; day < until - pick.late; day++)
      if (book.taken(place, day) > book.taken(full.place, full.day)) Object.assign(full, { place, day });
  return short(
    { ...demand, until: demand.need + pick.late },
    {
      why: "no-room",
      place: full.place,
      on: dateOf(full.day),
      by: demand.units,
      holders: holdersOf(full.place, full.day, chosen, standing),
      earliest: dateOf(demand.need + pick.late),
    },
  );
}

/** The first day within a year on which the same amount would find room, as things stand. */
function nextWithRoom({ demand, seed }: Sowable, book: Ledger, yard: Yard): PlainDate | undefined {
  const crop = yard.crops.get(demand.crop)!;
  const length = demand.until - demand.need;
  for (let need = demand.need + 1; need + length <= book.last; need++) {
    const later = { ...demand, need, until: need + length, standing: false };
    const fits = choicesFor(later, crop, yard, seed, 0).some(({ holds }) => book.lacking(holds) === undefined);
    if (fits) return dateOf(need);
  }
  return undefined;
}

function holdersOf(place: string, day: Day, chosen: readonly Picked[], standing: readonly Taken[]): readonly Holder[] {
  const here = (holds: readonly Hold[]) =>
    holds
      .filter((hold) => hold.place === place && hold.from <= day && day < hold.until)
      .reduce((sum, { amount }) => sum + amount, 0);
  const byOrder = new Map<string, number>();
  for (const { demand, pick } of chosen) byOrder.set(demand.order, (byOrder.get(demand.order) ?? 0) + here(pick.holds));
  return [
    ...[...byOrder].map(([order, amount]) => ({ order, batch: undefined, amount })),
    ...standing.map(({ hand, holds }) => ({ order: undefined, batch: hand.batch.id, amount: here(holds) })),
  ]
    .filter(({ amount }) => amount > 0)
    .toSorted((a, b) => b.amount - a.amount || compare(a.order ?? a.batch ?? "", b.order ?? b.batch ?? ""));
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

function short(demand: Demand, reason: Reason): Shortfall {
  return {
    order: demand.order,
    crop: demand.crop,
    of: demand.of,
    units: demand.units,
    from: dateOf(demand.need),
    until: dateOf(demand.until),
    reason,
  };
}

/** An order that is over is no shortfall; one that cannot be read or worked out is. */
function gapOf({ id, crop, from, to }: Promised, gap: Gap): readonly Shortfall[] {
  if (gap.gap === "over") return [];
  return [{ order: id, crop, of: undefined, units: undefined, from, until: to, reason: gap }];
}

/** Takes the last bits of floating-point sums away. */
function tidy(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}

function bySowing(a: PlannedSowing, b: PlannedSowing): number {
  return compare(a.sown, b.sown) || compare(a.crop, b.crop) || compare(a.order, b.order) || compare(a.need, b.need);
}

function byNeed(a: Shortfall, b: Shortfall): number {
  return compare(a.from, b.from) || compare(a.order, b.order);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
