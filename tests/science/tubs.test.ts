import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { molarMass } from "../../generator/science/chemistry.ts";
import {
  asHydrate,
  dosingRatio,
  nitrateToMove,
  sludge,
  smallestWeighable,
  solubility,
  solubilityAt,
  type TubSalt,
  toWeighable,
  treats,
} from "../../generator/science/tubs.ts";
import { blended, shareFor } from "../../generator/science/water.ts";
import { shelf } from "../../generator/worksheets/shelf.ts";
import { printed } from "./printed.ts";

const source = printed("solubility");
const points = (id: string) => shelf.get(id)?.solubility ?? [];
const salts = (...ids: string[]): readonly TubSalt[] => ids.map((id) => shelf.get(id)!);

describe("solubilityAt", () => {
  const table = [
    [0, 100],
    [10, 200],
    [20, 250],
  ] as const;
  it("goes through the points, straight between them and level beyond them", () => {
    expect([-5, 0, 5, 10, 15, 20, 35].map((temperature) => solubilityAt(table, temperature))).toEqual([
      100, 100, 150, 200, 225, 250, 250,
    ]);
    expect(solubilityAt([[5, 80]], 12)).toBe(80);
    expect(solubilityAt([], 5)).toBeUndefined();
  });
});

describe("the shelf's working limits", () => {
  // The shelf counts g in a litre where the tables count g in a kilogram of water: on the careful side by a few percent.
  it.each([
    ["potassium-nitrate", "SOLU-KNO3"],
    ["monopotassium-phosphate", "SOLU-KH2PO4"],
  ])("%s: ten times the g per 100 g of water that handbooks print, to their last digit", (id, row) => {
    const { inputs, expected } = source.row(row);
    for (const [temperature, grams] of points(id)) {
      const figure = expected.g_per_100g_water[inputs.t_C.indexOf(temperature)];
      if (figure !== undefined) expect(Math.abs(grams - 10 * figure), `${temperature} °C`).toBeLessThanOrEqual(0.5);
    }
  });

  it.each([
    ["calcium-nitrate", "SOLU-CANO3", "Ca(NO3)2", "Ca(NO3)2·4H2O"],
    ["magnesium-sulphate", "SOLU-MGSO4", "MgSO4", "MgSO4·7H2O"],
  ])("%s: less than its hydrate dissolves", (id, row, anhydrous, hydrate) => {
    const { inputs, expected } = source.row(row);
    const mass = { anhydrous: molarMass(anhydrous), hydrate: molarMass(hydrate) };
    for (const [temperature, grams] of points(id)) {
      const figure = expected.g_per_100g_water[inputs.t_C.indexOf(temperature)];
      if (figure !== undefined) expect(grams).toBeLessThan(10 * asHydrate(figure, mass));
    }
  });

  it("leaves no published value unasked", () => expect([...source.left]).toEqual([]));
});

describe("asHydrate", () => {
  it("counts the hydrate's own water: 33.7 g of MgSO4 to 100 g of water is about 106 g of heptahydrate to 100 g added", () => {
    const mass = { anhydrous: molarMass("MgSO4"), hydrate: molarMass("MgSO4·7H2O") };
    expect(Math.abs(asHydrate(33.7, mass) - 106)).toBeLessThan(1);
    expect(() => asHydrate(96, mass)).toThrow(RangeError);
  });
  it("keeps the ratio of salt to all the water", () => {
    const mass = { anhydrous: 120.361, hydrate: 246.466 };
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 80, noNaN: true }), (anhydrous) => {
        const hydrate = asHydrate(anhydrous, mass);
        const salt = (hydrate * mass.anhydrous) / mass.hydrate;
        expect((100 * salt) / (100 + hydrate - salt)).toBeCloseTo(anhydrous, 9);
      }),
    );
  });
});

