/**
 * The x ≥ 0 that brings Σ columns[j]·x[j] nearest to `target` in the sum of squares.
 * Exact: it ends where no zero entry would help by growing and every other entry is at its best.
 * Columns may lean on one another; give each a small row of its own (a ridge) when the answer must be unique.
 * @see Lawson and Hanson (1974), Solving Least Squares Problems, chapter 23, algorithm NNLS.
 */
export function nonNegativeLeastSquares(columns: readonly Column[], target: Column): number[] {
  const answer = columns.map(() => 0);
  const lengths = columns.map((column) => Math.sqrt(dot(column, column)));
  const least = 1e-13 * Math.sqrt(dot(target, target));
  const barred = new Set<number>();
  let inside: number[] = [];

  // Each round lowers the sum of squares, so no set comes twice; the bound only guards against rounding.
  for (let round = 0; round < 10 * columns.length + 10; round++) {
    const rest = residual(columns, target, answer);
    const gain = (index: number) => dot(columns[index]!, rest) / lengths[index]!;
    const entering = columns
      .map((_, index) => index)
      .filter((index) => !inside.includes(index) && !barred.has(index) && lengths[index]! > 0 && gain(index) > least)
      .reduce<number | undefined>((best, index) => (best === undefined || gain(index) > gain(best) ? index : best), undefined);
    if (entering === undefined) break;

    let trial = leastSquares(pick(columns, [...inside, entering]), target);
    if (!(trial.at(-1)! > 0)) {
      barred.add(entering);
      continue;
    }
    barred.clear();
    inside.push(entering);
    while (trial.some((value) => !(value > 0))) {
      const steps = inside.map((index, place) =>
        trial[place]! > 0 ? Number.POSITIVE_INFINITY : answer[index]! / (answer[index]! - trial[place]!),
      );
      const step = Math.min(...steps);
      const leaving = inside[steps.indexOf(step)]!;
      for (const [place, index] of inside.entries()) answer[index]! += step * (trial[place]! - answer[index]!);
      for (const index of inside) if (index === leaving || !(answer[index]! > 0)) answer[index] = 0;
      inside = inside.filter((index) => answer[index]! > 0);
      trial = leastSquares(pick(columns, inside), target);
    }
    for (const [place, index] of inside.entries()) answer[index] = trial[place]!;
  }
  return answer;
}

/**
 * The x that brings Σ columns[j]·x[j] nearest to `target`, of any sign, by Householder reflections.
 * A column that adds nothing to those before it gets 0.
 * @see Golub and Van Loan (2013), Matrix Computations, algorithm 5.3.2.
 */
export function leastSquares(columns: readonly Column[], target: Column): number[] {
  const rows = target.length;
  const work = columns.map((column) => [...column]);
  const side = [...target];
  const diagonal = work.map((column, place) => {
    const below = Math.hypot(...column.slice(place));
    if (place >= rows || below <= 1e-15 * Math.hypot(...columns[place]!)) return 0;
    const head = column[place]! > 0 ? -below : below;
    column[place]! -= head;
    const squared = -head * column[place]!;
    for (const other of [...work.slice(place + 1), side]) {
      let along = 0;
      for (let row = place; row < rows; row++) along += column[row]! * other[row]!;
      const scale = along / squared;
      for (let row = place; row < rows; row++) other[row]! -= scale * column[row]!;
    }
    return head;
  });
  const answer = columns.map(() => 0);
  for (let place = columns.length - 1; place >= 0; place--) {
    let value = side[place] ?? 0;
    for (let later = place + 1; later < columns.length; later++) value -= work[later]![place]! * answer[later]!;
    answer[place] = diagonal[place] === 0 ? 0 : value / diagonal[place]!;
  }
  return answer;
}

type Column = readonly number[];

function residual(columns: readonly Column[], target: Column, answer: readonly number[]): number[] {
  return target.map((value, row) => columns.reduce((left, column, index) => left - column[row]! * answer[index]!, value));
}

function dot(a: Column, b: Column): number {
  let sum = 0;
  for (let row = 0; row < a.length; row++) sum += a[row]! * b[row]!;
  return sum;
}

function pick(columns: readonly Column[], places: readonly number[]): readonly Column[] {
  return places.map((place) => columns[place]!);
}
