import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import { changedFor } from "../generator/design/changed.ts";
import { coin, draws } from "../generator/design/coin.ts";
import type { Plant } from "../generator/design/ports.ts";
import { matchedSets } from "../generator/design/ports.ts";
import { blocksFor, plantsFor, shows } from "../generator/design/power.ts";
import { layoutText, marksOf, powerText, remarksOn } from "../generator/design/told.ts";
import { type Tower, towersOf } from "../generator/design/yard.ts";
import { type Design, planTrial, type Wish, type Yard } from "../generator/design.ts";
import type { Library } from "../generator/library.ts";
import { load } from "../generator/node.ts";
import { trialSize } from "../generator/science/evidence.ts";
import { blocks, trial, yardOf } from "./trials.ts";

const viola: Plant = { id: "viola", name: "Viola", zone: "middle", mass: 0.12, trail: 0, roots: 1 };

/** A tower of ten tiers and four faces on a line of fourteen, as the demo yard's are. */
function tower(number: number, over: Partial<Tower> = {}): Tower {
  return {
    name: `tower-${number}`,
    record: "towers",
    line: "line-main",
    grows: ["viola"],
    tiers: 10,
    bottom: 0.45,
    pitch: 15,
    faces: ["N", "E", "S", "W"],
    drinks: 6.2,
    isolate: "Own lever at each base",
    apart: false,
    taken: new Map(),
    ...over,
  };
}

const yard: Yard = { towers: Array.from({ length: 14 }, (_, index) => tower(index + 1)), latitude: 52 };
const named = (...numbers: number[]) => numbers.map((number) => ({ tower: yard.towers[number - 1]! }));

const wish: Wish = {
  crop: viola,
  treatments: ["A", "B"],
  control: "B",
  through: "plant",
  towers: named(2, 5, 8, 11),
  plants: 3,
  isolated: 0,
  spread: { percent: 20, of: "plants" },
  coin: 20_260_410,
};

const planned = (over: Partial<Wish> = {}, where = yard): Design => planTrial({ ...wish, ...over }, where).design!;
const refused = (over: Partial<Wish>, where = yard) => planTrial({ ...wish, ...over }, where).refusals ?? [];

