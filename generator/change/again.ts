import { onCard } from "../card.ts";
import { customerEdition, type StaffEdition, staffEdition } from "../editions.ts";
import type { Library } from "../library.ts";
import { papers } from "../paper.ts";
import type { Search } from "../plan/choose.ts";
import { allSums } from "../sums.ts";

/** What a book prints otherwise than it did: found by printing both in mind and comparing them, never guessed. */
export interface Again {
  /** Sums whose answer, working or basis is another: the page that each stands on, and its question. */
  readonly sums: readonly { readonly page: string; readonly worksheet: string; readonly question: string }[];
  /** Records whose page for staff is another, `crops/viola`. */
  readonly pages: readonly string[];
  /** Records whose page for customers is another. */
  readonly customers: readonly string[];
  /** Days of the plan on which something is to be done otherwise, or at another time. */
  readonly days: readonly {
    readonly title: string;
    readonly was: string | undefined;
    readonly now: string | undefined;
  }[];
  /** Sheets of paper that hang somewhere and are old now, as `tierbook print` wants them. */
  readonly sheets: readonly { readonly what: string; readonly id: string }[];
}

/** Compares two states of one book. */
export function againFor(before: Library, after: Library, search?: Search): Again {
  const [old, now] = [staffEdition(before, search), staffEdition(after, search)];
  const [oldOut, nowOut] = [customerEdition(before), customerEdition(after)];
  const pages = shelves.flatMap((shelf) => differing(old[shelf], now[shelf]).map((id) => `${shelf}/${id}`));
  const customers = (["crops", "guides"] as const).flatMap((shelf) =>
    differing(oldOut[shelf], nowOut[shelf]).map((id) => `${shelf}/${id}`),
  );
  const sumKey = ([page, sum]: readonly [string, { readonly worksheet: string }]) => `${page} ${sum.worksheet}`;
  const sumsBefore = new Map([...allSums(before)].map((placed) => [sumKey(placed), JSON.stringify(placed)]));
  return {
    sums: [...allSums(after)]
      .filter((placed) => sumsBefore.get(sumKey(placed)) !== JSON.stringify(placed))
      .map(([page, { worksheet, question }]) => ({ page, worksheet, question })),
    pages,
    customers,
    days: daysOf(old, now),
    sheets: [
      ...customers.flatMap((page) => growingOn(after, page)),
      ...sheetsOf(old, now).filter((one, index, all) => all.findIndex((two) => same(one, two)) === index),
    ],
  };
}

const shelves = [
  "crops",
  "feeds",
  "salts",
  "waters",
  "gear",
  "lots",
  "batches",
  "orders",
  "trials",
  "guides",
] as const satisfies readonly (keyof StaffEdition)[];

type Sheet = Again["sheets"][number];

/** Sheets whose own facts differ: a card's figures, a list's rows, a map's ports. */
function sheetsOf(old: StaffEdition, now: StaffEdition): readonly Sheet[] {
  const one = <Page extends { readonly id: string }>(
    what: string,
    before: readonly Page[],
    after: readonly Page[],
    facts: (page: Page) => unknown,
  ): readonly Sheet[] =>
    after.flatMap((page) => {
      const other = before.find(({ id }) => id === page.id);
      return other && !same(facts(other), facts(page)) ? [{ what, id: page.id }] : [];
    });
  const weeks = (what: string, facts: (book: StaffEdition, week: string, days: readonly string[]) => unknown) =>
    now.weeks.flatMap(({ week, days }): readonly Sheet[] => {
      const printed = old.weeks.some((other) => other.week === week);
      return printed && !same(facts(old, week, days), facts(now, week, days)) ? [{ what, id: week }] : [];
    });
  const cropOf = (book: StaffEdition, id: string) => book.crops.find((crop) => crop.id === id);
  return [
    ...one("bench-card", old.crops, now.crops, (crop) => {
      const { figures, card, history: _history, batches: _batches, prose: _prose, ...rest } = crop;
      return [
        onCard(card).map((path) => figures[path]),
        { ...rest, elsewhere: [], findings: [], stages: rest.stages.map(({ name, ready }) => [name, ready]) },
      ];
    }),
    ...one("stock-mix", old.feeds, now.feeds, ({ history: _history, ...facts }) => facts),
    ...weeks("sowing-list", (book, week, days) => {
      const rows = book.plan.sowings.filter((sowing) => sowing.week === week);
      const figures = rows.map(({ crop }) =>
        ["seed.cell", "seed.depth", "seed.temperature"].map((path) => cropOf(book, crop)?.figures[path]),
      );
      return [rows, figures, book.plan.shortfalls.filter(({ from, until }) => (until ?? from) >= days[0]!)];
    }),
    ...weeks("pick-list", (book, _week, days) => book.picks.filter(({ on }) => days.includes(on))),
    ...one("tower-map", old.gear, now.gear, ({ planting }) => planting?.outcome),
    ...one("labels", old.batches, now.batches, (batch) => batch),
    ...weeks("labels", (book, week) =>
      book.plan.sowings
        .filter((sowing) => sowing.week === week)
        .map(({ crop, codes, sown, lot }) => [crop, codes, sown, lot]),
    ),
    ...one("trial-report", old.trials, now.trials, (trial) => trial),
    ...one(
      "data-sheet",
      old.trials,
      now.trials.filter(({ rows }) => rows.length > 0),
      ({ question, measure, started, stop, rows }) => [question, measure, started, stop, rows],
    ),
  ];
}

/** Tasks by what they are, whichever day they fall on: those that moved, came, went, or say something else. */
function daysOf(old: StaffEdition, now: StaffEdition): Again["days"] {
  const tasks = ({ agenda }: StaffEdition) => new Map(agenda.tasks.map((task) => [task.key, task]));
  const [before, after] = [tasks(old), tasks(now)];
  return [...new Set([...before.keys(), ...after.keys()])].flatMap((key) => {
    const [was, is] = [before.get(key), after.get(key)];
    const facts = (task: typeof was) => task && [task.on, task.until, task.title, task.facts];
    return same(facts(was), facts(is)) ? [] : [{ title: (is ?? was)!.title, was: was?.on, now: is?.on }];
  });
}

function growingOn(library: Library, page: string): readonly Sheet[] {
  const [kind, id = ""] = page.split("/");
  const crop = kind === "crops" ? library.crops.get(id) : undefined;
  if (!crop) return [];
  const ids = papers["growing-on"]!.ids({ ...library, crops: new Map([[id, crop]]) }, []);
  return ids.map((sheet) => ({ what: "growing-on", id: sheet }));
}

function differing(before: readonly { readonly id: string }[], after: readonly { readonly id: string }[]) {
  const old = new Map(before.map((page) => [page.id, JSON.stringify(page)]));
  return after.filter((page) => old.get(page.id) !== JSON.stringify(page)).map(({ id }) => id);
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
