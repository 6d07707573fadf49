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
export function placeOf(moves: Readonly<Record<string, { readonly on: string }>> | undefined, day: string): string {
  const done = Object.entries(moves ?? {})
    .filter(([, { on }]) => on <= day)
    .sort(([, a], [, b]) => (a.on < b.on ? -1 : 1));
  const place = done.at(-1)?.[0] ?? "germination";
  return words.stages[place as keyof typeof words.stages] ?? place;
}
