import type { Sum } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { towerNames } from "../records/tower-names.ts";
import type { Finding } from "../science/evidence.ts";
import { sumOf } from "../supply/index.ts";
import { blocksOf, measuredOf, treatmentsOf } from "../supply/trials.ts";
import { faults, findings, refusals, unsettled } from "./words.ts";

export type Trial = PageOf<"trials">;

/** One treatment against another, over the blocks of one run or of several. */
export interface Compared {
  readonly comparison: Sum;
  /** Undefined where the unit is a tower: its plants live and die together. */
  readonly losses: Sum | undefined;
  readonly blocks: number;
  /** Of the first less the second, in the unit of the measure. */
  readonly mean: number;
  readonly interval: { readonly low: number; readonly high: number } | undefined;
  readonly worthwhile: number;
  readonly finding: Finding | undefined;
  readonly words: string;
}

/** A run by itself: what it compares, and everything that makes it no good blocked run. */
export interface Run {
  readonly trial: Trial;
  readonly unit: "port" | "tower";
  readonly treatments: readonly string[];
  readonly refusal: { readonly why: string; readonly offer: string } | undefined;
  readonly compared: Compared | undefined;
  /** The reading in words. */
  readonly words: string;
  /** Sentences; none for a good run. */
  readonly faults: readonly string[];
}

/** Reads one run by itself. The day of the edition is today. */
export function runOf(library: Library, trial: Trial): Run {
  const { fields } = trial;
  const unit = fields.through === "feed" ? "tower" : "port";
  const treatments = treatmentsOf(trial);
  const [first = "", second = ""] = treatments;
  const run = { trial, unit, treatments } as const;
  const spoilt = fields.spoilt === undefined ? [] : [faults.spoilt(fields.spoilt)];
  const stopped = (words: string, fault: string, refusal?: Run["refusal"]): Run => ({
    ...run,
    refusal,
    compared: undefined,
    words,
    faults: [fault, ...spoilt],
  });
  if (library.book.fields.edition < fields.stop) return stopped(unsettled.running, faults.running(fields.stop));
  if (!treatments.some((treatment) => measuredOf(trial, treatment).length > 0))
    return stopped(unsettled.none, faults.unmeasured);
  if (fields.waiting !== undefined) return stopped(unsettled.running, faults.waiting(fields.waiting));
  if (treatments.length !== 2) return stopped(unsettled.refused, faults.treatments(treatments));
  const refusal = refusalOf(library, trial, [first, second]);
  if (refusal) return stopped(unsettled.refused, refusal.why, refusal);
  const short = lackingIn(trial, [first, second]);
  const full = Object.keys(blocksOf(fields)).length - short.length;
  if (full < 2) return { ...stopped(unsettled.few, faults.few(full)), faults: [faults.few(full), ...short, ...spoilt] };
  if (full > most) return stopped(unsettled.many, faults.many(full));
  const compared = comparedIn(library, [trial]);
  if (!compared) return stopped(unsettled.refused, faults.worthwhile);
  const few = full < fewest ? [faults.few(full)] : [];
  const flat = full >= fewest && !compared.interval ? [faults.flat] : [];
  return {
    ...run,
    refusal: undefined,
    compared,
    words: compared.words,
    faults: [...few, ...flat, ...short, ...spoilt],
  };
}

/** Blocks that a comparison needs, and the most that it takes. */
export const fewest = 4;
export const most = 20;

/** Compares the two treatments over the blocks of these runs, the asking one last; undefined when the records leave it open. */
export function comparedIn(library: Library, runs: readonly Trial[]): Compared | undefined {
  const comparison = sumOf(library, "paired-blocks", { trials: runs });
  const { answer, refusal } = comparison.outcome;
  const mean = answer.meanDifference;
  const { worthwhile } = comparison.input;
  if (refusal || typeof mean !== "number" || typeof worthwhile !== "number") return undefined;
  const { low, high, blocks } = answer;
  const finding = (answer.words ?? undefined) as Finding | undefined;
  return {
    comparison,
    losses: runs.at(-1)!.fields.through === "feed" ? undefined : sumOf(library, "two-shares", { trials: runs }),
    blocks: blocks as number,
    mean,
    interval: typeof low === "number" && typeof high === "number" ? { low, high } : undefined,
    worthwhile,
    finding,
    words: finding ? findings[finding] : (blocks as number) < fewest ? unsettled.few : unsettled.flat,
  };
}

/** Plants of one treatment that died, and how many count, over several runs. */
export function lossesOf(runs: readonly Trial[], treatment: string): { readonly died: number; readonly of: number } {
  const all = runs.flatMap(({ fields }) =>
    Object.values(blocksOf(fields)).flatMap((treatments) => treatments[treatment] ?? []),
  );
  return { died: all.filter((value) => value === "died").length, of: all.length };
}

/** The better of two treatments, when the interval says which. */
export function betterOf({ finding }: Compared, [first, second]: readonly string[]): string | undefined {
  if (finding === "better enough" || finding === "better, size not settled") return first;
  return finding === "worse" ? second : undefined;
}

/** A number of a worksheet's answer, or undefined where it gives none. */
export function answered(sum: Sum, name: string): number | undefined {
  const value = sum.outcome.answer[name];
  return typeof value === "number" ? value : undefined;
}

type Two = readonly [first: string, second: string];

/** What makes the plants, or the towers, no answers of their own. */
function refusalOf(library: Library, trial: Trial, [a, b]: Two): Run["refusal"] {
  const { fields } = trial;
  const blocks = Object.entries(blocksOf(fields));
  const both = blocks.filter(([, has]) => a in has && b in has);
  const stood = [a, b]
    .map((treatment) => {
      const had = blocks.filter(([, has]) => treatment in has);
      return refusals.towersOf(
        treatment,
        had.map(([block]) => block),
        had.reduce((sum, [, has]) => sum + has[treatment]!.length, 0),
      );
    })
    .join(", ");
  if (fields.through === "feed") {
    const isolated = fields.isolated ?? 0;
    const needed = 2 * Math.max(fewest, both.length);
    const offer = refusals.offerFeed({ towers: needed, a, b });
    const towers = towersIn(library);
    const shared = both.map(([block]) => block).filter((block) => towers.has(block));
    if (shared.length > 0) return { why: refusals.shared(shared), offer };
    if (isolated < (both.length > 0 ? 2 * both.length : needed))
      return { why: refusals.feed({ isolated, needed, towers: stood }), offer };
    if (both.length === 0) return { why: refusals.unpaired(stood), offer };
  } else if (both.length === 0) {
    return { why: refusals.alone(stood), offer: refusals.offerPlant({ blocks: fewest, a, b }) };
  }
  if (both.length === 1)
    return {
      why: refusals.one(both[0]![0]),
      offer:
        fields.through === "feed"
          ? refusals.offerFeed({ towers: 2 * fewest, a, b })
          : refusals.offerPlant({ blocks: fewest, a, b }),
    };
  return undefined;
}

/** Blocks where nothing of one treatment is measured, each with the reason. */
function lackingIn({ fields }: Trial, two: Two): readonly string[] {
  return Object.entries(blocksOf(fields)).flatMap(([block, has]) =>
    two
      .filter((treatment) => !(has[treatment] ?? []).some((value) => value !== "died"))
      .slice(0, 1)
      .map((treatment) => (treatment in has ? faults.gone(block, treatment) : faults.lacking(block, treatment))),
  );
}

function towersIn({ gear }: Library): ReadonlySet<string> {
  return new Set(
    [...gear.values()].flatMap(({ id, fields }) => (fields.kind === "tower" ? towerNames(id, fields) : [])),
  );
}
