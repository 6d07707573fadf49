import { type Half, type Life, lifeOf } from "./closeouts/life.ts";
import { type Losses, lossesOf } from "./closeouts/losses.ts";
import { type Measure, measuresOf } from "./closeouts/measures.ts";
import { type Suggestion, suggestionsOf } from "./closeouts/suggest.ts";
import { type SaidMeasure, toldLosses, toldMeasure, toldSuggestion } from "./closeouts/told.ts";
import type { Library } from "./library.ts";
import type { PlainDate } from "./science/calendar.ts";
import type { BookPlan } from "./supply/planned.ts";

/** How a yard's crops did, by its closed batches, and what that asks for. */
export interface Closeouts {
  /** Crops with anything to show, by their names. */
  readonly crops: readonly CropCloseout[];
  /** What wants a review or a trial, the strongest first. */
  readonly suggestions: readonly (Suggestion & { readonly said: string })[];
  readonly closed: number;
  readonly open: number;
}

/** What the batches of one crop show. */
export interface CropCloseout {
  readonly crop: string;
  readonly name: string;
  readonly kind: string;
  /** Batches closed, and batches still open that have something behind them. */
  readonly closed: number;
  readonly open: number;
  /** The days of its oldest and its newest sowing among them. */
  readonly from: PlainDate;
  readonly to: PlainDate;
  readonly parts: readonly Part[];
  /** Both halves together, for what the record gives without a season. */
  readonly year: readonly Measure[];
  /** The same for each cultivar that lots name, where there is more than one. */
  readonly cultivars: readonly { readonly cultivar: string; readonly parts: readonly Part[] }[];
}

/** One half of the year of a crop or a cultivar. What was sown in it counts here; a stage counts where it began. */
export interface Part {
  readonly half: Half;
  /** Closed batches sown in it, and the cells and plants that they had. */
  readonly closed: number;
  readonly open: number;
  readonly cells: number;
  /** Plants put on the tower, in the closed batches that say so. */
  readonly planted: number | undefined;
  readonly batches: readonly {
    readonly batch: string;
    readonly code: string;
    readonly sown: PlainDate;
    readonly closed: boolean;
  }[];
  readonly measures: readonly (Measure & { readonly said: SaidMeasure })[];
  /** Of the closed batches. */
  readonly losses: Losses & { readonly said: readonly string[] };
}

/**
 * Every crop's batches put together as they stood on the day of the edition, beside what its record says. Only closed batches
 * are judged by; what open ones have behind them is said apart. `uses` is how many orders the plan serves with a crop, by its id.
 */
export function closeoutsOf(library: Library, uses: ReadonlyMap<string, number>): Closeouts {
  const { edition: today, latitude } = library.book.fields;
  const lives = [...library.batches.values()]
    .filter(({ fields }) => fields.sown <= today)
    .flatMap((batch) => {
      const crop = library.crops.get(batch.fields.crop);
      return crop ? [lifeOf(batch, crop, { today, latitude })] : [];
    });
  const byCrop = Map.groupBy(lives, ({ batch }) => batch.fields.crop);
  const crops = [...library.crops.values()]
    .flatMap((crop) => {
      const own = (byCrop.get(crop.id) ?? []).filter((life) => life.closed || shows(life));
      return own.length === 0 ? [] : [cropCloseout(library, crop.id, own)];
    })
    .toSorted((a, b) => a.name.localeCompare(b.name, "en-GB"));
  return {
    crops,
    suggestions: suggestionsOf(library, crops, uses).map((one) => ({ ...one, said: toldSuggestion(library, one) })),
    closed: lives.filter(({ closed }) => closed).length,
    open: lives.filter(({ closed }) => !closed).length,
  };
}

/** How many orders the plan sows or keeps a batch for, by crop. */
export function usesOf(
  library: Library,
  { sowings, kept }: Pick<BookPlan, "sowings" | "kept">,
): ReadonlyMap<string, number> {
  const orders = new Map<string, Set<string>>();
  for (const { order } of [...sowings, ...kept]) {
    const crop = library.orders.get(order)?.fields.crop;
    if (crop !== undefined) orders.set(crop, (orders.get(crop) ?? new Set()).add(order));
  }
  return new Map([...orders].map(([crop, found]) => [crop, found.size]));
}

/** Whether an open batch has anything behind it that can be set beside the record. */
function shows({ germinated, filled, fit, stages, toFirstCut }: Omit<Life, "batch">): boolean {
  return stages.length > 0 || [germinated, filled, fit, toFirstCut].some((one) => one !== undefined);
}

function cropCloseout(library: Library, id: string, lives: readonly Life[]): CropCloseout {
  const crop = library.crops.get(id)!;
  const days = lives.map(({ batch }) => batch.fields.sown).toSorted();
  const cultivarOf = ({ batch }: Life) => library.lots.get(batch.fields.lot)?.fields.cultivar;
  const cultivars = [...new Set(lives.flatMap((life) => cultivarOf(life) ?? []))].toSorted();
  return {
    crop: id,
    name: crop.fields.name,
    kind: crop.fields.kind,
    closed: lives.filter(({ closed }) => closed).length,
    open: lives.filter(({ closed }) => !closed).length,
    from: days[0]!,
    to: days.at(-1)!,
    parts: partsOf(library, id, lives),
    year: measuresOf(library, crop, lives, undefined),
    cultivars:
      cultivars.length < 2
        ? []
        : cultivars.map((cultivar) => ({
            cultivar,
            parts: partsOf(
              library,
              id,
              lives.filter((life) => cultivarOf(life) === cultivar),
            ),
          })),
  };
}

function partsOf(library: Library, id: string, lives: readonly Life[]): readonly Part[] {
  const crop = library.crops.get(id)!;
  return (["summer", "winter"] as const).flatMap((half) => {
    const sown = lives
      .filter(({ sownIn }) => sownIn === half)
      .toSorted((a, b) => (a.batch.fields.code < b.batch.fields.code ? -1 : 1))
      .toSorted((a, b) =>
        a.batch.fields.sown < b.batch.fields.sown ? -1 : a.batch.fields.sown > b.batch.fields.sown ? 1 : 0,
      );
    const closed = sown.filter((life) => life.closed);
    const measures = measuresOf(library, crop, lives, half);
    if (measures.length === 0 && sown.length === 0) return [];
    const planted = closed.flatMap(({ batch }) => batch.fields.moves?.tower?.plants ?? []);
    const losses = lossesOf(library, closed);
    return [
      {
        half,
        closed: closed.length,
        open: sown.length - closed.length,
        cells: closed.reduce((all, { batch }) => all + batch.fields.cells, 0),
        planted: planted.length === 0 ? undefined : planted.reduce((all, plants) => all + plants, 0),
        batches: sown.map(({ batch, closed }) => ({
          batch: batch.id,
          code: batch.fields.code,
          sown: batch.fields.sown,
          closed,
        })),
        measures: measures.map((measure) => ({ ...measure, said: toldMeasure(measure) })),
        losses: { ...losses, said: toldLosses(losses) },
      },
    ];
  });
}
