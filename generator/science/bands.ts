import type { MilliSiemens, Span } from "./units.ts";

/** What one crop asks of the feed that it shares. */
export interface FeedBands {
  readonly id: string;
  readonly ec: Span<"mS/cm">;
  readonly ph: Span<"pH">;
}

/** How a set of bands meets: what is shared, or by how much it misses and which two crops are furthest apart. */
export interface Overlap<Unit extends string> {
  /** Undefined when no level suits every crop. */
  readonly shared: Span<Unit> | undefined;
  /** Highest low less lowest high; 0 when the bands meet. */
  readonly gap: number;
  /** Places of the crop with the highest low and of the crop with the lowest high; undefined when the bands meet. */
  readonly clash: readonly [number, number] | undefined;
}

/**
 * The range that every band holds: from the highest low to the lowest high. Ends are compared to 0.01, the resolution
 * of a meter, so that 1.2–1.4 is 0.2 wide. Of equals, the first is named. @throws RangeError without bands.
 */
export function overlap<Unit extends string>(bands: readonly Span<Unit>[]): Overlap<Unit> {
  if (bands.length === 0) throw new RangeError("Unexpected no bands, expected at least one");
  let highestLow = 0;
  let lowestHigh = 0;
  bands.forEach(({ low, high }, place) => {
    if (low > bands[highestLow]!.low) highestLow = place;
    if (high < bands[lowestHigh]!.high) lowestHigh = place;
  });
  const low = bands[highestLow]!.low;
  const high = bands[lowestHigh]!.high;
  if (hundredths(low) > hundredths(high)) {
    return { shared: undefined, gap: low - high, clash: [highestLow, lowestHigh] };
  }
  const shared = low <= high ? { low, high } : { low: hundredths(low) / 100, high: hundredths(high) / 100 };
  return { shared, gap: 0, clash: undefined };
}

/** Whether two bands have a level in common, compared to 0.01. */
export function meet(one: Span, other: Span): boolean {
  return hundredths(Math.max(one.low, other.low)) <= hundredths(Math.min(one.high, other.high));
}

/** Whether a band is narrower than `width`, compared to 0.01. */
export function narrower({ low, high }: Span, width: number): boolean {
  return hundredths(high) - hundredths(low) < hundredths(width);
}

/**
 * The fewest groups of crops such that in each group both the EC and the pH bands meet, as places in `crops`, exact.
 *
 * Crops are boxes in the plane of EC and pH, and a group meets when one point pierces all its boxes. If a point does,
 * so does (highest low EC, highest low pH) of the group; hence the points to try are made of low ends only, and the
 * least number of them that pierces every box is found by trying, with every state remembered. Quick to 20 crops.
 */
export function fewestGroups(crops: readonly Omit<FeedBands, "id">[]): readonly (readonly number[])[] {
  const sets = piercings(crops);
  const everyone = 2 ** crops.length - 1;
  const known = new Map<number, readonly number[]>([[0, []]]);
  const cover = (waiting: number): readonly number[] => {
    const before = known.get(waiting);
    if (before) return before;
    const next = waiting & -waiting;
    let best: readonly number[] | undefined;
    for (const set of undominated(sets.filter((set) => set & next).map((set) => set & waiting))) {
      const rest = cover(waiting & ~set);
      if (!best || rest.length + 1 < best.length) best = [set, ...rest];
    }
    if (!best) throw new RangeError("Unexpected band, expected its low end first");
    known.set(waiting, best);
    return best;
  };
  return cover(everyone).map((set) => crops.flatMap((_, place) => (set & (1 << place) ? [place] : [])));
}

/** For each point of two low ends, the crops that it pierces, one bit a crop. */
function piercings(crops: readonly Omit<FeedBands, "id">[]): readonly number[] {
  const found = new Set<number>();
  for (const { ec } of crops) {
    for (const { ph } of crops) {
      found.add(
        crops.reduce(
          (set, crop, place) => (holds(crop.ec, ec.low) && holds(crop.ph, ph.low) ? set | (1 << place) : set),
          0,
        ),
      );
    }
  }
  return [...found];
}

/** Sets that no other contains; a larger group is never worse. */
function undominated(sets: readonly number[]): readonly number[] {
  const distinct = [...new Set(sets)];
  return distinct.filter((set) => !distinct.some((other) => other !== set && (set & other) === set));
}

function holds({ low, high }: Span, level: MilliSiemens | number): boolean {
  return hundredths(low) <= hundredths(level) && hundredths(level) <= hundredths(high);
}

function hundredths(level: number): number {
  return Math.floor(level * 100 + 0.5 + 1e-9);
}
