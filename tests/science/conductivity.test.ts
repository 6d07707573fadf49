import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  cationsOverTen,
  errorBand,
  expectedConductivity,
  limitingConductivity,
  mcCleskey,
  sonneveld,
  standardMethods,
  toTwentyFive,
} from "../../generator/science/conductivity.ts";
import {
  type Analysis,
  ammoniumShare,
  anions,
  balance,
  cations,
  feedIons,
  ionicStrength,
  type Species,
  species,
} from "../../generator/science/ions.ts";
import { convert } from "../../generator/science/units.ts";
import { halfDigit, printed } from "./printed.ts";

const source = printed("conductivity");
const of = (start: string) => source.of(start);

/** An analysis in mg/L from amounts in mmol/L, by the names that sources use. */
function analysis(amounts: Readonly<Record<string, number>>): Analysis {
  const names: Readonly<Record<string, Species>> = { NO3: "NO3N", NH4: "NH4N", H2PO4: "P", SO4: "S" };
  return Object.fromEntries(
    Object.entries(amounts).map(([name, amount]) => {
      const known = names[name] ?? (name as Species);
      return [known, amount * feedIons[known].mass];
    }),
  );
}
const potassiumChloride = (amount: number) => analysis({ K: amount, Cl: amount });
const off = (found: number, wanted: number) => 100 * (found / wanted - 1);

describe("standardMethods", () => {
  const example = source.row("EC-SM-EX");
  it(`follows the worked example step by step: ${example.citation} (${example.known})`, () => {
    const water = analysis(example.inputs.mmol_per_L);
    expect(limitingConductivity(water)).toBeCloseTo(example.expected.k0, 1);
    expect(ionicStrength(water)).toBeCloseTo(example.expected.IS, 4);
    expect(Math.sqrt((1000 * standardMethods(water)) / limitingConductivity(water))).toBeCloseTo(example.expected.y, 3);
    expect(Math.abs(1000 * standardMethods(water) - example.expected.k_calc)).toBeLessThanOrEqual(0.5);
  });

  it("starts from the limiting conductivity of potassium chloride", () => {
    const { expected } = source.row("EC-KCL-inf");
    expect(feedIons.K.conductance + feedIons.Cl.conductance).toBeCloseTo(expected.Lambda, 9);
  });

  // Newer handbook tables print H2PO4⁻ as 36.0 and K, Ca, NO3, Cl a little finer; the method's own table is used here.
  it.each(of("EC-L0"))("$cited: within 0.1 of the handbook, H2PO4 apart", ({ id, expected }) => {
    const names: Readonly<Record<string, Species>> = { K: "K", Ca2: "Ca", NO3: "NO3N", H2PO4: "P", Cl: "Cl" };
    const name = names[id.slice(6)]!;
    const apart = Math.abs(feedIons[name].conductance - expected.lambda0_per_equivalent);
    if (name === "P") expect(apart).toBeCloseTo(3, 9);
    else expect(apart).toBeLessThanOrEqual(0.1);
  });
});

describe("three published rules on four standard feeds", () => {
  // The method's figure was printed with newer handbook conductances, H2PO4⁻ 36.0 for 33.0: 2 or 3 µS/cm more, no less.
  it.each(of("EC-REC"))(
    "$cited: to half of the last digit, the method of the ions within 0.0035",
    ({ inputs, expected }) => {
      const feed = analysis(inputs.ions_mmol_per_L);
      const below = expected.SM2510_mS_per_cm - standardMethods(feed);
      expect(below).toBeGreaterThan(0);
      expect(below).toBeLessThan(0.0035);
      expect(Math.abs(cationsOverTen(feed) - expected.handbook60_cations_over_10)).toBeLessThanOrEqual(
        halfDigit(1.234),
      );
      expect(Math.abs(sonneveld(feed) - expected.sonneveld1999)).toBeLessThanOrEqual(halfDigit(2.084));
    },
  );

  it("has 10 meq/L of cations to the mS/cm by the quick rule", () => {
    expect(source.row("EC-H60").expected.meq_per_L).toContain("10 x EC");
    expect(source.row("EC-H60b").expected.c_mmolc_per_L).toBe("EC = 0.1 c");
    expect(cationsOverTen(potassiumChloride(10))).toBeCloseTo(1, 12);
  });
});

