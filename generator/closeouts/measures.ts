import type { Sum } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import type { Basis } from "../provenance.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import type { Counted } from "../supply/raised.ts";
import type { Half, Life } from "./life.ts";
import { type RecordSays, recordAt, stageRecord, wayRecord } from "./record.ts";
import { type Asked, amountMeasure, type Reader, shareMeasure } from "./summaries.ts";

/** One thing that batches show of a crop, beside what its record says of it. */
export interface Measure {
  readonly what: What;
  /** The stage that it is of, where it is of one. */
  readonly stage?: StageName;
  readonly unit: string;
  /** Every value, those of closed batches first, each in the order of sowing. */
  readonly values: readonly Value[];
  /** Closed batches that show it. */
  readonly n: number;
  /** The middle of the closed batches; of a share, all that were counted together. Undefined without a closed batch. */
  readonly middle: number | undefined;
  /** From the lowest to the highest closed batch; of a share, its 95 % interval. */
  readonly low: number | undefined;
  readonly high: number | undefined;
  /** Only of five closed batches or more, and of no share. */
  readonly mean: number | undefined;
  /** All that were counted together, of a share. */
  readonly counted?: Counted;
  /** How the closed batches were put together. */
  readonly sum: Sum | undefined;
  /** The closed batches with those still open, where there are enough for a mean. */
  readonly withOpen: Sum | undefined;
  readonly record: RecordSays | undefined;
  readonly verdict: Verdict;
  /** Closed batches above and below what the record says, by their ids. */
  readonly over: readonly string[];
  readonly under: readonly string[];
  /** What the values rest on: as good as the weakest of their records. */
  readonly basis: Basis;
  /** Whether the plan reads the record's figure. */
  readonly planned: boolean;
  /** The halves of the year in which its closed batches were sown. */
  readonly sownIn: readonly Half[];
}

export type What =
  | "germinated"
  | "filled"
  | "fit"
  | "stage"
  | "planting-to-cut"
  | "sowing-to-cut"
  | "cut"
  | "plant"
  | "batch"
  | "week"
  | "regrowth"
  | "window";

/** What one batch shows; of a share, in per cent, with what was counted. */
export interface Value {
  readonly batch: string;
  readonly value: number;
  readonly closed: boolean;
  readonly counted?: Counted;
}

/** `few`: under three closed batches. `unsaid`: the record has no figure. `unproven`: chance alone could have done it. */
export type Verdict = "inside" | "over" | "under" | "unproven" | "few" | "unsaid";

/**
 * All that the batches of one crop show in one half of the year, in the order of a plant's life; or in both halves together
 * what a record gives without a season. What no batch shows is left out.
 */
export function measuresOf(
  library: Library,
  crop: PageOf<"crops">,
  lives: readonly Life[],
  half: Half | undefined,
): readonly Measure[] {
  const inOrder = lives.toSorted((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1));
  const sown = inOrder.filter(({ sownIn }) => half === undefined || sownIn === half);
  const daysOf = (stage: StageName) => (life: Life) =>
    life.stages.find((one) => one.stage === stage && (half === undefined || one.half === half))?.days;
  const figure = (path: string) => recordAt(library, crop, path);
  const share = (what: What, record: RecordSays | undefined, of: (life: Life) => Counted | undefined) =>
    shareMeasure(library, { what, record, planned: what === "fit" }, sown, of);
  const amount = (asked: Omit<Asked, "planned"> & { readonly planned?: boolean }, of: Reader, among = sown) =>
    amountMeasure(library, { planned: asked.record !== undefined, ...asked }, among, of);
  return [
    share("germinated", recordAt(library, crop, "seed.standard", true), ({ germinated }) => germinated),
    share("filled", undefined, ({ filled }) => filled),
    share("fit", figure("seed.usable"), ({ fit }) => fit),
    ...(half === undefined ? [] : stageNames).map((stage) =>
      amount(
        { what: "stage", stage, unit: "days", record: stageRecord(library, crop, stage, half!) },
        daysOf(stage),
        inOrder,
      ),
    ),
    amount(
      { what: "planting-to-cut", unit: "days", record: figure("cutting.first"), planned: false },
      daysOf("tower"),
      inOrder,
    ),
    ...(half === undefined
      ? []
      : [
          amount(
            { what: "sowing-to-cut", unit: "days", record: wayRecord(library, crop, halvesOf(sown, half)) },
            ({ toFirstCut }) => toFirstCut,
          ),
        ]),
    amount({ what: "cut", unit: "g", record: figure("cutting.each") }, ({ perCut }) => perCut),
    amount({ what: "plant", unit: "g", record: undefined }, ({ perPlant }) => perPlant),
    amount({ what: "batch", unit: "g", record: undefined }, ({ grams }) => grams),
    amount({ what: "week", unit: "g/week", record: undefined }, ({ perWeek }) => perWeek),
    amount({ what: "regrowth", unit: "days", record: figure("cutting.regrowth") }, ({ regrowth }) => regrowth),
    amount({ what: "window", unit: "days", record: figure("cutting.window") }, ({ window }) => window),
  ].filter(({ what, values, record }) => values.length > 0 && (what !== "planting-to-cut" || record !== undefined));
}

/** The halves of the year that batches went through on their way to the first cut. */
function halvesOf(lives: readonly Life[], half: Half): readonly Half[] {
  return [...new Set([half, ...lives.flatMap(({ stages }) => stages.map((one) => one.half))])];
}

function sortKey({ batch }: Life): string {
  return `${batch.fields.sown} ${batch.id}`;
}
