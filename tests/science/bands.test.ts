import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fewestGroups, meet, narrower, overlap } from "../../generator/science/bands.ts";
import type { Span } from "../../generator/science/units.ts";

const band = (low: number, high: number) => ({ low, high });

/** Crops with bands to 0.1, as growers write them. */
const span = (most: number) =>
  fc
    .tuple(fc.integer({ min: 0, max: most }), fc.integer({ min: 0, max: most }))
    .map(([one, other]) => band(Math.min(one, other) / 10, Math.max(one, other) / 10));
const crops = (most: number) => fc.array(fc.record({ ec: span(30), ph: span(20) }), { minLength: 1, maxLength: most });

describe("overlap", () => {
  it("of nine leafy crops is EC 1.2–1.4, by hand: highest low and lowest high", () => {
    const ec = [
      [1.2, 2.2],
      [1.2, 2.3],
      [1.0, 1.5],
      [1.2, 2.0],
      [1.0, 1.6],
      [1.0, 1.6],
      [0.8, 1.4],
      [0.8, 1.8],
      [1.0, 2.0],
    ];
    const { shared } = overlap(ec.map(([low, high]) => band(low!, high!)));
    expect(shared).toEqual({ low: 1.2, high: 1.4 });
    expect(narrower(shared!, 0.2)).toBe(false);
  });

  it("names who clashes and by how much: lettuce to 1.4, dwarf tomato from 2.0", () => {
    const { shared, gap, clash } = overlap([band(0.8, 1.4), band(2, 3)]);
    expect(shared).toBeUndefined();
    expect(gap).toBeCloseTo(0.6, 9);
    expect(clash).toEqual([1, 0]);
  });

  it("names the first of equals", () => {
    expect(overlap([band(2, 3), band(2, 4), band(0, 1), band(0.5, 1)]).clash).toEqual([0, 2]);
  });

  it("compares to 0.01, so that bands meet at a hair's breadth", () => {
    expect(overlap([band(1, 1.4), band(1.404, 2)]).shared).toEqual({ low: 1.4, high: 1.4 });
    expect(overlap([band(1, 1.4), band(1.41, 2)]).shared).toBeUndefined();
    expect(meet(band(0.1, 0.1 + 0.2), band(0.3, 1))).toBe(true);
  });
});

describe("fewestGroups", () => {
  const groupMeets = (group: readonly { readonly ec: Span; readonly ph: Span }[]) =>
    overlap(group.map(({ ec }) => ec)).shared !== undefined && overlap(group.map(({ ph }) => ph)).shared !== undefined;

  it("needs two lines for lettuce and dwarf tomato", () => {
    const ph = band(5.5, 6.5);
    expect(
      fewestGroups([
        { ec: band(0.8, 1.4), ph },
        { ec: band(2, 3), ph },
      ]),
    ).toEqual([[0], [1]]);
  });

  it("is exact: as few as the best of every grouping of up to eight crops", () => {
    fc.assert(
      fc.property(crops(8), (all) => {
        let fewest = all.length;
        for (const groups of groupings(all.map((_, index) => index))) {
          if (groups.length < fewest && groups.every((group) => groupMeets(group.map((at) => all[at]!)))) {
            fewest = groups.length;
          }
        }
        expect(fewestGroups(all)).toHaveLength(fewest);
      }),
      { numRuns: 60 },
    );
  });

  it("is exact for twelve crops: no fewer groups can be filled, tried group by group", () => {
    fc.assert(
      fc.property(fc.array(fc.record({ ec: span(30), ph: span(20) }), { minLength: 12, maxLength: 12 }), (all) => {
        const found = fewestGroups(all);
        expect(canFill(all, found.length)).toBe(true);
        expect(canFill(all, found.length - 1)).toBe(false);
      }),
      { numRuns: 30 },
    );
  });

  it("puts every crop into one group whose bands meet", () => {
    fc.assert(
      fc.property(crops(20), (all) => {
        const groups = fewestGroups(all);
        expect(groups.flat().sort((a, b) => a - b)).toEqual(all.map((_, index) => index));
        for (const group of groups) expect(groupMeets(group.map((at) => all[at]!))).toBe(true);
      }),
    );
  });

  /** Whether crops fit into `most` groups, each crop tried in every group that it meets: exhaustive. */
  function canFill(all: readonly { readonly ec: Span; readonly ph: Span }[], most: number): boolean {
    const groups: (typeof all)[number][][] = [];
    const fill = (next: number): boolean => {
      if (next === all.length) return true;
      for (const group of groups) {
        group.push(all[next]!);
        if (groupMeets(group) && fill(next + 1)) return true;
        group.pop();
      }
      if (groups.length >= most) return false;
      groups.push([all[next]!]);
      if (fill(next + 1)) return true;
      groups.pop();
      return false;
    };
    return fill(0);
  }
});

/** Every way to part a list into groups. */
function* groupings(items: readonly number[]): Generator<number[][]> {
  const [first, ...rest] = items;
  if (first === undefined) {
    yield [];
    return;
  }
  for (const groups of groupings(rest)) {
    yield [[first], ...groups];
    for (let at = 0; at < groups.length; at++) {
      yield groups.map((group, index) => (index === at ? [first, ...group] : group));
    }
  }
}
