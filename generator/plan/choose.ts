import type { Demand } from "./demands.ts";
import type { Lack, Ledger } from "./places.ts";
import type { Choice } from "./sowing.ts";

/** A demand with every way in which it could be sown. */
export interface Open {
  readonly demand: Demand;
  readonly choices: readonly Choice[];
}

/**
 * How the days were chosen: each sowing on its own best day, since all of them fit; by an exact search, since they do not;
 * or by a simple rule, the earliest need first, when there is no search or it gave up.
 */
export type Method = "each-best" | "exact" | "rule";

/** Which choice each demand has, in the order of the demands; undefined for one that finds no room. */
export interface Chosen {
  readonly method: Method;
  readonly picks: readonly (Choice | undefined)[];
}

/** Pick at most one column of each group so that no row is over its limit, at the least cost. All of it plain numbers. */
export interface Model {
  /** What each column costs when it is picked; a group that picks none costs its `without`. */
  readonly columns: readonly { readonly group: number; readonly cost: number }[];
  readonly without: readonly number[];
  readonly rows: readonly {
    readonly at: readonly (readonly [column: number, amount: number])[];
    readonly most: number;
  }[];
}

/** Finds the columns to pick, or undefined when it gives up. The same model always has the same answer. */
export type Search = (model: Model) => readonly number[] | undefined;

/** A day of a unit that is late, or missing, is worth so many days of a unit that waits. */
export const lateness = 1000;

/** A dated order that is not met is missed as if it were so many days late. */
const missed = 60;

/**
 * Chooses a sowing for every demand so that everything fits beside what is taken, and so that unit-days late, and after
 * them unit-days of waiting, are fewest.
 */
export function choose(open: readonly Open[], taken: Ledger, search: Search | undefined): Chosen {
  const best = open.map(({ demand, choices }) => cheapest(demand, choices));
  if (fullDays(best, taken).length === 0) return { method: "each-best", picks: best };
  const found = search && bySearch(open, best, taken, search);
  return found ? { method: "exact", picks: found } : { method: "rule", picks: byRule(open, taken) };
}

/** What a choice costs: unit-days late, each worth a thousand of waiting. */
export function costOf({ units }: Demand, { waits, late }: Choice): number {
  return units * (late * lateness + waits);
}

/** What it costs to leave a demand unmet. */
export function costWithout({ units, need, until, standing }: Demand): number {
  return units * lateness * (standing ? Math.max(1, until - need) : missed);
}

/** Why a demand found no room: what its cheapest choice lacks beside all that was chosen. */
export function lackOf({ demand, choices }: Open, full: Ledger): Lack | undefined {
  const pick = cheapest(demand, choices);
  return pick && full.lacking(pick.holds);
}

function byRule(open: readonly Open[], taken: Ledger): readonly (Choice | undefined)[] {
  const order = open
    .map(({ demand }, index) => ({ demand, index }))
    .toSorted((a, b) => a.demand.need - b.demand.need || a.index - b.index);
  const picks: (Choice | undefined)[] = open.map(() => undefined);
  for (const { index } of order) {
    const { demand, choices } = open[index]!;
    const pick = byCost(demand, choices).find(({ holds }) => taken.lacking(holds) === undefined);
    if (pick) taken.put(pick.holds);
    picks[index] = pick;
  }
  for (const pick of picks) if (pick) taken.put(pick.holds, -1);
  return picks;
}

function cheapest(demand: Demand, choices: readonly Choice[]): Choice | undefined {
  return byCost(demand, choices)[0];
}

/** The cheapest first; of equal ones the latest sown, and then the first line. */
function byCost(demand: Demand, choices: readonly Choice[]): readonly Choice[] {
  return choices.toSorted(
    (a, b) => costOf(demand, a) - costOf(demand, b) || b.sown - a.sown || ((a.line ?? "") < (b.line ?? "") ? -1 : 1),
  );
}

/**
 * The best choice for all together, a limit at a time: first as if there were room for everything, and then with the limit of
 * each day that turns out too full, until none does. What is best under some of the limits and breaks none is best under all.
 */
function bySearch(
  open: readonly Open[],
  best: readonly (Choice | undefined)[],
  taken: Ledger,
  search: Search,
): readonly (Choice | undefined)[] | undefined {
  const columns = open.flatMap(({ demand, choices }, group) =>
    choices.map((choice) => ({ group, choice, cost: costOf(demand, choice) })),
  );
  const without = open.map(({ demand }) => costWithout(demand));
  const rows: Model["rows"][number][] = [];
  let picks = best;
  for (let round = 0; round * columns.length < work; round++) {
    const full = fullDays(picks, taken);
    if (full.length === 0) return picks;
    for (const { place, day } of full) {
      const at = columns.flatMap(({ choice }, column) => {
        const amount = takenBy(choice, place, day);
        return amount > 0 ? [[column, amount] as const] : [];
      });
      rows.push({ at, most: Math.max(0, taken.room(place) - taken.taken(place, day)) });
    }
    const chosen = search({ columns, without, rows });
    if (!chosen) return undefined;
    const next: (Choice | undefined)[] = open.map(() => undefined);
    for (const column of chosen) next[columns[column]!.group] = columns[column]!.choice;
    picks = next;
  }
  return undefined;
}

/** Columns looked at in all rounds together before the search gives up: a count, so that it gives up at the same point every time. */
const work = 50_000;

/** The fullest day of every run of days on which a place holds more than it has room for, because of what is picked. */
function fullDays(
  picks: readonly (Choice | undefined)[],
  taken: Ledger,
): readonly { readonly place: string; readonly day: number }[] {
  const found: { place: string; day: number }[] = [];
  for (const pick of picks) if (pick) taken.put(pick.holds);
  const over = (place: string, day: number) => taken.taken(place, day) - taken.room(place);
  for (const place of taken.places) {
    let fullest: number | undefined;
    for (let day = taken.first; day <= taken.last + 1; day++) {
      const full =
        day <= taken.last && over(place, day) > 1e-9 && picks.some((pick) => pick && takenBy(pick, place, day) > 0);
      if (full && (fullest === undefined || over(place, day) > over(place, fullest) + 1e-9)) fullest = day;
      if (full || fullest === undefined) continue;
      found.push({ place, day: fullest });
      fullest = undefined;
    }
  }
  for (const pick of picks) if (pick) taken.put(pick.holds, -1);
  return found;
}

function takenBy({ holds }: Choice, place: string, day: number): number {
  return holds.reduce(
    (sum, hold) => (hold.place === place && hold.from <= day && day < hold.until ? sum + hold.amount : sum),
    0,
  );
}
