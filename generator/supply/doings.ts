import { asked, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { deliveriesOf, readAmount } from "../plan/demands.ts";
import { postingDays, stageDays } from "../plan/passage.ts";
import type { Yard } from "../plan/yard.ts";
import { type Basis, weakest } from "../provenance.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import { addDays, dateOf, dayNumber, type PlainDate, seasonMonth } from "../science/calendar.ts";
import type { Span } from "../science/units.ts";
import { yardOf } from "./plan.ts";
import { type BookPlan, type BookSowing, bookPlan } from "./planned.ts";
import { gearOf } from "./supply.ts";
import { suppliesOf } from "./water.ts";

/** What is to be done: with seed, with a batch, for an order, or to water, stock, gear and trials. */
export type Deed =
  | "sow"
  | "count"
  | "move"
  | "first-cut"
  | "next-cut"
  | "last-cut"
  | "cut"
  | "hand"
  | "post"
  | "cannot"
  | "clash"
  | "mix"
  | "order"
  | "test"
  | "service"
  | "decide";

/** One thing to do, and the days on which it is to be done. Facts, not sentences: a page has the words. */
export interface Doing {
  /** The first day on which it may be due. */
  readonly on: PlainDate;
  /** The last; after it the thing is overdue. The same day when there is only one. */
  readonly until: PlainDate;
  readonly what: Deed;
  readonly crop?: string;
  /** The record that it belongs to. */
  readonly of: { readonly shelf: "orders" | "batches" | "waters" | "gear" | "salts" | "trials"; readonly id: string };
  readonly says: DoingFacts;
  /** What a day that was worked out rests on; undefined for a day that a record names. */
  readonly basis?: Basis;
}

export interface DoingFacts {
  /** Where a batch is moved to. */
  readonly to?: StageName;
  /** Plants or cells that were last counted in a batch. */
  readonly plants?: number;
  readonly code?: string;
  /** How much was promised, as the order has it. */
  readonly amount?: string;
  readonly cells?: number;
  readonly trays?: number;
  readonly lot?: string;
  /** The codes of the batches, and the first code of each sowing still to come, from which an order is met. */
  readonly by?: readonly string[];
  /** Stock to mix [L]. */
  readonly litres?: number;
  /** Why it cannot be, and the nearest that can. */
  readonly why?: string;
  readonly instead?: string;
}

/** Everything dated that the library knows of, in the order of the days, from what is overdue to the last day looked at. */
export interface Doings {
  readonly from: PlainDate;
  /** The last day looked at: nothing is said of any later one. */
  readonly until: PlainDate;
  readonly list: readonly Doing[];
}

/** Weeks looked ahead, the same as the sowing list. */
const weeks = 13;

/**
 * What is to be done from the day of the edition on, by the plan; what was due before it and is not recorded as done; and what
 * cannot be done. What no record says is not there: a crop without days for a stage has no day to move it.
 */
export function doingsOf(library: Library, plan: BookPlan = bookPlan(library)): Doings {
  const from = plan.today;
  const until = addDays(from, 7 * weeks - 1);
  const { yard } = yardOf(library);
  const list = [
    ...plan.sowings.flatMap((sowing) => ofSowing(library, sowing)),
    ...[...library.batches.values()].flatMap((batch) => ofBatch(library, batch, yard, plan)),
    ...[...library.orders.values()].flatMap((order) => ofOrder(library, order, { yard, plan, from, until })),
    ...ofLacks(library, plan),
    ...ofSupplies(library, plan),
    ...ofChecks(library),
  ].filter(({ on }) => on <= until);
  return { from, until, list: list.toSorted(inOrder) };
}

/** Sowing for an order and the counting after it. */
function ofSowing(library: Library, sowing: BookSowing): readonly Doing[] {
  const { sown, count, order, crop, cells, trays, lot, codes, basis } = sowing;
  const base = { crop, of: { shelf: "orders", id: order }, basis } as const;
  const code = codes[0];
  const says = present({ amount: library.orders.get(order)?.fields.amount, cells, trays, lot, code });
  return [
    { ...base, ...oneDay(sown), what: "sow", says },
    ...(count === undefined
      ? []
      : [{ ...base, ...oneDay(count), what: "count" as const, says: present({ cells, code }) }]),
  ];
}

/** What of an order cannot be, on the days on which it is wanted, and the day from which a place holds too much. */
function ofLacks(library: Library, { today, shortfalls, clashes }: BookPlan): readonly Doing[] {
  return [
    ...shortfalls.map(({ order, crop, from, until, why, instead }) => {
      const on = from < today ? today : from;
      const last = until === undefined || until <= on ? on : addDays(until, -1);
      const says = present({ amount: library.orders.get(order)?.fields.amount, why, instead });
      return {
        on,
        until: last,
        what: "cannot",
        crop,
        of: { shelf: "orders", id: order },
        says,
      } as const;
    }),
    ...clashes.flatMap(({ place, on, why, instead }) => {
      const id = gearAt(library, place);
      return id === undefined
        ? []
        : [{ ...oneDay(on), what: "clash", of: { shelf: "gear", id }, says: present({ why, instead }) } as const];
    }),
  ];
}

/** The record of a place: of several benches or misters the first. */
function gearAt(library: Library, place: string): string | undefined {
  if (place !== "bench" && place !== "mister") return place;
  return gearOf(library.gear.values(), place)[0]?.id;
}

/** The next thing of an open batch: count it, move it on, cut it, or cut it for the last time. */
function ofBatch(library: Library, batch: PageOf<"batches">, yard: Yard, plan: BookPlan): readonly Doing[] {
  const { crop, closed, code, counted, sown, moves, cells } = batch.fields;
  const today = library.book.fields.edition;
  if (sown > today || (closed !== undefined && closed <= today)) return [];
  const page = library.crops.get(crop)!;
  const plants = lastPlants(moves) ?? counted?.up ?? cells;
  const doing = (what: Deed, days: (take: Take) => Days | undefined, facts: DoingFacts = {}): readonly Doing[] => {
    let due: Days | undefined;
    const { from } = asked(library, (take) => {
      due = days(take);
      return {};
    });
    if (!due) return [];
    const basis = from.length > 0 ? { basis: weakest(from.map(({ basis }) => basis)) } : {};
    const of = { shelf: "batches", id: batch.id } as const;
    return [{ ...due, what, crop, of, says: { code, plants, ...facts }, ...basis }];
  };
  const counting = doing("count", (take) => {
    const day = take(page, "seed.count");
    return counted || day === undefined ? undefined : oneDay(addDays(sown, day));
  });
  const cuts = Object.keys(batch.fields.cuts ?? {}).sort();
  if (cuts.length > 0) return [...counting, ...ofCuts(library, page, cuts, doing)];

  const next = nextStage(library, page, batch);
  const stageEnds = (take: Take) => {
    const days = daysIn(take, page, next.now, { since: next.since, yard });
    return days && after(next.since, days);
  };
  if (next.to === undefined) return [...counting, ...doing("first-cut", stageEnds)];
  const posted = plan.kept
    .filter(({ batch: id, of }) => id === batch.id && of === "plugs")
    .reduce((sum, { units }) => sum + units, 0);
  if (next.to === "tower" && posted >= plants) return counting;
  return [...counting, ...doing("move", stageEnds, { to: next.to })];
}

function ofCuts(
  { book }: Library,
  page: PageOf<"crops">,
  cuts: readonly PlainDate[],
  doing: (what: Deed, days: (take: Take) => Days | undefined) => readonly Doing[],
): readonly Doing[] {
  const past = cuts.filter((day) => day <= book.fields.edition);
  const [first, last] = [past[0], past.at(-1)];
  if (first === undefined || last === undefined) return [];
  const most = page.fields.cutting?.most;
  return [
    ...(most !== undefined && past.length >= most
      ? []
      : doing("next-cut", (take) => {
          const days = take(page, "cutting.regrowth");
          return days && after(last, days);
        })),
    ...doing("last-cut", (take) => {
      const days = take(page, "cutting.window");
      return days && oneDay(addDays(first, Math.floor(days.high)));
    }),
  ];
}

/** The stage that a batch is in, since when, and the next stage of its crop; none when it is cut where it stands. */
function nextStage({ book }: Library, { fields }: PageOf<"crops">, batch: PageOf<"batches">) {
  const passed = stageNames.filter((name) => {
    const move = batch.fields.moves?.[name];
    return move !== undefined && move.on <= book.fields.edition;
  });
  const now = passed.at(-1);
  const since = now === undefined ? batch.fields.sown : batch.fields.moves![now]!.on;
  const stages = stageNames.filter((name) => fields.stages[name] !== undefined);
  const here = now ?? "germination";
  const to = stages.find((name) => stageNames.indexOf(name) > stageNames.indexOf(here));
  return { now: here, since, to };
}

/**
 * How long a stage takes that begins on a day [days]: as the plan counts it at the longer end, and in the same proportion at
 * the shorter end of the record's range. Undefined when the record has no days for it.
 */
function daysIn(
  take: Take,
  crop: PageOf<"crops">,
  stage: StageName,
  { since, yard }: { since: PlainDate; yard: Yard },
): Span | undefined {
  const { days, summer, winter } = crop.fields.stages[stage] ?? {};
  const planned = yard.crops.get(crop.id)?.stages.find(({ name }) => name === stage);
  if (!planned) return undefined;
  const month = seasonMonth(Number(since.slice(5, 7)), yard.latitude);
  const inSummer = month >= 4 && month <= 9;
  const [own, other] = inSummer ? ([summer, winter] as const) : ([winter, summer] as const);
  const span = own
    ? take(crop, `stages.${stage}.${inSummer ? "summer" : "winter"}`)
    : days
      ? take(crop, `stages.${stage}.days`)
      : other && take(crop, `stages.${stage}.${inSummer ? "winter" : "summer"}`);
  if (!span) return undefined;
  const high = stageDays(planned, dayNumber(since), yard.latitude);
  const low = span.high === 0 ? 0 : (Math.ceil(span.low) * high) / Math.ceil(span.high);
  return { ...span, low: Math.min(high, Math.ceil(low - 1e-9)), high };
}

/** What is promised: each delivery of a standing order, or the one day of any other, and from what it is met. */
function ofOrder(
  library: Library,
  order: PageOf<"orders">,
  { yard, plan, from: first, until: last }: { yard: Yard; plan: BookPlan; from: PlainDate; until: PlainDate },
): readonly Doing[] {
  const { kind, crop, amount, days, from, to } = order.fields;
  const what = kind === "plug" ? "post" : kind === "pot" || kind === "trial" ? "hand" : "cut";
  const end = to !== undefined && to < last ? to : last;
  const standing = readAmount(amount)?.weekly ?? days !== undefined;
  const promised = standing ? deliveriesOf({ days }, dayNumber(from), dayNumber(end) + 1) : [dayNumber(from)];
  const mayPost = what === "post" ? postingDays(yard) : undefined;
  return promised.flatMap((day) => {
    const leaves = mayPost ? Array.from({ length: 61 }, (_, later) => day + later).find(mayPost) : day;
    if (leaves === undefined || leaves < dayNumber(first)) return [];
    const on = dateOf(leaves);
    const by = metBy(library, order.id, on, plan);
    const refused = plan.shortfalls.some((one) => one.order === order.id && covers(one, on));
    if (by.length === 0 && refused) return [];
    return {
      ...oneDay(on),
      what,
      crop,
      of: { shelf: "orders", id: order.id },
      says: present({ amount, by: by.length > 0 ? by : undefined }),
    } as const;
  });
}

/** The codes of what an order is met from on a day: batches kept for it, and the first tray of each sowing. */
function metBy(library: Library, order: string, on: PlainDate, { kept, sowings }: BookPlan): readonly string[] {
  return [
    ...kept
      .filter((one) => one.order === order && covers(one, on))
      .flatMap(({ batch }) => library.batches.get(batch)?.fields.code ?? []),
    ...sowings
      .filter((one) => one.order === order && covers({ from: one.need, until: one.until }, on))
      .flatMap(({ codes }) => codes[0] ?? []),
  ];
}

function covers({ from, until }: { from: PlainDate; until: PlainDate | undefined }, on: PlainDate): boolean {
  return from <= on && (until === undefined || on < until);
}

/** Stock that runs out or has stood too long, and salts of which no more is left than lasts until new ones come. */
function ofSupplies(library: Library, plan: BookPlan): readonly Doing[] {
  const { tubs, salts } = suppliesOf(library, plan);
  return [
    ...tubs.flatMap(({ tub, empties, stale, mix, basis }) => {
      const on = [empties, stale].filter((day) => day !== undefined).sort()[0];
      const says = present({ litres: mix === undefined ? undefined : Math.ceil(mix) });
      return on === undefined
        ? []
        : [{ ...oneDay(on), what: "mix", of: { shelf: "gear", id: tub }, says, basis } as const];
    }),
    ...salts.flatMap(({ salt, order, basis }) =>
      order === undefined
        ? []
        : [{ ...oneDay(order.on), what: "order", of: { shelf: "salts", id: salt }, says: {}, basis } as const],
    ),
  ];
}

/** Tests of water, service of gear, and trials that have run out without a decision. */
function ofChecks(library: Library): readonly Doing[] {
  const found: Doing[] = [];
  for (const { id, fields } of library.waters.values())
    if (fields.due !== undefined)
      found.push({ ...oneDay(fields.due), what: "test", of: { shelf: "waters", id }, says: {} });
  for (const { id, fields } of library.gear.values())
    if (fields.due !== undefined)
      found.push({ ...oneDay(fields.due), what: "service", of: { shelf: "gear", id }, says: {} });
  for (const { id, fields } of library.trials.values())
    if (fields.decision === undefined)
      found.push({ ...oneDay(fields.stop), what: "decide", crop: fields.crop, of: { shelf: "trials", id }, says: {} });
  return found;
}

interface Days {
  readonly on: PlainDate;
  readonly until: PlainDate;
}

function oneDay(on: PlainDate): Days {
  return { on, until: on };
}

/** From the first whole day on which so many days are over to the last. */
function after(day: PlainDate, { low, high }: Span): Days {
  return { on: addDays(day, Math.ceil(low)), until: addDays(day, Math.ceil(high)) };
}

function lastPlants(moves: PageOf<"batches">["fields"]["moves"]): number | undefined {
  return stageNames.map((name) => moves?.[name]?.plants).findLast((plants) => plants !== undefined);
}

function present(facts: { readonly [Key in keyof DoingFacts]: DoingFacts[Key] | undefined }): DoingFacts {
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as DoingFacts;
}

function inOrder(a: Doing, b: Doing): number {
  const key = ({ on, until, what, of }: Doing) => `${on} ${until} ${what} ${of.shelf} ${of.id}`;
  return key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0;
}