describe("mcCleskey", () => {
  // The source claims about 1 %; half of the last digit of a standard, 0.03 %, is beyond any model of mixed ions.
  it.each(of("EC-KCL-").filter(({ inputs }) => inputs.c !== 0))("$cited: within 1 %", ({ inputs, expected }) => {
    expect(
      Math.abs(off(1000 * mcCleskey(potassiumChloride(1000 * inputs.mol_per_L)), expected.uS_per_cm)),
    ).toBeLessThan(1);
  });

  // These standards count by the kilogram of water and a feed by the litre, which parts them by 3 % at 1 mol/kg and by
  // 0.3 % in a feed. 0 °C lies just below the range of the source.
  const allowed = [1.5, 2, 3];
  it.each(of("EC-KCLm"))("$cited: within 1.5, 2 and 3 %", ({ inputs, expected }) => {
    for (const [index, molality] of (inputs.molality_mol_per_kg as number[]).entries()) {
      const found = 1000 * mcCleskey(potassiumChloride(1000 * molality), inputs.t_C);
      expect(Math.abs(off(found, expected.uS_per_cm[index])), `${molality} mol/kg`).toBeLessThan(allowed[index]!);
    }
  });

  it("agrees within 1.5 % with the one-salt equations of 2011", () => {
    const chloride = source.row("EC-MCC-KCl");
    expect(Math.abs(off(1000 * mcCleskey(potassiumChloride(10)), chloride.expected.uS_per_cm))).toBeLessThan(1.5);
    const nitrate = source.row("EC-MCC-KNO3");
    expect(Math.abs(off(1000 * mcCleskey(analysis({ K: 5, NO3: 5 })), nitrate.expected.uS_per_cm))).toBeLessThan(1.5);
    const calcium = source.row("EC-MCC-1");
    const solution = analysis({ Ca: 1000 * calcium.inputs.molality, Cl: 2000 * calcium.inputs.molality });
    expect(Math.abs(off(mcCleskey(solution, calcium.inputs.t_C) / 10, calcium.expected.S_per_m))).toBeLessThan(1);
  });

  it("conducts less when sulphate pairs with calcium", () => {
    const apart = mcCleskey(analysis({ Ca: 5 })) + mcCleskey(analysis({ SO4: 5 }));
    expect(mcCleskey(analysis({ Ca: 5, SO4: 5 }))).toBeLessThan(0.9 * apart);
  });
});

describe("expectedConductivity", () => {
  /** Standards that were measured, and feeds with the EC that their authors state, between 0.5 and 3 mS/cm. */
  const measured = [
    ...["EC-KCL-0.005", "EC-KCL-0.02"].map((id) => {
      const { title, inputs, expected } = source.row(id);
      return { title, solution: potassiumChloride(1000 * inputs.mol_per_L), ec: expected.uS_per_cm / 1000 };
    }),
    // 0.01 mol/kg at 25 °C is 0.00997 mol/L.
    {
      title: "KCl 0.01 mol/kg",
      solution: potassiumChloride(9.97),
      ec: source.row("EC-KCLm-25").expected.uS_per_cm[0] / 1000,
    },
  ];
  const stated = [...printed("feeds").of("SOL-SV"), ...of("EC-REC")]
    .filter(({ inputs }) => inputs.EC_stated_dS_per_m !== undefined)
    .map(({ title, inputs }) => ({
      title,
      solution: analysis(inputs.ions_mmol_per_L),
      ec: inputs.EC_stated_dS_per_m as number,
    }));
  const all = [...measured, ...stated];
  const methods = { standardMethods, cationsOverTen, sonneveld, mcCleskey };
  const residuals = (method: (solution: Analysis) => number, among = all) =>
    among.map(({ solution, ec }) => off(method(solution), ec));
  const spread = (values: readonly number[]) =>
    Math.sqrt(values.reduce((sum, each) => sum + each ** 2, 0) / values.length);

  it("is compared on three standards and five feeds", () => {
    expect([measured.length, stated.length]).toEqual([3, 5]);
  });

  it("rests on the method with the smallest residuals over all eight", () => {
    const table = Object.entries(methods).map(([name, method]) => [name, spread(residuals(method))] as const);
    const [best] = [...table].sort(([, a], [, b]) => a - b)[0]!;
    expect(best, JSON.stringify(table)).toBe("mcCleskey");
    // The others miss by more: root mean square in %.
    for (const [name, rms] of table) if (name !== "mcCleskey") expect(rms, name).toBeGreaterThan(9);
    expect(spread(residuals(mcCleskey))).toBeLessThan(6);
  });

  it("is beaten on the five feeds alone by the line that was drawn through such feeds, which fails on the standards", () => {
    expect(spread(residuals(sonneveld, stated))).toBeLessThan(spread(residuals(mcCleskey, stated)));
    expect(spread(residuals(sonneveld, measured))).toBeGreaterThan(15);
    expect(spread(residuals(mcCleskey, measured))).toBeLessThan(1);
  });

  it("has a band that holds all eight, and not a percent wider than it must be", () => {
    const worst = Math.max(...residuals(mcCleskey).map(Math.abs));
    expect(worst).toBeLessThanOrEqual(errorBand);
    expect(errorBand - worst).toBeLessThan(1);
    for (const { solution, ec, title } of all) {
      const { low, high } = expectedConductivity(solution);
      expect(low, title).toBeLessThanOrEqual(ec);
      expect(high, title).toBeGreaterThanOrEqual(ec);
    }
  });
});

