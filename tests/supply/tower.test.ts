import { beforeAll, describe, expect, it } from "vitest";
import type { Library } from "../../generator/library.ts";
import { load } from "../../generator/node.ts";
import { allSums } from "../../generator/sums.ts";
import { sumOf } from "../../generator/supply/index.ts";

let library: Library;
beforeAll(async () => {
  library = (await load("content")).library!;
});

describe("a tower's record", () => {
  it("keeps a pinned crop in its port", () => {
    const tower = library.gear.get("towers")!;
    const { outcome, input } = sumOf(library, "tower-layout", { gear: [tower] });
    expect(input.pins).toEqual([{ crop: "parsley", tier: 1, face: "N" }]);
    expect((outcome.answer.map as Record<string, Record<string, string>>)["1"]!.N).toBe("parsley");
  });

  it("says how it stands in the gust that the record expects, with what is on it and a full base", () => {
    const placed = [...allSums(library)].find(
      ([page, { worksheet }]) => page === "gear/towers" && worksheet === "gust-check",
    );
    const { input, outcome, basis } = placed![1];
    expect(input).toMatchObject({ gust: 14, baseLitres: 40, baseRadius: 0.28 });
    // Half of 1.225 × 0.75 m² × 14² × 1.15 m; and (40 L + 6 + 9 kg + plants) × 9.81 × 0.28 m.
    expect(outcome.answer.overturning).toBeCloseTo(0.5 * 1.225 * 0.75 * 196 * 1.15, 6);
    expect(outcome.answer.restoring).toBeCloseTo((55 + (input.plantsKg as number)) * 9.81 * 0.28, 6);
    expect(basis).toBe("demo");
  });

  it("is not asked about a gust that nobody recorded", () => {
    const pages = [...allSums(library)].filter(([, { worksheet }]) => worksheet === "gust-check").map(([page]) => page);
    expect(pages).toEqual(["gear/towers"]);
  });

  it("plants the tower of tomatoes, all in its three lowest tiers", () => {
    const { outcome } = sumOf(library, "tower-layout", { gear: [library.gear.get("tower-bucket")!] });
    expect(outcome.refusal).toBeNull();
    const map = outcome.answer.map as Record<string, Record<string, string | null>>;
    const tiers = Object.entries(map).filter(([, faces]) => Object.values(faces).includes("tomato-cherry"));
    expect(tiers.every(([tier]) => Number(tier) <= 3)).toBe(true);
  });
});
