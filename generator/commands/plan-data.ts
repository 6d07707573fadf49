import type { Beside, Kept, PlaceUse, Plan, PlannedSowing, Reason, Shortfall } from "../plan/plan.ts";
import { freeByWeek } from "../plan/plan.ts";
import { roomUnit, type Told } from "../plan/told.ts";

// The plan as plain data for other programs: names that stay, ids, ISO dates, the unit in the name. What is not known is null.

export function sowingData(sowing: PlannedSowing) {
  return {
    order: sowing.order,
    crop: sowing.crop,
    lot: sowing.lot ?? null,
    lotIsGuessed: sowing.guessed,
    sown: sowing.sown,
    week: sowing.week,
    cells: sowing.cells,
    trays: sowing.trays ?? null,
    seeds: sowing.seeds,
    units: sowing.units,
    unitsOf: sowing.of,
    countOn: sowing.count ?? null,
    stages: sowing.stages.map(({ stage, from, until }) => ({ stage, from, untilBefore: until })),
    ready: sowing.ready,
    neededFrom: sowing.need,
    neededUntilBefore: sowing.until,
    waitsDays: sowing.waits,
    lateDays: sowing.late,
    line: sowing.line ?? null,
  };
}

export function keptData({ batch, order, of, units, from, until }: Kept) {
  return { batch, order, units, unitsOf: of, from, untilBefore: until };
}

export function shortfallData({ order, crop, units, of, from, until, reason }: Shortfall, { why, instead }: Told) {
  return {
    order,
    crop,
    units: units ?? null,
    unitsOf: of ?? null,
    from,
    untilBefore: until ?? null,
    reason: reasonData(reason),
    why,
    instead: instead ?? null,
  };
}

/** Room and what is left of it in each place, the least of every ISO week. */
export function roomData(plan: Pick<Plan, "today" | "until"> & { readonly places: readonly PlaceUse[] }) {
  return plan.places.map(({ place, room }) => ({
    place,
    counts: roomUnit(place),
    room: room ?? null,
    weeks: [...freeByWeek(plan, place)].map(([week, free]) => ({ week, leastFree: free ?? null })),
  }));
}

/** The week in which each place has least left from a day on, and how much. */
export function tightest(plan: Pick<Plan, "today" | "until"> & Pick<Beside, "places">, from: string) {
  return plan.places.flatMap(({ place }) => {
    const weeks = [...freeByWeek(plan, place)].filter(([week]) => week >= from);
    let least: { readonly week: string; readonly free: number } | undefined;
    for (const [week, free] of weeks)
      if (free !== undefined && (least === undefined || free < least.free)) least = { week, free };
    return least === undefined ? [] : [{ place, counts: roomUnit(place), ...least }];
  });
}

function reasonData(reason: Reason) {
  if ("gap" in reason)
    return {
      kind: `gap-${reason.gap}`,
      ...(reason.gap === "field" ? { field: reason.field } : {}),
      ...(reason.gap === "over" ? { on: reason.on } : {}),
    };
  switch (reason.why) {
    case "late":
      return { kind: reason.why, earliest: reason.earliest, lateDays: reason.days, wouldDo: reason.batches };
    case "no-room":
      return {
        kind: reason.why,
        place: reason.place,
        on: reason.on,
        tooFew: reason.by,
        counts: roomUnit(reason.place),
        heldBy: reason.holders.map(holderData),
        earliest: reason.earliest ?? null,
      };
    case "weak-lot":
      return { kind: reason.why, lot: reason.lot ?? null, usableShare: reason.chance };
    case "not-for-food":
      return { kind: reason.why, lot: reason.lot };
    default:
      return { kind: reason.why };
  }
}

export function holderData({
  order,
  batch,
  amount,
}: {
  order: string | undefined;
  batch: string | undefined;
  amount: number;
}) {
  return { order: order ?? null, batch: batch ?? null, amount };
}
