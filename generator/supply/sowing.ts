import type { Library, PageOf } from "../library.ts";
import type { Plan, PlannedSowing } from "../plan/plan.ts";
import { addDays, isoWeek, mondayOf, type PlainDate } from "../science/calendar.ts";
import { bodyOf, checkCharacter, trayCode } from "../science/labels.ts";
import { gearOf } from "./supply.ts";

/** An ISO week and its seven days. */
export interface SowingWeek {
  readonly week: string;
  readonly days: readonly PlainDate[];
}

/** The week of a plan's first day, the twelve that follow, and any other in which something is sown. */
export function sowingWeeks({ today, sowings }: Pick<Plan, "today" | "sowings">): readonly SowingWeek[] {
  const coming = Array.from({ length: 13 }, (_, later) => isoWeek(addDays(today, 7 * later)));
  const weeks = new Set([...coming, ...sowings.map(({ week }) => week)]);
  return [...weeks]
    .sort()
    .map((week) => ({ week, days: Array.from({ length: 7 }, (_, day) => addDays(mondayOf(week), day)) }));
}

/**
 * The codes of the trays of each sowing, one a tray, with their check characters: trays of a crop and a day are numbered
 * through, after those of the batches that are recorded as sown on that day.
 */
export function sowingCodes(
  library: Library,
  sowings: readonly Pick<PlannedSowing, "crop" | "sown" | "trays">[],
): readonly (readonly string[])[] {
  const used = new Map<string, number>();
  const key = (code: string, sown: PlainDate) => `${code} ${sown}`;
  for (const batch of library.batches.values()) {
    const day = key(library.crops.get(batch.fields.crop)!.fields.code, batch.fields.sown);
    used.set(day, Math.max(firstTray(batch) + traysOf(library, batch) - 1, used.get(day) ?? 0));
  }
  return sowings.map(({ crop, sown, trays = 1 }) => {
    const { code } = library.crops.get(crop)!.fields;
    const last = used.get(key(code, sown)) ?? 0;
    used.set(key(code, sown), last + trays);
    return Array.from({ length: trays }, (_, index) => checked(code, sown, last + index + 1));
  });
}

/** The codes of all trays of a batch: its own, and for more trays than one those that follow. */
export function batchCodes(library: Library, batch: PageOf<"batches">): readonly string[] {
  const { code, crop, sown } = batch.fields;
  const first = firstTray(batch);
  return Array.from({ length: traysOf(library, batch) }, (_, index) =>
    index === 0 ? code : checked(library.crops.get(crop)!.fields.code, sown, first + index),
  );
}

function traysOf(library: Library, { fields: { tray, cells } }: PageOf<"batches">): number {
  const size = gearOf(library.gear.values(), "tray").find(({ id }) => id === tray);
  return size ? Math.ceil(cells / size.fields.cells) : 1;
}

function firstTray({ fields: { code } }: PageOf<"batches">): number {
  return Number(/-(\d{2})-[0-9A-Z]$/.exec(code)?.[1] ?? "1");
}

function checked(crop: string, sown: PlainDate, tray: number): string {
  const code = trayCode({ crop, sown, tray });
  return `${code}-${checkCharacter(bodyOf(code))}`;
}
