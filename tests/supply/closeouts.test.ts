import { describe, expect, it } from "vitest";
import { halfOf } from "../../generator/closeouts/life.ts";
import { ageSaid, reviewsOf } from "../../generator/closeouts/reviews.ts";
import { thumbsOf } from "../../generator/closeouts/thumbs.ts";
import { type Closeouts, closeoutsOf } from "../../generator/closeouts.ts";
import type { Library } from "../../generator/library.ts";
import { stageDays } from "../../generator/plan/passage.ts";
import { addDays, dayNumber, type PlainDate } from "../../generator/science/calendar.ts";
import { bodyOf, checkCharacter, trayCode } from "../../generator/science/labels.ts";
import { germinationCounted, usableMoved } from "../../generator/supply/raised.ts";
import { libraryOf } from "./yard.ts";

/** Sorrel in three stages, 4 + 14 + 20–22 days; `more` is added to its record. */
const sorrel = (tower = "days: 20–22 days", more = "") => `name: Sorrel
botanical: Rumex acetosa
kind: leaf
code: SOR
status: tried
reviewed: 2027-01-01
eaten: [leaves]
seed: { standard: 80 %, usable: 90 %, cell: 1 }
stages:
  germination: { days: 4 days }
  tray: { days: 14 days }
  tower: { ${tower} }
cutting: { each: 30–40 g, regrowth: 7–9 days, window: 20–40 days }
${more}`;

const lot = (cultivar: string) => `crop: sorrel
cultivar: ${cultivar}
bought: 2025-01-01
treated: no
food: no`;

interface Sown {
  readonly sown: PlainDate;
  readonly tray?: number;
  readonly lot?: string;
  readonly seeds?: number;
  readonly cells?: number;
  readonly up?: number;
  /** Days in each stage. */
  readonly days?: readonly [germination: number, tray: number, tower: number];
  readonly plants?: readonly [tray: number, tower: number];
  readonly losses?: string;
  /** Grams, a week apart from the first cut. */
  readonly cuts?: readonly number[];
  /** Days after the first cut; `open` for a batch that is not closed. */
  readonly closed?: number | "open";
}

/** A batch of 100 cells that goes by the record, 96 up, 90 planted, three cuts of 3000 g, closed 30 days after the first. */
function batch(one: Sown): readonly [string, string] {
  const { sown, tray = 1, cells = 100, seeds = 1, up = 96, days = [4, 14, 21], plants = [up, 90] } = one;
  const body = trayCode({ crop: "SOR", sown, tray });
  const moved = addDays(sown, days[0]);
  const planted = addDays(moved, days[1]);
  const first = addDays(planted, days[2]);
  const cuts = (one.cuts ?? [3000, 3000, 3000]).map((grams, at) => `  ${addDays(first, 7 * at)}: ${grams} g`);
  const closed = one.closed ?? 30;
  return [
    `batches/${body.toLowerCase()}.md`,
    `code: ${body}-${checkCharacter(bodyOf(body))}
crop: sorrel
lot: ${one.lot ?? "plain"}
sown: ${sown}
cells: ${cells}
seeds: ${seeds}
counted: { on: ${moved}, up: ${up} }
moves:
  tray: { on: ${moved}, plants: ${plants[0]} }
  tower: { on: ${planted}, plants: ${plants[1]} }
${one.losses === undefined ? "" : `losses: ${one.losses}\n`}${cuts.length === 0 ? "" : `cuts:\n${cuts.join("\n")}\n`}${closed === "open" ? "" : `closed: ${addDays(first, closed)}`}`,
  ];
}

const yard = (batches: readonly Sown[], crop = sorrel(), records: Readonly<Record<string, string>> = {}): Library =>
  libraryOf({
    "crops/sorrel.md": crop,
    "lots/plain.md": lot("plain"),
    "lots/red.md": lot("red"),
    ...Object.fromEntries(batches.map(batch)),
    ...records,
  });

const read = (library: Library, uses = 0): Closeouts => closeoutsOf(library, new Map([["sorrel", uses]]));
const part = (library: Library, half: "summer" | "winter" = "summer") =>
  read(library).crops[0]!.parts.find((one) => one.half === half)!;
