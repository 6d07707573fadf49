import fc from "fast-check";
import { solveQP } from "quadprog";
import { beforeAll, describe, expect, it } from "vitest";
import { leastSquares, nonNegativeLeastSquares } from "../../generator/science/least-squares.ts";

import { exactly, loadHighs, quadratic, valuesIn } from "./quadratic.ts";

type Columns = readonly (readonly number[])[];

/** Numbers as recipes have them: a salt holds 0 to 0.5 of an element, or none; a target is 1 to 600 mg/L. */
const share = fc.oneof(fc.constant(0), fc.double({ min: 0.001, max: 0.5, noNaN: true }));
const problem = fc
  .tuple(
    fc.integer({ min: 1, max: 12 }),
    fc.array(fc.double({ min: 1, max: 600, noNaN: true }), { minLength: 5, maxLength: 5 }),
  )
  .chain(([salts, targets]) =>
    fc.tuple(
      fc.array(fc.array(share, { minLength: 5, maxLength: 5 }), { minLength: salts, maxLength: salts }),
      fc.constant(targets),
      fc.array(fc.double({ min: 0, max: 1.3, noNaN: true }), { minLength: 5, maxLength: 5 }),
    ),
  )
  .map(([salts, targets, start]) => withRidge(salts, targets, start));

/** The sum of a recipe: five relative misses, and a small row for each salt that makes the answer unique. */
function withRidge(salts: Columns, targets: readonly number[], start: readonly number[]) {
  return {
    columns: salts.map((fractions, place) => [
      ...fractions.map((fraction, element) => (1000 * fraction) / targets[element]!),
      ...salts.map((_, other) => (other === place ? 1e-3 : 0)),
    ]),
    target: [...start.map((part) => 1 - part), ...salts.map(() => 0)],
  };
}

function squares(columns: Columns, target: readonly number[], answer: readonly number[]): number {
  return target.reduce(
    (sum, value, row) =>
      sum + (value - columns.reduce((made, column, index) => made + column[row]! * answer[index]!, 0)) ** 2,
    0,
  );
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, value, row) => sum + value * b[row]!, 0);

describe("nonNegativeLeastSquares", () => {
  it("follows a worked example: the second column would go negative and stays at 0", () => {
    // Unbound, x = (3, −1); bound, x = (2, 0) from (1·2 + 1·2)/(1 + 1).
    const columns = [
      [1, 1, 0],
      [0, 1, 0],
    ];
    expect(leastSquares(columns, [3, 2, 0])).toEqual([expect.closeTo(3, 12), expect.closeTo(-1, 12)]);
    expect(nonNegativeLeastSquares(columns, [3, 2, 0])).toEqual([expect.closeTo(2.5, 12), 0]);
  });

  it("gives nothing where nothing helps, and where there are no rows or columns", () => {
    expect(nonNegativeLeastSquares([[1, 2]], [-1, -1])).toEqual([0]);
    expect(nonNegativeLeastSquares([[0, 0]], [1, 1])).toEqual([0]);
    expect(nonNegativeLeastSquares([[]], [])).toEqual([0]);
    expect(nonNegativeLeastSquares([], [1])).toEqual([]);
  });

  it("shares evenly between two salts that are the same, and hardly changes when they are nearly so", () => {
    const twins = withRidge(
      [
        [0.15, 0, 0, 0.19, 0],
        [0.15, 0, 0, 0.19, 0],
      ],
      [150, 40, 190, 130, 36],
      [0, 0, 0, 0, 0],
    );
    const [one, other] = nonNegativeLeastSquares(twins.columns, twins.target) as [number, number];
    expect(one).toBeGreaterThan(0.3);
    expect(Math.abs(one - other)).toBeLessThan(1e-6);
    const nearly = {
      ...twins,
      columns: twins.columns.map((column, at) =>
        column.map((entry, row) => (at === 1 && row === 3 ? entry * (1 + 1e-9) : entry)),
      ),
    };
    const [first, second] = nonNegativeLeastSquares(nearly.columns, nearly.target) as [number, number];
    expect(Math.abs(first - one) + Math.abs(second - other)).toBeLessThan(1e-3);
  });

  it("meets the conditions of the least square: no gain inside, none to be had outside", () => {
    fc.assert(
      fc.property(problem, ({ columns, target }) => {
        const answer = nonNegativeLeastSquares(columns, target);
        const rest = target.map(
          (value, row) => value - columns.reduce((made, column, index) => made + column[row]! * answer[index]!, 0),
        );
        for (const [index, column] of columns.entries()) {
          const gain = dot(column, rest) / Math.sqrt(dot(column, column));
          expect(answer[index]).toBeGreaterThanOrEqual(0);
          if (answer[index]! > 0) expect(Math.abs(gain)).toBeLessThan(1e-9);
          else expect(gain).toBeLessThan(1e-9);
        }
      }),
      { numRuns: 500 },
    );
  });

  it("does not mind the order of the columns", () => {
    fc.assert(
      fc.property(problem, ({ columns, target }) => {
        const forth = squares(columns, target, nonNegativeLeastSquares(columns, target));
        const turned = [...columns].reverse();
        expect(squares(turned, target, nonNegativeLeastSquares(turned, target))).toBeCloseTo(forth, 9);
      }),
    );
  });

  it("has the same objective to 1e-6 as the dual method of Goldfarb and Idnani", () => {
    fc.assert(
      fc.property(problem, ({ columns, target }) => {
        const one = <Value>(values: readonly Value[], first: Value) => [first, ...values];
        const gram = columns.map((column) =>
          one(
            columns.map((other) => 2 * dot(column, other)),
            0,
          ),
        );
        const pull = columns.map((column) => 2 * dot(column, target));
        const identity = columns.map((_, row) =>
          one(
            columns.map((__, place) => (row === place ? 1 : 0)),
            0,
          ),
        );
        const { solution, message } = solveQP(
          one(gram, []),
          one(pull, 0),
          one(identity, []),
          one(
            columns.map(() => 0),
            0,
          ),
        );
        fc.pre(message === "");
        const second = squares(
          columns,
          target,
          solution.slice(1).map((value) => Math.max(0, value)),
        );
        const first = squares(columns, target, nonNegativeLeastSquares(columns, target));
        expect(Math.abs(first - second)).toBeLessThan(1e-6);
        expect(first).toBeLessThanOrEqual(second + 1e-9);
      }),
      { numRuns: 300 },
    );
  });
});

describe("nonNegativeLeastSquares beside an interior or active-set solver", () => {
  let highs: Awaited<ReturnType<typeof loadHighs>>;
  beforeAll(async () => {
    highs = await loadHighs();
  });

  it("has the same objective to 1e-6 as HiGHS on 60 random recipes", () => {
    for (const { columns, target } of fc.sample(problem, { numRuns: 60, seed: 20 })) {
      const values = valuesIn(highs.solve(quadratic(columns, target), exactly));
      const second = squares(columns, target, values);
      const first = squares(columns, target, nonNegativeLeastSquares(columns, target));
      expect(Math.abs(first - second)).toBeLessThan(1e-6);
      expect(first).toBeLessThanOrEqual(second + 1e-9);
    }
  });
});
