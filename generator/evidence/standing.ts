import type { Library } from "../library.ts";
import { seasonMonth } from "../science/calendar.ts";
import { answered, betterOf, type Compared, comparedIn, lossesOf, most, type Run, runOf, type Trial } from "./run.ts";
import { because, faults } from "./words.ts";

/** A run with the earlier ones that count beside it, and how far they go together. */
export interface Stood {
  readonly standing: "change" | "provisional" | "note";
  readonly because: readonly string[];
  /** The runs that were put together, the asking one last; it alone when no other counts. */
  readonly runs: readonly Trial[];
  /** What they say as one; undefined for a run by itself. */
  readonly together: Compared | undefined;
}

/**
 * How far a run goes. A note: it is no good blocked run. Provisional: it is one. A change: it and one run at least of
 * those that it repeats agree in direction; over the blocks of all of them the interval leaves 0 out and the difference
 * reaches the worthwhile one; losses are no worse; the edible parts are signed for.
 */
export function standingOf(library: Library, run: Run): Stood {
  const alone = { runs: [run.trial], together: undefined };
  const { compared } = run;
  const season = seasonFault(library, run);
  if (!compared || run.faults.length > 0 || season)
    return { ...alone, standing: "note", because: [...run.faults, ...(season ? [season] : [])] };
  const earlier = earlierOf(library, run.trial).map((trial) => runOf(library, trial));
  const unfit = earlier.flatMap((other) => unfitFor(library, run, other) ?? []);
  const good = earlier.filter((other) => unfitFor(library, run, other) === undefined);
  const runs = [...good.map(({ trial }) => trial), run.trial];
  const blocks = [...good, run].reduce((sum, each) => sum + (each.compared?.blocks ?? 0), 0);
  const together = good.length > 0 && blocks <= most ? comparedIn(library, runs) : undefined;
  const signed = run.trial.fields.signed === undefined ? [because.unsigned] : [];
  if (!together) {
    const lone = good.length > 0 ? because.many(blocks) : because.one;
    const reasons = [...unfit, lone, ...shortfalls(run, [run.trial], compared), ...normal(compared), ...signed];
    return { ...alone, standing: "provisional", because: reasons };
  }
  const reasons = [...apart(run, good), ...shortfalls(run, runs, together), ...normal(together), ...signed];
  if (reasons.length === 0) return { runs, together, standing: "change", because: [] };
  return { runs, together, standing: "provisional", because: [...unfit, ...reasons] };
}

/** A treatment that gives more is no gain when it dies more: by Fisher's test under 0.05, or by over 10 points. */
export function harmOf(
  runs: readonly Trial[],
  better: string | undefined,
  { losses }: Pick<Compared, "losses">,
  treatments: readonly string[],
): string | undefined {
  const other = treatments.find((name) => name !== better);
  if (better === undefined || other === undefined) return undefined;
  const [more, less] = [better, other].map((treatment) => {
    const { died, of } = lossesOf(runs, treatment);
    return of === 0 ? 0 : (100 * died) / of;
  }) as [number, number];
  const p = losses && answered(losses, "fisherP");
  const worse = more > less && ((p !== undefined && p < 0.05) || more - less > 10);
  return worse ? because.harm(better, more, other, less, p) : undefined;
}

/** What keeps a difference from being enough, in sentences. */
function shortfalls({ treatments }: Run, runs: readonly Trial[], compared: Compared): readonly string[] {
  const { interval, mean, worthwhile } = compared;
  const zero = interval && interval.low <= 0 && interval.high >= 0 ? [because.zero(interval.low, interval.high)] : [];
  const short = Math.abs(mean) < worthwhile ? [because.short(mean, worthwhile)] : [];
  const harm = harmOf(runs, betterOf(compared, treatments), compared, treatments);
  return [...(harm ? [harm] : []), ...zero, ...short];
}

/** Under six blocks no test that does without a normal shape can go below 0.05. */
function normal({ comparison, blocks }: Compared): readonly string[] {
  return comparison.outcome.answer.provisional === true ? [because.normal(blocks)] : [];
}

function apart(run: Run, good: readonly Run[]): readonly string[] {
  const [first = "", second = ""] = run.treatments;
  const signs = [...good, run].map(({ trial: { id }, treatments, compared }) => ({
    id,
    sign: Math.sign(compared!.mean) * (treatments[0] === first ? 1 : -1),
  }));
  if (signs.every(({ sign }) => sign !== 0 && sign === signs[0]!.sign)) return [];
  return [
    because.apart(
      signs.map(({ id, sign }) => (sign === 0 ? because.none(id) : because.more(id, sign > 0 ? first : second))),
    ),
  ];
}

/** A figure of one season is not read off plants of the other: started April to September is summer, in the north. */
function seasonFault(library: Library, { trial: { fields } }: Run, { fields: grown } = { fields }): string | undefined {
  const season = /\.(summer|winter)$/.exec(fields.figure ?? "")?.[1];
  const month = seasonMonth(Number(grown.started.slice(5, 7)), library.book.fields.latitude);
  const other = month >= 4 && month <= 9 ? "summer" : "winter";
  return season === undefined || season === other ? undefined : faults.season(season, other);
}

/** Why an earlier run cannot stand beside this one; undefined when it can. */
function unfitFor(library: Library, run: Run, other: Run): string | undefined {
  const { id, fields } = other.trial;
  if (other.faults.length > 0) return because.bad(id, other.faults[0]!);
  if (!other.treatments.every((name) => run.treatments.includes(name)))
    return because.unlike(id, because.treatments(other.treatments));
  const { figure, through } = run.trial.fields;
  if (fields.figure !== figure && fields.figure !== undefined) return because.unlike(id, because.figure(fields.figure));
  if (fields.through !== through) return because.unlike(id, because.through);
  const season = seasonFault(library, run, other.trial);
  return season && because.bad(id, season);
}

/** The runs that a trial repeats, and those that they repeat, the newest last. */
function earlierOf(library: Library, trial: Trial): readonly Trial[] {
  const found = new Map<string, Trial>();
  const open = [trial];
  for (let next = open.pop(); next; next = open.pop())
    for (const id of next.fields.repeats ?? []) {
      const earlier = library.trials.get(id);
      if (!earlier || found.has(id) || id === trial.id) continue;
      found.set(id, earlier);
      open.push(earlier);
    }
  return [...found.values()].sort((a, b) => (a.fields.started < b.fields.started ? -1 : 1));
}
