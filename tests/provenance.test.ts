import { describe, expect, it } from "vitest";
import { bases, covers, sourcesOf, strongest, weakest } from "../generator/provenance.ts";

const sources = {
  "common-practice": "*" as const,
  "a-paper": ["ph", "stages.seedling"],
  "a-trial": ["stages.seedling.ec"],
  "another-paper": ["ph"],
};

describe("sourcesOf(path, sources)", () => {
  it("falls back to what covers everything", () =>
    expect(sourcesOf("light.need", sources)).toEqual(["common-practice"]));
  it("lets a mapping cover what is in it", () =>
    expect(sourcesOf("stages.seedling.days", sources)).toEqual(["a-paper"]));
  it("lets the closest name win", () => expect(sourcesOf("stages.seedling.ec", sources)).toEqual(["a-trial"]));
  it("lets two stand that name it equally closely", () =>
    expect(sourcesOf("ph", sources)).toEqual(["a-paper", "another-paper"]));
  it("takes no part of a name for the name", () => expect(sourcesOf("phase", sources)).toEqual(["common-practice"]));
  it("finds none where none covers it", () => expect(sourcesOf("light", { "a-paper": ["ph"] })).toEqual([]));
});

describe("covers(name, path)", () => {
  it("holds for the field and what is below it", () => {
    expect([covers("ec", "ec"), covers("ec", "ec.tolerated"), covers("ec.tolerated", "ec"), covers("e", "ec")]).toEqual(
      [true, true, false, false],
    );
  });
});

describe("weakest and strongest", () => {
  it("order published, own trial, common practice, memory, demo", () => {
    for (const [place, basis] of bases.entries()) {
      expect(weakest(bases.slice(0, place + 1))).toBe(basis);
      expect(strongest(bases.slice(place))).toBe(basis);
    }
  });
  it("have nothing to say of nothing", () => {
    expect(() => weakest([])).toThrow(RangeError);
    expect(strongest([])).toBeUndefined();
  });
});
