import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { choose, costOf, costWithout, type Model, type Open } from "../../generator/plan/choose.ts";
import type { Demand } from "../../generator/plan/demands.ts";
import { type Hold, ledger } from "../../generator/plan/places.ts";
import type { Choice } from "../../generator/plan/sowing.ts";
import { loadSearch } from "../../generator/search.ts";

const search = await loadSearch(5000);
const places = { bench: 3, mister: 40, lines: [{ id: "main", crops: ["basil"], ports: 30 }] };
const days = { first: 0, last: 30 };

/** Up to five demands of up to four days to sow each, in a yard that is too small for all of them. */
const hold = (place: string, most: number): fc.Arbitrary<Hold> =>
  fc
    .record({
      amount: fc.integer({ min: 1, max: most }),
      from: fc.integer({ min: 0, max: 25 }),
      length: fc.integer({ min: 1, max: 8 }),
    })
    .map(({ amount, from, length }) => ({ place, amount, from, until: from + length }));
const choice = (sown: number): fc.Arbitrary<Choice> =>
  fc
    .record({
      holds: fc.tuple(hold("bench", 2), hold("mister", 25), hold("main", 20)),
      days: fc.integer({ min: -4, max: 14 }),
      sown: fc.constant(sown),
      ready: fc.constant(sown),
      legs: fc.constant([]),
      line: fc.constant("main"),
    })
    .map(({ days, ...rest }) => ({ ...rest, waits: Math.max(0, days), late: Math.max(0, -days) }));
const open: fc.Arbitrary<Open> = fc.record({
  demand: fc.record({
    units: fc.integer({ min: 1, max: 40 }),
    need: fc.integer({ min: 0, max: 20 }),
    until: fc.integer({ min: 26, max: 30 }),
    standing: fc.boolean(),
    order: fc.constant("order"),
    crop: fc.constant("basil"),
    way: fc.constant("tower" as const),
    of: fc.constant("ports" as const),
  }) satisfies fc.Arbitrary<Demand>,
  choices: fc
    .integer({ min: 1, max: 4 })
    .chain((many) => fc.tuple(...Array.from({ length: many }, (_, index) => choice(index)))),
});
const opens = fc.array(open, { minLength: 1, maxLength: 5 });

const total = (all: readonly Open[], picks: readonly (Choice | undefined)[]) =>
  all.reduce((sum, { demand }, index) => sum + (picks[index] ? costOf(demand, picks[index]) : costWithout(demand)), 0);

/** The least cost of every way of choosing, tried one by one. */
function leastOf(
  all: readonly Open[],
  at = 0,
  picks: (Choice | undefined)[] = [],
  book = ledger(places, 0, 30),
): number {
  if (at === all.length) return total(all, picks);
  let least = leastOf(all, at + 1, [...picks, undefined], book);
  for (const pick of all[at]!.choices) {
    if (book.lacking(pick.holds)) continue;
    book.put(pick.holds);
    least = Math.min(least, leastOf(all, at + 1, [...picks, pick], book));
    book.put(pick.holds, -1);
  }
  return least;
}

describe("choose", () => {
  it("costs no more than the best of all ways tried one by one, and fits", () => {
    fc.assert(
      fc.property(opens, (all) => {
        const book = ledger(places, days.first, days.last);
        const { picks, method } = choose(all, book, search);
        expect(method).not.toBe("rule");
        for (const pick of picks) {
          if (!pick) continue;
          expect(book.lacking(pick.holds)).toBeUndefined();
          book.put(pick.holds);
        }
        const least = leastOf(all);
        expect(total(all, picks)).toBeGreaterThanOrEqual(least);
        expect(total(all, picks)).toBeLessThanOrEqual(least * (1 + 1e-3) + 0.5);
      }),
      { numRuns: 300 },
    );
  });

  it("fits by the simple rule as well, which is never better than the search", () => {
    fc.assert(
      fc.property(opens, (all) => {
        const book = ledger(places, days.first, days.last);
        const { picks, method } = choose(all, book, undefined);
        for (const pick of picks) {
          if (!pick) continue;
          expect(book.lacking(pick.holds)).toBeUndefined();
          book.put(pick.holds);
        }
        if (method === "each-best") expect(total(all, picks)).toBe(leastOf(all));
        else expect(total(all, picks)).toBeGreaterThanOrEqual(leastOf(all));
      }),
      { numRuns: 300 },
    );
  });

  it("falls back on the rule when the search gives up", () => {
    const full = fc.sample(opens, { numRuns: 200, seed: 3 }).find((all) => {
      const { method } = choose(all, ledger(places, 0, 30), undefined);
      return method === "rule";
    })!;
    const asked: Model[] = [];
    const { method } = choose(full, ledger(places, 0, 30), (model) => {
      asked.push(model);
      return undefined;
    });
    expect(method).toBe("rule");
    expect(asked).toHaveLength(1);
  });

  it("leaves the ledger as it was", () => {
    fc.assert(
      fc.property(opens, (all) => {
        const book = ledger(places, days.first, days.last);
        choose(all, book, search);
        choose(all, book, undefined);
        for (const place of book.places)
          for (let day = 0; day <= 30; day++) expect(book.taken(place, day)).toBeCloseTo(0, 9);
      }),
      { numRuns: 50 },
    );
  });
});
