import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  atoms,
  charge,
  type Ion,
  ionCharges,
  ionsOf,
  massFraction,
  molarMass,
  netCharge,
} from "../../generator/science/chemistry.ts";
import { atomicWeights, type Element } from "../../generator/science/weights.ts";
import { halfDigit, printed } from "./printed.ts";

const source = printed("weights");
const of = (kind: string) => source.of(kind);

describe("atomicWeights", () => {
  it.each(of("AW"))("$cited, as $citation prints it", ({ inputs, expected }) => {
    expect(atomicWeights[inputs.element as Element]).toBe(expected.Ar);
  });
});

describe("molarMass", () => {
  it.each(of("FW"))("$cited: to half of the last digit", ({ inputs, expected }) => {
    expect(Math.abs(molarMass(inputs.formula) - expected.FW_g_per_mol)).toBeLessThanOrEqual(
      halfDigit(expected.FW_g_per_mol),
    );
  });

  it("takes a worked example step by step", () => {
    expect(Object.fromEntries(atoms("5Ca(NO3)2·NH4NO3·10H2O"))).toEqual({ Ca: 5, N: 12, O: 43, H: 24 });
    // 5·40.078 + 12·14.007 + 43·15.999 + 24·1.008
    expect(molarMass("5Ca(NO3)2·NH4NO3·10H2O")).toBeCloseTo(200.39 + 168.084 + 687.957 + 24.192, 9);
    expect(Object.fromEntries(atoms("(NH4)6Mo7O24·4H2O"))).toEqual({ N: 6, H: 32, Mo: 7, O: 28 });
  });
});

