import { describe, expect, it } from "vitest";
import { targets } from "./fuzz/index.ts";
import { shared, tried } from "./fuzz/target.ts";

// A few thousand made-up inputs; `npm run bench` tries 200 000. TIERBOOK_SEED, TIERBOOK_CASES and TIERBOOK_TARGET have one
// of its runs again.
const seed = Number(process.env.TIERBOOK_SEED ?? 20_270_412);
const wanted = targets.filter(({ name }) => name.includes(process.env.TIERBOOK_TARGET ?? ""));
const shares = shared(wanted, Number(process.env.TIERBOOK_CASES ?? 4000));

describe("made-up input is answered with figures or sentences, never with a slip of the program", () => {
  it.each(wanted.map((target) => [target.name, target] as const))("%s", { timeout: 120_000 }, async (name, target) => {
    const { failures } = await tried(target, shares.get(name)!, seed);
    expect(failures.map(({ said, seed: again }) => `seed ${again}: ${said}`)).toEqual([]);
  });
});
