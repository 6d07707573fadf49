import { assign } from "./assignment.ts";
import { type Branch, split } from "./branching.ts";
import {
  airy,
  type Board,
  blank,
  boardOf,
  type Holding,
  type Impossible,
  layoutVetoes,
  type Planting,
  pinFault,
  placed,
  total,
} from "./place.ts";
import { slack } from "./port.ts";
import { excess, holdingOf, pricedCost, relaxationOf, repriced } from "./relaxation.ts";
import type { In } from "./units.ts";

/** Where each plant goes. */
export interface Layout {
  readonly board: Board;
  readonly held: Holding;
  readonly total: In<"points">;
  /** True when no allowed layout has a higher total. */
  readonly proved: boolean;
  /** What the pins cost against the layout without them. */
  readonly pinCost: In<"points">;
}

/** How many layouts are looked into before the search gives up on a proof: 20 000, fewer for more than 40 ports. */
export function searchLimit(ports: number): number {
  return Math.round(20_000 * Math.min(1, (40 / ports) ** 2));
}

/**
 * The layout with the highest total that keeps the pins and breaks no rule. Rules of a single port are met exactly by
 * assignment; rules between plants (V5, and the tier's part of V6) by branch and bound over it, with each tier's limit
 * priced into the bound. Within `searchLimit` the optimum is proved; past it the best found is given, never less than
 * `placed` finds. The same planting always gives the same layout.
 */
export function layout(planting: Planting): Layout | Impossible {
  const board = boardOf(planting);
  const wanted = planting.crops.reduce((sum, { count }) => sum + count, 0);
  if (wanted > board.ports.length) return { rule: "ports", excess: wanted - board.ports.length };
  const fault = pinFault(board);
  if (fault) return fault;
  const byHand = placed(board);
  const start = "held" in byHand ? byHand.held : undefined;
  const best = searched(board, start);
  if (!best.held) return { rule: "no port", crop: "crop" in byHand ? byHand.crop : 0, proved: best.proved };
  const held = airy(board, best.held);
  const points = total(board, held);
  if (planting.pins.length === 0) return { board, held, total: points, proved: best.proved, pinCost: 0 };
  const free = boardOf({ ...planting, pins: [] });
  const handFree = placed(free);
  const better = "held" in handFree && total(free, handFree.held) > points ? handFree.held : held;
  const unpinned = searched(free, better);
  return {
    board,
    held,
    total: points,
    proved: best.proved && unpinned.proved,
    pinCost: Math.max(0, total(free, unpinned.held ?? held) - points),
  };
}

/** The best layout of a board, not worse than `start`; undefined when there is none, or none was found. */
function searched(board: Board, start: Holding | undefined): { held: Holding | undefined; proved: boolean } {
  const problem = relaxationOf(board);
  const size = problem.rows.length;
  let held = start;
  let most = start ? total(board, start) : -Infinity;
  let looks = searchLimit(board.ports.length);
  const branches: Branch[] = [{ cost: problem.cost, prices: new Float64Array(problem.limits.length), near: undefined }];
  for (let branch = branches.pop(); branch; branch = branches.pop()) {
    if (looks <= 0) return { held, proved: false };
    let bound = Infinity;
    let loosest: { readonly branch: Branch; readonly held: Holding } | undefined;
    let { prices, near } = branch;
    for (let step = 0; step < priceSteps; step++) {
      looks--;
      near = assign(pricedCost(problem, branch.cost, prices), size, near);
      if (!near) break;
      const found = holdingOf(problem, near);
      const points = total(board, found);
      if (points > most + slack && keepsRules(board, found)) {
        held = found;
        most = points;
      }
      const over = excess(problem, found);
      const reach = points - over.reduce((sum, amount, limit) => sum + prices[limit]! * amount, 0);
      if (reach < bound - slack) {
        bound = reach;
        loosest = { branch: { cost: branch.cost, prices, near }, held: found };
      }
      const next = bound > most + slack ? repriced(prices, over, reach, most) : undefined;
      if (!next) break;
      prices = next;
    }
    if (loosest && bound > most + slack) branches.push(...split(problem, loosest.branch, loosest.held));
  }
  return { held, proved: true };
}

/** How often a branch's prices are bettered before it is split. */
const priceSteps = 12;

function keepsRules(board: Board, held: Holding): boolean {
  return held.every((crop, at) => crop === blank || layoutVetoes(board, held, crop, at).length === 0);
}
