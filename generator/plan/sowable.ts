import { dayNumber } from "../science/calendar.ts";
import type { Open } from "./choose.ts";
import { asks, type Demand } from "./demands.ts";
import type { InHand } from "./hand.ts";
import type { Shortfall } from "./parts.ts";
import { gapOf, inTime, short } from "./shortfalls.ts";
import { type Choice, choicesFor, earliestReady, type Seeding, seeding } from "./sowing.ts";
import type { GrownCrop, Promised, Yard } from "./yard.ts";

/** A demand of which the seed is known. */
export interface Sowable extends Open {
  readonly seed: Seeding;
}

/** A demand with the sowing that was chosen for it. */
export interface Picked extends Sowable {
  readonly pick: Choice;
}

/** What orders ask within the days looked at, and those that cannot be read or worked out. */
export function demandsOf(orders: readonly Promised[], yard: Yard) {
  const [first, last] = [dayNumber(yard.today), dayNumber(yard.until)];
  const demands: Demand[] = [];
  const shortfalls: Shortfall[] = [];
  for (const order of orders) {
    const crop = yard.crops.get(order.crop);
    const asked = crop && asks(order, crop, yard);
    if (!asked) continue;
    if ("gap" in asked) shortfalls.push(...gapOf(order, asked));
    else demands.push(...asked.demands.filter(({ need, until }) => need <= last && until > first));
  }
  return { demands, shortfalls };
}

/** What no batch covers, with every way of sowing for it, and what cannot be sown for at all or comes too late. */
export function sowableOf(open: readonly Demand[], orders: readonly Promised[], hands: readonly InHand[], yard: Yard) {
  const named = new Map(orders.map(({ id, lot }) => [id, lot]));
  const sowable: Sowable[] = [];
  const shortfalls: Shortfall[] = [];
  for (const demand of open) {
    const crop = yard.crops.get(demand.crop)!;
    const seed = seeding(demand, crop, yard, named.get(demand.order));
    if ("why" in seed) {
      shortfalls.push(short(demand, seed));
      continue;
    }
    const earliest = earliestReady(demand, crop, yard);
    if (earliest === undefined) {
      shortfalls.push(short(demand, { why: "no-day" }));
      continue;
    }
    for (const part of demand.need < earliest ? inTime(demand, earliest, hands, shortfalls) : [demand])
      for (const piece of pieces(part, crop)) {
        const choices = choicesFor(piece, crop, yard, seed);
        if (choices.length > 0) sowable.push({ demand: piece, choices, seed });
        else shortfalls.push(short(piece, { why: "no-day" }));
      }
  }
  return { sowable, shortfalls };
}

/** The demands for which a sowing was chosen, each with it. */
export function picked(sowable: readonly Sowable[], picks: readonly (Choice | undefined)[]): readonly Picked[] {
  return sowable.flatMap((one, index) => (picks[index] ? [{ ...one, pick: picks[index] }] : []));
}

/** A standing order in ports is sown again and again, each sowing for one cut window. */
function pieces(demand: Demand, crop: GrownCrop): readonly Demand[] {
  if (!demand.standing || demand.of !== "ports" || crop.once || crop.cutWindow === undefined) return [demand];
  const window = Math.max(1, Math.floor(crop.cutWindow));
  const most = Math.max(window, Math.floor(crop.cutWindowMost ?? window));
  const parts: Demand[] = [];
  for (let need = demand.need; need < demand.until; ) {
    const until = demand.until - need <= most ? demand.until : need + window;
    parts.push({ ...demand, need, until });
    need = until;
  }
  return parts;
}
