import type { Assignment } from "./assignment.ts";
import { blank, type Holding } from "./place.ts";
import { isHeavy, slack } from "./port.ts";
import { excess, type Relaxation } from "./relaxation.ts";

/** A part of all layouts: those that avoid the forbidden pairs. */
export interface Branch {
  readonly cost: Float64Array;
  /** Points asked for each unit of a limit's sum, in the order of `limits`. */
  readonly prices: Float64Array;
  readonly near: Assignment | undefined;
}

/** Parts of a branch that together hold every allowed layout in it, none of them twice; the last is tried first. */
export function split(problem: Relaxation, branch: Branch, held: Holding): readonly Branch[] {
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
  const over = excess(problem, held);
  const worst = over.reduce((most, excess, limit) => (excess > over[most]! ? limit : most), 0);
  const cover = over[worst]! > slack ? coverOf(problem, held, problem.limits[worst]!.at, weighs) : [];
  if (cover.length > 0) {
    return cover.map((lighter, place) =>
      forbid((crop, at) => {
        if (at === lighter) return weighs(crop) > weighs(held[at]!) - slack;
        return cover.slice(0, place).includes(at) && weighs(crop) < weighs(held[at]!) - slack;
      }),
    );
  }
  return gapSplit(problem, branch, held, over, forbid);
}

/** The fewest ports of an overweight tier whose plants are already too heavy together: one of them must be lighter. */
function coverOf(
  { limits }: Relaxation,
  held: Holding,
  tier: readonly number[],
  weighs: (crop: number) => number,
): readonly number[] {
  const { room } = limits.find(({ at }) => at === tier)!;
  const heaviest = tier.filter((at) => held[at] !== blank).sort((a, b) => weighs(held[b]!) - weighs(held[a]!));
  let load = 0;
  const enough = heaviest.findIndex((at) => {
    load += weighs(held[at]!);
    return load > room + slack;
  });
  return heaviest.slice(0, enough + 1);
}

/** With every rule kept but a bound above the total: settles whether one more port keeps its crop. */
function gapSplit(
  problem: Relaxation,
  branch: Branch,
  held: Holding,
  over: Float64Array,
  forbid: (rule: (crop: number, at: number) => boolean) => Branch,
): readonly Branch[] {
  const { rows, columns } = problem;
  const isOpen = (column: number) =>
    rows.some((crop, row) => crop !== held[columns[column]!] && branch.cost[row * rows.length + column]! < Infinity);
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
  return [forbid((crop, at) => at === settled && crop === kept), forbid((crop, at) => at === settled && crop !== kept)];
}