const measure = (library: Library, what: string, half: "summer" | "winter" = "summer") =>
  part(library, half)?.measures.find((one) => one.what === what || one.stage === what);

/** Summer sowings a week apart. */
const weekly = (all: readonly Omit<Sown, "sown">[]): readonly Sown[] =>
  all.map((one, at) => ({ sown: addDays("2026-04-06", 7 * at), ...one }));
const tower = (days: number, more: Omit<Sown, "sown"> = {}): Omit<Sown, "sown"> => ({ days: [4, 14, days], ...more });

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

describe("suggestions", () => {
  const asks = (library: Library, uses = 1) =>
    read(library, uses).suggestions.map(({ kind, about }) => [
      kind,
      about?.measure.stage ?? about?.measure.what,
      about?.now?.text,
    ]);
  const days = (all: readonly number[], record?: string) => yard(weekly(all.map((one) => tower(one))), sorrel(record));

  it("ask for a review from three closed batches on the same side, and for none below", () => {
    expect(asks(days([21, 24, 25]))).toContainEqual(["wider", "tower", "20–25\u202fdays"]);
    expect(asks(days([24, 24, 25]))).toContainEqual(["review", "tower", "20–25\u202fdays"]);
    const open = yard(weekly([tower(24), tower(24), tower(25, { closed: "open" })]));
    expect(asks(open).filter(([kind]) => kind === "review")).toEqual([]);
  });
  it("move a figure only when five batches are all beyond it, and widen it until then", () => {
    expect(asks(days([24, 24, 25, 26]))).toContainEqual(["review", "tower", "20–26\u202fdays"]);
    expect(asks(days([24, 24, 25, 26, 27]))).toContainEqual(["review", "tower", "24–27\u202fdays"]);
    expect(asks(days([21, 24, 25, 26, 27]))).toContainEqual(["review", "tower", "20–27\u202fdays"]);
  });
  it("narrow a range only from five batches on", () => {
    const wide = "days: 10–40 days";
    expect(asks(days([20, 21, 22, 23], wide)).filter(([kind]) => kind === "narrower")).toEqual([]);
    expect(asks(days([20, 21, 22, 23, 24], wide))).toContainEqual(["narrower", "tower", "20–24\u202fdays"]);
  });
  it("leave the other half of the year alone: days without a season get days of their own", () => {
    const path = (record: string) =>
      read(days([25, 25, 25], record)).suggestions.find(({ about }) => about?.measure.stage === "tower")!.about!.now!
        .path;
    expect(path("days: 20–22 days")).toBe("stages.tower.summer");
    expect(path("days: 20–22 days, winter: 30 days")).toBe("stages.tower.days");
    expect(path("summer: 20–22 days, winter: 30 days")).toBe("stages.tower.summer");
  });
  it("move a figure of the whole year only by batches of both its halves", () => {
    const light = { cuts: [1800, 1800, 1800] };
    const summer = weekly([light, light, light, light, light]);
    // 5400 g ÷ 90 plants ÷ 3 cuts = 20 g.
    expect(asks(yard(summer))).toContainEqual(["review", "cut", "20–40\u202fg"]);
    expect(asks(yard([...summer, { sown: "2026-10-05", ...light }]))).toContainEqual(["review", "cut", "20\u202fg"]);
  });
  it("say that batches differ too much only where the plan leans on the figure", () => {
    const spread = days([20, 21, 22, 40]);
    expect(asks(spread, 1)).toContainEqual(["spread", "tower", undefined]);
    expect(asks(spread, 0).filter(([kind]) => kind === "spread")).toEqual([]);
  });
  it("name a crop that the plan leans on and hardly a closed batch shows", () => {
    expect(asks(yard(weekly([{}, {}])), 2)).toContainEqual(["few", undefined, undefined]);
    expect(asks(yard(weekly([{}, {}, {}])), 2)).not.toContainEqual(["few", undefined, undefined]);
    expect(asks(yard([]), 2)).toEqual([["few", undefined, undefined]]);
  });
  it("stand with the strongest first, and in a kind with what the plan leans on most", () => {
    const kinds = read(days([24, 24, 24, 44]), 1).suggestions.map(({ kind }) => kind);
    expect(kinds).toEqual([...kinds].sort((a, b) => order.indexOf(a) - order.indexOf(b)));
    expect(new Set(kinds).size).toBeGreaterThan(1);
  });
  const order: string[] = ["review", "spread", "wider", "narrower", "few"];
});

