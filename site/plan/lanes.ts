import type { StaffEdition } from "../../generator/editions.ts";
import { nameOf } from "../names.ts";
import { daysBetween } from "../stages.ts";
import { words } from "../words.ts";
import { dayAfter, later, orderName } from "./week.ts";

/** A bar of the season drawing: its stages in days from the first day drawn, and the days on which it is cut or wanted. */
export interface Bar {
  readonly label: string;
  readonly segments: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  readonly from: number;
  readonly to: number;
}

/** One row: an order, or the batches of a crop; its bars in lanes that do not overlap, and the days that cannot be. */
export interface Row {
  readonly title: string;
  readonly address: string;
  readonly lanes: readonly (readonly Bar[])[];
  readonly crosses: readonly number[];
}

/** The rows of the season drawing: orders by crop, with what cannot be of each; then the batches in hand. */
export function seasonRows(book: StaffEdition, first: string, days: number): readonly Row[] {
  const { plan } = book;
  const at = (day: string) => Math.min(days, Math.max(0, daysBetween(first, day)));
  const orders = [...new Set([...plan.sowings, ...plan.shortfalls].map(({ order }) => order))].map((order): Row => {
    const bars = plan.sowings
      .filter((one) => one.order === order)
      .map(({ sown, ready, need, until, stages }) =>
        bar(words.plan.plan.bar(sown, ready, dayAfter(until, -1)), stages, later(need, ready), until, at),
      );
    const crosses = plan.shortfalls.filter((one) => one.order === order).map(({ from }) => at(from));
    return { title: orderName(book, order), address: `/orders/${order}`, lanes: inLanes(bars), crosses };
  });
  const batches = [...Map.groupBy(plan.batches, ({ crop }) => crop)].map(
    ([crop, all]): Row => ({
      title: `${nameOf(crop)}, ${words.plan.plan.inHand.toLowerCase()}`,
      address: `/crops/${crop}`,
      lanes: inLanes(all.map(({ code, stages, ready, end }) => bar(code, stages, ready ?? end, end, at))),
      crosses: [],
    }),
  );
  return [
    ...orders.toSorted((a, b) => a.title.localeCompare(b.title, "en-GB")),
    ...batches.toSorted((a, b) => a.title.localeCompare(b.title, "en-GB")),
  ];
}

function bar(
  label: string,
  stages: readonly { readonly stage: string; readonly from: string; readonly until: string }[],
  cut: string,
  end: string,
  at: (day: string) => number,
): Bar {
  const segments = [
    ...stages.map(({ stage, from, until }) => ({ name: stage, from: at(from), to: at(until) })),
    { name: "cutting", from: at(cut), to: at(end) },
  ].filter(({ from, to }) => to > from);
  return { label, segments, from: segments[0]?.from ?? 0, to: segments.at(-1)?.to ?? 0 };
}

/** Bars beneath each other only where they would overlap. */
function inLanes(bars: readonly Bar[]): readonly (readonly Bar[])[] {
  const lanes: Bar[][] = [];
  for (const one of bars.filter(({ segments }) => segments.length > 0).toSorted((a, b) => a.from - b.from)) {
    const lane = lanes.find((bars) => bars.at(-1)!.to <= one.from);
    if (lane) lane.push(one);
    else lanes.push([one]);
  }
  return lanes;
}
