import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { massFraction, molarMass } from "../../generator/science/chemistry.ts";
import type { Element } from "../../generator/science/weights.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { numbersIn, type Outcome, run } from "../../generator/worksheets/worksheet.ts";

// biome-ignore lint/suspicious/noExplicitAny: an answer is plain JSON; each test says what it looks at
type Answer = any;

function answered(id: string, input: unknown): Outcome & { readonly answer: Answer } {
  const result = run(worksheets.get(id)!, input);
  if ("faults" in result) throw new Error(JSON.stringify(result.faults));
  return result.outcome;
}

function faults(id: string, input: unknown): string {
  const result = run(worksheets.get(id)!, input);
  return "faults" in result ? result.faults.map(({ field, reason }) => `${field}: ${reason}`).join("\n") : "";
}

const said = ({ notes, refusal }: Outcome) =>
  [...notes.map(({ text }) => text), refusal?.why ?? ""].join("\n").toLowerCase();

describe("label-to-element", () => {
  const label = (figures: object) => answered("label-to-element", { label: figures });

  it.each([
    ["P2O5", "P"],
    ["K2O", "K"],
    ["CaO", "Ca"],
    ["MgO", "Mg"],
    ["SO3", "S"],
    ["SO4", "S"],
  ])("takes from %s the %s that its formula holds, to four digits", (oxide, element) => {
    const found = label({ [oxide]: 100 }).answer[element];
    expect(Math.abs(found - 100 * massFraction(oxide, element as Element))).toBeLessThanOrEqual(0.0051);
  });

  it("takes nitrate and ammonium to nitrogen by their formulas", () => {
    expect(label({ NO3: 100 }).answer.nitrateN).toBeCloseTo((100 * 14.007) / molarMass("NO3"), 1);
    expect(label({ NH4: 100 }).answer.ammoniumN).toBeCloseTo((100 * 14.007) / molarMass("NH4"), 1);
  });

  it("refuses a split that does not add up, and lets 0.2 pass", () => {
    expect(label({ nTotal: 15.5, nNitrate: 14.4, nAmmonium: 1.1 }).verdict).toBe("ok");
    expect(label({ nTotal: 15.5, nNitrate: 14.4, nAmmonium: 0.9 }).verdict).toBe("ok");
    const off = label({ nTotal: 15.5, nNitrate: 14.4 });
    expect([off.verdict, off.refusal?.nearest]).toEqual(["refuse", { nTotal: 14.4 }]);
    expect(off.refusal?.by).toBeCloseTo(1.1, 9);
    expect(said(off)).toContain("split");
  });

  it("refuses more than 100 %, with the total left out when its parts are printed", () => {
    expect(label({ nTotal: 30, nNitrate: 30, K2O: 60, CaO: 9 }).verdict).toBe("ok");
    const over = label({ nTotal: 50, K2O: 60 });
    expect([over.verdict, over.refusal?.by]).toEqual(["refuse", 10]);
    expect(said(over)).toContain("100");
  });

  it("warns of urea, and asks for one form of an element", () => {
    expect(said(label({ nUrea: 46 }))).toContain("urea");
    expect(faults("label-to-element", { label: { P2O5: 10, P: 4 } })).toContain("label.P:");
    expect(faults("label-to-element", { label: {} })).toContain("label:");
    expect(faults("label-to-element", { label: { K: 101 } })).toContain("label.K:");
  });
});

describe("hardness-alkalinity", () => {
  it("asks as what the alkalinity is", () => {
    const unread = answered("hardness-alkalinity", { alkalinity: 200, calcium: 10, magnesium: 2 });
    expect(unread.verdict).toBe("refuse");
    expect(said(unread)).toContain("1.22");
    expect(unread.answer.alkalinityMeq).toBeNull();
    expect(unread.answer.hardnessCaCO3).toBeCloseTo(33.206, 9);
    expect(unread.refusal?.nearest).toEqual({
      meqIfHCO3: expect.closeTo(3.2776, 4),
      meqIfCaCO3: expect.closeTo(3.9968, 4),
    });
  });
  it("does not take a blank for none", () => {
    const half = answered("hardness-alkalinity", { calcium: 100 });
    expect([half.verdict, half.answer.hardnessCaCO3]).toEqual(["warn", null]);
    expect(said(half)).toContain("not measured");
    expect(faults("hardness-alkalinity", {})).toContain("calcium");
  });
});

