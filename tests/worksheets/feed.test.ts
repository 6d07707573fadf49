import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { species } from "../../generator/science/ions.ts";
import { elements, parts } from "../../generator/science/solution.ts";
import { feedRecipe } from "../../generator/worksheets/feed.ts";
import { shelf } from "../../generator/worksheets/shelf.ts";
import { numbersIn, type Outcome, run } from "../../generator/worksheets/worksheet.ts";

// biome-ignore lint/suspicious/noExplicitAny: an answer is plain JSON; each test says what it looks at
type Answer = any;

const rain = { NO3N: 0, NH4N: 0, P: 0, K: 0.5, Ca: 3, Mg: 0.5, S: 1, Na: 4, Cl: 6, HCO3: 12 };
const recipe = {
  targets: { N: 150, P: 40, K: 190, Ca: 130, Mg: 36 },
  water: rain,
  salts: [
    "calcium-nitrate",
    "monopotassium-phosphate",
    "magnesium-sulphate",
    "potassium-nitrate",
    "potassium-sulphate",
  ],
};

function answered(input: unknown): Outcome & { readonly answer: Answer } {
  const result = run(feedRecipe, input);
  if ("faults" in result) throw new Error(JSON.stringify(result.faults));
  return result.outcome;
}

function faults(input: unknown): readonly string[] {
  const result = run(feedRecipe, input);
  return "faults" in result ? result.faults.map(({ field }) => field) : [];
}

const said = ({ notes, refusal }: Outcome) => [...notes.map(({ text }) => text), refusal?.why ?? ""].join("\n");

describe("a recipe that can be mixed", () => {
  const { answer } = answered(recipe);

  it("works the feed out again from what is weighed", () => {
    const grams = answer.tubs.A["calcium-nitrate"];
    expect(grams).toBe(6684);
    expect(answer.deliveredWeighed.Ca).toBeCloseTo(3 + (grams / 10) * 0.19, 9);
    const coarse = answered({ ...recipe, stock: { scaleDivisionGrams: 100 } }).answer;
    expect(coarse.tubs.B["potassium-sulphate"]).toBe(200);
    expect(coarse.deliveredWeighed.K).toBeCloseTo(0.5 + 180 * 0.282 + 340 * 0.384 + 20 * 0.432, 9);
  });

  it("evens the tubs without changing what goes in", () => {
    const { tubs, evened, moveNitrateKg } = answer;
    expect(evened.A["potassium-nitrate"]).toBe(Math.round(1000 * moveNitrateKg));
    expect(evened.A["potassium-nitrate"] + evened.B["potassium-nitrate"]).toBe(tubs.B["potassium-nitrate"]);
    const mass = (tub: Record<string, number>) => Object.values(tub).reduce((sum, grams) => sum + grams, 0);
    expect(Math.abs(mass(evened.A) - mass(evened.B))).toBeLessThanOrEqual(2);
    expect(evened.B["potassium-sulphate"]).toBe(tubs.B["potassium-sulphate"]);
  });

  it("says what goes in first: the salt nearest to its limit", () => {
    expect(answer.order).toEqual({
      A: ["calcium-nitrate"],
      B: ["potassium-nitrate", "monopotassium-phosphate", "magnesium-sulphate", "potassium-sulphate"],
    });
  });

  it("gives the EC that a meter should show as a band around a figure", () => {
    expect(answer.ecExpectedLow).toBeLessThan(answer.ecExpected);
    expect(answer.ecExpectedHigh).toBeGreaterThan(answer.ecExpected);
    expect(answer.ecExpected).toBeCloseTo(1.69, 2);
  });

  it("survives JSON", () => {
    const outcome = answered(recipe);
    expect(JSON.parse(JSON.stringify(outcome))).toEqual(outcome);
  });

  it("tells that EC cannot tell which element is missing", () => {
    expect(said(answered(recipe))).toContain("EC cannot tell which element is missing");
  });

  it("keeps weights and cost apart: no price, no cost", () => {
    expect(answer.costPerM3).toBeNull();
    const priced = recipe.salts.map((id) => ({ id, pricePerKg: 2 }));
    const { costPerM3, costPerPortDay } = answered({ ...recipe, salts: priced, litresPerPortDay: 0.2 }).answer;
    expect(costPerM3).toBeCloseTo((2 * (668.421 + 176.2115 + 362.2449 + 338.6477 + 22.6103)) / 1000, 3);
    expect(costPerPortDay).toBeCloseTo((costPerM3 * 0.2) / 1000, 12);
  });
});

