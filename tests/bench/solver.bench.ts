import fc from "fast-check";
import { bench, describe } from "vitest";
import { nonNegativeLeastSquares } from "../../generator/science/least-squares.ts";
import { exactly, loadHighs, quadratic, valuesIn } from "../science/quadratic.ts";

/** Two hundred recipes of 3 to 12 salts, the same every time. */
const share = fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 0.5, noNaN: true }));
const recipe = fc
  .integer({ min: 3, max: 12 })
  .chain((salts) =>
    fc.tuple(
      fc.array(fc.array(share, { minLength: 5, maxLength: 5 }), { minLength: salts, maxLength: salts }),
      fc.array(fc.double({ min: 20, max: 300, noNaN: true }), { minLength: 5, maxLength: 5 }),
    ),
  )
  .map(([salts, targets]) => ({
    columns: salts.map((fractions, place) => [
      ...fractions.map((fraction, element) => (1000 * fraction) / targets[element]!),
      ...salts.map((_, other) => (other === place ? 1e-3 : 0)),
    ]),
    target: [...targets.map(() => 1), ...salts.map(() => 0)],
  }));
const recipes = fc.sample(recipe, { numRuns: 200, seed: 7 });
const models = recipes.map(({ columns, target }) => quadratic(columns, target));
const highs = await loadHighs();

function squares({ columns, target }: (typeof recipes)[number], answer: readonly number[]): number {
  return target.reduce(
    (sum, value, row) =>
      sum + (value - columns.reduce((made, column, place) => made + column[row]! * answer[place]!, 0)) ** 2,
    0,
  );
}

function milliseconds(work: () => void): number {
  const started = performance.now();
  work();
  return performance.now() - started;
}

const ours = () => {
  for (const { columns, target } of recipes) nonNegativeLeastSquares(columns, target);
};
const theirs = () => {
  for (const model of models) highs.solve(model, exactly);
};

/** Only the solving, with every model read before the clock starts. */
function solvingAlone(): number {
  const read = models.map((data) => highs.createModel({ format: "lp", data }));
  for (const model of read) model.options.set({ ...exactly });
  const taken = milliseconds(() => {
    for (const model of read) model.run();
  });
  for (const model of read) model.dispose();
  return taken;
}

let apart = 0;
for (const [index, problem] of recipes.entries()) {
  const values = valuesIn(highs.solve(models[index]!, exactly));
  const second = squares(problem, values);
  const first = squares(problem, nonNegativeLeastSquares(problem.columns, problem.target));
  apart = Math.max(apart, Math.abs(first - second));
  if (Math.abs(first - second) > 1e-6) throw new Error(`Recipe ${index}: ${first} against ${second}`);
}
for (let warm = 0; warm < 20; warm++) ours();
const best = (times: readonly number[]) => Math.min(...times);
const [own, whole, alone] = [
  best(Array.from({ length: 20 }, () => milliseconds(ours))),
  best(Array.from({ length: 3 }, () => milliseconds(theirs))),
  best(Array.from({ length: 3 }, solvingAlone)),
];
console.log(
  [
    `200 recipes: the same objective, ${apart.toExponential(1)} apart at most`,
    `ours ${own.toFixed(2)} ms; HiGHS ${whole.toFixed(0)} ms with reading the model, ${alone.toFixed(0)} ms without`,
    `ratio ${(whole / own).toFixed(0)} with, ${(alone / own).toFixed(0)} without`,
  ].join("\n"),
);

describe("200 least-squares recipes", () => {
  bench("non-negative least squares", ours, { time: 500 });
  bench("HiGHS, model text included", theirs, { time: 500, iterations: 3 });
});
