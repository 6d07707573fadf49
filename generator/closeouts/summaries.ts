import { type Sum, sum } from "../figures.ts";
import { basisOf, type Library } from "../library.ts";
import { type Basis, weakest } from "../provenance.ts";
import type { StageName } from "../records/crop.ts";
import { shareInterval } from "../science/seed.ts";
import type { Counted } from "../supply/raised.ts";
import { sourcesBlock } from "../told.ts";
import type { Half, Life } from "./life.ts";
import type { Measure, Value, What } from "./measures.ts";
import { isOver, isUnder, type RecordSays } from "./record.ts";

/** So many closed batches are asked for before a figure of the record is judged. Common practice. */
export const enough = 3;

/** A mean is told from so many batches on, as the summary of a group has it. */
export const enoughForMean = 5;

/** What an amount is read from. */
export type Reader = (life: Life) => number | undefined;

/** What is asked of batches, and what the record says of it. */
export interface Asked {
  readonly what: What;
  readonly stage?: StageName;
  readonly unit: string;
  readonly record: RecordSays | undefined;
  readonly planned: boolean;
}

/** Closed batches summed up as a group of values (`group-summary`), each a value; judged by the middle one. */
export function amountMeasure(library: Library, asked: Asked, lives: readonly Life[], of: Reader): Measure {
  const { record } = asked;
  const values = read(lives, (life) => {
    const value = of(life);
    return value === undefined ? undefined : { value };
  });
  const closed = values.filter((one) => one.closed);
  const behind = leansOf(library, asked.what, values, lives);
  const group =
    closed.length > 0 ? put(library, "group-summary", { values: closed.map(({ value }) => value) }, behind) : undefined;
  const { median, lowest, highest, mean } = (group?.outcome.answer ?? {}) as Readonly<Record<string, number | null>>;
  return {
    ...asked,
    values,
    n: closed.length,
    middle: median ?? undefined,
    low: lowest ?? undefined,
    high: highest ?? undefined,
    mean: mean ?? undefined,
    sum: group,
    withOpen: pooledWith(
      library,
      values.filter((one) => !one.closed),
      group,
      behind,
    ),
    record,
    ...judged(record, closed, median ?? undefined),
    basis: weakestOf(behind),
    sownIn: sownInOf(closed, lives),
  };
}

/** Closed batches and open ones as one, which only a mean can be; undefined where either is missing. */
function pooledWith(library: Library, open: readonly Value[], group: Sum | undefined, behind: Leans): Sum | undefined {
  const {
    mean,
    n,
    lowest: low,
    highest: high,
  } = (group?.outcome.answer ?? {}) as Readonly<Record<string, number | null>>;
  if (typeof mean !== "number" || open.length === 0) return undefined;
  const values = open.map(({ value }) => value);
  const added = {
    mean: values.reduce((all, value) => all + value, 0) / values.length,
    n: values.length,
    low: Math.min(...values),
    high: Math.max(...values),
  };
  return put(library, "pool-record", { old: { mean, n, low, high }, new: added }, behind);
}

function judged(
  record: RecordSays | undefined,
  closed: readonly Value[],
  middle: number | undefined,
): Pick<Measure, "verdict" | "over" | "under"> {
  if (!record) return { verdict: "unsaid", over: [], under: [] };
  const over = closed.filter(({ value }) => isOver(value, record)).map(({ batch }) => batch);
  const under = closed.filter(({ value }) => isUnder(value, record)).map(({ batch }) => batch);
  if (middle === undefined || closed.length < enough) return { verdict: "few", over, under };
  return { verdict: isOver(middle, record) ? "over" : isUnder(middle, record) ? "under" : "inside", over, under };
}