describe("the coin", () => {
  it("draws as the standard says that it does", () => {
    // ISO/IEC 14882, [rand.predef]: the 10 000th of minstd_rand, which begins with 1, is 399268537.
    const draw = draws(1);
    for (let count = 1; count < 10_000; count++) draw();
    expect(draw()).toBe(399_268_537);
  });

  it("favours neither side: of 4000 tosses of two, half either way to within four standard errors", () => {
    const { shuffled } = coin(7);
    const heads = Array.from({ length: 4000 }, () => shuffled(["A", "B"])[0]).filter((side) => side === "A").length;
    // √(4000 × ½ × ½) is 31.6.
    expect(Math.abs(heads - 2000)).toBeLessThan(127);
  });

  it("gives every order of three about as often", () => {
    const { shuffled } = coin(20_270_412);
    const counts = new Map<string, number>();
    for (let toss = 0; toss < 6000; toss++) {
      const order = shuffled(["A", "B", "C"]).join("");
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(6);
    // √(6000 × ⅙ × ⅚) is 28.9.
    for (const count of counts.values()) expect(Math.abs(count - 1000)).toBeLessThan(116);
  });

  it("begins otherwise with the next day's number: of 200 days about half begin with either side", () => {
    const first = Array.from({ length: 200 }, (_, day) => coin(20_260_401 + day).shuffled(["A", "B"])[0]);
    // √(200 × ½ × ½) is 7.1.
    expect(Math.abs(first.filter((side) => side === "A").length - 100)).toBeLessThan(29);
  });

  it("takes no number that would draw nothing", () => {
    for (const number of [0, -1, 1.5, 2 ** 31 - 1]) expect(() => coin(number)).toThrow(RangeError);
  });
});

describe("a design", () => {
  const made = fc.record({
    treatments: fc.constantFrom(["A", "B"], ["A", "B", "C"], ["plain", "extra", "late", "none"]),
    plants: fc.integer({ min: 1, max: 6 }),
    blocks: fc.integer({ min: 2, max: 14 }),
    coin: fc.integer({ min: 1, max: 2 ** 31 - 2 }),
    taken: fc.array(fc.constantFrom("1N", "5E", "5W", "6S", "7N"), { maxLength: 3 }),
  });

  it("holds every treatment equally in every block, and no port twice or taken", () => {
    fc.assert(
      fc.property(made, ({ treatments, plants, blocks, coin, taken }) => {
        const towers = Array.from({ length: blocks }, (_, index) =>
          tower(index + 1, { taken: new Map(taken.map((port) => [port, "parsley"])) }),
        );
        const { design } = planTrial(
          { ...wish, treatments, control: treatments[0]!, plants, coin, towers: towers.map((one) => ({ tower: one })) },
          { towers, latitude: 52 },
        );
        expect(design!.blocks).toHaveLength(blocks);
        for (const { places, plants: rows } of design!.blocks) {
          const ports = rows.map(({ port }) => port);
          expect(new Set(ports).size).toBe(ports.length);
          expect(ports.filter((port) => (taken as readonly string[]).includes(port))).toEqual([]);
          expect(ports.every((port) => /^([1-9]|10)[NESW]$/.test(port))).toBe(true);
          for (const treatment of treatments) {
            expect(rows.filter((row) => row.treatment === treatment)).toHaveLength(plants);
            expect(Object.values(places).filter((has) => has === treatment)).toHaveLength(plants);
          }
        }
      }),
    );
  });

  it("puts what is compared in one tier, on faces of the same sun", () => {
    for (const { places } of planned().blocks) {
      const ports = Object.entries(places);
      const tiers = [...new Set(ports.map(([port]) => Number.parseInt(port, 10)))];
      expect(tiers.sort()).toEqual([4, 5, 6]);
      for (const tier of tiers) {
        const here = ports.filter(([port]) => Number.parseInt(port, 10) === tier);
        expect(here.map(([port]) => port.slice(-1)).sort()).toEqual(["E", "W"]);
        expect(here.map(([, treatment]) => treatment).sort()).toEqual(["A", "B"]);
      }
    }
  });

  it("has the same places from the same number, and others from others", () => {
    const drawn = (coin: number) => JSON.stringify(planned({ coin }).blocks);
    expect(drawn(20_260_410)).toBe(drawn(20_260_410));
    // Twelve tosses can fall out alike: one pair of 4096. Of thirty neighbours most must differ from one another.
    const days = new Set(Array.from({ length: 30 }, (_, day) => drawn(20_260_401 + day)));
    expect(days.size).toBeGreaterThan(27);
  });

  it("counts what is planted and one spare of each", () => {
    expect(planned().each).toEqual({ planted: 12, spare: 1 });
  });

  it("makes towers the unit of what comes through the feed, a block of as many as there are treatments", () => {
    const design = planned({ through: "feed", isolated: 8, towers: named(1, 2, 3, 4, 5, 6, 7, 8) });
    expect(design.unit).toBe("tower");
    expect(design.blocks).toHaveLength(4);
    for (const { places, plants } of design.blocks) {
      expect(Object.values(places).sort()).toEqual(["A", "B"]);
      expect(plants).toHaveLength(6);
      for (const { port, treatment } of plants) expect(places[port.split(" ")[0]!]).toBe(treatment);
    }
  });

  it("keeps to the rules of place: heavy plants low and apart, strong roots in the lower half, nothing on the floor", () => {
    const ports = (plant: Partial<Plant>, size = 1) =>
      matchedSets(yard.towers[0]!, { ...viola, ...plant }, { size, latitude: 52 }).flat();
    const tiers = (all: readonly string[]) => all.map((port) => Number.parseInt(port, 10));
    const heavy = ports({ mass: 1.2, zone: "base" });
    expect(Math.max(...tiers(heavy))).toBeLessThanOrEqual(3);
    expect(new Set(heavy.map((port) => port.slice(-1))).size).toBe(heavy.length);
    expect(Math.max(...tiers(ports({ roots: 3, zone: "top" })))).toBe(5);
    // Tier 3 is 0.75 m up, tier 2 is 0.60 m: a plant that hangs 0.6 m wants 0.7 m.
    expect(Math.min(...tiers(ports({ trail: 60, zone: "base" })))).toBe(3);
  });
});

describe("what a design can show", () => {
  const spread = (percent: number) => ({ percent, of: "differences" as const });

  it("is the inverse of how many blocks it takes, two more than by the normal sum", () => {
    // Common sum, 80 % power, 5 % two-sided: ((1.96 + 0.84) × 10 ÷ 15)² = 3.48, so 4 pairs; as they are few, 6.
    expect(trialSize({ design: "pairs", spread: 10, difference: 15 })).toBe(4);
    expect(blocksFor(15, { spread: spread(10), plants: 3 })).toBe(6);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 6 }),
        (sd, wanted, plants) => {
          const sizes = { spread: { percent: sd, of: "plants" as const }, plants };
          const blocks = blocksFor(wanted, sizes);
          expect(shows({ ...sizes, blocks })!).toBeLessThanOrEqual(wanted + 1e-9);
          if (blocks > 4) expect(shows({ ...sizes, blocks: blocks - 1 })!).toBeGreaterThan(wanted);
          const each = plantsFor(wanted, { spread: sizes.spread, blocks: 6 })!;
          expect(shows({ spread: sizes.spread, plants: each, blocks: 6 })!).toBeLessThanOrEqual(wanted + 1e-9);
          if (each > 1) expect(shows({ spread: sizes.spread, plants: each - 1, blocks: 6 })!).toBeGreaterThan(wanted);
        },
      ),
    );
  });

  it("is little worse or better than an exact reckoning for four pairs", () => {
    // Noncentral t, 3 degrees of freedom, 80 % power: four pairs show about 2 standard deviations of the differences.
    // From memory of published tables of power; the normal sum without two more gives 1.4.
    expect(shows({ spread: spread(10), plants: 1, blocks: 4 })!).toBeCloseTo(19.8, 1);
  });

  it("is nothing with two blocks", () => {
    expect(shows({ spread: spread(10), plants: 9, blocks: 2 })).toBeUndefined();
    expect(planned({ towers: named(2, 5) }).shows).toBeUndefined();
    expect(remarksOn({ ...wish, towers: named(2, 5) }, planned({ towers: named(2, 5) })).join(" ")).toContain(
      "2 blocks give no interval",
    );
  });

  it("is told beside what is wanted, with what would show that in this yard", () => {
    const told = (percent: number, over: Partial<Wish> = {}) =>
      powerText({ ...wish, ...over }, planned(over), { percent }, yard).join(" ");
    // 20 % × √(2 ÷ 3) = 16.3 %; × 2.8 ÷ √2 = 32.3 %.
    expect(told(15)).toContain("32\u202f%");
    // 2 and (2.8 × 16.3 ÷ 15)² = 9.3, so 12 blocks, or in four blocks 3 × (32.3 ÷ 15)² = 13.9.
    expect(told(15)).toContain("You want 15\u202f%: take 12 blocks or 14 plants of each in each block.");
    expect(told(25)).toContain("take 6 blocks or 6 plants of each in each block");
    expect(told(40)).toContain("it is enough");
    expect(told(3)).toContain("this yard cannot show it with 3 of each in a block; its 14 blocks would show 13\u202f%");
  });
});