describe("a recipe that must not be mixed", () => {
  const short = answered({ ...recipe, salts: recipe.salts.slice(0, 3) });
  const cold = answered({ ...recipe, stock: { ratioPercent: 0.2 } });
  const sludge = answered({ ...recipe, salts: ["calcium-nitrate", { id: "magnesium-sulphate", tub: "A" }] });

  it.each([
    ["short", short, "short"],
    ["too strong for a cold night", cold, "dissolve"],
    ["calcium with sulphate in a tub", sludge, "calcium"],
  ])("prints no weights anywhere: %s", (_, outcome, word) => {
    expect(outcome.verdict).toBe("refuse");
    expect(said(outcome).toLowerCase()).toContain(word);
    expect(outcome.answer.tubs).toBeNull();
    expect(outcome.answer.evened).toBeNull();
    expect(outcome.answer.order).toBeNull();
    expect(outcome.answer.deliveredWeighed).toBeNull();
    for (const line of outcome.working) expect(line).not.toMatch(/[\d.]\s?(k?g|g\/m³|g\/L)\b/u);
  });

  it("answers nothing at all where a tub would turn to sludge", () => {
    expect(Object.values(sludge.answer).every((value) => value === null)).toBe(true);
    expect(sludge.refusal).toMatchObject({ by: null, nearest: {} });
  });

  it("refuses a miss before it looks at the tubs", () => {
    const both = answered({ ...recipe, salts: recipe.salts.slice(0, 3), stock: { ratioPercent: 0.02 } });
    expect(both.refusal?.nearest).toHaveProperty("element");
    expect(said(both)).toContain("cold");
  });

  it("says blend where the water is what overshoots", () => {
    const hard = answered({ ...recipe, targets: { ...recipe.targets, Ca: 100 }, water: { ...rain, Ca: 150 } });
    expect(said(hard)).toMatch(/Ca is over .* blend/);
    expect(hard.answer.excess.Ca).toBe(50);
  });
});

describe("warnings of a recipe", () => {
  it.each([
    ["not measured", { water: { ...rain, Na: null } }],
    ["sodium", { water: { ...rain, Na: 60 } }],
    ["chloride", { water: { ...rain, Cl: 90 } }],
    [
      "sulphur",
      {
        salts: ["calcium-nitrate", "monopotassium-phosphate", "magnesium-nitrate", "potassium-nitrate"],
      },
    ],
    ["not checked", { salts: [...recipe.salts, "magnesium-nitrate"] }],
    [
      "ammonium",
      {
        salts: [
          "calcium-nitrate",
          "monoammonium-phosphate",
          "magnesium-sulphate",
          "potassium-nitrate",
          "potassium-sulphate",
        ],
      },
    ],
    ["scale", { stock: { scaleDivisionGrams: 20 } }],
    ["over", { water: { ...rain, Mg: 37 } }],
    ["near", { targets: { ...recipe.targets, N: 150, K: 190, Mg: 36, P: 40 }, water: { ...rain, Ca: 139 } }],
    ["balance", { water: { ...rain, HCO3: 250 } }],
    ["alkalinity", {}],
  ])("%s", (word, change) => {
    const outcome = answered({ ...recipe, ...change });
    expect(said(outcome).toLowerCase()).toContain(word);
    expect(outcome.notes.some(({ level, text }) => level === "warn" && text.toLowerCase().includes(word))).toBe(true);
  });

  it("overshoot, when least squares is chosen where it is not advised", () => {
    const outcome = answered({ ...recipe, salts: recipe.salts.slice(0, 3), method: "least-squares" });
    expect(outcome.answer.leastSquares.advised).toBe(false);
    expect(said(outcome)).toContain("overshoot");
  });
});

