import { date, list, number, quantity, shortDate } from "../format.ts";
import { addDays } from "../science/calendar.ts";
import type { Method } from "./choose.ts";
import type { Demand } from "./demands.ts";
import type { Clash, Holder, Kept, Plan, PlannedSowing, Reason, Shortfall } from "./plan.ts";
import type { Moved } from "./promise.ts";

/** What records and places are called where people read them. */
export interface Names {
  crop(id: string): string;
  /** `bench`, `mister`, or the id of a line. */
  place(id: string): string;
  batch(id: string): string;
  order(id: string): string;
}

/** Why something cannot be, and the nearest thing that can. */
export interface Told {
  readonly why: string;
  readonly instead: string | undefined;
}

/** Why an order, or a part of it, is refused. */
export function toldShortfall({ crop, reason }: Pick<Shortfall, "crop" | "reason">, names: Names): Told {
  if ("gap" in reason) {
    if (reason.gap === "amount")
      return {
        why: `“${reason.written}” is no amount that can be planned.`,
        instead: "Write it as grams, bunches, pots, plugs, plants or flowers, with `/week` when it stands.",
      };
    if (reason.gap === "over") return { why: `It was over on ${date(reason.on)}.`, instead: undefined };
    const what = wanting[reason.field] ?? `\`${reason.field}\``;
    return {
      why: `Nobody has recorded ${what} for ${names.crop(crop)}.`,
      instead: `Fill in \`${reason.field}\` and it is planned.`,
    };
  }
  return toldReason(crop, reason, names);
}

/** How the days of a plan were chosen. */
export function toldMethod(method: Method): string {
  return methods[method];
}

/** What stands already and is too much, and what to move first. */
export function toldClash({ place, on, by, holders }: Clash, names: Names): Told {
  const first = holders.at(-1);
  return {
    why: `From ${date(on)} what stands already is ${room(by, place)} more than ${names.place(place)} ${places(place)} hold.`,
    instead: `It is ${list(holders.slice(0, 4).map((holder) => held(holder, names)))}.${first ? ` Smallest of them: ${who(first, names)}.` : ""}`,
  };
}

/** `126 plugs`, `1 port`. */
export function counted(units: number, of: Demand["of"]): string {
  return `${number(units, 6)} ${units === 1 ? of.slice(0, -1) : of}`;
}

/** What the room of a place is counted in. */
export function roomUnit(place: string): "trays" | "plugs" | "ports" {
  return place === "bench" ? "trays" : place === "mister" ? "plugs" : "ports";
}

/** `141 cells in 2 trays of lot basil-2602`; pots for micro herbs. */
export function toldSeeding({ cells, trays, lot, of }: Pick<PlannedSowing, "cells" | "trays" | "lot" | "of">): string {
  const what = of === "pots" ? (cells === 1 ? "pot" : "pots") : cells === 1 ? "cell" : "cells";
  const on = trays === undefined ? "" : ` in ${number(trays, 6)} ${trays === 1 ? "tray" : "trays"}`;
  return `${number(cells, 6)} ${what}${on}${lot === undefined ? "" : ` of lot ${lot}`}`;
}

/** When a promised order is sown, how much of it, and for which days. */
export function toldSowing(sowing: PlannedSowing, names: Names): string {
  const where = sowing.line === undefined ? "" : ` on ${names.place(sowing.line)}`;
  return `Sow ${toldSeeding(sowing)} on ${date(sowing.sown)}: ready on ${date(sowing.ready)} as ${counted(sowing.units, sowing.of)}${where}, for ${toldDays(sowing)}.`;
}

/** What of a batch in hand goes to an order, and for how long. */
export function toldKept({ batch, of, units, from, until }: Kept, names: Names): string {
  return `${counted(units, of)} of batch ${names.batch(batch)}, for ${toldDays({ need: from, until })}.`;
}

/** How a sowing of another order would be moved. */
export function toldMoved({ order, need, was, is }: Moved, names: Names): string {
  const what = `${names.order(order)}, for ${date(need)}`;
  const line = (id: string | undefined) => (id === undefined ? "the bench" : names.place(id));
  if (was && is && was.sown === is.sown) return `${what}: plant on ${line(is.line)} instead of ${line(was.line)}.`;
  if (was && is) return `${what}: sow on ${date(is.sown)} instead of ${date(was.sown)}.`;
  return is ? `${what}: sow on ${date(is.sown)} as well.` : `${what}: leave out the sowing of ${date(was!.sown)}.`;
}