describe("a tank of concentrate", () => {
  it("makes 10 m³ of feed from 100 L at 1 %, 10.2 where the machine means 1 part to 100 with two heads", () => {
    expect(treats(100, dosingRatio({ percent: 1, means: "in", heads: 2 }))).toBeCloseTo(10, 12);
    expect(treats(100, dosingRatio({ percent: 1, means: "to", heads: 2 }))).toBeCloseTo(10.2, 12);
  });

  it("may not hold calcium with phosphate or sulphate", () => {
    const [calcium, phosphate] = salts("calcium-nitrate", "monopotassium-phosphate") as [TubSalt, TubSalt];
    expect(sludge([calcium, phosphate])).toEqual([]);
    expect(sludge([calcium, { ...phosphate, tub: "A" }])).toEqual(["A"]);
  });

  it("is evened by half the difference, or by all the nitrate there is", () => {
    expect(nitrateToMove({ inB: 3.386, tubA: 6.684, tubB: 8.997 })).toBeCloseTo(1.1565, 4);
    expect(nitrateToMove({ inB: 0.5, tubA: 1, tubB: 9 })).toBe(0.5);
    expect(nitrateToMove({ inB: 3, tubA: 9, tubB: 8 })).toBe(0);
  });

  it("is weighed to the division, half up", () => {
    expect([6684.21, 0.5, 0.49].map((grams) => toWeighable(grams, 1))).toEqual([6684, 1, 0]);
    expect(toWeighable(12.5, 5)).toBe(15);
    expect(smallestWeighable(0.1)).toBeCloseTo(2.5, 12);
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        fc.constantFrom(0.01, 0.1, 1, 5, 50),
        (grams, division) => {
          expect(Math.abs(toWeighable(grams, division) - grams)).toBeLessThanOrEqual(division / 2 + 1e-9);
        },
      ),
    );
  });
});

describe("solubility", () => {
  const list = salts("potassium-nitrate", "potassium-sulphate", "magnesium-nitrate");
  it("adds the shares of salts with an ion in common, and leaves out what is not recorded", () => {
    const found = solubility(list, [340, 80, 500], 0.01, 5);
    expect(found.perSalt[0]).toEqual({ gramsPerLitre: 34, limit: 136, share: 0.2 });
    expect(found.perSalt[2]).toEqual({ gramsPerLitre: 50, limit: undefined, share: undefined });
    expect(found.shared.get("B")?.K).toBeCloseTo(34 / 170 + 8 / 80, 12);
    expect(found.worst).toEqual({ share: expect.closeTo(0.3, 12), at: { ion: "K", tub: "B" } });
    // 0.8 ÷ 0.3 of a hundredfold concentrate
    expect(found.maxConcentration).toBe(266);
  });
  it("says nothing where nothing is recorded or nothing is in the tub", () => {
    expect(solubility(salts("magnesium-nitrate"), [500], 0.01, 5).worst).toBeUndefined();
    expect(solubility(list, [0, 0, 0], 0.01, 5).maxConcentration).toBeUndefined();
  });
  it("grows with the masses and with the strength of the concentrate", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 2000, noNaN: true }),
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        (mass, percent) => {
          const at = (grams: number, ratio: number) => solubility(list, [grams, grams, 0], ratio, 5).worst!.share;
          expect(at(2 * mass, percent / 100)).toBeCloseTo(2 * at(mass, percent / 100), 6);
          expect(at(mass, percent / 200)).toBeCloseTo(2 * at(mass, percent / 100), 6);
        },
      ),
    );
  });
});

describe("a blend of waters", () => {
  it("bounds the share of mains from above, from below, or not at all", () => {
    expect(shareFor({ limit: 61, mains: 317, rain: 12 }).most).toBeCloseTo(49 / 305, 12);
    expect(shareFor({ limit: 5, mains: 2, rain: 8 })).toEqual({ least: 0.5 });
    expect(shareFor({ limit: 10, mains: 2, rain: 8 })).toEqual({});
    expect(shareFor({ limit: 10, mains: 8, rain: 8 })).toEqual({});
  });
  it("lies between its waters, and at the bound on the limit", () => {
    const level = fc.double({ min: 0, max: 2000, noNaN: true });
    fc.assert(
      fc.property(level, level, level, fc.double({ min: 0, max: 1, noNaN: true }), (mains, rain, limit, share) => {
        const mixed = blended(mains, rain, share)!;
        expect(mixed).toBeGreaterThanOrEqual(Math.min(mains, rain) - 1e-9);
        expect(mixed).toBeLessThanOrEqual(Math.max(mains, rain) + 1e-9);
        const { most, least } = shareFor({ limit, mains, rain });
        const bound = most ?? least;
        if (bound !== undefined && bound >= 0 && bound <= 1) expect(blended(mains, rain, bound)).toBeCloseTo(limit, 6);
      }),
    );
    expect(blended(undefined, 3, 0.5)).toBeUndefined();
  });
});
