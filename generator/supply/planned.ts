import type { Library } from "../library.ts";
import type { Search } from "../plan/choose.ts";
import { type Clash, type PlaceUse, type Plan, type PlannedSowing, plan, type Shortfall } from "../plan/plan.ts";
import { counted, type Names, type Told, toldClash, toldMethod, toldShortfall, toldSpan } from "../plan/told.ts";
import { toldLight } from "../plan/told-supplies.ts";
import { type Basis, weakest } from "../provenance.ts";
import { type Outlook, yardOf } from "./plan.ts";
import { towerLight } from "./seasons.ts";
import { sowingCodes } from "./sowing.ts";

/** A sowing as a page, a list or a label shows it. */
export interface BookSowing extends PlannedSowing {
  /** How much it is sown for, `105 ports`. */
  readonly said: string;
  /** As good as the weakest figure of the crop's record that the plan read; memory where it read none. */
  readonly basis: Basis;
  /** The kind of tray that it is sown in, by its id. */
  readonly tray: string | undefined;
  /** The codes to print, one a tray, with their check characters. */
  readonly codes: readonly string[];
}

/** The yard's plan with its sentences, its codes and what each sowing rests on. */
export interface BookPlan extends Omit<Plan, "sowings" | "shortfalls" | "clashes" | "places"> {
  /** How the days were chosen, which days the plan looks at, and what light does to it, as a page says it. */
  readonly said: { readonly method: string; readonly span: string; readonly light: string };
  readonly sowings: readonly BookSowing[];
  readonly shortfalls: readonly (Shortfall & Told)[];
  readonly clashes: readonly (Clash & Told)[];
  readonly places: readonly (PlaceUse & { readonly name: string })[];
}

/** The plan as the book prints it. Without a `search`, days that do not all fit are chosen by the simple rule. */
export function bookPlan(library: Library, search?: Search, outlook: Partial<Outlook> = {}): BookPlan {
  const { yard, leans } = yardOf(library, outlook);
  const { sowings, shortfalls, clashes, places, ...rest } = plan(yard, search);
  const names = namesOf(library);
  const codes = sowingCodes(library, sowings);
  return {
    ...rest,
    said: { method: toldMethod(rest.method), span: toldSpan(rest), light: toldLight(towerLight(library)) },
    sowings: sowings.map((sowing, index) => {
      const behind = leans.get(sowing.crop) ?? [];
      return {
        ...sowing,
        said: counted(sowing.units, sowing.of),
        basis: behind.length > 0 ? weakest(behind.map(({ basis }) => basis)) : "memory",
        tray: yard.crops.get(sowing.crop)?.tray,
        codes: codes[index]!,
      };
    }),
    shortfalls: shortfalls.map((one) => ({ ...one, ...toldShortfall(one, names) })),
    clashes: clashes.map((one) => ({ ...one, ...toldClash(one, names) })),
    places: places.map((one) => ({ ...one, name: names.place(one.place) })),
  };
}

/** What the plan's sentences call the records of a library. An order has no name of its own: it is its crop and its amount. */
export function namesOf(library: Library): Names {
  const crop = (id: string) => library.crops.get(id)?.fields.name ?? id;
  return {
    crop,
    place(id) {
      const name = library.gear.get(id)?.fields.name ?? id;
      return `the ${name.replace(/^\p{Lu}(?=\p{Ll})/u, (letter) => letter.toLowerCase())}`;
    },
    batch: (id) => library.batches.get(id)?.fields.code ?? id,
    order(id) {
      const order = library.orders.get(id);
      return order ? `${crop(order.fields.crop)}, ${order.fields.amount}` : id;
    },
  };
}
