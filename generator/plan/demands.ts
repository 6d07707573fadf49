import { dayNumber, type PlainDate, weekdays } from "../science/calendar.ts";
import { wholeUp } from "../science/counting.ts";
import { type Day, postingDays, type Way, weekdayOf } from "./passage.ts";
import type { GrownCrop, Promised, Yard } from "./yard.ts";

/** One thing to have ready: so many ports, plugs or pots on a day, and for as long as they are wanted. */
export interface Demand {
  readonly order: string;
  readonly crop: string;
  readonly way: Way;
  /** What `units` counts. */
  readonly of: "ports" | "plugs" | "pots" | "plants";
  readonly units: number;
  /** The day on which it must be ready. */
  readonly need: Day;
  /** The first day on which it is no longer wanted. */
  readonly until: Day;
  /** A standing order goes on, so a late beginning is better than none. */
  readonly standing: boolean;
}

/** Why an order cannot be planned at all: what its crop's record leaves open, or does not allow. */
export type Gap =
  | { readonly gap: "amount"; readonly written: string }
  | { readonly gap: "field"; readonly field: string }
  | { readonly gap: "over"; readonly on: PlainDate };

/** What one order asks of the yard before any batch or bed is looked at. */
export type Asked = { readonly demands: readonly Demand[] } | Gap;

/** A shelf of words for one number: `2400 g/week` is 2400 `g` a week. */
export interface Amount {
  readonly number: number;
  readonly unit: "g" | "bunches" | "pots" | "plugs" | "plants" | "pieces";
  readonly weekly: boolean;
}

/** Share lost in trimming and picking over, as in the sum of ports for an order. Common practice. */
export const trimmed = 0.08;

/** Of twenty plugs one more is packed. Common practice. */
const spare = 0.05;

/** An order by weight or bunch stands on the towers; plugs and pots leave the bench. */
export function asks(order: Promised, crop: GrownCrop, yard: Yard): Asked {
  const amount = readAmount(order.written);
  if (!amount) return { gap: "amount", written: order.written };
  const today = dayNumber(yard.today);
  const last = dayNumber(yard.until);
  const from = dayNumber(order.from);
  const end = order.to === undefined ? last + 1 : Math.min(last, dayNumber(order.to)) + 1;
  const over = amount.weekly ? order.to !== undefined && dayNumber(order.to) < today : from < today;
  if (over) return { gap: "over", on: order.to ?? order.from };
  const base = { order: order.id, crop: crop.id, standing: amount.weekly };
  if (crop.micro || order.kind === "pot") return potted(base, amount, { order, crop, yard, from, end });
  if (order.kind === "plug") {
    if (amount.weekly) return weekly(base, amount, { order, yard, from, end });
    const need = postingFrom(yard, from);
    return { demands: [{ ...base, way: "bench", of: "plugs", units: packed(amount.number), need, until: need + 1 }] };
  }
  if (order.kind === "trial") {
    const until = order.to === undefined ? undefined : end;
    if (until === undefined) return { gap: "field", field: "to" };
    return { demands: [{ ...base, way: "tower", of: "plants", units: amount.number, need: from, until }] };
  }
  return onTowers(base, amount, { order, crop, from, end });
}

/** The ports that an order by weight takes, or that one cut of it takes; or which field is missing. */
export function portsOf(amount: Amount, crop: GrownCrop): number | { readonly field: string } {
  if (amount.unit === "pieces") {
    if (crop.piecesPerWeek === undefined) return { field: "cutting.pieces" };
    return wholeUp(amount.number / crop.piecesPerWeek);
  }
  if (amount.unit === "plants" || amount.unit === "plugs") return amount.number;
  if (amount.unit === "bunches" && crop.gramsPerBunch === undefined) return { field: "cutting.bunch" };
  const grams = amount.number * (amount.unit === "bunches" ? crop.gramsPerBunch! : 1);
  if (crop.gramsPerCut === undefined) return { field: "cutting.each" };
  const cut = crop.gramsPerCut * (1 - trimmed);
  if (!amount.weekly || crop.once) return wholeUp(grams / cut);
  if (crop.daysBetweenCuts === undefined) return { field: "cutting.regrowth" };
  return wholeUp(grams / ((7 / crop.daysBetweenCuts) * cut));
}