describe("toTwentyFive", () => {
  it.each(of("EC-LIN"))("$cited: to half of the last digit", ({ inputs, expected }) => {
    expect(Math.abs(toTwentyFive(inputs.t_C, 100 * inputs.alpha) - expected.factor_linear)).toBeLessThanOrEqual(
      halfDigit(expected.factor_linear),
    );
    expect(Math.abs(off(toTwentyFive(inputs.t_C), expected.factor_ISO7888))).toBeLessThan(0.75);
  });

  // Natural waters bend away from the line in the cold: 4.3 % at 0 °C, under 1.5 % from 8 to 35 °C.
  it("stays near the table of ISO 7888 for natural waters", () => {
    const { inputs, expected } = source.row("EC-ISO7888");
    for (const [index, temperature] of (inputs.t_C as number[]).entries()) {
      const apart = Math.abs(off(toTwentyFive(temperature), expected.f25[index]));
      expect(apart, `${temperature} °C`).toBeLessThan(temperature < 8 ? 4.5 : 1.5);
    }
  });

  it("knows that a CF of 8 is 0.8 mS/cm, though a glossary moves the point the other way", () => {
    const { inputs, expected } = source.row("EC-FLAG2");
    expect(convert(inputs.EC, "mS/cm", "CF")).toBeCloseTo(expected.CF, 12);
  });
});

describe("every sum over ions", () => {
  const amounts = fc.record(
    Object.fromEntries(
      species.map((name) => [name, fc.option(fc.double({ min: 0, max: 1000, noNaN: true }), { nil: undefined })]),
    ),
  ) as fc.Arbitrary<Analysis>;

  it("is a finite number that is not negative", () => {
    fc.assert(
      fc.property(amounts, (solution) => {
        for (const sum of [cations, anions, ionicStrength, standardMethods, cationsOverTen, sonneveld, mcCleskey]) {
          expect(sum(solution)).toBeGreaterThanOrEqual(0);
          expect(Number.isFinite(sum(solution))).toBe(true);
        }
        expect(Math.abs(balance(solution) ?? 0)).toBeLessThanOrEqual(100 + 1e-9);
        const share = ammoniumShare(solution);
        if (share !== undefined) expect(share).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it("doubles its charges with the amounts", () => {
    fc.assert(
      fc.property(amounts, (solution) => {
        const twice = Object.fromEntries(species.map((name) => [name, 2 * (solution[name] ?? 0)])) as Analysis;
        expect(cations(twice)).toBeCloseTo(2 * cations(solution), 9);
        expect(ionicStrength(twice)).toBeCloseTo(2 * ionicStrength(solution), 9);
        expect(limitingConductivity(twice)).toBeCloseTo(2 * limitingConductivity(solution), 6);
      }),
    );
  });
});

it("leaves no published value unasked", () => {
  expect([...source.left]).toEqual([]);
});