/** One day, or the first and the last of several; `until` is the day after the last. */
export function toldDays({ need, until }: Pick<PlannedSowing, "need" | "until">): string {
  const last = addDays(until, -1);
  return last <= need ? date(need) : `${date(need)} to ${date(last)}`;
}

/** How long the plan looks ahead, `Mon 12 Apr to Sun 10 Oct 2027`. */
export function toldSpan({ today, until }: Pick<Plan, "today" | "until">): string {
  return `${date(today)} to ${date(until)}`;
}

function toldReason(crop: string, reason: Exclude<Reason, { readonly gap: string }>, names: Names): Told {
  switch (reason.why) {
    case "late":
      return {
        why: `Sown today it is ready on ${date(reason.earliest)} at the earliest, ${quantity(reason.days, "days")} late.`,
        instead:
          reason.batches.length === 0
            ? "No batch in hand would make it."
            : `In time, if it can be spared: ${list(
                reason.batches.map(
                  ({ batch, ready, plants }) =>
                    `${names.batch(batch)}, ${number(plants, 6)} plants, ready ${shortDate(ready)}`,
                ),
              )}.`,
      };
    case "no-room": {
      const who = reason.holders.slice(0, 3).map((holder) => held(holder, names));
      return {
        why: `${capital(names.place(reason.place))} ${places(reason.place)} are full on ${date(reason.on)}: ${room(reason.by, reason.place)} too few.${who.length > 0 ? ` They are held by ${list(who)}.` : ""}`,
        instead: reason.earliest && `The same finds room on ${date(reason.earliest)}.`,
      };
    }
    case "no-day":
      return {
        why: "No day on which the yard sows makes it ready in time and not too long before.",
        instead: "Add a sowing day in `book.md`, or agree another date.",
      };
    case "no-line":
      return {
        why: `No feed line carries ${names.crop(crop)}.`,
        instead: "Name it under `crops` of a line that it can drink from.",
      };
    case "no-stages":
      return {
        why: `Nobody has recorded how long ${names.crop(crop)} takes.`,
        instead: "Fill in `stages` and it is planned.",
      };
    case "untested":
      return {
        why: `Nobody knows how ${names.crop(crop)} comes up: its lot has no test, and its record no standard.`,
        instead: "Test fifty seeds, and write what came up under `tests` of the lot.",
      };
    case "weak-lot":
      return {
        why: `Only ${quantity(100 * reason.chance, "%", 2)} of the cells would give a plug${reason.lot === undefined ? "" : ` from lot ${reason.lot}`}.`,
        instead: "Change the lot; sowing it thicker does not mend it.",
      };
    case "not-for-food":
      return {
        why: `Lot ${reason.lot} is treated, or was not supplied for food, and seedlings are eaten whole.`,
        instead: "Buy untreated seed that is supplied for food use.",
      };
  }
}

function held(holder: Holder, names: Names): string {
  return `${who(holder, names)} with ${number(holder.amount, 6)}`;
}

function who({ order, batch }: Holder, names: Names): string {
  return order === undefined ? names.batch(batch!) : names.order(order);
}

function room(amount: number, place: string): string {
  const whole = Math.ceil(amount - 1e-9);
  const unit = roomUnit(place);
  return `${number(whole, 6)} ${whole === 1 ? unit.slice(0, -1) : unit}`;
}

function places(place: string): string {
  return place === "bench" ? "tray places" : place === "mister" ? "plug places" : "ports";
}

function capital(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** Fields of a crop's record that an order cannot be worked out without. */
const wanting: Readonly<Record<string, string>> = {
  "cutting.bunch": "what a bunch weighs",
  "cutting.pieces": "how many flowers or fruits one port gives a week",
  "cutting.each": "what one port gives at a cut",
  "cutting.regrowth": "how many days lie between cuts",
  "cutting.window": "for how long it is cut",
  "micro.yield": "what a pot gives",
  to: "on which day the order ends",
};

const methods: Readonly<Record<Method, string>> = {
  "each-best": "Everything fits, so each sowing has its own best day.",
  exact:
    "Not everything fits on its own best day. An exact search weighed all days together: none found would be late by less, or wait less, by more than one part in a thousand.",
  rule: "Not everything fits on its own best day, and there is too much of it for an exact search. A simple rule chose: the earliest need first, each on the best day that is left.",
};