describe("water-blend", () => {
  const waters = { mains: { Ca: 100, Na: 50, Cl: 30 }, rain: { Ca: 0, Na: 0, Cl: 5 } };

  it("lets the first of the limits win a tie, in the order they were given", () => {
    const blend = (limits: object) => answered("water-blend", { ...waters, limits }).answer;
    expect(blend({ Na: 25, Ca: 50 }).limitedBy).toBe("Na");
    expect(blend({ Ca: 50, Na: 25 }).limitedBy).toBe("Ca");
    expect(blend({ Ca: 200 }).limitedBy).toBeNull();
  });
  it("refuses where both waters are over, then where limits contradict, then a share outside", () => {
    const over = answered("water-blend", { ...waters, limits: { Cl: 4 } });
    expect(over.refusal).toMatchObject({ by: 1, nearest: { ion: "Cl", level: 5 } });
    const apart = answered("water-blend", {
      mains: { Ca: 100, K: 0 },
      rain: { Ca: 0, K: 10 },
      limits: { Ca: 20, K: 5 },
    });
    expect(apart.answer).toMatchObject({ maxMainsShare: 0.2, minMainsShare: 0.5 });
    expect(apart.refusal?.by).toBeCloseTo(0.3, 12);
    expect(said(apart)).toContain("no blend");
    const outside = answered("water-blend", { ...waters, limits: { Ca: 50 }, mainsShare: 0.7 });
    expect(outside.refusal?.by).toBeCloseTo(0.2, 12);
    expect(outside.refusal?.nearest).toEqual({ mainsShare: 0.5 });
  });
  it("does not check what was not measured, and says so", () => {
    const blank = answered("water-blend", { ...waters, limits: { Ca: 50, HCO3: 61 } });
    expect(blank.answer.blend.HCO3).toBeNull();
    expect(blank.answer.shareByIon.HCO3).toBeNull();
    expect(said(blank)).toContain("hco3 was not measured");
    expect(faults("water-blend", { ...waters, limits: {} })).toContain("limits");
    expect(faults("water-blend", { ...waters, limits: { Xx: 1 } })).toContain("limits.Xx");
  });
});

describe("solution-check", () => {
  it("refuses a concentrate and says how far to dilute it", () => {
    const strong = answered("solution-check", { NO3N: 14_007, K: 39_098 });
    expect(strong.refusal?.by).toBeCloseTo(0.5, 9);
    expect(strong.refusal?.nearest).toEqual({ diluteTimes: expect.closeTo(2, 9) });
  });
  it("warns of a mistyped figure, of ammonium in the cold, and of blanks", () => {
    expect(said(answered("solution-check", { NO3N: 140, K: 100 }))).toMatch(/do not balance[\s\S]*mistyped/);
    const some = { NO3N: 132, NH4N: 10, P: 0, K: 397, Ca: 0, Mg: 0, S: 0, Na: 0, Cl: 0, HCO3: 61 };
    expect(said(answered("solution-check", some))).not.toContain("ammonium is");
    expect(said(answered("solution-check", { ...some, coldOrDark: true }))).toContain("ammonium is");
    expect(faults("solution-check", {})).toContain("NO3N");
    expect(answered("solution-check", { K: 1 }).answer).toMatchObject({
      balancePercent: null,
      ammoniumSharePercent: null,
    });
  });
});

describe("acid-dose", () => {
  const nitric = { alkalinity: 317, alkalinityAs: "HCO3", acid: "nitric", strengthPercent: 60, density: 1.37 };
  it("shows volumes to trained people only, and no volume of a refused acid to anybody", () => {
    const untrained = answered("acid-dose", nitric);
    expect(untrained.answer).toMatchObject({ mlPerM3: null, litresPerTub: null });
    expect(untrained.working.join("\n")).not.toMatch(/mL\/m³/);
    expect(said(untrained)).toContain("trained");
    const refused = answered("acid-dose", { ...nitric, acid: "phosphoric", trainedPerson: true });
    expect([refused.verdict, refused.answer.mlPerM3]).toEqual(["refuse", null]);
  });
  it("needs no acid where there is less alkalinity than is kept", () => {
    const none = answered("acid-dose", { ...nitric, alkalinity: 30, keepMeq: 1, trainedPerson: true });
    expect([none.verdict, none.answer.neutraliseMeq, none.answer.mlPerM3, none.answer.stockPh]).toEqual([
      "ok",
      0,
      0,
      null,
    ]);
    expect(said(none)).toContain("no acid");
  });
  it("warns of citric acid on a line, and carries its cautions before everything", () => {
    expect(said(answered("acid-dose", { ...nitric, acid: "citric" }))).toContain("bacteria");
    expect(worksheets.get("acid-dose")!.cautions.length).toBeGreaterThan(2);
  });
});

