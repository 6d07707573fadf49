import { addDays, dateOf, type PlainDate } from "../science/calendar.ts";
import { lackOf } from "./choose.ts";
import type { Demand, Gap } from "./demands.ts";
import type { InHand } from "./hand.ts";
import type { Holder, Reason, Shortfall } from "./parts.ts";
import type { Day } from "./passage.ts";
import type { Hold, Ledger } from "./places.ts";
import type { Picked, Sowable } from "./sowable.ts";
import { type Choice, choicesFor } from "./sowing.ts";
import type { Promised, Yard } from "./yard.ts";

/** A batch in hand with the room that it takes. */
export interface Taken {
  readonly hand: InHand;
  readonly holds: readonly Hold[];
}

/** What found no room, and what begins late for want of it, once all that was chosen stands in the book. */
export function unmetOf(
  sowable: readonly Sowable[],
  picks: readonly (Choice | undefined)[],
  book: Ledger,
  chosen: readonly Picked[],
  standing: readonly Taken[],
  yard: Yard,
): readonly Shortfall[] {
  return sowable.flatMap((one, index) => {
    const pick = picks[index];
    if (!pick) return [short(one.demand, noRoom(one, book, chosen, standing, yard))];
    return pick.late > 0 ? [lateBy(one, pick, book, chosen, standing)] : [];
  });
}

/** What is left of a demand once it is too late for its first day; the part that is too late is written down. */
export function inTime(
  demand: Demand,
  earliest: Day,
  hands: readonly InHand[],
  shortfalls: Shortfall[],
): readonly Demand[] {
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

/** Who takes how much of a place on a day, the most first. */
export function holdersOf(
  place: string,
  day: Day,
  chosen: readonly Picked[],
  standing: readonly Taken[],
): readonly Holder[] {
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

/** A demand that cannot be, and why. */
export function short(demand: Demand, reason: Reason): Shortfall {
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
export function gapOf({ id, crop, from, to }: Promised, gap: Gap): readonly Shortfall[] {
  if (gap.gap === "over") return [];
  const until = to === undefined ? undefined : addDays(to, 1);
  return [{ order: id, crop, of: undefined, units: undefined, from, until, reason: gap }];
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

/** A standing order that begins late because what would be in time finds no room beside all the others. */
function lateBy(
  one: Sowable,
  pick: Choice,
  book: Ledger,
  chosen: readonly Picked[],
  standing: readonly Taken[],
): Shortfall {
  const { demand } = one;
  book.put(pick.holds, -1);
  const lack = lackOf(one, book);
  book.put(pick.holds);
  const others = chosen.filter((other) => other.pick !== pick);
  return short(
    { ...demand, until: demand.need + pick.late },
    lack
      ? {
          why: "no-room",
          place: lack.place,
          on: dateOf(lack.day),
          by: tidy(lack.by),
          holders: holdersOf(lack.place, lack.day, others, standing),
          earliest: dateOf(demand.need + pick.late),
        }
      : { why: "no-day" },
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

/** The same number without the last bits of floating-point sums. */
export function tidy(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}

/** Which of two texts comes first, the same on every machine. */
export function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