/** A share stands over or under a figure only when its whole 95 % interval does; a batch's as well as that of all together. */
export function shareMeasure(
  library: Library,
  asked: Omit<Asked, "unit">,
  lives: readonly Life[],
  of: (life: Life) => Counted | undefined,
): Measure {
  const { what, record } = asked;
  const values = read(lives, (life) => {
    const counted = of(life);
    return counted && { value: (100 * counted.part) / counted.whole, counted };
  });
  const closed = values.filter((one) => one.closed);
  const counted = closed.reduce(
    (all, one) => ({ part: all.part + one.counted!.part, whole: all.whole + one.counted!.whole }),
    { part: 0, whole: 0 },
  );
  const behind = leansOf(library, what, values, lives);
  const group =
    counted.whole === 0
      ? undefined
      : what === "germinated"
        ? put(library, "germination-test", { tests: testsOf(closed), standardPercent: record?.low }, behind)
        : put(library, "two-shares", { a: { good: counted.part, total: counted.whole } }, behind);
  const all = counted.whole === 0 ? undefined : intervalOf(counted);
  const beyond = (one: { readonly low: number; readonly high: number }) =>
    record && (one.high < record.low ? "under" : !record.floor && one.low > record.high ? "over" : undefined);
  const among = (side: "over" | "under") =>
    closed.filter((one) => beyond(intervalOf(one.counted!)) === side).map(({ batch }) => batch);
  return {
    ...asked,
    unit: "%",
    values,
    n: closed.length,
    middle: all?.share,
    low: all?.low,
    high: all?.high,
    mean: undefined,
    ...(counted.whole > 0 ? { counted } : {}),
    sum: group,
    withOpen: undefined,
    record,
    verdict: !record
      ? "unsaid"
      : !all || closed.length < enough || counted.whole < leastCounted
        ? "few"
        : (beyond(all) ?? (record.floor && all.low < record.low ? "unproven" : "inside")),
    over: among("over"),
    under: among("under"),
    basis: weakestOf(behind),
    sownIn: sownInOf(closed, lives),
  };
}

/** Under so many plants the sheets give no verdict on a share. */
const leastCounted = 20;

/** In per cent, with the 95 % interval of Wilson. */
function intervalOf({ part, whole }: Counted): { readonly share: number; readonly low: number; readonly high: number } {
  const { share, low, high } = shareInterval({ good: part, total: whole });
  return { share: 100 * share, low: 100 * low, high: 100 * high };
}

/** The counts of closed batches as tests of seed; the sheet holds twenty, so what is older than those counts as one. */
function testsOf(closed: readonly Value[]): readonly { readonly up: number; readonly sown: number }[] {
  const tests = closed.map(({ counted }) => ({ up: counted!.part, sown: counted!.whole }));
  const older = tests.slice(0, -19);
  if (older.length < 2) return tests;
  const first = older.reduce((all, test) => ({ up: all.up + test.up, sown: all.sown + test.sown }));
  return [first, ...tests.slice(-19)];
}

/** What each batch shows that shows anything: closed ones first. */
function read(
  lives: readonly Life[],
  of: (life: Life) => { readonly value: number; readonly counted?: Counted } | undefined,
): readonly Value[] {
  const values = lives.flatMap((life) => {
    const one = of(life);
    return one ? [{ batch: life.batch.id, closed: life.closed, ...one }] : [];
  });
  return [...values.filter(({ closed }) => closed), ...values.filter(({ closed }) => !closed)];
}

function sownInOf(closed: readonly Value[], lives: readonly Life[]): readonly Half[] {
  const sown = lives.filter(({ batch }) => closed.some((one) => one.batch === batch.id)).map(({ sownIn }) => sownIn);
  return (["summer", "winter"] as const).filter((half) => sown.includes(half));
}

type Leans = Sum["from"];

/** What values of some batches lean on: their weighings, or the days and counts of their moves. */
function leansOf(library: Library, what: What, values: readonly Value[], lives: readonly Life[]): Leans {
  const path = ["cut", "plant", "batch", "week"].includes(what) ? "cuts" : "moves";
  return values.map(({ batch }) => {
    const page = lives.find((life) => life.batch.id === batch)!.batch;
    return { record: `batches/${batch}`, path, basis: basisOf(library, sourcesBlock(page), path) ?? "memory" };
  });
}

/** A worksheet answered from batches, whose days and counts are no figures of the trade and yet rest on something. */
function put(library: Library, worksheet: string, input: Readonly<Record<string, unknown>>, from: Leans): Sum {
  return { ...sum(library, worksheet, () => input), from, basis: weakestOf(from) };
}

function weakestOf(from: Leans): Basis {
  return from.length === 0 ? "memory" : weakest(from.map(({ basis }) => basis));
}
