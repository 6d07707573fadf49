import type { Sum } from "./figures.ts";
import type { Library, PageOf } from "./library.ts";
import { gearOf, sumOf } from "./supply/index.ts";

/** A sum of the book with the page that it stands on, `feeds/leaf`. */
export type Placed = readonly [page: string, sum: Sum];

/** Every sum of the book, for the pages and for `explain`. */
export function* allSums(library: Library): Generator<Placed> {
  for (const feed of library.feeds.values()) yield* feedSums(library, feed);
  for (const water of library.waters.values()) {
    yield [`waters/${water.id}`, sumOf(library, "hardness-alkalinity", { waters: [water] })];
    yield [`waters/${water.id}`, sumOf(library, "solution-check", { waters: [water] })];
  }
  const gear = (kind: "line" | "lamp" | "meter") => gearOf(library.gear.values(), kind) as readonly PageOf<"gear">[];
  for (const line of gear("line")) yield [`gear/${line.id}`, sumOf(library, "line-match", { gear: [line] })];
  for (const lamp of gear("lamp")) yield [`gear/${lamp.id}`, sumOf(library, "light-total", { gear: [lamp] })];
  for (const meter of gearOf(library.gear.values(), "meter")) {
    if (meter.fields.measures !== "EC" || !meter.fields.reading) continue;
    yield [`gear/${meter.id}`, sumOf(library, "ec-reading", { gear: [meter as PageOf<"gear">] })];
  }
  for (const lot of library.lots.values()) {
    if (lot.fields.tests) yield [`lots/${lot.id}`, sumOf(library, "germination-test", { lots: [lot] })];
  }
  for (const order of library.orders.values()) yield* orderSums(library, order);
}

function* feedSums(library: Library, feed: PageOf<"feeds">): Generator<Placed> {
  yield [`feeds/${feed.id}`, sumOf(library, "feed-recipe", { feeds: [feed] })];
  const traces = ["Fe", "Mn", "Zn", "B", "Cu", "Mo"] as const;
  const weighed = traces.some(
    (trace) =>
      feed.fields.targets[trace] !== undefined &&
      feed.fields.salts.some((id) => (library.salts.get(id)?.fields.analysis[trace] ?? 0) > 0),
  );
  if (weighed) yield [`feeds/${feed.id}`, sumOf(library, "trace-weights", { feeds: [feed] })];
}

function* orderSums(library: Library, order: PageOf<"orders">): Generator<Placed> {
  const page = `orders/${order.id}`;
  const crop = library.crops.get(order.fields.crop)!;
  if (Object.keys(crop.fields.stages).length > 0) yield [page, sumOf(library, "sow-date", { orders: [order] })];
  const lot = order.fields.lot === undefined ? undefined : library.lots.get(order.fields.lot);
  if (order.fields.kind === "plug" && lot?.fields.tests)
    yield [page, sumOf(library, "cells-to-sow", { orders: [order] })];
}
