import fc from "fast-check";

/** One part of the program and made-up input for it. */
export interface Target<Case = unknown> {
  readonly name: string;
  /** Its part of all cases, beside the other targets; a slow one has a small one. */
  readonly share: number;
  readonly cases: fc.Arbitrary<Case>;
  /** Puts one case to the program. @throws Error when a promise is broken */
  readonly hold: (one: Case) => void | Promise<void>;
}

/** A target of any kind of case, for lists of them. */
export function target<Case>(definition: Target<Case>): Target {
  return definition as unknown as Target;
}

/** What came of trying a target. */
export interface Tried {
  readonly name: string;
  readonly cases: number;
  /** A failure each: the case at its shortest, what broke, and the seed of the run that has it again. */
  readonly failures: readonly { readonly seed: number; readonly cases: number; readonly said: string }[];
}

/** At most so many seconds of work for one case. */
export const limit = 5;

/** Cases in one run; each run has a seed of its own, so that a failure does not end the search. */
export const run = 500;

/** Tries so many cases of a target, in runs whose seeds follow one another; tells after each how many it was. */
export async function tried(
  { name, cases, hold }: Target,
  wanted: number,
  seed: number,
  tell: (done: number) => void = () => {},
): Promise<Tried> {
  const failures: { seed: number; cases: number; said: string }[] = [];
  let count = 0;
  for (let index = 0; count < wanted; index++) {
    const numRuns = Math.min(run, wanted - count);
    const property = fc.asyncProperty(cases, async (one) => {
      const start = process.threadCpuUsage();
      await hold(one);
      const { user, system } = process.threadCpuUsage(start);
      const seconds = (user + system) / 1e6;
      if (seconds > limit) throw new Error(`One case took ${seconds.toFixed(1)} s`);
    });
    const result = await fc.check(property, { numRuns, seed: seed + index, interruptAfterTimeLimit: 120_000 });
    count += numRuns;
    tell(count);
    if (!result.failed && !result.interrupted) continue;
    const why = result.errorInstance instanceof Error ? (result.errorInstance.stack ?? "") : "too slow";
    const said = `${fc.stringify(result.counterexample).slice(0, 2000)}\n${why.split("\n").slice(0, 8).join("\n").slice(0, 2000)}`;
    failures.push({ seed: seed + index, cases: numRuns, said });
  }
  return { name, cases: count, failures };
}

/** How many cases of all each target gets. */
export function shared(targets: readonly Target[], all: number): ReadonlyMap<string, number> {
  const sum = targets.reduce((total, { share }) => total + share, 0);
  return new Map(targets.map(({ name, share }) => [name, Math.ceil((all * share) / sum)]));
}
