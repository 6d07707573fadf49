import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { numbersIn, type Outcome, run } from "../../generator/worksheets/worksheet.ts";
import { inBounds } from "./tower-and-delivery.ts";

function answered(id: string, input: unknown): Outcome {
  const result = run(worksheets.get(id)!, input);
  if ("faults" in result) throw new Error(JSON.stringify(result.faults));
  return result.outcome;
}

describe.each(Object.keys(inBounds))("%s", (id) => {
  const sheet = worksheets.get(id)!;

  it("answers its own example", () => {
    expect(["ok", "warn"]).toContain(answered(id, sheet.example).verdict);
  });

  it("answers every input within bounds with finite numbers, its working and its reasons", () => {
    fc.assert(
      fc.property(inBounds[id]!, (input) => {
        const { answer, working, refusal, notes, verdict } = answered(id, input);
        for (const [path, value] of numbersIn({ answer, refusal })) expect(Number.isFinite(value), path).toBe(true);
        expect(working.length).toBeGreaterThan(0);
        expect([...working, ...notes.map(({ text }) => text), refusal?.why].join(" ")).not.toMatch(
          /NaN|Infinity|undefined|null/,
        );
        if (refusal?.by !== undefined && refusal.by !== null) expect(refusal.by).toBeGreaterThanOrEqual(0);
        expect(verdict === "refuse").toBe(refusal !== null);
      }),
      { numRuns: id === "tower-layout" ? 60 : 200 },
    );
  });

  it("says every declared figure, as a number, a word or null", () => {
    const { answer } = answered(id, sheet.example);
    for (const path of Object.keys(sheet.answer)) expect(answer).toHaveProperty([path.split(".")[0]!]);
  });
});

/** A field out of bounds or amiss, on top of each worksheet's example. */
const amiss: readonly (readonly [string, object, string])[] = [
  ["injector-setting", { ecTarget: 11 }, "ecTarget"],
  ["injector-setting", { settingPercent: 0 }, "settingPercent"],
  ["injector-setting", { minPercent: 3 }, "minPercent"],
  ["injector-setting", { ecwater: 1 }, "ecwater"],
  ["ratio-wording", { ratio: "one in a hundred" }, "ratio"],
  ["ratio-wording", { ratio: "1:1" }, "ratio"],
  ["ratio-wording", { ratio: "0:100" }, "ratio"],
  ["ratio-wording", { ratio: "100 %" }, "ratio"],
  ["ratio-wording", { heads: 5 }, "heads"],
  ["flow-window", { drawdownLitres: undefined }, "drawdownLitres"],
  ["flow-window", { maxFlow: 5 }, "minFlow"],
  ["flow-window", { towers: 2.5 }, "towers"],
  ["catch-test", { litresWater: 0 }, "litresWater"],
  ["catch-test", { mlDrawn: Number.NaN }, "mlDrawn"],
  ["one-head", { percentOfSet: 301 }, "percentOfSet"],
  ["one-head", { tubA: {} }, "tubA"],
  ["one-head", { tubB: { Ca: -1 } }, "tubB.Ca"],
  ["tub-days-left", { dropA: 3 }, "dropB"],
  ["base-drift", { uptakeLevel: undefined }, "uptakeLevel"],
  ["base-drift", { uptakeLevel: undefined, previousLevel: 3 }, "daysBetween"],
  ["base-drain", { uptakeRatio: 1.6 }, "uptakeRatio"],
  ["rain-dilution", { rainMm: 501 }, "rainMm"],
  ["water-use", { ports: { leaf: 0 } }, "ports"],
  ["water-use", { ports: { leaf: 1.5 } }, "ports.leaf"],
  ["water-use", { litresPerPort: { leaf: 6 } }, "litresPerPort.leaf"],
  ["pump-head", { filterMicron: 100 }, "nozzleMicron"],
  ["pump-head", { onSeconds: 10 }, "offSeconds"],
  ["meter-check", { readHigh: undefined, readLow: undefined, ecRead: undefined }, "readHigh"],
  ["meter-check", { bufferLow: 6.5 }, "bufferLow"],
  ["line-match", { crops: [{ id: "a", ec: [1.6, 1.2], ph: [5, 6] }] }, "crops[0].ec"],
  ["line-match", { crops: [{ id: "a" }, { id: "a" }] }, "crops[1].id"],
  ["line-match", { crops: [] }, "crops"],
  ["tower-port-score", { tier: 11 }, "tier"],
  ["tower-port-score", { tower: { tiers: 31 } }, "tower.tiers"],
  ["tower-port-score", { tower: { measuredLight: { "12": {} } } }, "tower.measuredLight.12"],
  ["tower-layout", { pins: [{ crop: "rose", tier: 1, face: "N" }] }, "pins[0].crop"],
  ["tower-layout", { pins: [{ crop: "basil", tier: 11, face: "N" }] }, "pins[0].tier"],
  ["gust-check", { gust: 61 }, "gust"],
  ["gust-check", { drag: 0 }, "drag"],
];

describe("an input that is not well put", () => {
  it.each(amiss)("%s with %j names %s", (id, change, field) => {
    const sheet = worksheets.get(id)!;
    const result = run(sheet, { ...(sheet.example as object), ...change });
    expect("faults" in result && result.faults.map((fault) => fault.field)).toContain(field);
  });

  it("names a crop of a layout that lacks the bands that others have", () => {
    const { crops } = worksheets.get("tower-layout")!.example as { crops: object[] };
    const [first, ...rest] = crops;
    const result = run(worksheets.get("tower-layout")!, { crops: [{ ...first, ec: [1, 2], ph: [5, 6] }, ...rest] });
    expect("faults" in result && result.faults.map((fault) => fault.field)).toContain("crops[1].ec");
  });
});

