import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  acidBetween,
  acidMolarity,
  acids,
  acidVolume,
  alkalinityMass,
  bicarbonateLeft,
  dissociation,
  hardnessOf,
  protonsGiven,
} from "../../generator/science/carbonate.ts";
import { molarMass } from "../../generator/science/chemistry.ts";
import { convert } from "../../generator/science/units.ts";
import { acidDose } from "../../generator/worksheets/acid.ts";
import { halfDigit, printed } from "./printed.ts";

const source = printed("acid");
const of = (start: string) => source.of(start);
/** US fluid ounces for 1000 US gallons, from mL/m³; a fluid ounce is the 128th part of a gallon. */
const ounces = (volume: number) => volume * 0.128;

describe("dissociation", () => {
  const at: Readonly<Record<string, number>> = {
    "PK-H2OCO2HCO3": dissociation.carbonic[0],
    "PK-HCO3CO3": dissociation.carbonic[1],
    "PK-H3PO4H2PO4": dissociation.phosphoric[0],
    "PK-H2PO4HPO4": dissociation.phosphoric[1],
    "PK-HPO4PO4": dissociation.phosphoric[2],
    "PK-NH4NH3": dissociation.ammonium[0],
    "PK-H3BO3H2BO3": dissociation.boric[0],
  };
  it.each(of("PK").filter(({ id }) => id !== "PK-CIT"))("$cited is as $citation prints it", ({ id, expected }) => {
    expect(at[id]).toBe(expected.pKa);
  });
  it("has citric acid from memory, as its source says", () => {
    expect(dissociation.citric).toEqual(source.row("PK-CIT").expected.pKa);
    expect(source.row("PK-CIT").known).toBe("from memory");
  });
});

describe("acidBetween", () => {
  it.each(of("ALK-ACID"))("$cited: within 0.001 meq/L", ({ inputs, expected }) => {
    const acid = acidBetween({ alkalinity: inputs.alkalinity_meq_per_L, from: inputs.pH_start, to: inputs.pH_end });
    expect(Math.abs(acid - expected.acid_meq_per_L)).toBeLessThanOrEqual(0.001);
    expect(Math.abs(inputs.alkalinity_meq_per_L - acid - expected.residual_meq_per_L)).toBeLessThanOrEqual(0.001);
    expect(acid / inputs.alkalinity_meq_per_L).toBeCloseTo(expected.fraction_neutralised, 3);
  });

  it("needs none to stay, and gives back on the way up what it took on the way down", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 10, noNaN: true }),
        fc.double({ min: 6.5, max: 8.5, noNaN: true }),
        fc.double({ min: 4.5, max: 6.4, noNaN: true }),
        (alkalinity, from, to) => {
          expect(acidBetween({ alkalinity, from, to: from })).toBeCloseTo(0, 9);
          const acid = acidBetween({ alkalinity, from, to });
          expect(acid).toBeGreaterThan(0);
          expect(acidBetween({ alkalinity: alkalinity - acid, from: to, to: from })).toBeCloseTo(-acid, 6);
        },
      ),
    );
  });
});

describe("bicarbonateLeft", () => {
  it("is about a fifth at pH 5.8, half at the pK, and rises with pH", () => {
    expect(bicarbonateLeft(5.8)).toBeCloseTo(0.2199, 4);
    expect(bicarbonateLeft(6.35)).toBeCloseTo(0.5, 12);
    fc.assert(
      fc.property(fc.double({ min: 4, max: 8, noNaN: true }), (ph) => {
        expect(bicarbonateLeft(ph + 0.1)).toBeGreaterThan(bicarbonateLeft(ph));
        expect(bicarbonateLeft(ph)).toBeLessThan(1);
      }),
    );
  });

  // The full carbonate system starts at the water's own pH, so it asks for a little less than 1 − left.
  it("agrees within 0.02 of the alkalinity with the full carbonate system at pH 5.8", () => {
    for (const { inputs, expected } of of("ALK-ACID").filter(({ inputs }) => inputs.pH_end === 5.8)) {
      expect(Math.abs(1 - bicarbonateLeft(inputs.pH_end) - expected.fraction_neutralised)).toBeLessThan(0.02);
    }
  });
});

describe("protonsGiven", () => {
  it.each(of("ACID-H"))("$cited: to half of the last digit", ({ inputs, expected }) => {
    for (const [index, ph] of (inputs.pH as number[]).entries()) {
      expect(Math.abs(protonsGiven(inputs.pKa, ph) - expected.mol_H_per_mol[index])).toBeLessThanOrEqual(
        halfDigit(0.997),
      );
    }
  });
  it("is what the acids of the dose are counted with at pH 5.8", () => {
    expect(protonsGiven(dissociation.phosphoric, 5.8)).toBeCloseTo(acids.phosphoric.protons, 2);
    expect(protonsGiven(dissociation.nitric, 5.8)).toBeCloseTo(acids.nitric.protons, 6);
    expect(Math.abs(protonsGiven(dissociation.citric, 5.8) - acids.citric.protons)).toBeLessThan(0.06);
  });
});

