/**
 * Chance that a standard normal deviate is at most `z`.
 * @see Abramowitz and Stegun 1964, 26.2.11 (series) and 26.2.14 (continued fraction, for the tail)
 */
export function normalCumulative(z: number): number {
  if (z > 0) return 1 - normalCumulative(-z);
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  if (z > -4) {
    let term = z;
    let sum = z;
    for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
      term *= (z * z) / k;
      sum += term;
    }
    return 0.5 + density * sum;
  }
  let fraction = -z;
  for (let k = 60; k > 0; k--) fraction = -z + k / fraction;
  return density / fraction;
}

/** The z below which a standard normal deviate stays with chance `p`, above 0 and below 1. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`Unexpected chance ${p}, expected above 0 and below 1`);
  if (p > 0.5) return -normalQuantile(1 - p);
  return rootOf((z) => normalCumulative(z) - p, -40, 0);
}

/**
 * Chance that Student's t with `freedom` degrees of freedom, above 0, is at most `t`.
 * @see Abramowitz and Stegun 1964, 26.7.1 with 26.5.27; Student 1908, Biometrika 6:1–25
 */
export function tCumulative(t: number, freedom: number): number {
  positive(freedom);
  const square = t * t;
  const tail =
    square < freedom
      ? 0.5 * (1 - betaShare(square / (freedom + square), 0.5, freedom / 2))
      : 0.5 * betaShare(freedom / (freedom + square), freedom / 2, 0.5);
  return t > 0 ? 1 - tail : tail;
}

/**
 * The t below which Student's t stays with chance `p`, above 0 and below 1.
 * @see Abramowitz and Stegun 1964, 26.7.5, beyond 100 000 degrees of freedom, where its last term is below 1e-19
 */
export function tQuantile(p: number, freedom: number): number {
  positive(freedom);
  if (!(p > 0 && p < 1)) throw new RangeError(`Unexpected chance ${p}, expected above 0 and below 1`);
  if (p === 0.5) return 0;
  if (p < 0.5) return -tQuantile(1 - p, freedom);
  if (freedom > 100_000) {
    const z = normalQuantile(p);
    return z + (z ** 3 + z) / (4 * freedom) + (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * freedom ** 2);
  }
  let high = 1;
  while (tCumulative(high, freedom) < p) high *= 2;
  return rootOf((t) => tCumulative(t, freedom) - p, high === 1 ? 0 : high / 2, high);
}

/**
 * Chance of at least `wanted` in `tries` independent tries of chance `p`, 0 to 1. Relative error below 1e-10
 * for up to a million tries.
 * @see Abramowitz and Stegun 1964, 26.5.24
 */
export function binomialAtLeast(wanted: number, tries: number, p: number): number {
  if (wanted <= 0) return 1;
  if (wanted > tries || p <= 0) return 0;
  if (p >= 1) return 1;
  return betaShare(p, wanted, tries - wanted + 1);
}

/**
 * The regularised incomplete beta function I_x(a, b), 0 ≤ x ≤ 1, by its continued fraction with Lentz's method.
 * @see NIST Digital Library of Mathematical Functions 8.17.22; Press et al. 2007, Numerical Recipes, 6.4
 */
export function betaShare(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaShare(1 - x, b, a);
  const front = Math.exp(a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b)) / a;
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) return front * fraction;
  }
  throw new RangeError(`The beta function of ${x}, ${a}, ${b} does not settle`);
}

/**
 * The logarithm of the gamma function, x above 0: Stirling's series from 12 on, the recurrence below.
 * @see Abramowitz and Stegun 1964, 6.1.41 and 6.1.15
 */
export function logGamma(x: number): number {
  let shift = 1;
  let y = x;
  while (y < 12) shift *= y++;
  const square = y * y;
  const series = (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - 1 / 1188 / square) / square) / square) / square) / y;
  return (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI) + series - Math.log(shift);
}

/** Keeps Lentz's method off zero. */
function away(value: number): number {
  return Math.abs(value) < 1e-300 ? 1e-300 : value;
}

/** Where a rising function crosses zero between `low` and `high`, by halving until neighbouring numbers remain. */
function rootOf(rising: (x: number) => number, low: number, high: number): number {
  let [below, above] = [low, high];
  for (;;) {
    const middle = (below + above) / 2;
    if (middle <= below || middle >= above) return middle;
    if (rising(middle) < 0) below = middle;
    else above = middle;
  }
}

function positive(freedom: number): void {
  if (!(freedom > 0)) throw new RangeError(`Unexpected ${freedom} degrees of freedom, expected more than 0`);
}