describe("massFraction", () => {
  const percents = of("FW").flatMap(({ title, inputs, expected }) =>
    Object.entries(expected as Record<string, number>)
      .filter(([name]) => /^[A-Z][a-z]?_pct$/.test(name))
      .map(([name, percent]) => ({ title, formula: inputs.formula as string, element: name.slice(0, -4), percent })),
  );
  it.each(percents)("$element in $title: to half of the last digit", ({ formula, element, percent }) => {
    expect(Math.abs(100 * massFraction(formula, element as Element) - percent)).toBeLessThanOrEqual(halfDigit(percent));
  });

  it.each(of("OX"))("$cited and back: to half of the last digit", ({ inputs, expected }) => {
    const factor = massFraction(inputs.from, inputs.to);
    expect(Math.abs(factor - expected.factor)).toBeLessThanOrEqual(halfDigit(expected.factor));
    expect(Math.abs(1 / factor - expected.inverse)).toBeLessThanOrEqual(0.000005 * (1 + 1e-9));
  });

  it("adds to the whole over the elements of a formula", () => {
    for (const { inputs } of of("FW")) {
      const shares = [...atoms(inputs.formula).keys()].map((element) => massFraction(inputs.formula, element));
      expect(shares.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
    }
  });
});

describe("ionsOf", () => {
  const split = of("FW").find(({ id }) => id === "FW-03")!;
  it(`tells nitrate from ammonium nitrogen: ${split.title}`, () => {
    const ions = ionsOf(split.inputs.formula);
    const percent = (ion: Ion) => (100 * atomicWeights.N * (ions.get(ion) ?? 0)) / molarMass(split.inputs.formula);
    expect(Math.abs(percent("NO3") - split.expected.NO3_N_pct)).toBeLessThanOrEqual(halfDigit(14.258));
    expect(Math.abs(percent("NH4") - split.expected.NH4_N_pct)).toBeLessThanOrEqual(halfDigit(1.296));
  });

  // The chelates and citric acid are organic and come apart otherwise; every other salt of the table is neutral.
  const salts = of("FW").filter(({ inputs }) => !/C\d/.test(inputs.formula));
  it.each(salts)("$cited: charges balance", ({ inputs }) => {
    expect(netCharge(inputs.formula)).toBe(0);
  });

  it("keeps every atom", () => {
    for (const { inputs } of salts) {
      const again = new Map<string, number>();
      for (const [ion, count] of ionsOf(inputs.formula)) {
        for (const [element, each] of atoms(ion)) again.set(element, (again.get(element) ?? 0) + count * each);
      }
      expect(Object.fromEntries(again)).toEqual(Object.fromEntries(atoms(inputs.formula)));
    }
  });

  it("says which part is no ion", () => {
    expect(() => ionsOf("C6H8O7")).toThrow(/“C” in C6H8O7, expected a part that dissolves as an ion/);
  });

  it("balances whatever is put together from ions in the right proportion", () => {
    const names = Object.keys(ionCharges).filter((ion) => ionCharges[ion as Ion] !== 0) as Ion[];
    const positive = names.filter((ion) => ionCharges[ion] > 0 && ion !== "H");
    const negative = names.filter((ion) => ionCharges[ion] < 0);
    fc.assert(
      fc.property(fc.constantFrom(...positive), fc.constantFrom(...negative), fc.nat(12), (cation, anion, water) => {
        const salt = `(${cation})${-ionCharges[anion]}(${anion})${ionCharges[cation]}${water > 0 ? `·${water}H2O` : ""}`;
        expect(netCharge(salt)).toBe(0);
      }),
    );
  });
});

describe("a formula", () => {
  it.each([
    ["Ca(NO₃)₂·4H₂O", "Ca(NO3)2.4H2O"],
    ["MgSO4*7H2O", "MgSO4·7H2O"],
    ["CaSO4·0.5H2O", "CaSO4·½H2O"],
    ["K[H2PO4]", "KH2PO4"],
    ["Ca [ { NO3 } ] 2", "Ca(NO3)2"],
    ["SO4^2-", "SO4"],
  ])("may be written %s", (written, plain) => {
    expect(molarMass(written)).toBe(molarMass(plain));
  });

  it.each([
    ["Ca^2+", 2],
    ["Ca²⁺", 2],
    ["Ca++", 2],
    ["NO3-", -1],
    ["NO₃⁻", -1],
    ["SO4^2-", -2],
    ["PO₄³⁻", -3],
    ["KNO3", 0],
  ])("%s has charge %d", (formula, wanted) => {
    expect(charge(formula)).toBe(wanted);
  });

  it.each([
    ["", /end in “” after “”, expected an element/],
    ["Xx", /“Xx” in Xx, expected an element/],
    ["Ca(NO3", /expected “\)”/],
    ["Ca(NO3]2", /“]2” .* expected “\)”/],
    ["Ca()2", /expected an element/],
    ["CaNO3)2", /“\)2” .* after “CaNO3”/],
    ["KNO0", /expected a count above 0/],
    ["kno3", /“kno3” .* expected an element/],
    ["KNO3·", /end .* expected an element/],
  ])("%s is told apart from one", (formula, says) => {
    expect(() => molarMass(formula)).toThrow(RangeError);
    expect(() => molarMass(formula)).toThrow(says);
  });

  it("weighs as much as its parts, whatever the coefficient", () => {
    const part = fc.constantFrom("KNO3", "Ca(NO3)2", "MgSO4", "(NH4)2SO4", "H2O", "KH2PO4");
    fc.assert(
      fc.property(part, part, fc.integer({ min: 1, max: 20 }), (one, other, times) => {
        const both = molarMass(`${times}${one}·${other}`);
        expect(both).toBeCloseTo(times * molarMass(one) + molarMass(other), 9);
      }),
    );
  });

  it("never gives anything but a positive number or a RangeError", () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(..."CaNOHPKMg()[]·.*234510^+- S₂⁻".split("")), maxLength: 14 }),
        (text) => {
          try {
            expect(molarMass(text)).toBeGreaterThan(0);
          } catch (error) {
            expect(error).toBeInstanceOf(RangeError);
          }
        },
      ),
    );
  });
});

it("leaves no published value unasked", () => {
  expect([...source.left]).toEqual([]);
});
