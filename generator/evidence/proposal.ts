import { sum } from "../figures.ts";
import { fixed } from "../format.ts";
import { type Library, valueAt } from "../library.ts";
import { kinds } from "../records/index.ts";
import { schemaAt, unwrap } from "../records/walk.ts";
import { unitNamed } from "../science/units.ts";
import { blockMeans, measuredOf } from "../supply/trials.ts";
import { answered, betterOf, type Run, type Trial } from "./run.ts";
import type { Stood } from "./standing.ts";

/** A figure as a trial would have it in the record of its crop. */
export interface Proposal {
  readonly crop: string;
  /** The figure's path in the record of the crop. */
  readonly path: string;
  /** As it stands in the record; undefined when it is not recorded. */
  readonly was: string | undefined;
  /** As it would be written there: in the record's own style, no finer than it was measured. */
  readonly now: string;
  /** The treatment that the figure is of. */
  readonly treatment: string;
  readonly n: { readonly runs: number; readonly blocks: number; readonly plants: number };
  /** Of all plants of that treatment: the least, the most, and the mean, weighed by plants (`pool-record`). */
  readonly low: number;
  readonly high: number;
  readonly mean: number;
  /** Trial ids, the newest last. */
  readonly from: readonly string[];
}

/**
 * What the record of the crop would say after these runs: of the better treatment, or where neither is, of what is done
 * now. A field of two ends takes the least and the most of the block means, one of a single figure the pooled mean. A
 * change rests on eight blocks at least, so that it may narrow a range as well as widen it.
 */
export function proposalOf(library: Library, run: Run, { standing, runs, together }: Stood): Proposal | undefined {
  const { crop: id, figure: path, control } = run.trial.fields;
  const crop = library.crops.get(id);
  const compared = together ?? run.compared;
  if (!crop || path === undefined || standing === "note" || !compared) return undefined;
  const treatment = betterOf(compared, run.treatments) ?? control;
  if (treatment === undefined) return undefined;
  const { form, unit = "" } = unwrap(schemaAt(kinds.crops, path.split("."), crop.raw)).meta;
  const was = valueAt(crop.raw, path);
  const plants = runs.flatMap((trial) => measuredOf(trial, treatment));
  const means = runs.flatMap((trial) => blockMeans(trial, treatment));
  const mean = pooledMean(library, runs, treatment);
  const places = form === "count" ? 0 : decimalsOf(runs, treatment);
  const ends = form === "span" ? ([Math.min(...means), Math.max(...means)] as const) : ([mean, mean] as const);
  return {
    crop: id,
    path,
    was: was === undefined ? undefined : String(was),
    now: inStyle(ends, places, unit, was),
    treatment,
    n: { runs: runs.length, blocks: compared.blocks, plants: plants.length },
    low: Math.min(...plants),
    high: Math.max(...plants),
    mean,
    from: runs.map(({ id: run }) => run),
  };
}

/** The mean of all plants of a treatment, run by run put together by the worksheet that a record is pooled with. */
function pooledMean(library: Library, runs: readonly Trial[], treatment: string): number {
  const [first, ...rest] = runs.map((trial) => {
    const values = measuredOf(trial, treatment);
    const mean = values.reduce((total, value) => total + value, 0) / values.length;
    return { mean, n: values.length, low: Math.min(...values), high: Math.max(...values) };
  });
  let pooled = first!;
  for (const [index, added] of rest.entries()) {
    const old = pooled;
    const result = sum(library, "pool-record", (take) => {
      for (const trial of runs.slice(0, index + 2)) take(trial, "blocks");
      return { old, new: added };
    });
    const [mean, n, low, high] = ["mean", "n", "low", "high"].map((name) => answered(result, name)!);
    pooled = { mean: mean!, n: n!, low: low!, high: high! };
  }
  return pooled.mean;
}

/** The most decimals that a value of the treatment was written with. */
function decimalsOf(runs: readonly Trial[], treatment: string): number {
  const written = runs.flatMap(({ raw }) =>
    Object.values((raw.blocks ?? {}) as Readonly<Record<string, Readonly<Record<string, readonly unknown[]>>>>).flatMap(
      (block) => block[treatment] ?? [],
    ),
  );
  return Math.max(0, ...written.map((value) => (String(value).split(".")[1] ?? "").length));
}

/** A figure as a record writes it, with what stands behind the number in the line that it takes the place of. */
function inStyle([low, high]: readonly [number, number], places: number, unit: string, was: unknown): string {
  const plain = (value: number) => fixed(value, places).replaceAll("−", "-").replaceAll("\u202f", "");
  const [from, to] = [plain(low), plain(high)];
  const tail = /\d(\D*)$/.exec(String(was ?? ""))?.[1];
  const kept = tail !== undefined && (tail.trim() === "" ? unit === "" : unitNamed(tail.trim()) === unit);
  const behind = kept ? tail : unit === "" || unit === "pH" ? "" : ` ${unit}`;
  if (from === to) return `${from}${behind}`;
  return `${from}${low < 0 ? " to " : "–"}${to}${behind}`;
}
