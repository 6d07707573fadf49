import type { StaffCrop, Told } from "./figures.ts";
import { words } from "./words.ts";

/** One stage on the life strip, from the day of sowing. */
export interface Segment {
  readonly name: string;
  readonly label: string;
  readonly from: number;
  readonly to: number;
  readonly figure: Told;
}

/** The stages of one season, to scale. */
export interface Life {
  readonly season: "all" | "summer" | "winter";
  readonly segments: readonly Segment[];
  readonly days: number;
}

/** The strips of a crop: one, or one for summer and one for winter where they differ. Empty when a stage has no days. */
export function lives(crop: Pick<StaffCrop, "stages" | "figures">): readonly Life[] {
  const differ = crop.stages.some(({ summer, winter }) => summer !== undefined || winter !== undefined);
  const seasons = differ ? (["summer", "winter"] as const) : (["all"] as const);
  return seasons.flatMap((season) => {
    const segments: Segment[] = [];
    let at = 0;
    const add = (name: string, label: string, figure: Told) => {
      const to = at + (figure.low + figure.high) / 2;
      segments.push({ name, label, from: at, to, figure });
      at = to;
    };
    for (const { name } of crop.stages) {
      const figure = daysOf(crop, name, season);
      if (figure) add(name, words.stages[name], figure);
    }
    const window = crop.figures["cutting.window"];
    if (window) add("cutting", words.life.cutting, window);
    return segments.length > 0 ? [{ season, segments, days: at }] : [];
  });
}

/** How long a stage takes in a season; the other season's or the year's figure where it is the only one. */
export function daysOf(
  { figures }: Pick<StaffCrop, "figures">,
  stage: string,
  season: Life["season"],
): Told | undefined {
  const of = (which: string) => figures[`stages.${stage}.${which}`];
  return (season === "all" ? undefined : of(season)) ?? of("days") ?? of("summer") ?? of("winter");
}

/** Whole days from one date to another. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
}

/** Where a batch is on a day: the last place it was moved to, or where it was sown. */
export function placeOf(moves: Moves, day: string): string {
  const [place] = lastMove(moves, day) ?? ["germination"];
  return words.stages[place as keyof typeof words.stages] ?? place;
}

/** The move that comes next for a crop, from one stage to another, and for which batch. */
export interface NextMove {
  readonly from: string;
  /** The stage that it goes to; undefined when it is cut there. */
  readonly to: string | undefined;
  readonly ready: string | undefined;
  readonly days: Told | undefined;
  /** The batch that stands there, and the first day of its move as an ISO date. */
  readonly batch: { readonly code: string; readonly due: string } | undefined;
}

/**
 * The next move: of the batch sown last that has one before it by `today`, an ISO date. Without such a batch, the move out
 * of the tray, or out of the first stage.
 */
export function nextMove(crop: Pick<StaffCrop, "stages" | "figures" | "batches">, today: string): NextMove | undefined {
  const names = crop.stages.map(({ name }) => name as string);
  const standing = crop.batches
    .filter(({ sown }) => sown <= today)
    .toSorted((a, b) => (a.sown < b.sown ? 1 : -1))
    .map((batch) => {
      const [place, since] = lastMove(batch.moves, today) ?? ["germination", batch.sown];
      return { ...batch, since, at: names.indexOf(place) };
    })
    .find(({ at }) => at >= 0 && at < names.length - 1);
  const usual = Math.max(names.indexOf("tray"), 0);
  const stage = crop.stages[standing?.at ?? usual];
  if (!stage) return undefined;
  const days = crop.figures[`stages.${stage.name}.days`] ?? crop.figures[`stages.${stage.name}.summer`];
  const due = standing && days && addDays(standing.since, Math.round(days.low));
  return {
    from: stage.name,
    to: names[(standing?.at ?? usual) + 1],
    ready: stage.ready,
    days,
    batch: standing && due ? { code: standing.code, due } : undefined,
  };
}

type Moves = Readonly<Record<string, { readonly on: string }>> | undefined;

function lastMove(moves: Moves, day: string): readonly [place: string, on: string] | undefined {
  const done = Object.entries(moves ?? {})
    .filter(([, { on }]) => on <= day)
    .sort(([, a], [, b]) => (a.on < b.on ? -1 : 1));
  const last = done.at(-1);
  return last && [last[0], last[1].on];
}

function addDays(day: string, days: number): string {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}