/** `2400 g/week`, `40 bunches`, `1.5 kg a week`; undefined when it is none of these. */
export function readAmount(written: string): Amount | undefined {
  const match = /^(\d+(?:\.\d+)?) ?([a-z]+)(?: ?(?:\/|a|per) ?week)?$/i.exec(written.trim());
  if (!match) return undefined;
  const weekly = /week$/i.test(written.trim());
  const number = Number(match[1]);
  const word = match[2]!.toLowerCase();
  if (word === "kg") return { number: number * 1000, unit: "g", weekly };
  const unit = units[word];
  return unit && { number, unit, weekly };
}

const units: Readonly<Record<string, Amount["unit"]>> = {
  g: "g",
  bunch: "bunches",
  bunches: "bunches",
  pot: "pots",
  pots: "pots",
  plug: "plugs",
  plugs: "plugs",
  plant: "plants",
  plants: "plants",
  flower: "pieces",
  flowers: "pieces",
  fruit: "pieces",
  fruits: "pieces",
  head: "plants",
  heads: "plants",
};

type Base = Pick<Demand, "order" | "crop" | "standing">;
interface Span {
  readonly from: Day;
  readonly end: Day;
}

/** Ports in cut from the first day to the last; a crop that is cut once is wanted anew at every delivery. */
function onTowers(
  base: Base,
  amount: Amount,
  { order, crop, from, end }: Span & { order: Promised; crop: GrownCrop },
): Asked {
  const deliveries = amount.weekly ? deliveriesOf(order, from, end) : [from];
  const ports = portsOf(amount, crop);
  if (typeof ports !== "number") return { gap: "field", ...ports };
  if (amount.weekly && crop.once) {
    const each = Math.ceil(ports / Math.max(1, order.days?.length ?? 1));
    return {
      demands: deliveries.map((need) => ({ ...base, way: "tower", of: "ports", units: each, need, until: need + 1 })),
    };
  }
  if (!amount.weekly)
    return { demands: [{ ...base, way: "tower", of: "ports", units: ports, need: from, until: from + 1 }] };
  if (crop.cutWindow === undefined) return { gap: "field", field: "cutting.window" };
  return { demands: [{ ...base, way: "tower", of: "ports", units: ports, need: from, until: end }] };
}

function potted(
  base: Base,
  amount: Amount,
  { order, crop, yard, from, end }: Span & { order: Promised; crop: GrownCrop; yard: Yard },
): Asked {
  if (amount.unit === "g" && crop.gramsPerPot === undefined) return { gap: "field", field: "micro.yield" };
  if (amount.unit !== "g" && amount.unit !== "pots") return { gap: "amount", written: order.written };
  const pots = (number: number) => wholeUp(amount.unit === "g" ? number / (crop.gramsPerPot! * (1 - trimmed)) : number);
  if (!amount.weekly)
    return {
      demands: [{ ...base, way: "bench", of: "pots", units: pots(amount.number), need: from, until: from + 1 }],
    };
  const today = dayNumber(yard.today);
  const share = amount.number / Math.max(1, order.days?.length ?? 1);
  return {
    demands: deliveriesOf(order, from, end)
      .filter((need) => need >= today)
      .map((need) => ({ ...base, way: "bench", of: "pots", units: pots(share), need, until: need + 1 })),
  };
}

/** Plugs promised every week leave on its first posting day of the days named. */
function weekly(base: Base, amount: Amount, { order, yard, from, end }: Span & { order: Promised; yard: Yard }): Asked {
  const today = dayNumber(yard.today);
  const share = packed(amount.number / Math.max(1, order.days?.length ?? 1));
  return {
    demands: deliveriesOf(order, from, end)
      .map((day) => postingFrom(yard, day))
      .filter((need) => need >= today)
      .map((need) => ({ ...base, way: "bench", of: "plugs", units: share, need, until: need + 1 })),
  };
}

/** The days on which an order is delivered: on its days of the week, or once a week from its first day. */
export function deliveriesOf({ days }: Pick<Promised, "days">, from: Day, end: Day): readonly Day[] {
  const wanted = days?.length ? days.map((day) => weekdays.indexOf(day)) : [weekdayOf(from)];
  const found: Day[] = [];
  for (let day = from; day < end; day++) if (wanted.includes(weekdayOf(day))) found.push(day);
  return found;
}

/** The first day from `day` on which a parcel may leave, or the day itself when there is none in 60 days. */
function postingFrom(yard: Yard, day: Day): Day {
  const may = postingDays(yard);
  for (let on = day; on <= day + 60; on++) if (may(on)) return on;
  return day;
}

function packed(plugs: number): number {
  return Math.ceil(plugs) + Math.ceil(spare * plugs - 1e-9);
}
