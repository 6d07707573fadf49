import { linesOf } from "./evidence/lines.ts";
import { type Proposal, proposalOf } from "./evidence/proposal.ts";
import { answered, type Run, runOf } from "./evidence/run.ts";
import { standingOf } from "./evidence/standing.ts";
import { because } from "./evidence/words.ts";
import type { Sum } from "./figures.ts";
import type { Library } from "./library.ts";
import { aliveSum, blockMeans, blocksOf, measuredOf, treatmentSum } from "./supply/trials.ts";

/** What a trial says: of each treatment, of the one against the other, and how far it goes. */
export interface TrialReading {
  readonly trial: string;
  readonly crop: string;
  /** What was treated apart from the rest: a port, or for all that comes through the feed a whole tower. */
  readonly unit: "port" | "tower";
  /** In the order in which they were first written; a control stands last. */
  readonly groups: readonly TreatmentReading[];
  /** The one treatment against the other, block by block (`paired-blocks`); undefined when it cannot be asked. */
  readonly comparison: Sum | undefined;
  /** Why there is no comparison, or why what stands in it is no answer. */
  readonly uncompared: string | undefined;
  /** Losses of the one and of the other (`two-shares`). */
  readonly losses: Sum | undefined;
  /** This run with those that it repeats, when there are any that can be put together with it. */
  readonly together: Together | undefined;
  /** The reading in words, such as "Better; size not settled". */
  readonly words: string;
  /** Loss first, then size with its interval, then cautions. */
  readonly lines: readonly string[];
  readonly standing: Standing;
  /** Each reason why it is no more than that, in a sentence; none for a change. */
  readonly because: readonly string[];
  /** Why nothing may be worked out from it, and what would do instead, with numbers. */
  readonly refusal: { readonly why: string; readonly offer: string } | undefined;
  /** What the record of the crop would say; undefined for a note, and without a figure that the trial speaks of. */
  readonly proposal: Proposal | undefined;
}

/** How far a result goes: into the crop's record, beside it as a trial figure, or no further than the trial itself. */
export type Standing = "change" | "provisional" | "note";

/** What one treatment's plants showed. */
export interface TreatmentReading {
  readonly treatment: string;
  /** Whether it is what is done now. */
  readonly control: boolean;
  readonly started: number;
  readonly died: number;
  readonly deaths: readonly { readonly block: string; readonly plants: number; readonly reason: string }[];
  readonly excluded: readonly {
    readonly block: string;
    readonly port?: string | undefined;
    readonly value?: number | "died" | undefined;
    readonly reason: string;
  }[];
  readonly measured: number;
  /** Every value by block, those that died among them. */
  readonly values: Readonly<Record<string, readonly (number | "died")[]>>;
  readonly median: number | undefined;
  readonly lowest: number | undefined;
  readonly highest: number | undefined;
  /** From 5 units up. */
  readonly mean: number | undefined;
  /** Plants lost [%] of those that count, with the 95 % interval of Wilson; undefined where the unit is a tower. */
  readonly lost: { readonly percent: number; readonly low: number; readonly high: number } | undefined;
  /** The same, as the worksheet `group-summary` has it, with its basis. */
  readonly summary: Sum;
}

/** Several runs of one question as one. */
export interface Together {
  /** Trial ids, the newest last. */
  readonly runs: readonly string[];
  readonly comparison: Sum;
  readonly losses: Sum | undefined;
  readonly words: string;
}

export type { Proposal };

/** Reads a trial as it stands on the day of the edition. @throws RangeError for a trial that the library does not have. */
export function readTrial(library: Library, id: string): TrialReading {
  const trial = library.trials.get(id);
  if (!trial) throw new RangeError(`There is no trial ${id}`);
  const run = runOf(library, trial);
  const stood = standingOf(library, run);
  const proposal = proposalOf(library, run, stood);
  const groups = run.treatments.map((treatment) => groupOf(library, run, treatment));
  const { compared } = run;
  const { together } = stood;
  return {
    trial: id,
    crop: trial.fields.crop,
    unit: run.unit,
    groups,
    comparison: compared?.comparison,
    uncompared: compared?.interval ? undefined : run.faults[0],
    losses: compared?.losses,
    together: together && {
      runs: stood.runs.map((each) => each.id),
      comparison: together.comparison,
      losses: together.losses,
      words: together.words,
    },
    words: run.words,
    lines: linesOf(run, stood, groups),
    standing: stood.standing,
    because: [
      ...stood.because,
      ...(stood.standing !== "note" && trial.fields.figure === undefined ? [because.figureless] : []),
    ],
    refusal: run.refusal,
    proposal,
  };
}

function groupOf(library: Library, { trial, unit }: Run, treatment: string): TreatmentReading {
  const { deaths = [], excluded = [], control } = trial.fields;
  const summary = treatmentSum(library, trial, treatment);
  const values = Object.fromEntries(
    Object.entries(blocksOf(trial.fields)).flatMap(([block, has]) =>
      has[treatment] ? [[block, has[treatment]] as const] : [],
    ),
  );
  const all = Object.values(values).flat();
  const units = unit === "tower" ? blockMeans(trial, treatment).length : measuredOf(trial, treatment).length;
  const alive = unit === "port" && all.length > 0 ? aliveSum(library, trial, treatment) : undefined;
  return {
    treatment,
    control: treatment === control,
    started: all.length + excluded.filter((plant) => plant.treatment === treatment).length,
    died: all.filter((value) => value === "died").length,
    deaths: deaths.filter((plants) => plants.treatment === treatment).map(({ treatment: _, ...rest }) => rest),
    excluded: excluded.filter((plant) => plant.treatment === treatment).map(({ treatment: _, ...rest }) => rest),
    measured: all.filter((value) => value !== "died").length,
    values,
    median: answered(summary, "median"),
    lowest: answered(summary, "lowest"),
    highest: answered(summary, "highest"),
    mean: units < 5 ? undefined : answered(summary, "mean"),
    lost: alive && {
      percent: 100 - answered(alive, "percentA")!,
      low: 100 - answered(alive, "highA")!,
      high: 100 - answered(alive, "lowA")!,
    },
    summary,
  };
}