describe("trace-weights", () => {
  it("refuses what no carrier helps, by the lightest", () => {
    const coarse = answered("trace-weights", { targets: { Mo: 0.05, Cu: 0.06 }, treatedM3: 1, scaleDivisionGrams: 1 });
    expect(coarse.answer.carrier).toEqual(["Cu", "Mo"]);
    expect(coarse.refusal?.by).toBeCloseTo(25 - (0.05 / 0.396) * 10, 9);
    expect(coarse.refusal?.nearest).toEqual({ scaleDivisionGrams: expect.closeTo(((0.05 / 0.396) * 10) / 25, 9) });
  });
  it("weighs nothing where the water has it already", () => {
    const rich = answered("trace-weights", { targets: { B: 0.3 }, water: { B: 0.5 }, treatedM3: 10 });
    expect(rich.answer).toMatchObject({ grams: { B: 0 }, weighErrorPercent: { B: null }, carrier: [] });
    expect(said(rich)).toContain("already");
  });
  it("warns of unusual levels and of a chelate above its pH", () => {
    expect(said(answered("trace-weights", { targets: { Fe: 6 }, treatedM3: 10, feedPh: 7.2 }))).toMatch(
      /usual[\s\S]*chelate/,
    );
    expect(
      said(answered("trace-weights", { targets: { Fe: 2 }, treatedM3: 10, feedPh: 7.2, ironChelate: "EDDHA" })),
    ).not.toContain("chelate");
    expect(faults("trace-weights", { targets: {}, treatedM3: 1 })).toContain("targets");
  });
});

describe("tub-top-up", () => {
  const tub = {
    fullGrams: { "nitrate 15.5": 1000 },
    tankLitres: 100,
    litresLeft: 40,
    recipeInTub: "a",
    recipeNow: "a",
  };
  it("refuses another recipe, then an old tub, then too much", () => {
    const dates = { madeOn: "2027-01-01", today: "2027-03-01" };
    const other = answered("tub-top-up", { ...tub, ...dates, recipeNow: "b", addLitres: 90 });
    expect([said(other).includes("recipe"), other.refusal?.nearest]).toEqual([true, { startLitres: 100 }]);
    const old = answered("tub-top-up", { ...tub, ...dates, addLitres: 90 });
    expect([old.refusal?.by, old.answer.addGrams]).toEqual([17, null]);
    const full = answered("tub-top-up", { ...tub, addLitres: 90 });
    expect(full.refusal).toMatchObject({ by: 30, nearest: { addLitres: 60 } });
  });
  it("adds in proportion, whatever the salt is called", () => {
    expect(answered("tub-top-up", tub).answer.addGrams).toEqual({ "nitrate 15.5": 600 });
    expect(said(answered("tub-top-up", { ...tub, madeOn: "2027-01-01", today: "2027-02-05" }))).toContain("weeks");
    expect(faults("tub-top-up", { ...tub, litresLeft: 101 })).toContain("litresLeft");
    expect(faults("tub-top-up", { ...tub, madeOn: "2027-01-01" })).toContain("today");
    expect(faults("tub-top-up", { ...tub, madeOn: "2027-02-29", today: "2027-03-01" })).toContain("madeOn");
  });
});

describe("tub-solubility", () => {
  it("has no worst where nothing is recorded, and lets a single salt win a tie with its group", () => {
    const unknown = answered("tub-solubility", {
      salts: [{ id: "magnesium-nitrate", gramsPerM3: 500 }],
      ratioPercent: 1,
    });
    expect(unknown.answer).toMatchObject({ worst: null, worstWhere: null, maxConcentration: null });
    expect(said(unknown)).toContain("not checked");
    const alone = answered("tub-solubility", {
      salts: [{ id: "potassium-nitrate", gramsPerM3: 1500 }],
      ratioPercent: 1,
    });
    expect(alone.answer.worstWhere).toBe("potassium-nitrate");
    expect(said(alone)).toContain("cold");
  });
  it("takes a data sheet before the shelf, by its whole table", () => {
    const salt = { id: "potassium-nitrate", gramsPerM3: 100, solubility: { "10": 200, "0": 100 } };
    const { answer } = answered("tub-solubility", { salts: [salt], ratioPercent: 1, coldestTempC: 5 });
    expect(answer.perSalt["potassium-nitrate"]).toMatchObject({ gPerL: 10, limitGPerL: 120 });
    expect(answer.perSalt["potassium-nitrate"].share).toBeCloseTo(10 / 150, 12);
    expect(faults("tub-solubility", { salts: [{ id: "potassium-nitrate" }], ratioPercent: 1 })).toContain(
      "salts[0].gramsPerM3",
    );
  });
});