describe("bottled acids", () => {
  it("have the molar masses of their formulas", () => {
    expect(acids.nitric.molarMass).toBeCloseTo(molarMass("HNO3"), 2);
    expect(acids.phosphoric.molarMass).toBeCloseTo(molarMass("H3PO4"), 3);
    expect(acids.sulphuric.molarMass).toBeCloseTo(molarMass("H2SO4"), 3);
    expect(Math.abs(acids.citric.molarMass - molarMass("C6H8O7"))).toBeLessThan(0.005);
  });

  it.each(of("ACID-Phosphoric"))("$cited: to half of the last digit", ({ inputs, expected }) => {
    const molarity = acidMolarity({ density: inputs.density, strength: 100 * inputs.w, molarMass: 97.994 });
    const volume = acidVolume(1, molarity, inputs.protons);
    expect(Math.abs(molarity - expected.eq_per_L)).toBeLessThanOrEqual(halfDigit(12.08));
    expect(Math.abs(volume - expected.mL_per_m3_per_meq_per_L)).toBeLessThanOrEqual(halfDigit(82.75));
    expect(Math.abs(ounces(volume) - expected.US_fl_oz_per_1000_gal_per_meq_per_L)).toBeLessThanOrEqual(
      halfDigit(10.59),
    );
    expect((30.974 * volume * molarity) / 1000).toBeCloseTo(expected.mg_per_L_P_per_meq_per_L, 2);
  });

  const bulletin = source.row("ACID-UM-EX");
  it(`${bulletin.title}: 6 % under the bulletin's rounded factor, as first principles say`, () => {
    const meq = (bulletin.inputs.alkalinity_start - bulletin.inputs.alkalinity_target) / alkalinityMass.CaCO3;
    const molarity = acidMolarity({ density: 1.835, strength: 93, molarMass: acids.sulphuric.molarMass });
    const volume = acidVolume(meq, molarity, 2) * convert(100, "US gal", "m³");
    expect(volume).toBeCloseTo(21.7, 1);
    expect(bulletin.expected.mL_per_100_gal / volume).toBeCloseTo(1.06, 2);
  });

  // Densities of the three acids from memory: 1.40, 1.579 and 1.26 kg/L.
  const extension = source.row("ACID-NC");
  it(`${extension.title}: within 3 % (${extension.known})`, () => {
    const [nitric, phosphoric, sulphuric] = [
      acidVolume(0.78, acidMolarity({ density: 1.4, strength: 67, molarMass: acids.nitric.molarMass }), 1),
      acidVolume(0.78, acidMolarity({ density: 1.579, strength: 75, molarMass: acids.phosphoric.molarMass }), 1),
      acidVolume(0.78, acidMolarity({ density: 1.26, strength: 35, molarMass: acids.sulphuric.molarMass }), 2),
    ];
    const figure = extension.expected.fl_oz_per_1000gal_per_meq;
    expect(Math.abs(ounces(nitric) / figure["nitric 67 %"] - 1)).toBeLessThan(0.03);
    expect(Math.abs(ounces(phosphoric) / figure["phosphoric 75 %"] - 1)).toBeLessThan(0.03);
    expect(Math.abs(ounces(sulphuric) / figure["sulfuric 35 %"] - 1)).toBeLessThan(0.03);
  });

  const threefold = source.row("ACID-IFAS");
  it(`${threefold.title}: three protons give its figure, the real 1.04 nearly three times it`, () => {
    const sulphuric = acidVolume(
      1,
      acidMolarity({ density: 1.835, strength: 93, molarMass: acids.sulphuric.molarMass }),
      2,
    );
    const bottle = acidMolarity({ density: 1.685, strength: 85, molarMass: acids.phosphoric.molarMass });
    expect(acidVolume(1, bottle, 3) / sulphuric).toBeCloseTo(threefold.expected.ratio_phosphoric_to_sulfuric, 1);
    expect(acidVolume(1, bottle, acids.phosphoric.protons) / sulphuric).toBeGreaterThan(2.2);
  });

  const safety = source.row("SAFE-1");
  it(`stand behind what ${safety.citation} asks for`, () => {
    const said = acidDose.cautions
      .map(({ text, defer }) => `${text} ${defer}`)
      .join(" ")
      .toLowerCase();
    for (const word of [
      "acid into water, never water into acid",
      "goggles",
      "gauntlets",
      "eyewash",
      "hypochlorite",
      "trained",
    ]) {
      expect(said).toContain(word);
    }
  });
});

describe("hardness and alkalinity", () => {
  it("count calcium and magnesium as carbonate by their molar masses", () => {
    expect(hardnessOf.calcium).toBeCloseTo(molarMass("CaCO3") / 40.078, 3);
    expect(hardnessOf.magnesium).toBeCloseTo(molarMass("CaCO3") / 24.305, 3);
    expect(alkalinityMass.CaCO3).toBeCloseTo(molarMass("CaCO3") / 2, 1);
    expect(alkalinityMass.HCO3).toBeCloseTo(molarMass("HCO3-"), 2);
  });
});

it("leaves no published value unasked", () => {
  expect([...source.left]).toEqual([]);
});
