import type { Library } from "../library.ts";
import { type Amount, readAmount } from "../plan/demands.ts";
import type { PlainDate } from "../science/calendar.ts";
import type { Doings } from "./doings.ts";
import type { BookPlan, BookSowing } from "./planned.ts";

/** One delivery of an order: what leaves the yard on a day, and the plants that it comes from. */
export interface Pick {
  readonly on: PlainDate;
  /** Cut from the towers or the pots, handed over, or put in the post. */
  readonly what: "cut" | "hand" | "post";
  readonly order: string;
  readonly crop: string;
  /** This delivery's part of what was promised; undefined when the amount cannot be read. */
  readonly amount: Share | undefined;
  /** How many are promised for each week together, where this delivery is a part of it. */
  readonly weekly: boolean;
  /** Where it comes from, sown first first; nothing where nobody has planned it. */
  readonly from: readonly PickedFrom[];
}

/** A number of what the order counts: grams, bunches, pots, plugs, plants or flowers. */
export interface Share {
  readonly number: number;
  readonly unit: Amount["unit"];
}

/** Plants of one batch, or of a sowing that is yet to be made, by the code on its tray. */
export interface PickedFrom {
  readonly code: string;
  /** The batch's record; undefined when it is still to be sown. */
  readonly batch: string | undefined;
  readonly sown: PlainDate;
  readonly units: number;
  readonly of: BookSowing["of"];
}

/** What is cut, handed over and posted day by day, as far as the doings look. */
export function picksOf(library: Library, plan: BookPlan, doings: Doings): readonly Pick[] {
  return doings.list.flatMap(({ on, what, of, crop }): readonly Pick[] => {
    if (of.shelf !== "orders" || crop === undefined || (what !== "cut" && what !== "hand" && what !== "post"))
      return [];
    const { amount, days } = library.orders.get(of.id)!.fields;
    const read = readAmount(amount);
    const times = read?.weekly ? Math.max(1, days?.length ?? 1) : 1;
    return [
      {
        on,
        what,
        order: of.id,
        crop,
        amount: read && { number: read.number / times, unit: read.unit },
        weekly: read?.weekly ?? false,
        from: takenOn(library, of.id, on, plan),
      },
    ];
  });
}

function takenOn(library: Library, order: string, on: PlainDate, { kept, sowings }: BookPlan): readonly PickedFrom[] {
  const batches = kept
    .filter((one) => one.order === order && one.from <= on && on < one.until)
    .map(({ batch, units, of }): PickedFrom => {
      const { code, sown } = library.batches.get(batch)!.fields;
      return { code, batch, sown, units, of };
    });
  const sown = sowings
    .filter((one) => one.order === order && one.need <= on && on < one.until)
    .map(
      (one): PickedFrom => ({
        code: one.codes[0] ?? "",
        batch: undefined,
        sown: one.sown,
        units: one.units,
        of: one.of,
      }),
    );
  return [...batches, ...sown].toSorted((a, b) =>
    a.sown < b.sown ? -1 : a.sown > b.sown ? 1 : a.code < b.code ? -1 : 1,
  );
}
