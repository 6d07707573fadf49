import { type Assignment, assign } from "./assignment.ts";
import { airy, type Board, blank, boardOf, type Holding, type Impossible, layoutVetoes, pinFault, type Planting, placed, total } from "./place.ts";
import { isHeavy, slack } from "./port.ts";
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

/** Layouts looked into before the search gives up on a proof, for a tower of 40 ports; fewer for larger ones. */
export const searchLimit = +(process.env.LIM ?? 4000);

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
  if (!best.held) return { rule: "no port", crop: "crop" in byHand ? byHand.crop : 0 };
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

/** The ports and plants that are still to be settled, as one square matrix. */
interface Problem {
  readonly board: Board;
  /** The crop of each row: every unpinned plant, then blanks. */
  readonly rows: Int8Array;
  /** The port of each column: every unpinned one. */
  readonly columns: readonly number[];
  /** Points lost by a pair; Infinity where forbidden. */
  readonly cost: Float64Array;
  /** Mass that each tier may still take, by tier − 1; lowered to a sum that plants can make up. */
  readonly room: Float64Array;
}

/** A part of all layouts: those that avoid the forbidden pairs. */
interface Branch {
  readonly cost: Float64Array;
  readonly prices: Float64Array;
  readonly near: Assignment | undefined;
}

function searched(board: Board, start: Holding | undefined): { held: Holding | undefined; proved: boolean } {
  const problem = problemOf(board);
  const { rows } = problem;
  let held = start;
  let most = start ? total(board, start) : -Infinity;
  let looks = Math.round(searchLimit * Math.min(1, (40 / Math.max(1, rows.length)) ** 2));
  const branches: Branch[] = [
    { cost: problem.cost, prices: new Float64Array(board.tower.tiers), near: undefined },
  ];
  for (let branch = branches.pop(); branch; branch = branches.pop()) {
    if (looks <= 0) return { held, proved: false };
    let priced = branch;
    let tightest = Infinity;
    let relaxed: Holding | undefined;
    let answer: Assignment | undefined;
    let prices = branch.prices;
    let near = branch.near;
    for (let step = 0; step < 12; step++) {
      looks--;
      near = assign(pricedCost(problem, branch.cost, prices), rows.length, near);
      if (!near) break;
      const found = holdingOf(problem, near);
      const points = total(board, found);
      if (points > most + slack && isAllowed(problem, found)) {
        held = found;
        most = points;
      }
      const over = overweight(problem, found);
      const bound = points - over.reduce((sum, excess, tier) => sum + prices[tier]! * excess, 0);
      if (bound < tightest - slack) {
        tightest = bound;
        relaxed = found;
        answer = near;
        priced = { cost: branch.cost, prices, near };
      }
      if (tightest <= most + slack) break;
      const next = repriced(prices, over, bound, most);
      if (!next) break;
      prices = next;
    }
    if (!near && !relaxed) continue;
    if (!relaxed || !answer || tightest <= most + slack) continue;
    branches.push(...split(problem, priced, relaxed));
  }
  return { held, proved: true };
}

function problemOf(board: Board): Problem {
  const { crops, ports, pinned, score, tower } = board;
  const columns = ports.flatMap((_, at) => (pinned[at] === blank ? [at] : []));
  const plants = crops.flatMap(({ count }, crop) =>
    new Array<number>(count - pinned.filter((other) => other === crop).length).fill(crop),
  );
  const rows = new Int8Array(columns.length).fill(blank);
  rows.set(plants);
  const room = new Float64Array(tower.tiers).fill(tower.tierLimit);
  pinned.forEach((crop, at) => {
    if (crop !== blank) room[ports[at]!.tier - 1]! -= crops[crop]!.plant.mass;
  });
  const masses = [...new Set(plants.map((crop) => crops[crop]!.plant.mass))];
  room.forEach((limit, tier) => {
    const free = columns.filter((at) => ports[at]!.tier === tier + 1).length;
    room[tier] = reachable(masses, limit, free);
  });
  const cost = new Float64Array(rows.length ** 2);
  rows.forEach((crop, row) => {
    columns.forEach((at, column) => {
      const forbidden = crop !== blank && layoutVetoes(board, pinned, crop, at).length > 0;
      cost[row * rows.length + column] = crop === blank ? 0 : forbidden ? Infinity : -score[crop]![at]!;
    });
  });
  return { board, rows, columns, cost, room };
}

/** The largest sum of at most `count` of the masses that stays within `limit`. */
function reachable(masses: readonly number[], limit: number, count: number): number {
  let sums = new Set([0]);
  for (let more = 0; more < count; more++) {
    sums = new Set([...sums, ...[...sums].flatMap((sum) => masses.map((mass) => sum + mass).filter((next) => next <= limit + slack))]);
  }
  return Math.max(...sums);
}

function pricedCost({ board, rows, columns }: Problem, cost: Float64Array, prices: Float64Array): Float64Array {
  if (prices.every((price) => price === 0)) return cost;
  const size = rows.length;
  return cost.map((points, pair) => {
    const crop = rows[Math.floor(pair / size)]!;
    if (crop === blank) return points;
    return points + prices[board.ports[columns[pair % size]!]!.tier - 1]! * board.crops[crop]!.plant.mass;
  });
}

