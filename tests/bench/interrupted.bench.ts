import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { bench, describe } from "vitest";
import { building, surviveKills, twoSmallBooks } from "../killing.ts";

/** Fifty builds killed at moments drawn from `TIERBOOK_SEED`; `TIERBOOK_KILLS` says how many. The first that harms a book ends it. */
const kills = Number(process.env.TIERBOOK_KILLS ?? 50);
const seed = Number(process.env.TIERBOOK_SEED ?? 20_270_412);
const folder = await mkdtemp(join(tmpdir(), "tierbook-killed-"));
const { killed, finished, between } = await surviveKills(kills, seed, folder);
console.log(
  `${kills} builds, seed ${seed}: ${killed} killed, ${finished} done before; every edition whole after each, and the next build right` +
    (between > 0
      ? `; ${between} editions were away for the instant of a rename, and the next command put them back`
      : ""),
);
const [book] = await twoSmallBooks(folder);

describe("a book of one crop", () => {
  bench("both editions, with its process", async () => void (await building(book!, join(folder, "timed"))), {
    iterations: 1,
    time: 1,
    warmupIterations: 0,
    warmupTime: 0,
    teardown: () => rm(folder, { recursive: true, force: true }),
  });
});
