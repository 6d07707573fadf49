import { dateOf, isoWeek, type PlainDate } from "../science/calendar.ts";
import type { Demand, Gap } from "./demands.ts";
import type { Allotment, InHand } from "./hand.ts";
import type { Leg } from "./passage.ts";
import type { Ledger } from "./places.ts";
import { compare, tidy } from "./shortfalls.ts";
import type { Picked } from "./sowable.ts";
import type { Seeding, Unsown } from "./sowing.ts";
import type { StageName, Yard } from "./yard.ts";

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

/** What is sown once its day is chosen. */
export function sowingOf({ demand, seed, pick }: Picked, yard: Yard): PlannedSowing {
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

/** What of a batch in hand is kept for an order. */
export function keptOf(allotment: Allotment): Kept {
  return { ...allotment, from: dateOf(allotment.from), until: dateOf(allotment.until) };
}

/** Where a batch in hand goes from here. */
export function aheadOf({ batch, legs, ready, plug, end, past }: InHand): BatchAhead {
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

/** What every place of the yard holds. */
export function usesOf(book: Ledger): readonly PlaceUse[] {
  return book.places.map((place) => ({
    place,
    room: Number.isFinite(book.room(place)) ? book.room(place) : undefined,
    taken: Array.from({ length: book.last - book.first + 1 }, (_, day) => tidy(book.taken(place, book.first + day))),
  }));
}

/** The order of sowings: by day, crop and order. */
export function bySowing(a: PlannedSowing, b: PlannedSowing): number {
  return compare(a.sown, b.sown) || compare(a.crop, b.crop) || compare(a.order, b.order) || compare(a.need, b.need);
}

/** The order of shortfalls: by the day on which they begin. */
export function byNeed(a: Shortfall, b: Shortfall): number {
  return compare(a.from, b.from) || compare(a.order, b.order);
}

function stageOf({ stage, from, until }: Leg): PlannedStage {
  return { stage, from: dateOf(from), until: dateOf(until) };
}