describe("an input that is not well put", () => {
  it.each([
    ["targets.N", { targets: { ...recipe.targets, N: 601 } }],
    ["targets.P", { targets: { ...recipe.targets, P: -1 } }],
    ["targets.Mg", { targets: { N: 1, P: 1, K: 1, Ca: 1 } }],
    ["water.Ca", { water: { Ca: 1001 } }],
    ["water.Fe", { water: { Fe: 1 } }],
    ["salts", { salts: [] }],
    ["salts[1].id", { salts: ["calcium-nitrate", "calcium-nitrate"] }],
    ["salts[0].fractions", { salts: ["unheard-of"] }],
    ["salts[0].fractions.Ca", { salts: [{ id: "x", fractions: { Ca: 1.1 } }] }],
    ["salts[0].fractions", { salts: [{ id: "x", fractions: { Ca: 0 } }] }],
    ["salts[0].solubility.warm", { salts: [{ id: "x", fractions: { K: 0.1 }, solubility: { warm: 1 } }] }],
    ["salts[0].tub", { salts: [{ id: "calcium-nitrate", tub: "D" }] }],
    ["stock.heads", { salts: [{ id: "potassium-nitrate", tub: "C" }] }],
    ["stock.heads", { stock: { heads: 1 } }],
    ["stock.ratioPercent", { stock: { ratioPercent: 0 } }],
    ["stock.ratioPercent", { stock: { ratioPercent: Number.NaN } }],
    ["stock.tank", { stock: { tank: 100 } }],
    ["weights.N", { weights: { N: 11 } }],
    ["nitricAcidMeq", { nitricAcidMeq: 11 }],
    ["litresPerPortDay", { litresPerPortDay: "2" }],
    ["method", { method: "guess" }],
    ["extra", { extra: 1 }],
  ])("names %s", (field, change) => {
    expect(faults({ ...recipe, ...change })).toContain(field);
  });

  it("is told all at once", () => {
    expect(faults({ targets: { N: 700 }, water: { Ca: -1 }, salts: [{ id: "x" }] })).toEqual(
      expect.arrayContaining(["targets.N", "targets.P", "water.Ca", "salts[0].fractions"]),
    );
  });
});

describe("any recipe within its bounds", () => {
  // Finer than a billionth is no everyday number, and is turned away.
  const upTo = (max: number) => fc.double({ min: 0, max, noNaN: true }).map((value) => (value < 1e-9 ? 0 : value));
  const blank = <Value>(value: fc.Arbitrary<Value>) => fc.option(value, { nil: undefined });
  const record = (names: readonly string[], value: fc.Arbitrary<unknown>) =>
    fc.record(Object.fromEntries(names.map((name) => [name, value])));
  const own = fc
    .record({
      fractions: record(parts, blank(upTo(1))),
      tub: blank(fc.constantFrom("A", "B", "C")),
      pricePerKg: blank(upTo(50)),
    })
    .filter(({ fractions }) => Object.values(fractions).some((share) => Number(share) > 0));
  const salts = fc
    .uniqueArray(fc.oneof(fc.constantFrom(...shelf.keys()), own), { minLength: 1, maxLength: 12 })
    .map((list) => list.map((salt, index) => (typeof salt === "string" ? salt : { ...salt, id: `own.salt ${index}` })));
  const input = fc.record({
    targets: fc.record({ N: upTo(600), P: upTo(300), K: upTo(600), Ca: upTo(500), Mg: upTo(300) }),
    water: record(species, blank(upTo(1000))),
    salts,
    stock: fc.record({
      ratioPercent: fc.double({ min: 0.001, max: 10, noNaN: true }),
      ratioMeans: fc.constantFrom("in", "to"),
      heads: fc.constant(3),
      tankLitres: fc.double({ min: 0.001, max: 2000, noNaN: true }),
      scaleDivisionGrams: fc.double({ min: 0.001, max: 100, noNaN: true }),
      coldestTempC: fc.double({ min: -1, max: 45, noNaN: true }).map((value) => (Math.abs(value) < 1e-9 ? 0 : value)),
    }),
    method: fc.constantFrom("stepwise", "least-squares"),
    weights: record(elements, blank(upTo(10))),
    nitricAcidMeq: upTo(10),
    litresPerPortDay: blank(upTo(20)),
  });

  it("is ok, warned or refused, with figures that are figures and no negative mass", () => {
    fc.assert(
      fc.property(input, (given) => {
        const outcome = answered(given);
        expect(["ok", "warn", "refuse"]).toContain(outcome.verdict);
        for (const [path, figure] of numbersIn(outcome.answer)) {
          expect(Number.isFinite(figure), path).toBe(true);
          expect(outcome.units, path).toHaveProperty([path]);
          if (/gramsPerM3|tubs|evened|tubKg|moveNitrate|share/.test(path) && !path.endsWith("Percent")) {
            expect(figure, path).toBeGreaterThanOrEqual(0);
          }
        }
        expect(outcome.working.length).toBeGreaterThan(0);
        for (const line of [...outcome.working, said(outcome)]) expect(line).not.toMatch(/NaN|Infinity|undefined|null/);
        expect(outcome.answer.tubs === null).toBe(outcome.verdict === "refuse");
      }),
      { numRuns: 400 },
    );
  });

  it("names the field that lies outside", () => {
    const outside = fc.oneof(
      fc.double({ min: 1e-6, max: 1e6, noNaN: true }).map((beyond) => 600 + beyond),
      fc.double({ max: -1e-6, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.constantFrom("N", "K"), outside, (element, value) => {
        expect(faults({ ...recipe, targets: { ...recipe.targets, [element]: value } })).toEqual([`targets.${element}`]);
      }),
    );
  });
});
