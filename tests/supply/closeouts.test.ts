import { describe, expect, it } from "vitest";
import { germinationCounted, usableMoved } from "../../generator/supply/raised.ts";
import { measure, part, read, type Sown, sorrel, tower, weekly, yard } from "./sorrel.ts";

describe("closeoutsOf(library)", () => {
  it("reads days, shares and weights of one closed batch", () => {
    const library = yard([{ sown: "2026-04-06" }]);
    const of = (what: string) => measure(library, what)?.middle;
    expect([of("germination"), of("tray"), of("tower"), of("sowing-to-cut")]).toEqual([4, 14, 21, 39]);
    // 96 of 100 up, 90 of 96 planted; 9000 g ÷ 90 plants, in three cuts, over 30 days.
    expect([of("germinated"), of("fit")]).toEqual([96, 93.75]);
    expect([of("plant"), of("batch"), of("week"), of("regrowth"), of("window")]).toEqual([100, 9000, 2100, 7, 30]);
    expect(of("cut")).toBeCloseTo(33.333, 3);
  });

  it("gives the share that came up with the interval of Wilson", () => {
    // 36 of 50 is 72 %, 58 to 83: Wilson 1927, worked by hand.
    const found = measure(yard([{ sown: "2026-04-06", cells: 50, up: 36, plants: [36, 30] }]), "germinated")!;
    expect([Math.round(found.low!), found.middle, Math.round(found.high!)]).toEqual([58, 72, 83]);
    expect(found.sum).toMatchObject({ worksheet: "germination-test", basis: "common-practice" });
  });

  it("lists every value below five batches, and has a mean only from five", () => {
    const four = measure(yard(weekly([20, 21, 21, 22].map((days) => tower(days)))), "tower")!;
    expect(four.mean).toBeUndefined();
    expect(four.said.here).toBe("20, 21, 21 and 22\u202fdays, median 21; 4 batches");
    const five = measure(yard(weekly([20, 21, 21, 22, 24].map((days) => tower(days)))), "tower")!;
    expect(five.mean).toBeCloseTo(21.6, 10);
    expect(five.said.here).toBe("median 21, 20–24\u202fdays, mean 21.6; 5 batches");
    expect(five.sum!.worksheet).toBe("group-summary");
    expect(five.sum!.from.map(({ record }) => record)).toHaveLength(5);
  });

  it("never counts an open batch as closed, and says its finished part apart", () => {
    const library = yard(weekly([tower(21), tower(21), tower(40, { closed: "open" })]));
    const found = measure(library, "tower")!;
    expect([found.n, found.middle, found.over]).toEqual([2, 21, []]);
    expect(found.verdict).toBe("few");
    expect(found.said.open).toBe("Batches still open: 40\u202fdays");
    expect(measure(library, "batch")!.values).toHaveLength(2);
    expect(part(library)).toMatchObject({ closed: 2, open: 1, cells: 200 });
    // The same with a closing day after the day of the edition: on that day it is still open.
    const later = yard(weekly([tower(21), tower(21), tower(21, { closed: 500 })]));
    expect(part(later)).toMatchObject({ closed: 2, open: 1 });
  });

  it("puts open batches to the mean of five closed ones, weighted by how many they are", () => {
    const closed = [20, 20, 20, 20, 20].map((days) => tower(days));
    const found = measure(yard(weekly([...closed, tower(26, { closed: "open" })])), "tower")!;
    expect(found.mean).toBe(20);
    expect(found.withOpen!.worksheet).toBe("pool-record");
    expect(found.withOpen!.outcome.answer).toMatchObject({ mean: 21, n: 6, low: 20, high: 26 });
  });

  it("takes a blank for not recorded and never for nought", () => {
    const library = yard([{ sown: "2026-04-06", cuts: [] }]);
    for (const what of ["plant", "batch", "cut", "week", "tower", "sowing-to-cut"])
      expect(measure(library, what), what).toBeUndefined();
    const { losses } = part(library);
    expect(losses).toMatchObject({ reasons: [], told: 0, silent: 1, unexplained: 0 });
    expect(losses.said.at(-1)).toContain("not recorded, which is not none");
    expect(part(yard([{ sown: "2026-04-06", losses: "{}" }])).losses).toMatchObject({ told: 1, silent: 0 });
  });

  it("leaves out a stage whose end the record skips", () => {
    const skipped = yard(
      [{ sown: "2026-04-06" }],
      sorrel("days: 20–22 days").replace("  tower:", "  mister: { days: 7 days }\n  tower:"),
    );
    expect(measure(skipped, "tray")).toBeUndefined();
    expect(measure(skipped, "mister")).toBeUndefined();
    expect(measure(skipped, "tower")!.middle).toBe(21);
    expect(part(skipped).losses.stages.map(({ stage }) => stage)).toEqual(["germination"]);
  });

  it("adds up: what was lost in all stages and what was planted are the cells sown", () => {
    const library = yard(weekly([{ up: 91, plants: [88, 80] }, { up: 99, plants: [99, 97] }, {}]));
    const { losses, cells, planted } = part(library);
    expect(losses.stages.reduce((all, { lost }) => all + lost, 0) + planted!).toBe(cells);
    expect(losses.stages).toMatchObject([
      { stage: "germination", lost: 12 + 1 + 4, of: 300, batches: 3 },
      { stage: "tray", lost: 8 + 2 + 6, of: 283 },
    ]);
  });

  it("adds up reasons, the most first, and says how many plants have none", () => {
    const library = yard(weekly([{ losses: "{ slugs: 2, mould: 1 }" }, { losses: "{ slugs: 6, bolting: 3 }" }, {}]));
    // 6 were lost after coming up in each: of the first 3 have a reason, of the second 9 with those on the tower.
    expect(part(library).losses).toMatchObject({
      reasons: [
        { reason: "slugs", plants: 8 },
        { reason: "bolting", plants: 3 },
        { reason: "mould", plants: 1 },
      ],
      cells: 200,
      told: 2,
      silent: 1,
      unexplained: 3,
    });
  });

  it("is the same whatever the order of the batches", () => {
    const all = weekly([tower(20), tower(25, { lot: "red" }), tower(21, { losses: "{ slugs: 2 }" }), tower(33)]);
    const library = yard(all);
    const turned = { ...library, batches: new Map([...library.batches].reverse()) };
    expect(JSON.stringify(read(turned, 2))).toBe(JSON.stringify(read(library, 2)));
  });

  it("keeps summer and winter apart, and both add up to all", () => {
    const summer = weekly([tower(20), tower(21)]);
    const winter: readonly Sown[] = [{ sown: "2026-10-05", ...tower(30) }];
    const library = yard([...summer, ...winter]);
    expect([part(library).closed, part(library, "winter").closed, read(library).closed]).toEqual([2, 1, 3]);
    expect([measure(library, "tower")!.high, measure(library, "tower", "winter")!.low]).toEqual([21, 30]);
    const year = read(library).crops[0]!.year.find(({ what }) => what === "plant")!;
    expect(year.n).toBe(3);
  });

  it("counts a stage in the half of the year in which it began, and a winter figure says nothing of summer", () => {
    // Sown on 16 March, 18 days before it is planted on 3 April.
    const library = yard([{ sown: "2026-03-16" }], sorrel("winter: 30–40 days"));
    expect(measure(library, "tower", "winter")).toBeUndefined();
    expect(measure(library, "tower")).toMatchObject({ n: 1, record: undefined, verdict: "unsaid" });
    expect(measure(yard(weekly([{}])), "tower")!.record).toMatchObject({ path: "stages.tower.days", seasonal: false });
  });

  it("tells cultivars apart where lots name more than one", () => {
    const { cultivars, closed } = read(yard(weekly([{}, { lot: "red" }, { lot: "red" }]))).crops[0]!;
    expect(cultivars.map(({ cultivar, parts }) => [cultivar, parts[0]!.closed])).toEqual([
      ["plain", 1],
      ["red", 2],
    ]);
    expect(closed).toBe(3);
    expect(read(yard(weekly([{}]))).crops[0]!.cultivars).toEqual([]);
  });

  it("agrees with what lots and the plan read from the same batches", () => {
    const library = yard(
      weekly([
        { up: 90, plants: [90, 80] },
        { up: 70, plants: [70, 65] },
      ]),
    );
    const today = library.book.fields.edition;
    expect(measure(library, "germinated")!.middle! / 100).toBeCloseTo(
      germinationCounted(library, "plain", today)!.share,
      12,
    );
    expect(measure(library, "fit")!.middle! / 100).toBeCloseTo(
      usableMoved(library, { crop: "sorrel" }, today)!.share,
      12,
    );
    // Of cells with several seeds nobody knows how many came up.
    expect(measure(yard([{ sown: "2026-04-06", seeds: 5 }]), "germinated")).toBeUndefined();
    expect(measure(yard([{ sown: "2026-04-06", seeds: 5 }]), "filled")).toMatchObject({
      middle: 96,
      verdict: "unsaid",
    });
  });
});

