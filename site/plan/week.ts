import type { StaffEdition } from "../../generator/editions.ts";
import { date, number, quantity } from "../../generator/format.ts";
import { ofEdition, staff } from "../edition.ts";
import type { Basis } from "../figures.ts";
import { nameOf } from "../names.ts";
import { words } from "../words.ts";

/** One line of a day: what to do, with the page that it belongs to. */
export interface Line {
  readonly title: string;
  readonly address: string;
  readonly facts: readonly string[];
  /** The days that it may take, where it is more than this one. */
  readonly when: string | undefined;
  readonly basis: Basis | undefined;
}

export interface WeekDay {
  readonly on: string;
  /** It lies before the first day that the plan looks at. */
  readonly over: boolean;
  readonly lines: readonly Line[];
}

type Book = StaffEdition;
export type Task = Book["agenda"]["tasks"][number];

/** The weeks that have a page: every ISO week of the plan. */
export const planWeeks = ofEdition((): readonly string[] => (staff?.room.weeks ?? []).map(({ week }) => week));

/** The seven days of a week with what is to be done on each; what began before the plan stands on its first day. */
export function daysOf(book: Book, week: string): readonly WeekDay[] {
  const { days } = book.room.weeks.find((one) => one.week === week)!;
  const { from, tasks } = book.agenda;
  const first = later(days[0]!, from);
  return days.map((on) => ({
    on,
    over: on < from,
    lines: [
      ...tasks
        .filter(
          ({ what, on: begins, until }) =>
            what !== "cannot" && until >= first && (begins === on || (begins < first && on === first)),
        )
        .map((task) => lineOf(task, on)),
      ...mixing(book, on),
    ],
  }));
}

/** What was due before the plan's first day and is not on record as done; only in the week of that day. */
export function overdueIn(book: Book, week: string): readonly Line[] {
  const { from, tasks } = book.agenda;
  const [first] = book.room.weeks;
  return first?.week === week ? tasks.filter(({ until }) => until < from).map((task) => lineOf(task, undefined)) : [];
}

export function lineOf({ title, of, facts, on, until, basis }: Task, under: string | undefined): Line {
  const say = words.plan.week;
  const span = [
    ...(on !== under ? [say.from(date(on))] : []),
    ...(until !== on || under === undefined ? [say.to(date(until))] : []),
  ];
  return {
    title,
    address: `/${of.shelf}/${of.id}`,
    facts,
    when: under === undefined && on === until ? date(on) : span.length > 0 ? span.join(" ") : undefined,
    basis,
  };
}

/** Tubs that run out or grow old, and salts to order, on their days. */
function mixing({ supplies }: Book, on: string): readonly Line[] {
  const say = words.plan.week;
  return [
    ...supplies.tubs.flatMap(({ tub, name, empties, stale, mix, weeks, basis }) => [
      ...(empties === on
        ? [
            {
              title: say.runsOut(name),
              address: `/gear/${tub}`,
              facts:
                mix === undefined
                  ? []
                  : [`${words.plan.feed.mix} ${quantity(mix, "L", 3)}, ${quantity(weeks, "weeks")}`],
              when: undefined,
              basis,
            },
          ]
        : []),
      ...(stale === on ? [{ title: say.stale(name), address: `/gear/${tub}`, facts: [], when: undefined, basis }] : []),
    ]),
    ...supplies.salts.flatMap(({ salt, name, order, basis }) =>
      order?.on === on
        ? [
            {
              title: say.buy(name.toLowerCase()),
              address: `/salts/${salt}`,
              facts: [say.least(quantity(order.at, "kg", 3))],
              when: undefined,
              basis,
            },
          ]
        : [],
    ),
  ];
}

/** What of the orders cannot be in some days, one entry an order, with its first reason and how many days of it there are. */
export function refusedIn(book: Book, first: string, last: string) {
  const found = book.plan.shortfalls.filter(
    ({ from, until }) => from <= last && (until === undefined ? from >= first || from < first : until > first),
  );
  return [...Map.groupBy(found, ({ order }) => order)].map(([order, all]) => ({ order, first: all[0]!, all }));
}

/** What an order is called: it has no name of its own but its crop and its amount. */
export function orderName(book: Book, id: string): string {
  const order = book.orders.find((one) => one.id === id);
  return order ? `${nameOf(order.crop)}, ${order.amount}` : id;
}

/** `105 ports`, `1 port`. */
export function counted(units: number, of: string): string {
  return quantity(units, units === 1 ? of.replace(/s$/, "") : of, 6);
}

/** The days of a demand, the last included: `Tue 8 Jun 2027`, or the first and the last. */
export function daysSaid(from: string, until: string): string {
  const last = dayAfter(until, -1);
  return last <= from ? date(from) : words.plan.week.says(date(from), date(last));
}

/** The later of two days. */
export function later(a: string, b: string): string {
  return [a, b].sort()[1]!;
}

export function dayAfter(day: string, days: number): string {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}

/** How much of one delivery, `750 g`; the amount as the order has it where nobody can read it. */
export function shareSaid(book: Book, { order, amount }: Book["picks"][number]): string {
  const unit = words.plan.pick.units;
  if (!amount) return book.orders.find(({ id }) => id === order)?.amount ?? words.notRecorded;
  const { number: count } = amount;
  const whole = amount.unit === "g" ? count : Math.ceil(count - 1e-9);
  return amount.unit === "g" && whole >= 10_000 ? quantity(whole / 1000, "kg") : quantity(whole, unit[amount.unit]);
}

/** Places left, in whole ones, with their unit; what is too much is said as that. */
export function freeSaid(free: number | undefined, unit: string): string {
  if (free === undefined) return words.notRecorded;
  const whole = free < 0 ? Math.ceil(-free - 1e-9) : Math.floor(free + 1e-9);
  return free < 0 ? words.plan.plan.short(counted(whole, unit)) : `${number(whole, 6)}`;
}
