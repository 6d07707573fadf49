import { date, list, number } from "../generator/format.ts";
import type { Doing } from "../generator/supply/doings.ts";
import type { Basis } from "./figures.ts";
import { nameOf } from "./names.ts";
import { words } from "./words.ts";

/** One thing to do as a page says it. The day is said even where a heading has it, as a list may be read on its own. */
export interface Said {
  readonly on: string;
  readonly until: string;
  readonly title: string;
  readonly address: string;
  readonly says: string;
  readonly when: string;
  readonly basis: Basis | undefined;
}

const { doings: say } = words;

export function said({ on, until, what, crop, of, says, basis }: Doing): Said {
  const { to, code, plants, amount, cells, trays, lot, litres, by, why, instead } = says;
  const facts = [
    crop === undefined || of.shelf === "trials" ? undefined : nameOf(crop),
    code ?? (crop === undefined ? nameOf(`${of.shelf}/${of.id}`) : undefined),
    plants === undefined ? undefined : say.plants(number(plants)),
    amount,
    cells === undefined ? undefined : say.cells(number(cells)),
    trays === undefined ? undefined : say.trays(trays),
    lot === undefined ? undefined : say.lot(lot),
    litres === undefined ? undefined : say.litres(number(litres)),
    by === undefined ? undefined : say.by(list(by)),
  ];
  const known = facts.filter((fact) => fact !== undefined).join(", ");
  return {
    on,
    until,
    title: what === "move" ? say.moves[to ?? "tower"] : say.deeds[what],
    address: `/${of.shelf}/${of.id}`,
    says: why === undefined ? known : [`${known}.`, why, ...(instead === undefined ? [] : [instead])].join(" "),
    when: on === until ? date(on) : say.whole(date(on), date(until)),
    basis,
  };
}

/** What is due by the days on which it may first be due, in their order; of a span from before, on the first day of all. */
export function byDay(doings: readonly Said[], from: string, until: string) {
  const within = doings.filter((doing) => doing.on >= from && doing.on <= until);
  return [...new Set(within.map(({ on }) => on))]
    .sort()
    .map((on) => ({ on, doings: within.filter((doing) => doing.on === on) }));
}

/** A day so many days later. */
export function dayAfter(day: string, days: number): string {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}
