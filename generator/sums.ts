import type { Sum } from "./figures.ts";
import type { Library, PageOf } from "./library.ts";
import { readAmount } from "./plan/demands.ts";
import { demandOf, lotFor } from "./supply/crops.ts";
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
  for (const tower of gearOf(library.gear.values(), "tower")) {
    if (tower.fields.gust === undefined) continue;
    yield [`gear/${tower.id}`, sumOf(library, "gust-check", { gear: [tower as PageOf<"gear">] })];
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

/** When to sow for an order, how many ports it takes, and how much is sown. What the records leave open has no sum. */
function* orderSums(library: Library, order: PageOf<"orders">): Generator<Placed> {
  const page = `orders/${order.id}`;
  const crop = library.crops.get(order.fields.crop)!;
  const lot = lotFor(library, order);
  const demand = demandOf(library, order);
  if (Object.keys(crop.fields.stages).length > 0) yield [page, sumOf(library, "sow-date", { orders: [order] })];
  if (!demand) return;
  const amount = readAmount(order.fields.amount);
  const cut = crop.fields.cutting;
  if (demand.of === "ports" && amount?.unit === "g" && amount.weekly && cut?.each && cut.regrowth)
    yield [page, sumOf(library, "ports-for-order", { crops: [crop], orders: [order] })];
  if (crop.fields.kind === "micro") {
    if (lot && crop.fields.micro?.density && crop.fields.seed?.gram)
      yield [page, sumOf(library, "micro-pots", { crops: [crop], lots: [lot], orders: [order] })];
  } else if (lot?.fields.tests) yield [page, sumOf(library, "cells-to-sow", { lots: [lot], orders: [order] })];
}
