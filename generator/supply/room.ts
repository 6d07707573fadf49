import type { Library } from "../library.ts";
import { type CouldPromise, couldPromise } from "../plan/could-promise.ts";
import { freeByWeek } from "../plan/plan.ts";
import { roomUnit, toldShortfall } from "../plan/told.ts";
import { type Basis, weakest } from "../provenance.ts";
import { addDays, daysBetween, isoWeek, mondayOf, type PlainDate } from "../science/calendar.ts";
import { yardOf } from "./plan.ts";
import { type BookPlan, namesOf } from "./planned.ts";

/** An ISO week of the plan, and which of its days the plan looks at. */
export interface PlanWeek {
  readonly week: string;
  readonly days: readonly PlainDate[];
}

/** What a place holds and has left in each week of the plan. */
export interface PlaceRoom {
  readonly place: string;
  readonly name: string;
  readonly unit: "trays" | "plugs" | "ports";
  /** Undefined when no record says. */
  readonly room: number | undefined;
  /** The most that is taken on a day of the week, and the least that is left; below 0 when it holds too much. */
  readonly weeks: readonly { readonly week: string; readonly taken: number; readonly free: number | undefined }[];
}

/** How much of a crop could still be promised, with what that rests on; or why nobody can say, and what to do. */
export type Promisable = CouldPromise & {
  readonly basis: Basis;
  readonly why: string | undefined;
  readonly instead: string | undefined;
};

/** The weeks of a plan, the room that it leaves in each, and what could still be promised from it. */
export interface Room {
  readonly weeks: readonly PlanWeek[];
  readonly places: readonly PlaceRoom[];
  readonly promises: readonly Promisable[];
}

/** What a plan leaves free. */
export function roomOf(library: Library, plan: BookPlan): Room {
  const { yard, leans } = yardOf(library, { today: plan.today });
  const names = namesOf(library);
  const weeks = weeksOf(plan);
  return {
    weeks,
    places: plan.places.map(({ place, name, room, taken }) => {
      const free = freeByWeek(plan, place);
      return {
        place,
        name,
        unit: roomUnit(place),
        room,
        weeks: weeks.map(({ week, days }) => ({
          week,
          taken: Math.max(...days.flatMap((day) => taken[daysBetween(plan.today, day)] ?? [])),
          free: free.get(week),
        })),
      };
    }),
    promises: couldPromise(yard, plan).map((one) => {
      const behind = leans.get(one.crop) ?? [];
      const told = "cannot" in one ? toldShortfall({ crop: one.crop, reason: one.cannot }, names) : undefined;
      return {
        ...one,
        basis: behind.length > 0 ? weakest(behind.map(({ basis }) => basis)) : "memory",
        why: told?.why,
        instead: told?.instead,
      };
    }),
  };
}

function weeksOf({ today, until }: Pick<BookPlan, "today" | "until">): readonly PlanWeek[] {
  const weeks: PlanWeek[] = [];
  for (let monday = mondayOf(isoWeek(today)); monday <= until; monday = addDays(monday, 7))
    weeks.push({ week: isoWeek(monday), days: Array.from({ length: 7 }, (_, day) => addDays(monday, day)) });
  return weeks;
}