describe("the verdict", () => {
  const verdict = (days: readonly number[], record?: string) =>
    measure(yard(weekly(days.map((one) => tower(one))), sorrel(record)), "tower")!.verdict;

  it("wants three closed batches, and goes by the middle one", () => {
    expect(verdict([30, 30])).toBe("few");
    expect(verdict([21, 21, 30])).toBe("inside");
    expect(verdict([21, 23, 30])).toBe("over");
    expect(verdict([18, 19, 21])).toBe("under");
  });
  it("takes a range as it stands, and a single figure with a day on either side", () => {
    expect(verdict([22, 22, 22])).toBe("inside");
    expect(verdict([23, 23, 23])).toBe("over");
    expect(verdict([22, 22, 22], "days: 21 days")).toBe("inside");
    expect(verdict([23, 23, 23], "days: 21 days")).toBe("over");
  });
  it("judges a share by its whole interval, and more than a standard is no fault", () => {
    const share = (up: number) =>
      measure(
        yard(
          weekly([
            { up, plants: [up, up] },
            { up, plants: [up, up] },
            { up, plants: [up, up] },
          ]),
        ),
        "germinated",
      )!.verdict;
    // Of 300: 252 is 84 %, 79.4 to 87.7; 258 is 86 %, 81.6 to 89.5; 210 is 70 %, 64.6 to 74.9.
    expect([share(84), share(86), share(70), share(100)]).toEqual(["unproven", "inside", "under", "inside"]);
  });
});
