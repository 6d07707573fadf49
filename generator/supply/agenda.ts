import type { Library } from "../library.ts";
import { type ToldDay, toldDay } from "../plan/told-days.ts";
import type { Basis } from "../provenance.ts";
import type { PlainDate } from "../science/calendar.ts";
import { type Doing, type DoingFacts, type Doings, doingsOf } from "./doings.ts";
import type { BookPlan, BookSowing } from "./planned.ts";

/** One thing to do with everything needed to do it: facts, and the same in words. */
export interface Task extends ToldDay, Omit<Doing, "basis" | "says"> {
  /** What it is, whichever day it falls on: it stays when the plan moves the day. */
  readonly key: string;
  readonly says: DoingFacts & {
    readonly codes?: readonly string[];
    readonly units?: number;
    readonly counts?: BookSowing["of"];
    /** The day for which it is sown. */
    readonly need?: PlainDate;
  };
  readonly basis: Basis | undefined;
}

/** All that a plan and the records ask for, day by day; sowings and what becomes of them as far as the plan looks. */
export interface Agenda {
  readonly from: PlainDate;
  /** The last day of the plan. */
  readonly until: PlainDate;
  /** The last day on which cuts, parcels, batches in hand and checks are looked at. */
  readonly doingsUntil: PlainDate;
  readonly tasks: readonly Task[];
}

/** The doings of a library together with every sowing of its plan and the moves of what is sown. */
export function agendaOf(library: Library, plan: BookPlan, doings: Doings = doingsOf(library, plan)): Agenda {
  const others = doings.list.filter(({ what, of }) => !(of.shelf === "orders" && (what === "sow" || what === "count")));
  const tasks = [
    ...plan.sowings.flatMap((sowing) => ofSowing(library, sowing)),
    ...others.map((doing) => task(library, doing, keyOf(doing))),
  ];
  const seen = new Map<string, number>();
  return {
    from: plan.today,
    until: plan.until,
    doingsUntil: doings.until,
    tasks: tasks.toSorted(inOrder).map((one) => {
      const times = (seen.get(one.key) ?? 0) + 1;
      seen.set(one.key, times);
      return times === 1 ? one : { ...one, key: `${one.key}-${times}` };
    }),
  };
}

/** Sowing, counting, each move and the first cut of one sowing of the plan. */
function ofSowing(library: Library, sowing: BookSowing): readonly Task[] {
  const { order, crop, sown, count, cells, trays, lot, codes, need, units, of, stages, ready, basis } = sowing;
  const code = codes[0];
  const named = code === undefined ? {} : { code };
  const at = (what: Doing["what"], on: PlainDate, says: Task["says"]): Task =>
    task(
      library,
      { on, until: on, what, crop, of: { shelf: "orders", id: order }, says: { ...says, need }, basis },
      [what, order, need, ...(says.to === undefined ? [] : [says.to])].join("-"),
    );
  const seed = {
    cells,
    ...(trays === undefined ? {} : { trays }),
    ...(lot === undefined ? {} : { lot }),
    units,
    counts: of,
    codes,
  };
  return [
    at("sow", sown, seed),
    ...(count === undefined ? [] : [at("count", count, { cells, counts: of, ...named })]),
    ...stages.slice(1).map(({ stage, from }) => at("move", from, { to: stage, units, counts: of, ...named })),
    ...(of === "ports" || of === "plants" ? [at("first-cut", ready, { units, counts: of, ...named })] : []),
  ];
}

function task(
  library: Library,
  { says, basis, ...doing }: Omit<Doing, "says"> & Pick<Task, "says">,
  key: string,
): Task {
  const crop = doing.crop === undefined ? undefined : library.crops.get(doing.crop)?.fields.name;
  const words = toldDay({ ...says, what: doing.what, called: calledBy(library, doing), crop });
  return { ...doing, ...words, says, basis, key };
}

function calledBy(library: Library, { of: { shelf, id } }: Pick<Doing, "of">): string {
  if (shelf === "trials") return library.trials.get(id)?.fields.question ?? id;
  if (shelf === "gear") return library.gear.get(id)?.fields.name ?? id;
  if (shelf === "salts") return library.salts.get(id)?.fields.name ?? id;
  if (shelf === "waters") return library.waters.get(id)?.fields.name ?? id;
  if (shelf === "batches") return library.batches.get(id)?.fields.code ?? id;
  return library.crops.get(library.orders.get(id)?.fields.crop ?? "")?.fields.name ?? id;
}

/** What is delivered again and again is a thing a day; the rest there is once of each record. */
function keyOf({ what, of, on, says }: Doing): string {
  const again = of.shelf === "orders";
  return [what, of.shelf, of.id, ...(says.to === undefined ? [] : [says.to]), ...(again ? [on] : [])].join("-");
}

function inOrder(a: Task, b: Task): number {
  const sort = ({ on, until, what, key }: Task) => `${on} ${until} ${what} ${key}`;
  return sort(a) < sort(b) ? -1 : sort(a) > sort(b) ? 1 : 0;
}
