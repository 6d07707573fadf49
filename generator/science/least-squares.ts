/**
 * The x ≥ 0 that brings Σ columns[j]·x[j] nearest to `target` in the sum of squares.
 * Exact: it ends where no zero entry would help by growing and every other entry is at its best.
 * Columns may lean on one another; give each a small row of its own (a ridge) when the answer must be unique.
 * @see Lawson and Hanson (1974), Solving Least Squares Problems, chapter 23, algorithm NNLS.
 */
export function nonNegativeLeastSquares(columns: readonly Column[], target: Column): number[] {
  const answer = new Array<number>(columns.length).fill(0);
  const lengths = columns.map((column) => Math.sqrt(dot(column, column)));
  const barred = new Set<number>();
  let inside: number[] = [];
  let factors = factorise([], target);
  let rest: Column = target;
  const least = 1e-13 * Math.sqrt(dot(rest, rest));

  // Each round lowers the sum of squares, so no set comes twice; the bound only guards against rounding.
  for (let round = 0; round < 10 * columns.length + 10; round++) {
    let entering = -1;
    let gain = least;
    for (const [index, column] of columns.entries()) {
      if (answer[index]! > 0 || barred.has(index) || lengths[index] === 0) continue;
      const gained = dot(column, rest) / lengths[index]!;
      if (gained > gain) [entering, gain] = [index, gained];
    }
    if (entering < 0) break;

    factors.add(columns[entering]!);
    let trial = factors.solve();
    if (!(trial.at(-1)! > 0)) {
      barred.add(entering);
      factors = factorise(pick(columns, inside), target);
      continue;
    }
    barred.clear();
    inside.push(entering);
    while (trial.some((value) => !(value > 0))) {
      const { step, leaving } = stepTo(trial, answer, inside);
      for (const [place, index] of inside.entries()) answer[index]! += step * (trial[place]! - answer[index]!);
      answer[leaving] = 0;
      for (const index of inside) if (!(answer[index]! > 0)) answer[index] = 0;
      inside = inside.filter((index) => answer[index]! > 0);
      factors = factorise(pick(columns, inside), target);
      trial = factors.solve();
    }
    for (const [place, index] of inside.entries()) answer[index] = trial[place]!;
    rest = residual(columns, target, answer, inside);
  }
  return answer;
}

/**
 * The x that brings Σ columns[j]·x[j] nearest to `target`, of any sign. A column that adds nothing to those before it gets 0.
 */
export function leastSquares(columns: readonly Column[], target: Column): number[] {
  return factorise(columns, target).solve();
}

/**
 * Columns brought to a triangle by Householder reflections, one at a time, and the target with them.
 * @see Golub and Van Loan (2013), Matrix Computations, algorithm 5.3.2.
 */
function factorise(columns: readonly Column[], target: Column) {
  const side = target.slice();
  const triangle: number[][] = [];
  const axes: Axis[] = [];
  const add = (column: Column): void => {
    const work = column.slice();
    const from = triangle.length;
    for (const axis of axes) reflect(work, axis);
    const below = from < work.length ? Math.sqrt(dotFrom(from, work, work)) : 0;
    const head = below > 1e-15 * Math.sqrt(dot(column, column)) ? (work[from]! > 0 ? -below : below) : 0;
    const normal = work.slice();
    normal[from]! -= head;
    const axis = { normal, from, squared: -head * normal[from]! };
    work[from] = head;
    axes.push(axis);
    reflect(side, axis);
    triangle.push(work);
  };
  const solve = (): number[] => {
    const answer = new Array<number>(triangle.length).fill(0);
    for (let place = triangle.length - 1; place >= 0; place--) {
      const head = triangle[place]![place]!;
      if (head === 0) continue;
      let value = side[place]!;
      for (let later = place + 1; later < triangle.length; later++) value -= triangle[later]![place]! * answer[later]!;
      answer[place] = value / head;
    }
    return answer;
  };
  for (const column of columns) add(column);
  return { add, solve };
}

/** A plane to mirror in, by the vector that stands on it from row `from` down. */
interface Axis {
  readonly normal: readonly number[];
  readonly from: number;
  /** Half of the vector's squared length; 0 leaves everything where it is. */
  readonly squared: number;
}

type Column = readonly number[];

function reflect(other: number[], { normal, from, squared }: Axis): void {
  if (squared === 0) return;
  const scale = dotFrom(from, normal, other) / squared;
  for (let row = from; row < other.length; row++) other[row]! -= scale * normal[row]!;
}

/** How far towards `trial` no entry turns negative, and the entry that gets to 0 there. */
function stepTo(trial: Column, answer: Column, inside: readonly number[]) {
  let step = Number.POSITIVE_INFINITY;
  let leaving = inside[0]!;
  for (const [place, index] of inside.entries()) {
    if (trial[place]! > 0) continue;
    const reach = answer[index]! / (answer[index]! - trial[place]!);
    if (reach < step) [step, leaving] = [reach, index];
  }
  return { step, leaving };
}

function residual(columns: readonly Column[], target: Column, answer: Column, inside: readonly number[]): number[] {
  const rest = target.slice();
  for (const index of inside) {
    const column = columns[index]!;
    for (let row = 0; row < rest.length; row++) rest[row]! -= column[row]! * answer[index]!;
  }
  return rest;
}

function dot(a: Column, b: Column): number {
  return dotFrom(0, a, b);
}

function dotFrom(from: number, a: Column, b: Column): number {
  let sum = 0;
  for (let row = from; row < a.length; row++) sum += a[row]! * b[row]!;
  return sum;
}

function pick(columns: readonly Column[], places: readonly number[]): readonly Column[] {
  return places.map((place) => columns[place]!);
}
