import type { Assignment } from "./assignment.ts";
import { type Board, blank, type Holding, layoutVetoes } from "./place.ts";
import { faces, isHeavy, slack } from "./port.ts";

/**
 * The ports and plants that are still to be settled, as one square matrix, and the rules between plants as limits to
 * which prices can be put. Whatever the prices, the assignment's total less what the limits give back is a bound on
 * every allowed layout (Lagrangian relaxation; Fisher 1981, Management Science 27, 1–18).
 */
export interface Relaxation {
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
export interface Limit {
  readonly at: readonly number[];
  /** By crop. */
  readonly weight: Float64Array;
  readonly room: number;
}

/** The relaxation of a board: its free ports and unpinned plants. */
export function relaxationOf(board: Board): Relaxation {
  const { crops, pinned, score, ports } = board;
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
function limitsOf(
  { crops, ports, pinned, tower, score }: Board,
  plants: readonly number[],
  columns: readonly number[],
) {
  const masses = [...new Set(plants.map((crop) => crops[crop]!.plant.mass))].sort((a, b) => a - b);
  const weight = Float64Array.from(crops, ({ plant }) => plant.mass);
  const byTier = Array.from({ length: tower.tiers }, (_, index): readonly Limit[] => {
    const at = columns.filter((port) => ports[port]!.tier === index + 1);
    const room = pinned.reduce(
      (left, crop, port) => (crop !== blank && ports[port]!.tier === index + 1 ? left - weight[crop]! : left),
      tower.tierLimit,
    );
    const counts = Array.from({ length: Math.max(0, at.length - 1) }, (_, most) => most + 1).flatMap(
      (most): Limit[] => {
        const least = masses.find((mass) => Math.floor((room + slack) / mass) === most);
        return least === undefined ? [] : [{ at, weight: weight.map((mass) => (mass >= least ? 1 : 0)), room: most }];
      },
    );
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

/** The cost with every limit's price laid on what takes of it. */
export function pricedCost(
  { board, rows, columns, limits }: Relaxation,
  cost: Float64Array,
  prices: Float64Array,
): Float64Array {
  const size = rows.length;
  const priced = cost.slice();
  const columnOf = new Map(columns.map((at, column) => [at, column]));
  const asked = board.crops.map(() => new Float64Array(size));
  limits.forEach(({ at, weight }, limit) => {
    const price = prices[limit]!;
    if (price === 0) return;
    for (const port of at) {
      for (const [crop, byColumn] of asked.entries()) byColumn[columnOf.get(port)!]! += price * weight[crop]!;
    }
  });
  for (let row = 0; row < size && rows[row] !== blank; row++) {
    const byColumn = asked[rows[row]!]!;
    for (let column = 0; column < size; column++) priced[row * size + column]! += byColumn[column]!;
  }
  return priced;
}

/** The layout that an assignment stands for. */
export function holdingOf({ board, rows, columns }: Relaxation, { rowOf }: Assignment): Holding {
  const held = board.pinned.slice();
  columns.forEach((at, column) => {
    held[at] = rows[rowOf[column]!]!;
  });
  return held;
}

/** By how much each limit is passed; below zero where there is room left. */
export function excess({ limits }: Relaxation, held: Holding): Float64Array {
  return Float64Array.from(limits, ({ at, weight, room }) =>
    at.reduce((sum, port) => (held[port] === blank ? sum : sum + weight[held[port]!]!), -room),
  );
}

/** Prices a step nearer to the best bound (Polyak's rule); undefined when they would not move. */
export function repriced(
  prices: Float64Array,
  over: Float64Array,
  bound: number,
  most: number,
): Float64Array | undefined {
  const slope = over.map((excess, limit) => (prices[limit] === 0 && excess < 0 ? 0 : excess));
  const square = slope.reduce((sum, excess) => sum + excess * excess, 0);
  if (square < 1e-12) return undefined;
  const aim = Number.isFinite(most) ? most : bound - 1 - Math.abs(bound) / 100;
  const step = (bound - aim) / square;
  return prices.map((price, limit) => Math.max(0, price + step * slope[limit]!));
}
