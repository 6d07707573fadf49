import { span } from "../format.ts";
import type { Library, PageOf } from "../library.ts";
import { type Basis, weakest } from "../provenance.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import { told } from "../told.ts";
import type { Half } from "./life.ts";

/** What a crop's record says: a figure with its basis, or what several of its figures give together. */
export interface RecordSays {
  /** The figure's path; undefined for what several give together. */
  readonly path: string | undefined;
  readonly text: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly basis: Basis;
  /** Where it comes from, as a page cites it. */
  readonly cited: readonly { readonly id: string; readonly basis: Basis; readonly text: string }[];
  /** It is the least that will do: more is no fault. */
  readonly floor: boolean;
  /** It speaks of this half of the year alone. */
  readonly seasonal: boolean;
}

/** A figure of a crop's record, or undefined where it has none. */
export function recordAt(library: Library, crop: PageOf<"crops">, path: string, floor = false): RecordSays | undefined {
  const figure = told(library, crop, path);
  if (!figure) return undefined;
  const { text, unit, low, high, basis, cited } = figure;
  return { path, text, unit, low, high, basis, cited, floor, seasonal: /\.(?:summer|winter)$/.test(path) };
}

/**
 * The days of a stage in one half of the year. Days without a season are of both halves, save where the other half has days of
 * its own: then they are of this one. A summer figure says nothing of winter.
 */
export function stageRecord(
  library: Library,
  crop: PageOf<"crops">,
  stage: StageName,
  half: Half,
): RecordSays | undefined {
  const other: Half = half === "summer" ? "winter" : "summer";
  const own = recordAt(library, crop, `stages.${stage}.${half}`);
  const both = recordAt(library, crop, `stages.${stage}.days`);
  return own ?? (both && { ...both, seasonal: crop.fields.stages[stage]?.[other] !== undefined });
}

/**
 * The days from sowing to the first cut, when the way lies in these halves of the year: those of all stages together, or those
 * to the cut of a micro herb. A way through both halves takes anything from the shorter days to the longer.
 */
export function wayRecord(library: Library, crop: PageOf<"crops">, halves: readonly Half[]): RecordSays | undefined {
  const micro = recordAt(library, crop, "micro.days");
  if (micro) return micro;
  const way = stageNames.filter((stage) => crop.fields.stages[stage] !== undefined);
  const stages = way.map((stage) => halves.flatMap((half) => stageRecord(library, crop, stage, half) ?? []));
  if (way.at(-1) !== "tower" || stages.some((found) => found.length < halves.length)) return undefined;
  const low = stages.reduce((all, found) => all + Math.min(...found.map((one) => one.low)), 0);
  const high = stages.reduce((all, found) => all + Math.max(...found.map((one) => one.high)), 0);
  return {
    path: undefined,
    text: span({ low, high }, "days"),
    unit: "days",
    low,
    high,
    basis: weakest(stages.flat().map(({ basis }) => basis)),
    cited: [],
    floor: false,
    seasonal: stages.flat().some(({ seasonal }) => seasonal),
  };
}

/** Whether a value is above all that the record's figure covers. */
export function isOver(value: number, record: RecordSays): boolean {
  return !record.floor && value > record.high + leeway(record);
}

/** Whether a value is below all that the record's figure covers. */
export function isUnder(value: number, record: RecordSays): boolean {
  return value < record.low - leeway(record);
}

/**
 * A range says where it ends, to the whole day or gram. One figure alone covers a day on either side, as plants are moved by
 * the day; of what is weighed it covers a tenth. Common practice.
 */
function leeway({ low, high, unit }: RecordSays): number {
  if (low < high) return 0.5;
  return (unit === "days" ? 1 : 0.1 * Math.abs(low)) + 1e-9;
}
