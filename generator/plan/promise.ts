import { addDays, dateOf, dayNumber, type PlainDate, weekdayOf } from "../science/calendar.ts";
import type { Search } from "./choose.ts";
import { readAmount } from "./demands.ts";
import { type Beside, type Plan, type PlannedSowing, plan, type Settled, type Shortfall, settle } from "./plan.ts";
import type { Promised, Yard } from "./yard.ts";

/** Whether the yard can promise one more order, with what follows from it. */
export type Reply = {
  /** What the order gets beside those recorded, all of which keep what they have, and what of it cannot be. */
  readonly part: Beside;
  /** The plan without the order. */
  readonly before: Plan;
} & (
  | {
      readonly verdict: "yes";
      /** Orders that would be made late if all were weighed afresh and no batch said whose it is. */
      readonly watch: readonly string[];
    }
  | {
      /** It fits, and no other order is made late, if these sowings are moved. */
      readonly verdict: "if";
      readonly moved: readonly Moved[];
    }
  | {
      readonly verdict: "no";
      /** The most that could be had from the day that was asked for, in the unit of the order; 0 when it is nothing. */
      readonly most: number;
      /** The first later day from which all of it could be had; undefined when there is none up to the last one tried. */
      readonly earliest: PlainDate | undefined;
      /** The last day that was tried for that. */
      readonly tried: PlainDate;
    }
  | { /** No delivery falls between the first and the last day. */ readonly verdict: "nothing" }
);

/** A sowing of another order that would be sown on another day or stand on another line. */
export interface Moved {
  readonly order: string;
  readonly need: PlainDate;
  readonly was: Where | undefined;
  readonly is: Where | undefined;
}

interface Where {
  readonly sown: PlainDate;
  readonly line: string | undefined;
}

/**
 * Puts an order beside those recorded. Yes when all of it is covered by plants and room that the others leave; yes, if, when
 * it fits once others are sown on other days and none of them is short of anything that it was not short of before; and
 * otherwise no, with the most that fits on its day, found by halving, and the first day on which all of it fits.
 */
export function reply(yard: Yard, order: Promised, search?: Search): Reply {
  const settled = settle(yard, search);
  const part = settled.beside(order);
  const before = settled.plan;
  if (part.sowings.length + part.kept.length + part.shortfalls.length === 0)
    return { verdict: "nothing", part, before };
  const answer = { part, before };
  if (part.shortfalls.length === 0) {
    const together = plan({ ...yard, orders: [...yard.orders, order] }, search);
    return { ...answer, verdict: "yes", watch: worse(before, together, order.id, "in all") };
  }
  if (part.shortfalls.some(({ reason }) => !mayHelp(reason)))
    return { ...answer, verdict: "no", most: 0, earliest: undefined, tried: order.from };
  const together = plan({ ...yard, orders: [...yard.orders, order] }, search);
  const whole = together.shortfalls.every((short) => short.order !== order.id);
  if (whole && worse(before, together, order.id).length === 0) {
    const own = <Part extends { readonly order: string }>(parts: readonly Part[]) =>
      parts.filter((one) => one.order === order.id);
    const mine = { sowings: own(together.sowings), kept: own(together.kept), shortfalls: [], places: together.places };
    return { verdict: "if", before, part: mine, moved: movedBetween(before, together, order.id) };
  }
  const most = mostOf(settled, order);
  const soon = earliestOf(settled, order, yard);
  if (soon.earliest !== undefined) return { ...answer, verdict: "no", most, ...soon };
  const longer = { ...yard, until: addDays(yard.until, further) };
  return { ...answer, verdict: "no", most, ...earliestOf(settle(longer, search), order, longer, soon.tried) };
}

/**
 * Orders, but for one, that are short of more in one plan than in another: on any day, or in all days together, when it does
 * not matter which of their days are short.
 */
export function worse(
  before: Plan,
  after: Plan,
  besides: string,
  when: "any day" | "in all" = "any day",
): readonly string[] {
  const was = shortByDay(before);
  const sum = (days: ReadonlyMap<number, number> = new Map()) => [...days.values()].reduce((all, one) => all + one, 0);
  return [...shortByDay(after)]
    .filter(([order, days]) => {
      if (order === besides) return false;
      const known = was.get(order);
      return when === "in all"
        ? sum(days) > sum(known)
        : [...days].some(([day, units]) => units > (known?.get(day) ?? 0));
    })
    .map(([order]) => order)
    .sort();
}