function holdingOf({ board, rows, columns }: Problem, { rowOf }: Assignment): Holding {
  const held = board.pinned.slice();
  columns.forEach((at, column) => {
    held[at] = rows[rowOf[column]!]!;
  });
  return held;
}

/** By how much each tier is over its room; below zero where there is room left. */
function overweight({ board, room }: Problem, held: Holding): Float64Array {
  const over = room.map((limit) => -limit);
  held.forEach((crop, at) => {
    if (crop !== blank && board.pinned[at] === blank) over[board.ports[at]!.tier - 1]! += board.crops[crop]!.plant.mass;
  });
  return over;
}

function isAllowed({ board }: Problem, held: Holding): boolean {
  return held.every((crop, at) => crop === blank || layoutVetoes(board, held, crop, at).length === 0);
}

/** Prices a step nearer to the best bound (Polyak's rule); undefined when they would not move. */
function repriced(prices: Float64Array, over: Float64Array, bound: number, most: number): Float64Array | undefined {
  const slope = over.map((excess, tier) => (prices[tier] === 0 && excess < 0 ? 0 : excess));
  const square = slope.reduce((sum, excess) => sum + excess * excess, 0);
  if (square < 1e-12) return undefined;
  const aim = Number.isFinite(most) ? most : bound - 1 - Math.abs(bound) / 100;
  const step = (bound - aim) / square;
  return prices.map((price, tier) => Math.max(0, price + step * slope[tier]!));
}

/** Parts of a branch that together hold every allowed layout in it, none of them twice; the last is tried first. */
function split(problem: Problem, branch: Branch, held: Holding): readonly Branch[] {
  const { board, columns } = problem;
  const forbid = (rule: (crop: number, at: number) => boolean): Branch => {
    const cost = branch.cost.slice();
    problem.rows.forEach((crop, row) => {
      columns.forEach((at, column) => {
        if (rule(crop, at)) cost[row * columns.length + column] = Infinity;
      });
    });
    return { ...branch, cost };
  };
  const weighs = (crop: number) => (crop === blank ? 0 : board.crops[crop]!.plant.mass);
  const heavyCrop = (crop: number) => crop !== blank && isHeavy(board.crops[crop]!.plant);
  const near = (one: number, other: number) => {
    const [a, b] = [board.ports[one]!, board.ports[other]!];
    return one !== other && a.face === b.face && Math.abs(a.tier - b.tier) <= 4;
  };
  const crowded = columns.find(
    (at) => heavyCrop(held[at]!) && columns.some((other) => near(at, other) && heavyCrop(held[other]!)),
  );
  if (crowded !== undefined) { stat.v5++;
    return [
      forbid((crop, at) => at === crowded && heavyCrop(crop)),
      forbid((crop, at) => (at === crowded ? !heavyCrop(crop) : near(at, crowded) && heavyCrop(crop))),
    ];
  }
  const over = overweight(problem, held);
  const worst = over.reduce((most, excess, tier) => (excess > over[most]! ? tier : most), 0);
  if (over[worst]! > slack) { stat.tier++;
    const tier = columns
      .filter((at) => board.ports[at]!.tier === worst + 1 && held[at] !== blank)
      .sort((a, b) => weighs(held[b]!) - weighs(held[a]!));
    let load = 0;
    const enough = tier.findIndex((at) => {
      load += weighs(held[at]!);
      return load > problem.room[worst]! + slack;
    });
    const cover = tier.slice(0, enough + 1);
    return cover.map((lighter, place) =>
      forbid((crop, at) => {
        if (at === lighter) return weighs(crop) > weighs(held[at]!) - slack;
        return cover.slice(0, place).includes(at) && weighs(crop) < weighs(held[at]!) - slack;
      }),
    );
  }
  stat.gap++; return gapSplit(problem, branch, held, over, forbid);
}

/** With every rule kept but a bound above the total: settles whether one more port keeps its crop. */
function gapSplit(
  problem: Problem,
  branch: Branch,
  held: Holding,
  over: Float64Array,
  forbid: (rule: (crop: number, at: number) => boolean) => Branch,
): readonly Branch[] {
  const { board, rows, columns } = problem;
  const isOpen = (column: number) =>
    rows.some(
      (crop, row) => crop !== held[columns[column]!] && branch.cost[row * rows.length + column]! < Infinity,
    );
  let open: number | undefined;
  let widest = -Infinity;
  columns.forEach((at, column) => {
    const tier = board.ports[at]!.tier - 1;
    const gap = -branch.prices[tier]! * over[tier]!;
    if (gap > widest && isOpen(column)) {
      widest = gap;
      open = at;
    }
  });
  if (open === undefined) return [];
  const settled = open;
  const kept = held[settled]!;
  return [
    forbid((crop, at) => at === settled && crop === kept),
    forbid((crop, at) => at === settled && crop !== kept),
  ];
}
export const stat = {v5:0,tier:0,gap:0}; process.on("exit",()=>console.log(stat));declare const process:any;
