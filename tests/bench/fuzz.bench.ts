import { Worker } from "node:worker_threads";
import fc from "fast-check";
import { bench, describe } from "vitest";
import { targets } from "../fuzz/index.ts";
import { run, shared, type Tried } from "../fuzz/target.ts";

/**
 * How many made-up inputs each part of the program was given, and how many of them it failed on. `TIERBOOK_CASES` says how
 * many in all, `TIERBOOK_SEED` where they begin, `TIERBOOK_TARGET` which targets by a part of their names.
 */
const all = Number(process.env.TIERBOOK_CASES ?? 200_000);
const seed = Number(process.env.TIERBOOK_SEED ?? 20_270_412);
const wanted = targets.filter(({ name }) => name.includes(process.env.TIERBOOK_TARGET ?? ""));
const shares = shared(wanted, all);

/** A run of 500 cases that takes longer hangs: no case may take more than a few seconds, and most take a thousandth. */
const patience = 600_000;

console.log(`target; cases tried; failures; s (seed ${seed})`);
const failures: string[] = [];
let sum = 0;
let failed = 0;
for (const { name } of wanted) {
  const start = performance.now();
  const { cases, failures: found } = await away(name, shares.get(name)!);
  sum += cases;
  failed += found.length;
  console.log(`${name}; ${cases}; ${found.length}; ${((performance.now() - start) / 1000).toFixed(0)}`);
  for (const one of found)
    failures.push(
      `${name}\n${one.said}\nOnce more: TIERBOOK_SEED=${one.seed} TIERBOOK_CASES=${one.cases} TIERBOOK_TARGET="${name}" npx vitest run --config tests/vitest.config.ts tests/fuzz.test.ts`,
    );
}
console.log([`all ${wanted.length} targets; ${sum}; ${failed}`, ...failures].join("\n"));
if (failed > 0) process.exitCode = 1;

describe("one case", () => {
  for (const { name, cases, hold } of wanted.slice(0, 3)) {
    const [one] = fc.sample(cases, { numRuns: 1, seed });
    bench(name, async () => void (await hold(one)), { time: 200 });
  }
});

/** Tries a target in a thread of its own, which is ended when a run never comes to an end: that is a failure as well. */
function away(name: string, cases: number): Promise<Tried> {
  return new Promise((done) => {
    const worker = new Worker(new URL("../fuzz/worker.ts", import.meta.url), { workerData: { name, cases, seed } });
    let count = 0;
    const stopped = (said: string) => {
      clearTimeout(timer);
      void worker.terminate();
      done({ name, cases: count, failures: [{ seed: seed + count / run, cases: Math.min(run, cases - count), said }] });
    };
    const hangs = () => stopped("It never came to an end");
    let timer = setTimeout(hangs, patience);
    worker.on("message", (message: number | Tried) => {
      clearTimeout(timer);
      if (typeof message !== "number") {
        void worker.terminate();
        return done(message);
      }
      count = message;
      timer = setTimeout(hangs, patience);
    });
    worker.on("error", (error) => stopped(String(error.stack)));
  });
}
