import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { bench, describe } from "vitest";

interface Took {
  readonly seconds: number;
  readonly megabytes: number;
  readonly method: string;
  readonly sowings: number;
  readonly short: number;
}

function took(orders: number, share: number): Took {
  const script = fileURLToPath(new URL("one-plan.ts", import.meta.url));
  return JSON.parse(execFileSync(process.execPath, [script, String(orders), String(share)], { encoding: "utf8" }));
}

// Plans of 50, 500 and 5,000 orders over 26 weeks: with room for all of them, and with so much less in every place.
const cases = [50, 500, 5000].flatMap((orders) => [1, 0.98, 0.9].map((share) => ({ orders, share })));
const found = cases.map((one) => ({ ...one, ...took(one.orders, one.share) }));
console.log(
  found
    .map(
      ({ orders, share, seconds, megabytes, method, sowings, short }) =>
        `${String(orders).padStart(5)} orders, room for ${(100 * share).toFixed(0).padStart(3)} %: ${seconds.toFixed(2).padStart(6)} s, ${megabytes.toFixed(0).padStart(4)} MB, ${method.padEnd(9)} ${sowings} sowings, ${short} short`,
    )
    .join("\n"),
);
const at = (orders: number) => found.find((one) => one.orders === orders && one.share === 1)!;
console.log(
  `ten times the orders take ${(at(5000).seconds / at(500).seconds).toFixed(1)} times as long, with room for all`,
);

describe("a plan", () => {
  bench("of 50 orders, with its process", () => void took(50, 1), { iterations: 3, time: 100 });
});
