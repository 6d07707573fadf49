import type { Library } from "../library.ts";
import { addDays, type PlainDate } from "../science/calendar.ts";
import { ofBatch } from "./doings/batches.ts";
import type { Doing } from "./doings/doing.ts";
import { ofOrder, ofShortfalls, ofSowing } from "./doings/orders.ts";
import { ofChecks, ofClashes, ofSupplies } from "./doings/yard.ts";
import { yardOf } from "./plan.ts";
import { type BookPlan, bookPlan } from "./planned.ts";

export type { Doing, DoingFacts } from "./doings/doing.ts";

/** Everything dated that the library knows of, in the order of the days, from what is overdue to the last day looked at. */
export interface Doings {
  readonly from: PlainDate;
  /** The last day looked at: nothing is said of any later one. */
  readonly until: PlainDate;
  readonly list: readonly Doing[];
}

/**
 * What is to be done from the day of the edition on, by the plan; what was due before it and is not recorded as done; and what
 * cannot be done. What no record says is not there: a crop without days for a stage has no day to move it.
 */
export function doingsOf(library: Library, plan: BookPlan = bookPlan(library)): Doings {
  const from = plan.today;
  const until = addDays(from, 7 * weeks - 1);
  const { yard } = yardOf(library);
  const list = [
    ...plan.sowings.flatMap((sowing) => ofSowing(library, sowing)),
    ...[...library.batches.values()].flatMap((batch) => ofBatch(library, batch, yard, plan)),
    ...[...library.orders.values()].flatMap((order) => ofOrder(library, order, { yard, plan, from, until })),
    ...ofShortfalls(library, plan),
    ...ofClashes(library, plan),
    ...ofSupplies(library, plan),
    ...ofChecks(library),
  ].filter(({ on }) => on <= until);
  return { from, until, list: list.toSorted(inOrder) };
}

/** Weeks looked ahead, the same as the sowing list. */
const weeks = 13;

function inOrder(a: Doing, b: Doing): number {
  const key = ({ on, until, what, of }: Doing) => `${on} ${until} ${what} ${of.shelf} ${of.id}`;
  return key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0;
}
