import type { Library, PageOf } from "../../library.ts";
import { deliveriesOf, readAmount } from "../../plan/demands.ts";
import { postingDays } from "../../plan/passage.ts";
import type { Yard } from "../../plan/yard.ts";
import { addDays, dateOf, dayNumber, type PlainDate } from "../../science/calendar.ts";
import type { BookPlan, BookSowing } from "../planned.ts";
import { type Doing, oneDay, present } from "./doing.ts";

/** Sowing for an order and the counting after it. */
export function ofSowing(library: Library, sowing: BookSowing): readonly Doing[] {
  const { sown, count, order, crop, cells, trays, lot, codes, basis } = sowing;
  const base = { crop, of: { shelf: "orders", id: order }, basis } as const;
  const code = codes[0];
  const says = present({ amount: library.orders.get(order)?.fields.amount, cells, trays, lot, code });
  return [
    { ...base, ...oneDay(sown), what: "sow", says },
    ...(count === undefined
      ? []
      : [{ ...base, ...oneDay(count), what: "count" as const, says: present({ cells, code }) }]),
  ];
}

/** What is promised: each delivery of a standing order, or the one day of any other, and from what it is met. */
export function ofOrder(
  library: Library,
  order: PageOf<"orders">,
  { yard, plan, from: first, until: last }: { yard: Yard; plan: BookPlan; from: PlainDate; until: PlainDate },
): readonly Doing[] {
  const { kind, crop, amount, days, from, to } = order.fields;
  const what = kind === "plug" ? "post" : kind === "pot" || kind === "trial" ? "hand" : "cut";
  const end = to !== undefined && to < last ? to : last;
  const standing = readAmount(amount)?.weekly ?? days !== undefined;
  const promised = standing ? deliveriesOf({ days }, dayNumber(from), dayNumber(end) + 1) : [dayNumber(from)];
  const mayPost = what === "post" ? postingDays(yard) : undefined;
  return promised.flatMap((day) => {
    const leaves = mayPost ? Array.from({ length: 61 }, (_, later) => day + later).find(mayPost) : day;
    if (leaves === undefined || leaves < dayNumber(first)) return [];
    const on = dateOf(leaves);
    const by = metBy(library, order.id, on, plan);
    const refused = plan.shortfalls.some((one) => one.order === order.id && covers(one, on));
    if (by.length === 0 && refused) return [];
    return {
      ...oneDay(on),
      what,
      crop,
      of: { shelf: "orders", id: order.id },
      says: present({ amount, by: by.length > 0 ? by : undefined }),
    } as const;
  });
}

/** What of an order cannot be, on the days on which it is wanted. */
export function ofShortfalls(library: Library, { today, shortfalls }: BookPlan): readonly Doing[] {
  return shortfalls.map(({ order, crop, from, until, why, instead }) => {
    const on = from < today ? today : from;
    const last = until === undefined || until <= on ? on : addDays(until, -1);
    const says = present({ amount: library.orders.get(order)?.fields.amount, why, instead });
    return { on, until: last, what: "cannot", crop, of: { shelf: "orders", id: order }, says } as const;
  });
}

/** The codes of what an order is met from on a day: batches kept for it, and the first tray of each sowing. */
function metBy(library: Library, order: string, on: PlainDate, { kept, sowings }: BookPlan): readonly string[] {
  return [
    ...kept
      .filter((one) => one.order === order && covers(one, on))
      .flatMap(({ batch }) => library.batches.get(batch)?.fields.code ?? []),
    ...sowings
      .filter((one) => one.order === order && covers({ from: one.need, until: one.until }, on))
      .flatMap(({ codes }) => codes[0] ?? []),
  ];
}

function covers({ from, until }: { from: PlainDate; until: PlainDate | undefined }, on: PlainDate): boolean {
  return from <= on && (until === undefined || on < until);
}