describe("every input within its bounds", () => {
  const upTo = (max: number) => fc.double({ min: 0, max, noNaN: true }).map((value) => (value < 1e-9 ? 0 : value));
  const from = (min: number, max: number) =>
    fc.double({ min, max, noNaN: true }).map((value) => (Math.abs(value) < 1e-9 ? Math.max(0, min) : value));
  const blank = <Value>(value: fc.Arbitrary<Value>) => fc.option(value, { nil: undefined });
  const some = (names: readonly string[], value: fc.Arbitrary<unknown>) =>
    fc
      .record(Object.fromEntries(names.map((name) => [name, blank(value)])))
      .filter((record) => Object.values(record).some((each) => each !== undefined));
  const ions = ["Ca", "Mg", "K", "Na", "Cl", "S", "HCO3", "NO3N", "NH4N", "P", "Fe", "B"];
  const inputs: Readonly<Record<string, fc.Arbitrary<unknown>>> = {
    "label-to-element": fc.record({
      label: some(["nTotal", "nNitrate", "nAmmonium", "nUrea", "P2O5", "K2O", "CaO", "MgO", "SO3"], upTo(100)),
    }),
    "hardness-alkalinity": some(["calcium", "magnesium", "alkalinity"], upTo(1000)),
    "water-blend": fc.record({
      mains: some(ions, upTo(2000)),
      rain: some(ions, upTo(2000)),
      limits: some(ions, upTo(2000)),
      mainsShare: blank(upTo(1)),
    }),
    "solution-check": some(["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"], upTo(200_000)),
    "acid-dose": fc.record({
      alkalinity: upTo(2000),
      alkalinityAs: fc.constantFrom("HCO3", "CaCO3", "meq"),
      aimPh: from(5, 6.8),
      keepMeq: upTo(5),
      acid: fc.constantFrom("nitric", "phosphoric", "sulphuric", "citric"),
      strengthPercent: from(0.1, 100),
      density: from(0.8, 2),
      ratioPercent: from(0.01, 10),
      tankLitres: from(1, 2000),
      targetP: upTo(300),
      trainedPerson: fc.boolean(),
    }),
    "trace-weights": fc.record({
      targets: some(["Fe", "Mn", "Zn", "B", "Cu", "Mo"], upTo(1)),
      water: blank(some(["Fe", "Mn", "Zn", "B", "Cu", "Mo"], upTo(1))),
      treatedM3: from(0.01, 1000),
      scaleDivisionGrams: from(0.001, 100),
      feedPh: blank(upTo(14)),
    }),
    "tub-solubility": fc.record({
      salts: fc
        .uniqueArray(
          fc.constantFrom("calcium-nitrate", "potassium-nitrate", "potassium-sulphate", "magnesium-nitrate"),
          {
            minLength: 1,
          },
        )
        .chain((ids) => fc.tuple(...ids.map((id) => fc.record({ id: fc.constant(id), gramsPerM3: upTo(5000) })))),
      ratioPercent: from(0.01, 10),
      coldestTempC: from(-1, 45),
    }),
    "tub-top-up": fc.record({
      fullGrams: fc.record({ a: upTo(1e5), "b.c": upTo(1e5) }),
      tankLitres: from(50, 2000),
      litresLeft: upTo(50),
      addLitres: blank(from(0.1, 100)),
    }),
  };

  it.each(Object.keys(inputs))("%s is ok, warned or refused, and every figure is one", (id) => {
    fc.assert(
      fc.property(inputs[id]!, (input) => {
        const outcome = answered(id, input);
        for (const [path, figure] of numbersIn(outcome.answer)) expect(Number.isFinite(figure), path).toBe(true);
        const written = JSON.stringify(outcome.answer);
        expect(JSON.stringify(JSON.parse(written))).toBe(written);
        expect(outcome.working.length).toBeGreaterThan(0);
        for (const line of [...outcome.working, said(outcome)]) expect(line).not.toMatch(/NaN|Infinity|undefined/);
        if (outcome.refusal) expect(outcome.refusal.by ?? 1).toBeGreaterThan(0);
      }),
    );
  });
});
