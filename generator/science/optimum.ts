import { type Assignment, assign } from "./assignment.ts";
import { airy, type Board, blank, boardOf, type Holding, type Impossible, layoutVetoes, pinFault, type Planting, placed, total } from "./place.ts";
import { faces, isHeavy, slack } from "./port.ts";
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
export const searchLimit = 20_000;

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
  /** Sums that no allowed layout passes; each tier's mass is the first of its own. */
  readonly limits: readonly Limit[];
}

/** A sum over the plants of some ports, and the most that it may come to. */
interface Limit {
  readonly at: readonly number[];
  /** By crop. */
  readonly weight: Float64Array;
  readonly room: number;
}

/** A part of all layouts: those that avoid the forbidden pairs. */
interface Branch {
  readonly cost: Float64Array;
  /** Points asked for each unit of a limit's sum, in the order of `limits`. */
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
    { cost: problem.cost, prices: new Float64Array(problem.limits.length), near: undefined },
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
      const bound = points - over.reduce((sum, excess, limit) => sum + prices[limit]! * excess, 0);
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
  const cost = new Float64Array(rows.length ** 2);
  rows.forEach((crop, row) => {
    columns.forEach((at, column) => {
      const forbidden = crop !== blank && layoutVetoes(board, pinned, crop, at).length > 0;
      cost[row * rows.length + column] = crop === blank ? 0 : forbidden ? Infinity : -score[crop]![at]!;
    });
  });
  return { board, rows, columns, cost, limits: limitsOf(board, plants, columns) };
}

/**
 * The mass of every tier (V6), lowered to a sum that plants can make up; how many plants of some mass or more a tier
 * can carry, which says nothing new of whole plants but holds the bound nearer to them; and one heavy plant on the low
 * tiers of a face (V5).
 */
function limitsOf({ crops, ports, pinned, tower, score }: Board, plants: readonly number[], columns: readonly number[]) {
  const masses = [...new Set(plants.map((crop) => crops[crop]!.plant.mass))].sort((a, b) => a - b);
  const weight = Float64Array.from(crops, ({ plant }) => plant.mass);
  const byTier = Array.from({ length: tower.tiers }, (_, index): readonly Limit[] => {
    const at = columns.filter((port) => ports[port]!.tier === index + 1);
    const room = pinned.reduce(
      (left, crop, port) => (crop !== blank && ports[port]!.tier === index + 1 ? left - weight[crop]! : left),
      tower.tierLimit,
    );
    const counts = Array.from({ length: Math.max(0, at.length - 1) }, (_, most) => most + 1).flatMap((most): Limit[] => {
      const least = masses.find((mass) => Math.floor(room / mass + slack) === most);
      return least === undefined ? [] : [{ at, weight: weight.map((mass) => (mass >= least ? 1 : 0)), room: most }];
    });
    return [{ at, weight, room: reachable(masses, room, at.length) }, ...counts];
  });
  const heavies = Float64Array.from(crops, ({ plant }) => (isHeavy(plant) ? 1 : 0));
  const byFace = faces.map((face): Limit => {
    const stands = (port: number) => heavies.some((is, crop) => is === 1 && score[crop]![port]! > -Infinity);
    return { at: columns.filter((port) => ports[port]!.face === face && stands(port)), weight: heavies, room: 1 };
  });
  return [...byTier.flat(), ...byFace];
}

/** The largest sum of at most `count` of the masses that stays within `limit`. */
function reachable(masses: readonly number[], limit: number, count: number): number {
  let sums = new Set([0]);
  for (let more = 0; more < count; more++) {
    const next = [...sums].flatMap((sum) => masses.map((mass) => sum + mass));
    sums = new Set([...sums, ...next.filter((sum) => sum <= limit + slack)]);
  }
  return Math.max(...sums);
}

function pricedCost({ board, rows, columns, limits }: Problem, cost: Float64Array, prices: Float64Array): Float64Array {
  const size = rows.length;
  const priced = cost.slice();
  const columnOf = new Map(columns.map((at, column) => [at, column]));
  const asked = board.crops.map(() => new Float64Array(size));
  limits.forEach(({ at, weight }, limit) => {
    const price = prices[limit]!;
    if (price === 0) return;
    for (const port of at) asked.forEach((byColumn, crop) => (byColumn[columnOf.get(port)!]! += price * weight[crop]!));
  });
  for (let row = 0; row < size && rows[row] !== blank; row++) {
    const byColumn = asked[rows[row]!]!;
    for (let column = 0; column < size; column++) priced[row * size + column]! += byColumn[column]!;
  }
  return priced;
}

function holdingOf({ board, rows, columns }: Problem, { rowOf }: Assignment): Holding {
  const held = board.pinned.slice();
  columns.forEach((at, column) => {
    held[at] = rows[rowOf[column]!]!;
  });
  return held;
}

/** By how much each limit is passed; below zero where there is room left. */
function overweight({ limits }: Problem, held: Holding): Float64Array {
  return Float64Array.from(limits, ({ at, weight, room }) =>
    at.reduce((sum, port) => (held[port] === blank ? sum : sum + weight[held[port]!]!), -room),
  );
}

function isAllowed({ board }: Problem, held: Holding): boolean {
  return held.every((crop, at) => crop === blank || layoutVetoes(board, held, crop, at).length === 0);
}

/** Prices a step nearer to the best bound (Polyak's rule); undefined when they would not move. */
function repriced(prices: Float64Array, over: Float64Array, bound: number, most: number): Float64Array | undefined {
  const slope = over.map((excess, limit) => (prices[limit] === 0 && excess < 0 ? 0 : excess));
  const square = slope.reduce((sum, excess) => sum + excess * excess, 0);
  if (square < 1e-12) return undefined;
  const aim = Number.isFinite(most) ? most : bound - 1 - Math.abs(bound) / 100;
  const step = (bound - aim) / square;
  return prices.map((price, limit) => Math.max(0, price + step * slope[limit]!));
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
  if (crowded !== undefined) {
    return [
      forbid((crop, at) => at === crowded && heavyCrop(crop)),
      forbid((crop, at) => (at === crowded ? !heavyCrop(crop) : near(at, crowded) && heavyCrop(crop))),
    ];
  }
  const over = overweight(problem, held);
  const worst = over.reduce((most, excess, limit) => (excess > over[most]! ? limit : most), 0);
  if (over[worst]! > slack) {
    const { at: tier, room } = problem.limits.find(({ at }) => at === problem.limits[worst]!.at)!;
    const heaviest = tier
      .filter((at) => held[at] !== blank)
      .sort((a, b) => weighs(held[b]!) - weighs(held[a]!));
    let load = 0;
    const enough = heaviest.findIndex((at) => {
      load += weighs(held[at]!);
      return load > room + slack;
    });
    const cover = heaviest.slice(0, enough + 1);
    return cover.map((lighter, place) =>
      forbid((crop, at) => {
        if (at === lighter) return weighs(crop) > weighs(held[at]!) - slack;
        return cover.slice(0, place).includes(at) && weighs(crop) < weighs(held[at]!) - slack;
      }),
    );
  }
  return gapSplit(problem, branch, held, over, forbid);
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
    const gap = problem.limits.reduce(
      (sum, limit, index) => (limit.at.includes(at) ? sum - branch.prices[index]! * over[index]! : sum),
      0,
    );
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