describe("refusals", () => {
  const why = (id: string, change: object) => {
    const outcome = answered(id, { ...(worksheets.get(id)!.example as object), ...change });
    return { ...outcome.refusal, answer: outcome.answer };
  };

  it("of injector-setting: no stock, water too strong, setting too low", () => {
    expect(why("injector-setting", { ecLine: 0.1 })).toMatchObject({
      why: expect.stringContaining("stock"),
      nearest: {},
    });
    expect(why("injector-setting", { ecTarget: 0.05 })).toMatchObject({
      why: expect.stringContaining("water"),
      by: expect.closeTo(0.05, 9),
      nearest: { ec: expect.closeTo(0.39, 9) },
    });
    expect(why("injector-setting", { ecTarget: 0.3 })).toMatchObject({
      why: expect.stringContaining("weak"),
      nearest: { stockFactor: expect.closeTo(0.69, 2) },
    });
  });

  it("of catch-test: a deviation of exactly 10 % is not over it, and a short test comes first", () => {
    expect(why("catch-test", { mlDrawn: 1100, litresWater: 100 }).why).toBeUndefined();
    expect(why("catch-test", { mlDrawn: 1101, litresWater: 100 }).why).toMatch(/stop/i);
    expect(why("catch-test", { mlDrawn: 10, litresWater: 19 }).why).toMatch(/short/);
  });

  it("of base-drift: a base cannot rise faster than the feed makes it", () => {
    const given = { uptakeLevel: undefined, feedLevel: 1.4, previousLevel: 1.4, nowLevel: 2, daysBetween: 1, limit: 3 };
    expect(why("base-drift", given)).toMatchObject({
      why: expect.stringContaining("reading"),
      by: expect.closeTo(3.4, 9),
      nearest: { maxRisePerDay: expect.closeTo(0.175, 9) },
    });
  });

  it("of base-drain: the nearer end of the span", () => {
    expect(why("base-drain", { wantLevel: 1.3 })).toMatchObject({
      by: expect.closeTo(0.1, 9),
      nearest: { level: 1.4 },
    });
    expect(why("base-drain", { wantLevel: 2.3 })).toMatchObject({ by: expect.closeTo(0.3, 9), nearest: { level: 2 } });
  });

  it("of pump-head: what pressure the pump still gives, or how long mist may pause", () => {
    expect(why("pump-head", { pumpMaxHeadM: 12.7 })).toMatchObject({ nearest: { nozzleBar: expect.closeTo(1, 9) } });
    const mist = { onSeconds: 5, offSeconds: 900, longestSafeOffSeconds: 300, alarm: true };
    expect(why("pump-head", mist)).toMatchObject({
      why: expect.stringContaining("dry"),
      by: 600,
      nearest: { offSeconds: 300 },
    });
  });

  it("of meter-check: slope under 85 % or EC over 10 % off", () => {
    expect(why("meter-check", { readHigh: 0, readLow: 145 }).why).toMatch(/slope/);
    expect(why("meter-check", { ecRead: 1.6 }).why).toMatch(/EC/);
    expect(why("meter-check", { readHigh: 0, readLow: 155 }).why).toBeUndefined();
  });

  it("of line-match: what is not known is not judged", () => {
    expect(why("line-match", { crops: [{ id: "basil", ec: [1, 2] }] })).toMatchObject({
      why: expect.stringMatching(/cannot judge.*basil/),
      answer: { linesNeeded: null },
    });
  });

  it("of tower-layout: V0 before any placing, more plants than ports, and pins that break a rule", () => {
    const [crop] = (worksheets.get("tower-layout")!.example as { crops: object[] }).crops;
    const fed = (id: string, ec: readonly number[]) => ({ ...crop, id, ec, ph: [5.5, 6.5], count: 1 });
    expect(why("tower-layout", { crops: [fed("lettuce", [0.8, 1.4]), fed("tomato", [2, 3])] })).toMatchObject({
      why: expect.stringMatching(/V0.*tomato.*lettuce/),
      by: expect.closeTo(0.6, 9),
      nearest: { linesNeeded: 2 },
      answer: { map: null, plants: 2 },
    });
    expect(why("tower-layout", { crops: [{ ...crop, count: 43 }] })).toMatchObject({ by: 3, nearest: { plants: 40 } });
    const heavy = { ...crop, id: "kale", massKg: 1.2, count: 2 };
    const pins = [{ crop: "kale", tier: 4, face: "S" }];
    expect(why("tower-layout", { crops: [heavy], pins }).why).toMatch(/V1/);
    const near = [1, 3].map((tier) => ({ crop: "kale", tier, face: "S" }));
    expect(why("tower-layout", { crops: [heavy], pins: near }).why).toMatch(/V5/);
    const twice = [1, 1].map((tier) => ({ crop: "kale", tier, face: "S" }));
    expect(why("tower-layout", { crops: [heavy], pins: twice }).why).toMatch(/pin/);
  });
});

describe("tolerated bands", () => {
  const lettuce = { id: "lettuce", ec: [0.8, 1.4], ph: [5.5, 6.5], ecTolerated: [0.6, 2.0] };
  const tomato = { id: "tomato", ec: [2.0, 3.0], ph: [5.5, 6.5], ecTolerated: [1.5, 3.5] };

  it("are used with a warning that names who is compromised", () => {
    const { answer, verdict, notes } = answered("line-match", { crops: [lettuce, tomato] });
    expect(verdict).toBe("warn");
    expect(answer).toMatchObject({
      bandUsed: "tolerated",
      ecLow: 1.5,
      ecHigh: 2,
      linesNeeded: 2,
      compromised: ["lettuce"],
    });
    expect(notes.map(({ text }) => text).join(" ")).toMatch(/tolerated.*lettuce/);
  });
});
