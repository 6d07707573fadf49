/** Rows paired with columns of a square matrix, and the prices that prove it the cheapest. */
export interface Assignment {
  readonly size: number;
  /** The column of each row. */
  readonly columnOf: Int32Array;
  /** The row of each column. */
  readonly rowOf: Int32Array;
  /** Row price + column price ≤ cost everywhere, and equal on the pairs chosen. */
  readonly rowPrice: Float64Array;
  readonly columnPrice: Float64Array;
}

/**
 * The cheapest pairing of every row with a column of its own, exact, or undefined when forbidden pairs leave none.
 * `cost[row * size + column]`; `Infinity` forbids. With `near`, an answer to a similar matrix, only what no longer
 * fits is paired afresh; the answer is as exact.
 * @see R. Jonker, A. Volgenant (1987) A shortest augmenting path algorithm for dense and sparse linear assignment
 * problems, Computing 38, 325–340.
 */
export function assign(cost: Float64Array, size: number, near?: Assignment): Assignment | undefined {
  const pairing: Assignment = {
    size,
    columnOf: new Int32Array(size).fill(-1),
    rowOf: new Int32Array(size).fill(-1),
    rowPrice: new Float64Array(size),
    columnPrice: near ? near.columnPrice.slice() : new Float64Array(size),
  };
  const { columnOf, rowOf, rowPrice, columnPrice } = pairing;
  for (let row = 0; row < size; row++) {
    let least = Infinity;
    for (let column = 0; column < size; column++) {
      least = Math.min(least, cost[row * size + column]! - columnPrice[column]!);
    }
    if (least === Infinity) return undefined;
    rowPrice[row] = least;
    const kept = near ? near.columnOf[row]! : -1;
    if (kept !== -1 && cost[row * size + kept]! - columnPrice[kept]! - least <= tight) {
      columnOf[row] = kept;
      rowOf[kept] = row;
    }
  }
  for (let row = 0; row < size; row++) {
    if (columnOf[row] === -1 && !augment(cost, pairing, row)) return undefined;
  }
  return pairing;
}

/** A reduced cost that is zero but for the last bits. */
const tight = 1e-12;

/** Pairs one more row along the shortest path of re-pairings, and mends the prices; false when no path is left. */
function augment(cost: Float64Array, pairing: Assignment, start: number): boolean {
  const { size, columnOf, rowOf, rowPrice, columnPrice } = pairing;
  const distance = new Float64Array(size).fill(Infinity);
  const from = new Int32Array(size).fill(start);
  const done = new Uint8Array(size);
  let row = start;
  let reached = 0;
  let end = -1;
  while (end === -1) {
    let nearest = -1;
    let least = Infinity;
    for (let column = 0; column < size; column++) {
      if (done[column]) continue;
      const length = reached + (cost[row * size + column]! - rowPrice[row]! - columnPrice[column]!);
      if (length < distance[column]!) {
        distance[column] = length;
        from[column] = row;
      }
      if (distance[column]! < least) {
        least = distance[column]!;
        nearest = column;
      }
    }
    if (nearest === -1) return false;
    reached = least;
    done[nearest] = 1;
    if (rowOf[nearest] === -1) end = nearest;
    else row = rowOf[nearest]!;
  }
  rowPrice[start]! += reached;
  for (let column = 0; column < size; column++) {
    if (!done[column] || column === end) continue;
    const gain = reached - distance[column]!;
    columnPrice[column]! -= gain;
    rowPrice[rowOf[column]!]! += gain;
  }
  for (let column = end; ; ) {
    const owner = from[column]!;
    const previous = columnOf[owner]!;
    columnOf[owner] = column;
    rowOf[column] = owner;
    if (owner === start) return true;
    column = previous;
  }
}