describe("a refusal", () => {
  it("of a tower for each treatment offers every treatment in each of four, by name", () => {
    const [only, ...more] = refused({
      towers: [
        { tower: yard.towers[2]!, only: "extra" },
        { tower: yard.towers[3]!, only: "plain" },
      ],
      treatments: ["extra", "plain"],
    });
    expect(more).toEqual([]);
    expect(only!.why).toContain("tower-3 has extra alone and tower-4 has plain alone");
    expect(only!.offer).toContain("--blocks tower-3,tower-4,tower-1,tower-2");
    expect(only!.offer).toContain("6 of the 40 ports");
  });

  it.each([
    [[], "There is no block"],
    [[2], "One tower is one block, n = 1"],
  ] as const)("of the towers %j says why", (numbers, why) => {
    const [only, ...more] = refused({ towers: named(...numbers) });
    expect(more).toEqual([]);
    expect(only!.why).toContain(why);
    expect(only!.offer).toMatch(/each of 4 towers, `--blocks (tower-\d+,){3}tower-\d+`/);
  });

  it("of a shared line counts the site as one, and says which towers to take off it and how many buckets that is", () => {
    const [only, ...more] = refused({ through: "feed", towers: named(3, 4) });
    expect(more).toEqual([]);
    expect(only!.why).toContain("the 14 towers of line-main are n = 1 for the whole site");
    expect(only!.offer).toContain("8 buckets");
    // 8 × 6.2 L/day.
    expect(only!.offer).toContain("49.6\u202fL/day");
    expect(only!.offer).toContain(
      "`--isolated 8 --blocks tower-3,tower-4,tower-1,tower-2,tower-5,tower-6,tower-7,tower-8`",
    );
    // What is offered is taken.
    const taken = named(3, 4, 1, 2, 5, 6, 7, 8);
    expect(refused({ through: "feed", isolated: 8, towers: taken })).toEqual([]);
    expect(refused({ through: "feed", isolated: 7, towers: taken })).toHaveLength(1);
  });

  it("of a yard that is too small for it says so", () => {
    const small = { towers: yard.towers.slice(0, 3), latitude: 52 };
    expect(refused({ through: "feed", towers: named(1, 2) }, small)[0]!.offer).toContain(
      "at the least and this yard has 3",
    );
  });

  it("of towers apart that do not come out even, or are one for each, says how many are over", () => {
    expect(refused({ through: "feed", isolated: 9, towers: named(1, 2, 3, 4, 5) })[0]!.offer).toContain(
      "Leave out tower-5",
    );
    expect(refused({ through: "feed", isolated: 2, towers: named(1, 2) })[0]!.why).toContain(
      "one tower for each, n = 1",
    );
  });

  it("of too little room says how much there is and where there is more", () => {
    const full = tower(2, {
      taken: new Map([4, 5, 6, 7].flatMap((tier) => ["N", "E", "S", "W"].map((face) => [`${tier}${face}`, "parsley"]))),
    });
    const [only] = refused({ plants: 13, towers: [{ tower: full }, ...named(5, 8, 11)] });
    expect(only!.why).toContain("tower-2 has room for 12 of each, and 13 are wanted");
    expect(only!.offer).toContain("`--plants 12`");
    expect(only!.offer).toContain("tower-1");
  });

  it("of a crop that is not for towers sends it to trays", () => {
    expect(refused({ crop: { ...viola, zone: "none" } })[0]!.offer).toContain("trays");
  });
});

