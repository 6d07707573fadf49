import type { PageOf } from "../library.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import { daysBetween, type PlainDate, seasonMonth } from "../science/calendar.ts";
import type { In } from "../science/units.ts";
import { type Counted, cameUpIn, fitIn } from "../supply/raised.ts";

/** What one batch shows of its crop by a day. What its record leaves open is undefined, never nought. */
export interface Life {
  readonly batch: PageOf<"batches">;
  /** Closed by that day. An open batch shows only what it has behind it. */
  readonly closed: boolean;
  readonly sownIn: Half;
  /** Of seeds sown one a cell, those that came up. */
  readonly germinated: Counted | undefined;
  /** Of cells sown with several seeds, those with a shoot. */
  readonly filled: Counted | undefined;
  /** Of those up, those fit to use. */
  readonly fit: Counted | undefined;
  /** Every stage that is over, with the half of the year in which it began. */
  readonly stages: readonly { readonly stage: StageName; readonly days: In<"days">; readonly half: Half }[];
  /** Plants lost in each stage but the tower, of those that entered it. */
  readonly lost: readonly { readonly stage: StageName; readonly lost: number; readonly of: number }[];
  readonly toFirstCut: In<"days"> | undefined;
  /** What the cuts gave in all; only of a closed batch. */
  readonly grams: In<"g"> | undefined;
  /** The same, to a plant that was planted on the tower. */
  readonly perPlant: In<"g"> | undefined;
  /** What one port gave at one cut, in the mean of its cuts; of a crop that is cut once, what one port gave. */
  readonly perCut: In<"g"> | undefined;
  /** What it gave a week, from the first cut until it was cleared; of no crop that is cut once. */
  readonly perWeek: number | undefined;
  /** Between two cuts, in the mean of the batch. */
  readonly regrowth: In<"days"> | undefined;
  /** From the first cut until it was cleared. */
  readonly window: In<"days"> | undefined;
}

/** The half of the year, as the plan tells them apart: summer is April to September north of the equator. Common practice. */
export type Half = "summer" | "winter";

/** The half of the year that a day is in, at a latitude [°, south negative]. */
export function halfOf(day: PlainDate, latitude: In<"°">): Half {
  const month = seasonMonth(Number(day.slice(5, 7)), latitude);
  return month >= 4 && month <= 9 ? "summer" : "winter";
}

/** Reads a batch as it stood on a day. */
export function lifeOf(
  batch: PageOf<"batches">,
  crop: PageOf<"crops">,
  { today, latitude }: { readonly today: PlainDate; readonly latitude: In<"°"> },
): Life {
  const { sown, cells, seeds, counted, closed } = batch.fields;
  const isClosed = closed !== undefined && closed <= today;
  const moves = movesBy(batch, today);
  const cuts = Object.entries(batch.fields.cuts ?? {})
    .filter(([on]) => on <= today)
    .toSorted(([a], [b]) => (a < b ? -1 : 1));
  const firstCut = cuts[0]?.[0];
  const lastCut = cuts.at(-1)?.[0];
  const grams = isClosed && cuts.length > 0 ? cuts.reduce((sum, [, weight]) => sum + weight, 0) : undefined;
  const planted = moves.get("tower")?.plants;
  const perPlant = grams !== undefined && planted ? grams / planted : undefined;
  const { cutting } = crop.fields;
  const once = cutting?.most === 1 || cutting?.regrowth === undefined;
  const window = isClosed && firstCut !== undefined ? daysBetween(firstCut, closed) : undefined;
  const gaps = !once && firstCut !== undefined && lastCut !== undefined && cuts.length > 1;
  return {
    batch,
    closed: isClosed,
    sownIn: halfOf(sown, latitude),
    germinated: cameUpIn(batch, today),
    filled:
      seeds !== undefined && seeds > 1 && counted !== undefined && counted.on <= today && counted.up <= cells
        ? { part: counted.up, whole: cells }
        : undefined,
    fit: fitIn(batch, today),
    ...passed(batch, crop, moves, { firstCut, latitude, today }),
    toFirstCut: firstCut === undefined ? undefined : daysBetween(sown, firstCut),
    grams,
    perPlant,
    perCut: perPlant === undefined ? undefined : once ? perPlant : perPlant / cuts.length,
    perWeek: !once && grams !== undefined && window !== undefined && window > 0 ? (7 * grams) / window : undefined,
    regrowth: gaps ? daysBetween(firstCut, lastCut) / (cuts.length - 1) : undefined,
    window,
  };
}

type Moves = ReadonlyMap<StageName, { readonly on: PlainDate; readonly plants: number }>;

function movesBy({ fields: { moves } }: PageOf<"batches">, today: PlainDate): Moves {
  return new Map(
    stageNames.flatMap((stage) => {
      const move = moves?.[stage];
      return move && move.on <= today ? [[stage, move] as const] : [];
    }),
  );
}

/**
 * The stages that a batch has behind it, and what was lost in each. A stage whose beginning or end is not on record is left
 * out, as is one after which the record skips a stage that the crop goes through: nobody knows then where the days went.
 */
function passed(
  { fields: { sown, cells, counted } }: PageOf<"batches">,
  crop: PageOf<"crops">,
  moves: Moves,
  { firstCut, latitude, today }: { firstCut: PlainDate | undefined; latitude: In<"°">; today: PlainDate },
): Pick<Life, "stages" | "lost"> {
  const way = stageNames.filter((stage) => crop.fields.stages[stage] !== undefined || moves.has(stage));
  const up = counted !== undefined && counted.on <= today && counted.up <= cells ? counted.up : undefined;
  const stages = [];
  const lost = [];
  for (const [index, stage] of way.entries()) {
    const next = way[index + 1];
    const from = index === 0 ? sown : moves.get(stage)?.on;
    const until = stage === "tower" ? firstCut : next && moves.get(next)?.on;
    if (from !== undefined && until !== undefined)
      stages.push({ stage, days: daysBetween(from, until), half: halfOf(from, latitude) });
    if (stage === "tower") continue;
    const entered = index === 0 ? cells : moves.get(stage)?.plants;
    const left = (next && moves.get(next)?.plants) ?? (stage === "germination" ? up : undefined);
    if (entered !== undefined && left !== undefined) lost.push({ stage, lost: entered - left, of: entered });
  }
  return { stages, lost };
}
