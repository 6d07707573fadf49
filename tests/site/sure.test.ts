import { describe, expect, it } from "vitest";
import type { Figures } from "../../site/figures.ts";
import { shareOf, shares, weakestCrops } from "../../site/sure.ts";

describe("shares", () => {
  it("add up every kind of record, the strongest basis first", () => {
    const rows = [
      {
        kind: "crops",
        figures: 5,
        byBasis: [
          { basis: "memory", count: 3 },
          { basis: "published", count: 2 },
        ],
      },
      { kind: "feeds", figures: 4, byBasis: [{ basis: "memory", count: 4 }] },
    ] as const;
    expect(shares(rows.map((row) => ({ ...row, byBasis: [...row.byBasis] })))).toEqual([
      { basis: "published", count: 2 },
      { basis: "own-trial", count: 0 },
      { basis: "common-practice", count: 0 },
      { basis: "memory", count: 7 },
      { basis: "demo", count: 0 },
    ]);
  });
});

describe("shareOf", () => {
  it.each([
    [0, 10, "–"],
    [0, 0, "–"],
    [1, 1000, "< 1 %"],
    [1, 8, "13 %"],
    [999, 1000, "99 %"],
    [10, 10, "100 %"],
  ])("says %i of %i as %s: neither nothing nor all by rounding", (count, whole, text) =>
    expect(shareOf(count, whole)).toBe(text),
  );
});

describe("weakestCrops", () => {
  const crop = (name: string, ...bases: Figures[string]["basis"][]) => {
    const figures = bases.map((basis, index) => {
      const path = `p${index}`;
      return [path, { path, label: path, text: "1", unit: "", low: 1, high: 1, basis, cited: [] }] as const;
    });
    return { id: name.toLowerCase(), name, figures: Object.fromEntries(figures) };
  };

  it("puts the most guesses first, equal ones by name, and leaves out crops without any", () => {
    const crops = [
      crop("Sage", "memory", "published"),
      crop("Dill", "memory", "memory"),
      crop("Basil", "memory"),
      crop("Mint", "published", "common-practice"),
    ];
    expect(weakestCrops(crops, 10)).toEqual([
      { id: "dill", name: "Dill", guessed: 2, figures: 2 },
      { id: "basil", name: "Basil", guessed: 1, figures: 1 },
      { id: "sage", name: "Sage", guessed: 1, figures: 2 },
    ]);
    expect(weakestCrops(crops, 1).map(({ id }) => id)).toEqual(["dill"]);
  });
});
