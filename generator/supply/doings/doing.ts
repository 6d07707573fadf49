import type { Basis } from "../../provenance.ts";
import type { StageName } from "../../records/crop.ts";
import type { PlainDate } from "../../science/calendar.ts";

/** What is to be done: with seed, with a batch, for an order, or to water, stock, gear and trials. */
export type Deed =
  | "sow"
  | "count"
  | "move"
  | "first-cut"
  | "next-cut"
  | "last-cut"
  | "cut"
  | "hand"
  | "post"
  | "cannot"
  | "clash"
  | "mix"
  | "order"
  | "test"
  | "service"
  | "decide";

/** One thing to do, and the days on which it is to be done. Facts, not sentences: a page has the words. */
export interface Doing {
  /** The first day on which it may be due. */
  readonly on: PlainDate;
  /** The last; after it the thing is overdue. The same day when there is only one. */
  readonly until: PlainDate;
  readonly what: Deed;
  readonly crop?: string;
  /** The record that it belongs to. */
  readonly of: { readonly shelf: "orders" | "batches" | "waters" | "gear" | "salts" | "trials"; readonly id: string };
  readonly says: DoingFacts;
  /** What a day that was worked out rests on; undefined for a day that a record names. */
  readonly basis?: Basis;
}

export interface DoingFacts {
  /** Where a batch is moved to. */
  readonly to?: StageName;
  /** Plants or cells that were last counted in a batch. */
  readonly plants?: number;
  readonly code?: string;
  /** How much was promised, as the order has it. */
  readonly amount?: string;
  readonly cells?: number;
  readonly trays?: number;
  readonly lot?: string;
  /** The codes of the batches, and the first code of each sowing still to come, from which an order is met. */
  readonly by?: readonly string[];
  /** Stock to mix [L]. */
  readonly litres?: number;
  /** Why it cannot be, and the nearest that can. */
  readonly why?: string;
  readonly instead?: string;
}

/** The first day on which a thing is to be done, and the last. */
export interface Days {
  readonly on: PlainDate;
  readonly until: PlainDate;
}

export function oneDay(on: PlainDate): Days {
  return { on, until: on };
}

/** The facts that there are. */
export function present(facts: { readonly [Key in keyof DoingFacts]: DoingFacts[Key] | undefined }): DoingFacts {
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as DoingFacts;
}
