import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { editDistance, nearest } from "../../generator/records/nearest.ts";

describe("nearest", () => {
  it("names what was most likely meant", () => {
    expect(nearest("sampeld", ["sampled", "safe", "name"])).toBe("sampled");
    expect(nearest("PH", ["ec", "ph"])).toBe("ph");
    expect(nearest("lettuse", ["basil", "lettuce"])).toBe("lettuce");
    expect(nearest("trust", ["tried", "trusted"])).toBe("trusted");
  });

  it("is silent rather than far off", () => {
    expect(nearest("aroma", ["air", "roots"])).toBeUndefined();
    expect(nearest("Se", ["S", "Fe"])).toBeUndefined();
    expect(nearest("tr", ["trial", "tray"])).toBeUndefined();
    expect(nearest("tra", ["trial", "tray", "train"])).toBe("tray");
    expect(nearest("germ", ["germination", "germinated"])).toBeUndefined();
    expect(nearest("x", [])).toBeUndefined();
  });
});

describe("editDistance", () => {
  it("counts letters put in, left out, changed and swapped", () => {
    expect(editDistance("", "abc")).toBe(3);
    expect(editDistance("tray", "ray")).toBe(1);
    expect(editDistance("tray", "trey")).toBe(1);
    expect(editDistance("tray", "tary")).toBe(1);
    // Optimal string alignment does not edit a swapped pair again: "ca" to "abc" is 3, not 2 (Boytsov 2011, section 2.2).
    expect(editDistance("ca", "abc")).toBe(3);
  });

  it("is nought only for the same, the same both ways, and at most the longer", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 12 }), fc.string({ maxLength: 12 }), (a, b) => {
        const distance = editDistance(a, b);
        expect(distance).toBe(editDistance(b, a));
        expect(distance === 0).toBe(a === b);
        expect(distance).toBeLessThanOrEqual(Math.max(a.length, b.length));
        expect(distance).toBeGreaterThanOrEqual(Math.abs(a.length - b.length));
      }),
    );
  });
});
