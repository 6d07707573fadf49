import { describe, expect, it } from "vitest";
import { halfOf } from "../../generator/closeouts/life.ts";
import { ageSaid, reviewsOf } from "../../generator/closeouts/reviews.ts";
import { thumbsOf } from "../../generator/closeouts/thumbs.ts";
import type { Library } from "../../generator/library.ts";
import { stageDays } from "../../generator/plan/passage.ts";
import { dayNumber } from "../../generator/science/calendar.ts";
import { lot, read, sorrel, tower, weekly, yard } from "./sorrel.ts";

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
