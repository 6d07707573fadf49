import type { Library } from "../library.ts";
import { dayNumber, daysInMonth, type PlainDate, sameDayNextYear } from "../science/calendar.ts";
import { gearOf } from "../supply/supply.ts";

/** A record and the day on which somebody last looked whether it is still true. */
export interface Looked {
  /** `crops/basil-sweet`. */
  readonly record: string;
  readonly kind: Kind;
  readonly name: string;
  /** Undefined when nobody has written one down. */
  readonly on: PlainDate | undefined;
  /** How long ago, `1 year and 2 months`. */
  readonly age: string | undefined;
}

export type Kind = "crops" | "guides" | "feeds" | "salts" | "waters" | "lots" | "gear";

export interface Reviews {
  /** A year old or more on the day of the edition, the oldest first. */
  readonly old: readonly Looked[];
  /** Without a day, by kind and name. */
  readonly never: readonly Looked[];
}

/**
 * What nobody has looked at for a year: crops, guides and salts by their review, feeds by that or their approval, waters by
 * their sample, lots of seed by their last test, lamps by the day on which their light was measured. It is no fault of a
 * record to be old, and the checker says nothing of it.
 */
export function reviewsOf(library: Library): Reviews {
  const today = library.book.fields.edition;
  const looked = [...records(library)];
  return {
    old: looked
      .filter(({ on }) => on !== undefined && sameDayNextYear(on) <= today)
      .map((one) => ({ ...one, age: ageSaid(one.on!, today) }))
      .toSorted((a, b) => (a.on! < b.on! ? -1 : a.on! > b.on! ? 1 : byName(a, b))),
    never: looked.filter(({ on }) => on === undefined).toSorted(byName),
  };
}

/** How long before a day another was, in whole years and months, or in days when it is under a month: `1 year and 2 months`. */
export function ageSaid(from: PlainDate, to: PlainDate): string {
  const [year, month, day] = from.split("-").map(Number) as [number, number, number];
  const [toYear, toMonth, toDay] = to.split("-").map(Number) as [number, number, number];
  const months =
    12 * (toYear - year) + (toMonth - month) - (toDay < Math.min(day, daysInMonth(toYear, toMonth)) ? 1 : 0);
  if (months < 1) return counted(dayNumber(to) - dayNumber(from), "day");
  const parts = [counted(Math.floor(months / 12), "year"), counted(months % 12, "month")];
  return parts.filter((part) => !part.startsWith("0 ")).join(" and ");
}

function* records(library: Library): Generator<Looked> {
  const one = (kind: Kind, id: string, name: string, days: readonly (PlainDate | undefined)[]): Looked => ({
    record: `${kind}/${id}`,
    kind,
    name,
    on: days
      .flatMap((day) => day ?? [])
      .toSorted()
      .at(-1),
    age: undefined,
  });
  for (const { id, fields } of library.crops.values())
    if (fields.status !== "retired") yield one("crops", id, fields.name, [fields.reviewed]);
  for (const { id, fields } of library.guides.values()) yield one("guides", id, fields.title, [fields.reviewed]);
  for (const { id, fields } of library.feeds.values())
    yield one("feeds", id, fields.name, [fields.approved, fields.reviewed]);
  for (const { id, fields } of library.salts.values()) yield one("salts", id, fields.name, [fields.reviewed]);
  for (const { id, fields } of library.waters.values()) yield one("waters", id, fields.name, [fields.sampled]);
  for (const { id, fields } of library.lots.values()) {
    const crop = library.crops.get(fields.crop)?.fields;
    const name = [crop?.name ?? fields.crop, fields.cultivar].filter(Boolean).join(", ");
    // A test is asked for of seed, which runners and cuttings are not, and of the newest lot of its sort: older ones are used up.
    const newer = [...library.lots.values()].some(
      (other) =>
        other.fields.crop === fields.crop &&
        other.fields.cultivar === fields.cultivar &&
        other.fields.bought > fields.bought,
    );
    if (!newer && (fields.tests || crop?.seed?.standard !== undefined))
      yield one("lots", id, name, Object.keys(fields.tests ?? {}));
  }
  for (const { id, fields } of gearOf(library.gear.values(), "lamp"))
    yield one("gear", id, fields.name, [fields.measured]);
}

function byName(a: Looked, b: Looked): number {
  return a.kind === b.kind ? a.name.localeCompare(b.name, "en-GB") : a.kind < b.kind ? -1 : 1;
}

function counted(count: number, unit: string): string {
  return `${count} ${unit}${count === 1 ? "" : "s"}`;
}
