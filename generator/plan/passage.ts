import { dateOf, dayNumber, seasonMonth } from "../science/calendar.ts";
import type { GrowingStage, GrownCrop, StageName, Yard } from "./yard.ts";

/** Days counted from one fixed day, so that the plan adds whole numbers and not dates. */
export type Day = number;

/** One stage on its way: from the day on which it begins until the day on which the next one does. */
export interface Leg {
  readonly stage: StageName;
  readonly from: Day;
  readonly until: Day;
}

/** How far a crop is grown: onto the tower, or only to what leaves the bench, a plug or a pot. */
export type Way = "tower" | "bench";

/**
 * The stages of a crop sown on a day. The days of a stage are those of the half of the year in which it begins: summer from
 * April to September north of the equator, from October to March south of it. Common practice.
 */
export function legs(crop: GrownCrop, way: Way, sown: Day, latitude: number): readonly Leg[] {
  return onwards(stagesOf(crop, way), sown, latitude);
}

/** The day on which the last of its legs ends. */
export function readyDay(crop: GrownCrop, way: Way, sown: Day, latitude: number): Day {
  return legs(crop, way, sown, latitude).at(-1)?.until ?? sown;
}

/** The legs of plants that came to a stage on `since`; a stage that should be over ends today at the earliest. */
export function remaining(
  crop: GrownCrop,
  way: Way,
  { stage, since, today, latitude }: { stage: StageName; since: Day; today: Day; latitude: number },
): readonly Leg[] {
  const stages = stagesOf(crop, way);
  const at = stages.findIndex(({ name }) => name === stage);
  const here = stages[at];
  if (!here) return [];
  const until = Math.max(today, since + stageDays(here, since, latitude));
  return [{ stage, from: since, until }, ...onwards(stages.slice(at + 1), until, latitude)];
}

/** Days of a stage that begins on a day [days]; light stretches only a stage whose record knows no seasons. */
export function stageDays({ summer, winter, slower }: GrowingStage, begins: Day, latitude: number): number {
  const month = monthOf(begins);
  const season = seasonMonth(month, latitude);
  const days = season >= 4 && season <= 9 ? summer : winter;
  return Math.ceil(days * (slower?.[month - 1] ?? 1) - 1e-9);
}

/** Days on which the yard sows: its sowing days that are no holiday. */
export function sowingDays(yard: Pick<Yard, "sowDays" | "holidays">): (day: Day) => boolean {
  const holidays = new Set(yard.holidays.map(dayNumber));
  const allowed = new Set(yard.sowDays.map((name) => names.indexOf(name)));
  return (day) => allowed.has(weekdayOf(day)) && !holidays.has(day);
}

/**
 * Days on which a parcel may leave: a posting day such that no holiday and no Sunday falls on it or while it is on its way.
 * Common practice.
 */
export function postingDays(yard: Pick<Yard, "postDays" | "holidays" | "transit">): (day: Day) => boolean {
  const holidays = new Set(yard.holidays.map(dayNumber));
  const allowed = new Set(yard.postDays.map((name) => names.indexOf(name)));
  return (day) => {
    if (!allowed.has(weekdayOf(day))) return false;
    for (let on = day; on <= day + yard.transit; on++) if (holidays.has(on) || weekdayOf(on) === 6) return false;
    return true;
  };
}

/** 0 for Monday to 6 for Sunday. */
export function weekdayOf(day: Day): number {
  return (((day - monday) % 7) + 7) % 7;
}

export function monthOf(day: Day): number {
  let month = months.get(day);
  if (month === undefined) {
    month = Number(dateOf(day).slice(5, 7));
    months.set(day, month);
  }
  return month;
}

function onwards(stages: readonly GrowingStage[], begins: Day, latitude: number): readonly Leg[] {
  let from = begins;
  return stages.map((stage) => {
    const leg = { stage: stage.name, from, until: from + stageDays(stage, from, latitude) };
    from = leg.until;
    return leg;
  });
}

function stagesOf(crop: GrownCrop, way: Way): readonly GrowingStage[] {
  return way === "tower" ? crop.stages : crop.stages.filter(({ name }) => name !== "tower");
}

const names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const monday = dayNumber("2024-01-01");
const months = new Map<Day, number>();