describe("the layout in text", () => {
  it("draws every port once, by its sign", () => {
    const lines = layoutText(planned(), ["A", "B"], yard);
    const text = lines.join("\n");
    for (const name of ["tower-2", "tower-5", "tower-8", "tower-11"]) expect(text).toContain(name);
    expect(text.match(/\bA\b/g)).toHaveLength(12);
    expect(text.match(/\bB\b/g)).toHaveLength(12);
    expect(Math.max(...lines.map(({ length }) => length))).toBeLessThanOrEqual(80);
  });

  it("names long treatments by letters of their own", () => {
    expect([...marksOf(["plain", "extra"])]).toEqual([
      ["plain", "P"],
      ["extra", "E"],
    ]);
    expect([...marksOf(["early", "extra"]).values()]).toEqual(["A", "B"]);
  });
});

describe("what a trial did to the record of its crop", () => {
  const crop = (more: string) => `name: Viola
botanical: Viola tricolor
kind: flower
code: VIO
status: tried
reviewed: 2027-01-01
eaten: [flower]
stages:
  germination: { days: 10–14 days }
cutting: { pieces: 8–11 /week }
${more}
sources: { common-practice: "*" }`;

  it("is told figure by figure, old and new, and what stands beside it only; of other trials nothing", () => {
    const history = `history:
  - { on: 2026-12-02, what: Flowers a week, why: Two runs agree, figure: cutting.pieces, was: 10–30 /week, now: 8–11 /week, trial: one }
  - { on: 2026-12-03, what: Cut later, why: They were hard, trial: two }
provisional:
  - { figure: cutting.window, says: 60–90 days, n: 18, range: 55–95, on: 2026-12-01, trial: one }`;
    const library = yardOf({
      "crops/viola.md": crop(history),
      "trials/one.md": trial(blocks(2, 2.1, 2.2, 2.3)),
      "trials/two.md": trial(blocks(2, 2.1, 2.2, 2.3)),
    });
    const of = (id: string) => changedFor(library, library.trials.get(id)!);
    expect(of("one")).toMatchObject([
      { figure: "cutting.window", was: undefined, now: "60–90 days", provisional: { n: 18, range: "55–95" } },
      { figure: "cutting.pieces", on: "2026-12-02", was: "10–30 /week", now: "8–11 /week", provisional: undefined },
    ]);
    expect(of("two")).toMatchObject([{ label: "Cut later", now: "Cut later" }]);
    for (const { label, figure } of of("one")) expect(label).not.toBe(figure);
  });
});

describe("the towers of the demo yard", () => {
  let library: Library;
  beforeAll(async () => {
    library = (await load(new URL("../content", import.meta.url).pathname)).library!;
  });
  const days = { from: "2027-04-13", to: "2027-08-04" };

  it("are called as they are numbered, and keep what is pinned", () => {
    const towers = towersOf(library, days);
    expect(towers.map(({ name }) => name)).toEqual(Array.from({ length: 15 }, (_, index) => `tower-${index + 1}`));
    expect(towers.find(({ name }) => name === "tower-15")).toMatchObject({ apart: true, line: "line-bucket" });
    expect(towers.find(({ name }) => name === "tower-2")).toMatchObject({ apart: false, line: "line-main" });
    expect(towers.find(({ name }) => name === "tower-2")!.taken.get("1N")).toBe("parsley");
  });

  it("keep the ports of a trial while it runs, and give them back when it has stopped", () => {
    const { places, started, stop } = library.trials.get("viola-plates")!.fields;
    const takenIn = (from: string, to: string) =>
      [...towersOf(library, { from, to }).find(({ name }) => name === "tower-2")!.taken].filter(
        ([, by]) => by === "viola-plates",
      );
    expect(
      takenIn(started, stop)
        .map(([port]) => port)
        .sort(),
    ).toEqual(Object.keys(places!["tower-2"]!).sort());
    expect(takenIn(stop, stop)).not.toEqual([]);
    expect(takenIn("2027-04-13", "2027-08-04")).toEqual([]);
  });
});
