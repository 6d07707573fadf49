import type { TreatmentReading } from "../evidence.ts";
import { answered, type Compared, lossesOf, type Run } from "./run.ts";
import type { Stood } from "./standing.ts";
import { lines } from "./words.ts";

/** A reading in sentences: losses first, then size with its interval, then cautions. */
export function linesOf(run: Run, { runs, together }: Stood, groups: readonly TreatmentReading[]): readonly string[] {
  const { compared, trial } = run;
  const { incidents = [], worthwhile } = trial.fields;
  const [a = "", b = ""] = run.treatments;
  return [
    ...losses(run, groups),
    ...(compared ? [size(run, compared, 1), lines.words(a, b, compared.words, worthwhile)] : []),
    ...(compared?.finding === "cannot tell" ? [lines.unproven] : []),
    ...(together
      ? [
          lines.together(runs.slice(0, -1).map(({ id }) => id)) +
            size(run, together, runs.length) +
            togetherLost(run, together, runs),
          lines.wordsTogether(together.words),
        ]
      : []),
    ...groups.flatMap(reasons),
    ...incidents.map((text) => lines.incident(text)),
  ];
}

function losses({ compared }: Run, groups: readonly TreatmentReading[]): readonly string[] {
  const counted = groups.filter(({ measured, died }) => measured + died > 0);
  if (counted.length === 0) return [];
  const parts = counted.map(({ treatment, died, measured, lost }) =>
    lines.lost(treatment, { died, of: died + measured }, lost),
  );
  const p = compared?.losses && answered(compared.losses, "fisherP");
  return [lines.losses([...parts, ...(p === undefined ? [] : [lines.alike(p)])])];
}

/** What was lost in all runs together. */
function togetherLost(run: Run, { losses: sum }: Compared, runs: Stood["runs"]): string {
  const parts = run.treatments.map((treatment) => lines.lost(treatment, lossesOf(runs, treatment), undefined));
  const p = sum && answered(sum, "fisherP");
  return ` ${lines.losses([...parts, ...(p === undefined ? [] : [lines.alike(p)])])}`;
}

function size({ treatments: [a = "", b = ""] }: Run, { comparison, mean, interval, blocks }: Compared, runs: number) {
  const percent = answered(comparison, "percentOfB");
  return `${lines.size({ a, b, mean, percent })}${interval ? lines.interval(interval.low, interval.high) : ""}${lines.blocks(blocks, runs)}`;
}

function reasons({ treatment, deaths, excluded }: TreatmentReading): readonly string[] {
  const died = deaths.map(({ block, plants, reason }) => `${plants} in ${block}, ${lower(reason)}`);
  const left = excluded.map(({ block, port, reason }) => `${port ? `${port} of ` : ""}${block}, ${lower(reason)}`);
  return [
    ...(died.length > 0 ? [lines.died(treatment, died)] : []),
    ...(left.length > 0 ? [lines.left(treatment, left)] : []),
  ];
}

/** A reason behind a comma starts small, unless its first word is a name or a sign of its own. */
function lower(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text;
}
