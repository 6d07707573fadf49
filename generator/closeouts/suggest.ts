import type { CropCloseout } from "../closeouts.ts";
import { span } from "../format.ts";
import type { Library } from "../library.ts";
import type { Half } from "./life.ts";
import type { Measure } from "./measures.ts";
import type { RecordSays } from "./record.ts";
import { enough } from "./summaries.ts";

/**
 * What the batches of a crop ask for. `review`: three closed batches or more are beyond the record's figure on the same side.
 * `spread`: they differ too much among themselves to plan on. `wider`: one or two are beyond it. `narrower`: five or more
 * fill less than half of it. `few`: the plan leans on the crop's record and hardly a closed batch shows it.
 */
export interface Suggestion {
  readonly kind: (typeof kindsInOrder)[number];
  readonly crop: string;
  /** Orders that the plan serves with the crop, where the plan reads the figure; else 0. */
  readonly uses: number;
  /** What it is about; undefined when it is about the whole crop. */
  readonly about: About | undefined;
  /** Closed batches of the crop. */
  readonly closed: number;
}

export interface About {
  readonly measure: Measure;
  /** Undefined for a figure that the record gives without a season: its batches are of the whole year. */
  readonly half: Half | undefined;
  readonly record: RecordSays;
  /** The batches that speak for it. */
  readonly batches: readonly string[];
  readonly side: "over" | "under" | undefined;
  /** The field of the record and what it might say; undefined where batches alone cannot give it. */
  readonly now: { readonly path: string; readonly text: string } | undefined;
}

const kindsInOrder = ["review", "spread", "wider", "narrower", "few"] as const;

/** A range is narrowed only after so many batches. */
const enoughToNarrow = 5;

/** Everything that the batches ask for: the strongest kind first, and within a kind what the plan leans on most. */
export function suggestionsOf(
  library: Library,
  crops: readonly CropCloseout[],
  uses: ReadonlyMap<string, number>,
): readonly Suggestion[] {
  const found = crops.flatMap(({ crop, closed, parts, year }) => {
    const stages = parts.flatMap(({ half, measures }) =>
      measures.filter(({ what }) => what === "stage").map((measure) => ({ half, measure })),
    );
    return [...stages, ...year.map((measure) => ({ half: undefined, measure }))].flatMap(({ half, measure }) => {
      const of = { crop, closed, uses: measure.planned ? (uses.get(crop) ?? 0) : 0 };
      return [...aboutRange(measure, half), ...aboutSpread(measure, half, of.uses)].map((one) => ({ ...of, ...one }));
    });
  });
  const few = [...uses].flatMap(([crop, count]): readonly Suggestion[] => {
    const closed = crops.find((one) => one.crop === crop)?.closed ?? 0;
    return count > 0 && closed < enough && library.crops.has(crop)
      ? [{ kind: "few", crop, closed, uses: count, about: undefined }]
      : [];
  });
  return [...found, ...few].toSorted(
    (a, b) =>
      kindsInOrder.indexOf(a.kind) - kindsInOrder.indexOf(b.kind) ||
      b.uses - a.uses ||
      (b.about?.batches.length ?? 0) - (a.about?.batches.length ?? 0) ||
      (`${a.crop} ${a.about?.half}` < `${b.crop} ${b.about?.half}` ? -1 : 1),
  );
}

type Asked = Pick<Suggestion, "kind" | "about">;

/** What a figure of the record is asked: at most one thing. What several figures give together is asked of each of them. */
function aboutRange(measure: Measure, half: About["half"]): readonly Asked[] {
  const { record, over, under, n } = measure;
  if (record?.path === undefined) return [];
  const side: About["side"] = over.length === under.length ? undefined : over.length > under.length ? "over" : "under";
  const most = side === "over" ? over : side === "under" ? under : [...over, ...under];
  const about = { measure, half, record, batches: most, side };
  if (side !== undefined && most.length >= enough)
    return [{ kind: "review", about: { ...about, now: reviewed(measure, half, record, most.length === n) } }];
  // One batch of counted plants may be out by chance; a range of them is not asked for.
  if (measure.unit === "%") return [];
  if (most.length > 0) return [{ kind: "wider", about: { ...about, now: widened(measure, half, record) } }];
  const filled = (measure.high ?? 0) - (measure.low ?? 0);
  if (n >= enoughToNarrow && spoken(measure) && filled * 2 <= record.high - record.low && record.low < record.high)
    return [
      {
        kind: "narrower",
        about: {
          ...about,
          batches: closedOf(measure),
          now: written(measure, fieldOf(measure, half, record), measure.low!, measure.high!),
        },
      },
    ];
  return [];
}

/** A figure that the plan reads, and that its batches differ in by more than half of the middle one; of days, by a week at least. */
function aboutSpread(measure: Measure, half: About["half"], uses: number): readonly Asked[] {
  const { record, n, middle, low, high, unit } = measure;
  if (!record || uses === 0 || n < enough || unit === "%") return [];
  const apart = high! - low!;
  if (apart <= middle! / 2 || (unit === "days" && apart < 7)) return [];
  const about = { measure, half, record, batches: closedOf(measure), side: undefined, now: undefined };
  return [{ kind: "spread", about }];
}

/**
 * What a review might write. A figure is moved only when five batches or more are all beyond it, and one that stands for the
 * whole year only when they were sown in both its halves; else the range is made wide enough for them. A standard of
 * germination is not lowered to a poor lot.
 */
function reviewed(measure: Measure, half: About["half"], record: RecordSays, all: boolean): About["now"] {
  if (record.floor) return undefined;
  if (measure.unit === "%") return { path: record.path!, text: `${Math.round(measure.middle!)} %` };
  if (all && measure.n >= enoughToNarrow && spoken(measure))
    return written(measure, fieldOf(measure, half, record), measure.low!, measure.high!);
  return widened(measure, half, record);
}

/** Whether the batches can speak for all of the year that the figure stands for. */
function spoken({ what, sownIn }: Measure): boolean {
  return what === "stage" || sownIn.length === 2;
}

function widened(measure: Measure, half: About["half"], record: RecordSays): About["now"] {
  const low = Math.min(record.low, measure.low!);
  return written(measure, fieldOf(measure, half, record), low, Math.max(record.high, measure.high!));
}

/** The field that a figure of one half of the year belongs in: days of a stage that stand for both halves stay as they are. */
function fieldOf({ what, stage }: Measure, half: About["half"], { path, seasonal }: RecordSays): string {
  return what === "stage" && !seasonal ? `stages.${stage}.${half}` : path!;
}

/** In whole units, the low end rounded down and the high one up. */
function written({ unit }: Measure, path: string, low: number, high: number): About["now"] {
  return { path, text: span({ low: Math.floor(low + 1e-9), high: Math.ceil(high - 1e-9) }, unit) };
}

function closedOf({ values }: Measure): readonly string[] {
  return values.filter(({ closed }) => closed).map(({ batch }) => batch);
}