describe("halfOf(day, latitude)", () => {
  it("is the half of the year that the plan reads a stage's days by", () => {
    const stage = { name: "tower", summer: 1, winter: 2 } as const;
    for (const latitude of [52, -37])
      for (let month = 1; month <= 12; month++) {
        const day = `2026-${String(month).padStart(2, "0")}-15`;
        const planned = stageDays(stage, dayNumber(day), latitude) === 1 ? "summer" : "winter";
        expect(halfOf(day, latitude), `${day} at ${latitude}`).toBe(planned);
      }
  });
});

describe("reviewsOf(library)", () => {
  const old = (reviewed: string) => yard([], sorrel().replace("2027-01-01", reviewed));
  const records = (library: Library) => reviewsOf(library).old.map(({ record, age }) => [record, age]);
  it("has what was last looked at a year before the edition or earlier, the oldest first", () => {
    expect(records(old("2026-04-12"))).toEqual([["crops/sorrel", "1 year"]]);
    expect(records(old("2026-04-13"))).toEqual([]);
    const lots = { "lots/plain.md": `${lot("plain")}\ntests: { 2025-02-10: { up: 9, sown: 10 } }` };
    expect(records(yard([], sorrel().replace("2027-01-01", "2026-01-10"), lots))).toEqual([
      ["lots/plain", "2 years and 2 months"],
      ["crops/sorrel", "1 year and 3 months"],
    ]);
  });
  it("names what has no day, and goes by the last test of a lot", () => {
    expect(reviewsOf(yard([])).never.map(({ record }) => record)).toEqual(["lots/plain", "lots/red"]);
    const tested = `${lot("red")}\ntests: { 2025-02-10: { up: 9, sown: 10 }, 2027-02-10: { up: 9, sown: 10 } }`;
    const { old: late, never } = reviewsOf(yard([], undefined, { "lots/red.md": tested }));
    expect([late, never.map(({ record }) => record)]).toEqual([[], ["lots/plain"]]);
  });
  it("asks no more of a lot that a newer one of the same sort has followed", () => {
    const newer = lot("red").replace("2025-01-01", "2026-01-01");
    expect(reviewsOf(yard([], undefined, { "lots/fresh.md": newer })).never.map(({ record }) => record)).toEqual([
      "lots/plain",
      "lots/fresh",
    ]);
  });
  it.each([
    ["2026-04-12", "2027-04-12", "1 year"],
    ["2024-02-29", "2027-02-28", "3 years"],
    ["2026-12-31", "2027-02-28", "2 months"],
    ["2027-04-01", "2027-04-12", "11 days"],
  ])("says from %s to %s as %s", (from, to, said) => expect(ageSaid(from, to)).toBe(said));
});

describe("thumbsOf(library)", () => {
  const guide = (more: string) =>
    `title: Sayings\nsummary: What people say\nrules:\n  larger: { says: They grow larger${more} }`;
  const thumbs = (library: Library) => thumbsOf(library, read(library).crops);
  it("sets beside a saying what the yard has, and says plainly what cannot be told", () => {
    const library = yard(weekly([{}]), undefined, { "guides/g.md": guide(", against: a field plot, beside: weight") });
    expect(thumbs(library)).toMatchObject([
      {
        says: "They grow larger",
        basis: "common-practice",
        cited: [],
        beside: [{ label: "Sorrel, summer", text: "100\u202fg; 1 batch", record: "crops/sorrel" }],
        cannot: "To tell, it would take a field plot, and none is on record here. So this cannot be told.",
      },
    ]);
  });
  it("has nothing beside it where the yard has nothing, and asks for no comparison that the guide does not", () => {
    const library = yard([], undefined, { "guides/g.md": guide(", beside: water") });
    expect(thumbs(library)).toMatchObject([{ beside: [], cannot: undefined }]);
  });
});
