/** Tosses that anyone can draw again from the number that they began with. */
export interface Coin {
  /** The items in an order drawn by lot, every order as likely. */
  shuffled<Item>(items: readonly Item[]): readonly Item[];
}

/** A coin from a whole number of 1 to {@link largest}; the first ten draws are thrown away, so that like numbers part. */
export function coin(number: number): Coin {
  const draw = draws(number);
  for (let thrown = 0; thrown < 10; thrown++) draw();
  return {
    shuffled<Item>(items: readonly Item[]): readonly Item[] {
      // Fisher and Yates 1938, Statistical Tables, as a running exchange from the end.
      const order = [...items];
      for (let last = order.length - 1; last > 0; last--) {
        const other = Math.floor((draw() / modulus) * (last + 1));
        [order[last], order[other]] = [order[other]!, order[last]!];
      }
      return order;
    },
  };
}

/**
 * Whole numbers of 1 to {@link largest}, each 48271 times the one before, less all whole moduli: 2³¹ − 1 is the modulus.
 * @see Park, Miller and Stockmeyer 1993, Communications of the ACM 36(7):108–110; ISO/IEC 14882 `minstd_rand`
 * @throws RangeError for a first number that is not one of them
 */
export function draws(first: number): () => number {
  if (!Number.isInteger(first) || first < 1 || first > largest)
    throw new RangeError(`Unexpected ${first}, expected a whole number of 1 to ${largest}`);
  let state = first;
  return () => {
    // At most 48271 × 2³¹, which is below 2⁵³: exact.
    state = (state * 48_271) % modulus;
    return state;
  };
}

const modulus = 2 ** 31 - 1;

/** The largest number that a coin may begin with. */
export const largest = modulus - 1;
