import type { Day } from "./passage.ts";
import type { Places } from "./yard.ts";

/** So many places of one kind taken from a day until another, and by what. */
export interface Hold {
  /** `bench`, `mister`, or the id of a line. */
  readonly place: string;
  readonly amount: number;
  readonly from: Day;
  /** The first day on which they are free again. */
  readonly until: Day;
}

/** What every place has room for and has taken, day by day. Grows as holds are put in it. */
export interface Ledger {
  readonly first: Day;
  readonly last: Day;
  readonly places: readonly string[];
  /** Room in a place; Infinity when no record says. */
  room(place: string): number;
  taken(place: string, day: Day): number;
  put(holds: readonly Hold[], sign?: 1 | -1): void;
  /** The first hold that does not fit beside what is taken, with its first day without room and how much is wanting. */
  lacking(holds: readonly Hold[]): Lack | undefined;
}

export interface Lack {
  readonly place: string;
  readonly day: Day;
  /** Places too few on that day. */
  readonly by: number;
}

/** An empty ledger from the first to the last day; holds outside of it are looked at only within. */
export function ledger({ bench, mister, lines }: Places, first: Day, last: Day): Ledger {
  const rooms = new Map<string, number>([
    ["bench", bench ?? Number.POSITIVE_INFINITY],
    ["mister", mister ?? Number.POSITIVE_INFINITY],
    ...lines.map(({ id, ports }) => [id, ports] as const),
  ]);
  const days = last - first + 1;
  const used = new Map([...rooms.keys()].map((place) => [place, new Float64Array(days)]));
  const within = ({ from, until }: Hold) => [Math.max(0, from - first), Math.min(days, until - first)] as const;
  return {
    first,
    last,
    places: [...rooms.keys()],
    room: (place) => rooms.get(place) ?? 0,
    taken: (place, day) => used.get(place)?.[day - first] ?? 0,
    put(holds, sign = 1) {
      for (const hold of holds) {
        const row = used.get(hold.place)!;
        const [from, until] = within(hold);
        for (let day = from; day < until; day++) row[day]! += sign * hold.amount;
      }
    },
    lacking(holds) {
      for (const hold of holds) {
        const row = used.get(hold.place)!;
        const free = rooms.get(hold.place)! - hold.amount + 1e-9;
        const [from, until] = within(hold);
        for (let day = from; day < until; day++)
          if (row[day]! > free) return { place: hold.place, day: day + first, by: row[day]! - free + 1e-9 };
      }
      return undefined;
    },
  };
}

/** The first day of every place on which more is taken than there is room for, and the most that is ever wanting. */
export function overfull(book: Ledger): readonly (Lack & { readonly most: number })[] {
  return book.places.flatMap((place) => {
    let first: Lack | undefined;
    let most = 0;
    for (let day = book.first; day <= book.last; day++) {
      const by = book.taken(place, day) - book.room(place);
      if (by <= 1e-9) continue;
      first ??= { place, day, by };
      most = Math.max(most, by);
    }
    return first ? [{ ...first, most }] : [];
  });
}
