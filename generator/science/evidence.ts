import { wholeUp } from "./counting.ts";
import { tQuantile } from "./distributions.ts";
import type { In } from "./units.ts";

/** Mean and standard deviation, with n − 1, of some numbers; the deviation is undefined for one. */
export interface Summary {
  readonly n: number;
  readonly mean: number;
  readonly sd: number | undefined;
}

/**
 * Mean and standard deviation of one or more numbers: the mean first, as a step from the first number, then the squares
 * about it, so that large numbers with a small spread keep it.
 * @see Chan, Golub and LeVeque 1983, The American Statistician 37:242–247, two-pass algorithm on shifted data
 */
export function summaryOf(values: readonly number[]): Summary {
  const [first] = values;
  if (first === undefined) throw new RangeError("Unexpected no values, expected one or more");
  const n = values.length;
  const mean = first + total(values.map((value) => value - first)) / n;
  const squares = total(values.map((value) => (value - mean) ** 2));
  return { n, mean, sd: n < 2 ? undefined : Math.sqrt(squares / (n - 1)) };
}

/** The middle value, or the mean of the middle two. */
export function medianOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  const high = sorted[Math.floor(middle)];
  if (high === undefined) throw new RangeError("Unexpected no values, expected one or more");
  return sorted.length % 2 === 1 ? high : sorted[middle - 1]! / 2 + high / 2;
}

/**
 * Both ends of the 95 % interval of a mean: mean ± t(0.975, n − 1)·SD/√n, n at least 2.
 * @see Student 1908, Biometrika 6:1–25
 */
export function meanInterval({ n, mean, sd }: Required<Summary>): { low: number; high: number } {
  const half = (tQuantile(0.975, n - 1) * sd!) / Math.sqrt(n);
  return { low: mean - half, high: mean + half };
}

/**
 * Share of all 2ⁿ choices of sign for which the mean of the differences is at least as far from 0 as it is.
 * At most 20 differences. Cannot be below 2/2ⁿ: with five pairs or fewer, not below 0.05.
 * @see Fisher 1935, The Design of Experiments, section 21
 */
export function signFlip(differences: readonly number[]): number {
  const n = differences.length;
  if (n < 1 || n > 20) throw new RangeError(`Unexpected ${n} differences, expected 1 to 20`);
  const size = total(differences.map(Math.abs)) / n;
  const observed = Math.abs(total(differences)) / n - 1e-12 * Math.max(1, size);
  const asFar = (index: number, sum: number): number => {
    const difference = differences[index];
    if (difference === undefined) return Math.abs(sum) / n >= observed ? 1 : 0;
    return asFar(index + 1, sum + difference) + asFar(index + 1, sum - difference);
  };
  return asFar(0, 0) / 2 ** n;
}

export type Finding =
  | "better enough"
  | "same"
  | "worse"
  | "better, size not settled"
  | "not better by enough"
  | "cannot tell";

/** What an interval of a difference says, where `worthwhile` is the least difference that matters, above 0. */
export function findingOf({ low, high }: { low: number; high: number }, worthwhile: number): Finding {
  if (low > worthwhile) return "better enough";
  if (low > -worthwhile && high < worthwhile) return "same";
  if (high < 0) return "worse";
  if (low > 0) return "better, size not settled";
  return high < worthwhile ? "not better by enough" : "cannot tell";
}

/**
 * Chance, were both shares the same, of a table as unlikely as this one or more so: Fisher's exact test, two-sided.
 * Tables as probable as the observed to within 1e-7 count.
 * @see Fisher 1935, The Design of Experiments, chapter 2; Journal of the Royal Statistical Society 98:39–82
 */
export function fisherExact(a: Share, b: Share): number {
  const good = a.good + b.good;
  const low = Math.max(0, good - b.total);
  const high = Math.min(good, a.total);
  // Chances relative to the most probable table, outwards from it: no factorials, nothing to overflow.
  const mode = Math.min(high, Math.max(low, Math.floor(((good + 1) * (a.total + 1)) / (a.total + b.total + 2))));
  const step = (x: number) => ((a.total - x) * (good - x)) / ((x + 1) * (b.total - good + x + 1));
  const chances = new Float64Array(high - low + 1);
  chances[mode - low] = 1;
  for (let x = mode; x < high; x++) chances[x + 1 - low] = chances[x - low]! * step(x);
  for (let x = mode; x > low; x--) chances[x - 1 - low] = chances[x - low]! / step(x - 1);
  const limit = chances[a.good - low]! * (1 + 1e-7);
  return Math.min(1, total(chances.filter((chance) => chance <= limit)) / total(chances));
}

/** The share of failures that none in `n` does not rule out, at 95 %: the rule of three, 3 ÷ n, and exactly. Shares of 1. */
export function failuresUnseen(n: number): { rule: number; exact: number } {
  return { rule: 3 / n, exact: -Math.expm1(Math.log(0.05) / n) };
}

interface Trial {
  readonly design: "groups" | "pairs";
  /** Coefficient of variation, or for pairs the standard deviation of the differences. */
  readonly spread: In<"%">;
}

/**
 * How many to a group, or pairs, show a difference with 80 % power, two-sided at 5 %; at least 2.
 * By the normal approximation, so add 2 when it is few.
 */
export function trialSize({ design, spread, difference }: Trial & { difference: In<"%"> }): number {
  return Math.max(2, wholeUp(sides[design] * ((certainty * spread) / difference) ** 2));
}

/** The difference [%] that so many to a group, or pairs, would show; the inverse of {@link trialSize}. */
export function detectable({ design, spread, each }: Trial & { each: number }): In<"%"> {
  return certainty * spread * Math.sqrt(sides[design] / each);
}

export interface Pooled {
  readonly mean: number;
  readonly n: number;
  readonly low: number;
  readonly high: number;
}

/** Two records as one: means weighted by n, and the widest ends; ranges are never averaged. */
export function pooled(old: Pooled, added: Pooled): Pooled {
  const n = old.n + added.n;
  // As a step from the old mean, so that equal means stay exactly equal.
  const mean = old.mean + ((added.mean - old.mean) * added.n) / n;
  return { mean, n, low: Math.min(old.low, added.low), high: Math.max(old.high, added.high) };
}

/** A mean that nineteen in twenty such trials would not overstate: mean − t(0.95, n − 1)·SD/√n, n at least 2. */
export function safeMean({ mean, sd, n }: { mean: number; sd: number; n: number }): { safe: number; t: number } {
  const t = tQuantile(0.95, n - 1);
  return { safe: mean - (t * sd) / Math.sqrt(n), t };
}

/** z of 97.5 % and of 80 %, to two places as tables print them. */
const certainty = 1.96 + 0.84;

const sides = { groups: 2, pairs: 1 } as const;

interface Share {
  readonly good: number;
  readonly total: number;
}

function total(values: Iterable<number>): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
}