/** The most of an order that fits beside the others, in whole units or in tens of grams, by halving. */
export function mostOf(settled: Settled, order: Promised): number {
  const amount = readAmount(order.written);
  if (!amount) return 0;
  const step = amount.unit === "g" ? 10 : 1;
  const fits = (steps: number) =>
    fitsBeside(settled, {
      ...order,
      written: `${steps * step} ${wordFor[amount.unit]}${amount.weekly ? "/week" : ""}`,
    });
  let most = 0;
  let tooMuch = Math.max(1, Math.ceil(amount.number / step));
  while (tooMuch - most > 1) {
    const middle = Math.floor((most + tooMuch) / 2);
    if (fits(middle)) most = middle;
    else tooMuch = middle;
  }
  return most * step;
}

/**
 * The first day, after the one asked for or a later one, from which all of an order fits beside the others, and the last day
 * that was tried. A standing order is tried up to a quarter before the last day looked at, so that what is promised is seen
 * for a quarter at least.
 */
export function earliestOf(
  settled: Settled,
  order: Promised,
  yard: Yard,
  after: PlainDate = order.from,
): { readonly earliest: PlainDate | undefined; readonly tried: PlainDate } {
  const standing = readAmount(order.written)?.weekly ?? false;
  const end = standing && order.to !== undefined ? dayNumber(order.to) : Number.POSITIVE_INFINITY;
  const open = standing && order.to === undefined;
  const last = Math.max(dayNumber(after), Math.min(end, dayNumber(yard.until) - (open ? seenFor : 0)));
  for (let day = dayNumber(after) + 1; day <= last; day++) {
    const from = dateOf(day);
    if (order.days !== undefined && !order.days.includes(weekdayOf(from))) continue;
    if (fitsBeside(settled, { ...order, from })) return { earliest: from, tried: from };
  }
  return { earliest: undefined, tried: dateOf(last) };
}

/** How an amount's unit is written in an order. */
export const wordFor = {
  g: "g",
  bunches: "bunches",
  pots: "pots",
  plugs: "plugs",
  plants: "plants",
  pieces: "flowers",
} as const;

/** Long enough to see a sowing hand over to the next, which takes most room. */
const seenFor = 13 * 7;

/** When no day will do within the days looked at, half a year more is looked at for one. */
const further = 26 * 7;

function fitsBeside(settled: Settled, order: Promised): boolean {
  const { sowings, kept, shortfalls } = settled.beside(order);
  return shortfalls.length === 0 && sowings.length + kept.length > 0;
}

/** Room and time may be found elsewhere; a figure that nobody recorded, or seed that may not be sown, may not. */
function mayHelp(reason: Shortfall["reason"]): boolean {
  return "why" in reason && (reason.why === "late" || reason.why === "no-room" || reason.why === "no-day");
}

/** Units that each order is short of on each day. */
function shortByDay({ shortfalls, until }: Plan): ReadonlyMap<string, ReadonlyMap<number, number>> {
  const found = new Map<string, Map<number, number>>();
  for (const { order, units = Number.POSITIVE_INFINITY, from, until: end } of shortfalls) {
    const days = found.get(order) ?? new Map<number, number>();
    found.set(order, days);
    const stop = end === undefined ? dayNumber(until) + 1 : dayNumber(end);
    for (let day = dayNumber(from); day < stop; day++) days.set(day, (days.get(day) ?? 0) + units);
  }
  return found;
}

/** Sowings of every order but one that differ between two plans. */
function movedBetween(before: Plan, after: Plan, besides: string): readonly Moved[] {
  const places = new Map<string, { was: PlannedSowing[]; is: PlannedSowing[] }>();
  for (const [side, sowings] of [
    ["was", before.sowings],
    ["is", after.sowings],
  ] as const)
    for (const sowing of sowings) {
      if (sowing.order === besides) continue;
      const key = `${sowing.order}\u0000${sowing.need}`;
      const place = places.get(key) ?? { was: [], is: [] };
      places.set(key, place);
      place[side].push(sowing);
    }
  return [...places.values()].flatMap(({ was, is }) =>
    Array.from({ length: Math.max(was.length, is.length) }, (_, index) => [was[index], is[index]] as const)
      .filter(([one, other]) => one?.sown !== other?.sown || one?.line !== other?.line)
      .map(([one, other]) => ({
        order: (one ?? other)!.order,
        need: (one ?? other)!.need,
        was: where(one),
        is: where(other),
      })),
  );
}

function where(sowing: PlannedSowing | undefined): Where | undefined {
  return sowing && { sown: sowing.sown, line: sowing.line };
}
