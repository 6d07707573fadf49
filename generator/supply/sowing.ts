import type { Sum } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { addDays, isoWeek, mondayOf, type PlainDate } from "../science/calendar.ts";
import { bodyOf, checkCharacter, trayCode } from "../science/labels.ts";
import { sumOf } from "./index.ts";
import { gearOf } from "./supply.ts";

/** One order as the sowing list has it: when to sow, what, and how much; or why it cannot be. */
export interface Sowing {
  readonly order: string;
  readonly crop: string;
  readonly when: Sum;
  /** The day on which it is sown and the ISO week of that day; undefined when it cannot be met by sowing. */
  readonly on: PlainDate | undefined;
  readonly week: string | undefined;
  /** When the seedlings are counted. */
  readonly count: PlainDate | undefined;
  readonly lot: string | undefined;
  /** The lot was not named by the order; it is the newest of the crop. */
  readonly guessed: boolean;
  readonly cells: number | undefined;
  readonly trays: number | undefined;
  readonly seeds: Sum | undefined;
  /** The codes to print, one a tray, with their check characters. */
  readonly codes: readonly string[];
  /** Why it may not be sown although there is time, such as seed that is not for food. */
  readonly stopped: string | undefined;
}

/** Every order with its sowing, in the order of the days; those that cannot be sown stand last. */
export function sowingsOf(library: Library): readonly Sowing[] {
  const used = new Map<string, number>();
  return [...library.orders.values()]
    .filter(({ fields }) => Object.keys(library.crops.get(fields.crop)?.fields.stages ?? {}).length > 0)
    .map((order) => sowingOf(library, order))
    .toSorted((a, b) => ((a.on ?? "9") < (b.on ?? "9") ? -1 : (a.on ?? "9") > (b.on ?? "9") ? 1 : 0))
    .map((sowing) => ({ ...sowing, codes: codesOf(library, sowing, used) }));
}

/** The week of the edition, the twelve that follow, and any other in which something is sown, each with its seven days. */
export function sowingWeeks(
  library: Library,
): readonly { readonly week: string; readonly days: readonly PlainDate[] }[] {
  const coming = Array.from({ length: 13 }, (_, later) => isoWeek(addDays(library.book.fields.edition, 7 * later)));
  const weeks = new Set([...coming, ...sowingsOf(library).flatMap(({ week }) => week ?? [])]);
  return [...weeks]
    .sort()
    .map((week) => ({ week, days: Array.from({ length: 7 }, (_, day) => addDays(mondayOf(week), day)) }));
}

/** The codes of all trays of a batch: its own, and for more trays than one those that follow. */
export function batchCodes(library: Library, batch: PageOf<"batches">): readonly string[] {
  const { code, tray, cells } = batch.fields;
  const size = tray === undefined ? undefined : gearOf(library.gear.values(), "tray").find(({ id }) => id === tray);
  const trays = size ? Math.ceil(cells / size.fields.cells) : 1;
  const crop = library.crops.get(batch.fields.crop)!;
  const first = Number(/-(\d{2})-[0-9A-Z]$/.exec(code)?.[1] ?? "1");
  return Array.from({ length: trays }, (_, index) =>
    index === 0 ? code : checked(crop.fields.code, batch.fields.sown, first + index),
  );
}

function sowingOf(library: Library, order: PageOf<"orders">): Omit<Sowing, "codes"> {
  const crop = library.crops.get(order.fields.crop)!;
  const when = sumOf(library, "sow-date", { orders: [order] });
  const sowDate = when.outcome.refusal ? undefined : when.outcome.answer.sowDate;
  const on = typeof sowDate === "string" ? sowDate : undefined;
  const named = order.fields.lot === undefined ? undefined : library.lots.get(order.fields.lot);
  const newest = [...library.lots.values()]
    .filter(({ fields }) => fields.crop === crop.id)
    .toSorted((a, b) => (a.fields.bought < b.fields.bought ? 1 : -1))[0];
  const lot = named ?? newest;
  const seeds = seedsFor(library, order, crop, lot);
  const answer = seeds && !seeds.outcome.refusal ? seeds.outcome.answer : {};
  const number = (...keys: readonly string[]) => keys.map((key) => answer[key]).find((one) => typeof one === "number");
  const micro = crop.fields.kind === "micro" || order.fields.kind === "pot";
  const counting = crop.fields.seed?.count;
  return {
    order: order.id,
    crop: crop.id,
    when,
    on,
    week: on && isoWeek(on),
    count: on && counting !== undefined ? addDays(on, counting) : undefined,
    lot: lot?.id,
    guessed: named === undefined && lot !== undefined,
    cells: number("safeCells", "potsToSow") as number | undefined,
    trays: number("trays") as number | undefined,
    seeds,
    stopped: micro && lot && (lot.fields.treated || !lot.fields.food) ? "food" : undefined,
  };
}

/** What says how much to sow: pots, cells for plugs, or cells for the ports that an order by weight needs. */
function seedsFor(library: Library, order: PageOf<"orders">, crop: PageOf<"crops">, lot: PageOf<"lots"> | undefined) {
  if (crop.fields.kind === "micro") {
    return order.fields.kind === "pot" && lot
      ? sumOf(library, "micro-pots", { crops: [crop], lots: [lot], orders: [order] })
      : undefined;
  }
  if (!lot?.fields.tests) return undefined;
  if (order.fields.kind === "plug") return sumOf(library, "cells-to-sow", { orders: [order], lots: [lot] });
  const ports = sumOf(library, "ports-for-order", { crops: [crop], orders: [order] });
  const need = ports.outcome.refusal ? undefined : ports.outcome.answer.ports;
  return typeof need === "number" ? sumOf(library, "cells-to-sow", { lots: [lot] }, { need }) : undefined;
}

function codesOf(library: Library, { crop, on, trays }: Omit<Sowing, "codes">, used: Map<string, number>) {
  const code = library.crops.get(crop)?.fields.code;
  if (on === undefined || code === undefined) return [];
  const day = `${code} ${on}`;
  const last = used.get(day) ?? 0;
  const codes = Array.from({ length: trays ?? 1 }, (_, index) => checked(code, on, last + index + 1));
  used.set(day, last + codes.length);
  return codes;
}

function checked(crop: string, sown: PlainDate, tray: number): string {
  const code = trayCode({ crop, sown, tray });
  return `${code}-${checkCharacter(bodyOf(code))}`;
}
