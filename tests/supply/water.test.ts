import { describe, expect, it } from "vitest";
import { addDays, type PlainDate } from "../../generator/science/calendar.ts";
import type { SaltSupply } from "../../generator/supply/stock.ts";
import { type Supplies, suppliesOf } from "../../generator/supply/water.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { run } from "../../generator/worksheets/worksheet.ts";
import { behind, crop, libraryOf, line, shelf } from "./yard.ts";

const today: PlainDate = "2027-04-12";

/** Two towers of 5 tiers and 2 faces: 20 ports, which drink 10 L a day when all are planted. */
const tower = `kind: tower
name: Towers
line: line
count: 2
tiers: 5
faces: 2
bottom: 0.4 m
pitch: 15 cm
fed: top
base: 20 L
drinks: 5 L/day`;

const records = {
  ...behind,
  "crops/sorrel.md": crop("", "days: 20 days"),
  "gear/line.md": line("sorrel"),
  "gear/towers.md": tower,
};

/** A plan of a fortnight: in the first week 10 of 20 ports are planted, in the second all 20. */
function fortnight(
  more: Readonly<Record<string, string>> = {},
  taken: readonly number[] = [...week(10), ...week(20)],
): Supplies {
  const places = [{ place: "line", room: 20, taken }];
  return suppliesOf(libraryOf({ ...records, ...more }), { today, until: addDays(today, taken.length - 1), places });
}

const week = (ports: number): readonly number[] => Array<number>(7).fill(ports);
const saltIn = ({ salts }: Supplies, id: string): SaltSupply => salts.find(({ salt }) => salt === id)!;

describe("suppliesOf(library, plan): water and stock", () => {
  it("follows the ports in use", () => {
    // 10 of 20 ports × 10 L = 5 L a day, 35 a week; then 70. 1 part to 100 with two heads: 0.01 ÷ 1.02 = 0.98039 %.
    const [one] = fortnight().lines;
    expect(one!.full).toBe(10);
    expect(one!.by).toBe("towers");
    expect(one!.weeks.map(({ litres }) => litres)).toEqual([35, 70]);
    expect(one!.weeks.map(({ ports }) => ports)).toEqual([10, 20]);
    expect(one!.weeks.map(({ from, week }) => [from, week])).toEqual([
      ["2027-04-12", "2027-W15"],
      ["2027-04-19", "2027-W16"],
    ]);
    expect(one!.stockPercent).toBeCloseTo(0.980392, 6);
    expect(one!.weeks[0]!.stock).toBeCloseTo(0.343137, 6);
    expect(one!.said).toMatch(/drinks 35\u202fL in the next seven days, by what its towers drink/);
  });

  it("takes the line's own figure before that of its towers", () => {
    const [one] = fortnight({ "gear/line.md": line("sorrel", "litres: 8 L/day") }).lines;
    expect(one).toMatchObject({ full: 8, by: "line" });
    expect(one!.weeks.map(({ litres }) => litres)).toEqual([28, 56]);
  });

  it("does not take what is not recorded for nothing", () => {
    const supplies = fortnight({
      "gear/towers.md": tower.replace("drinks: 5 L/day", ""),
      "gear/tub.md": "kind: tub\nname: Tub\nletter: A\nholds: 20 L\nrecipe: leaf",
    });
    expect(supplies.lines[0]).toMatchObject({ full: undefined, litres: undefined, weeks: [] });
    expect(supplies.lines[0]!.said).toMatch(/not recorded/);
    expect(supplies.tubs[0]).toMatchObject({ use: undefined, left: undefined, empties: undefined, mix: undefined });
    for (const { state, grams, missing } of supplies.salts) {
      expect({ state, grams, missing }).toEqual({ state: "not-recorded", grams: undefined, missing: ["Line"] });
    }
  });

  it("says so when a plan holds more plants than ports", () => {
    expect(fortnight({}, week(25)).lines[0]!.said).toMatch(/more plants than the line's 20 ports/);
  });
});

describe("suppliesOf(library, plan): tubs", () => {
  const tub = (more: string) => ({
    "gear/tub.md": `kind: tub\nname: Tub\nletter: A\nholds: 20 L\nrecipe: leaf\nmade: 2027-03-29\n${more}`,
  });

  it("run out on the first day that they cannot feed, and are mixed for four weeks from then", () => {
    // Used today 5 × 0.0098039 = 0.0490196 L. 0.4 L yesterday is 0.35098 today; seven days take 0.34314, and the eighth,
    // 19 April, takes 0.09804 and finds 0.00784. Four weeks from then: 28 × 0.0980392 = 2.74510 L.
    const [one] = fortnight(tub("left: 0.4 L\nlooked: 2027-04-11")).tubs;
    expect(one!.use).toBeCloseTo(0.0490196, 7);
    expect(one!.left).toBeCloseTo(0.3509804, 7);
    expect(one!.empties).toBe("2027-04-19");
    expect(one!.mix).toBeCloseTo(2.745098, 6);
    // 29 March and six weeks.
    expect(one!.stale).toBe("2027-05-10");
  });

  it("outlast the plan, or say that nobody looked", () => {
    expect(fortnight(tub("left: 15 L\nlooked: 2027-04-12")).tubs[0]).toMatchObject({ left: 15, empties: undefined });
    const [unseen] = fortnight(tub("")).tubs;
    expect(unseen).toMatchObject({ left: undefined, empties: undefined });
    expect(unseen!.said).toMatch(/How much is left is not recorded/);
    // From today: 7 × 0.0490196 + 21 × 0.0980392 = 2.40196.
    expect(unseen!.mix).toBeCloseTo(2.401961, 6);
    expect(fortnight(tub("left: 0.1 L\nlooked: 2027-04-01")).tubs[0]!.said).toMatch(/look again/);
  });

  it("have the figures of the worksheet when the use is the same every day", () => {
    const supplies = fortnight(tub("left: 1 L\nlooked: 2027-04-12"), [...week(20), ...week(20)]);
    const [{ stockPercent }, one] = [supplies.lines[0]!, supplies.tubs[0]!];
    const result = run(worksheets.get("tub-days-left")!, {
      tubLitres: 1,
      feedLitresPerDay: 10,
      ratioPercent: stockPercent,
    });
    if (!("outcome" in result)) throw new Error(JSON.stringify(result));
    const { useLitresPerDay, makeLitres, daysLeft } = result.outcome.answer as Readonly<Record<string, number>>;
    expect(one.use).toBeCloseTo(useLitresPerDay!, 10);
    expect(one.mix).toBeCloseTo(makeLitres!, 10);
    // 10.2 days: ten whole days, and the eleventh is short.
    expect(one.empties).toBe(addDays(today, Math.floor(daysLeft!)));
  });
});

describe("suppliesOf(library, plan): salts", () => {
  it("weigh the recipe for the water", () => {
    // Ca 133 ÷ 0.19 = 700 g/m³, P 45.4 ÷ 0.227 = 200, Mg 49 ÷ 0.098 = 500; N (150 − 700 × 0.155) ÷ 0.137 = 302.92.
    const [one] = fortnight().lines;
    const grams = one!.weeks[0]!.grams;
    expect(grams["calcium-nitrate"]).toBeCloseTo(24.5, 6);
    expect(grams["monopotassium-phosphate"]).toBeCloseTo(7, 6);
    expect(grams["magnesium-sulphate"]).toBeCloseTo(17.5, 6);
    expect(grams["potassium-nitrate"]).toBeCloseTo(10.6022, 4);
    expect(saltIn(fortnight(), "calcium-nitrate").grams!.map((each) => Math.round(each * 1e6) / 1e6)).toEqual([
      24.5, 49,
    ]);
  });

  it("are ordered when what is left is used up before an order has come and a week is over", () => {
    // 3.5 g a day, then 7. 0.1 kg two days ago is 93 g today. On the 18th 72 g are left and ten days take 66.5;
    // on the 19th 68.5 g are left and ten days take 70.
    const more = shelf({ "calcium-nitrate": "stock: 0.1 kg\ncounted: 2027-04-10\nlead: 3 days" });
    const one = saltIn(fortnight(more), "calcium-nitrate");
    expect(one.state).toBe("order");
    expect(one.now).toBeCloseTo(0.093, 10);
    expect(one.order!.on).toBe("2027-04-19");
    expect(one.order!.by).toBe("lead");
    expect(one.order!.at).toBeCloseTo(0.07, 10);
    expect(one.lasts).toBeUndefined();
    expect(one.said).toMatch(
      /^Order on Mon 19 Apr 2027: .*10\u202fdays: 3\u202fdays until it comes and 7\u202fdays to spare/,
    );
  });

  it("are ordered at the yard's own limit where that comes sooner", () => {
    // 1 g a day: 55 g today, 50 on the fifth day from now.
    const more = shelf({ "monopotassium-phosphate": "stock: 0.055 kg\ncounted: 2027-04-12\nreorder: 0.05 kg" });
    expect(saltIn(fortnight(more), "monopotassium-phosphate").order).toEqual({ on: "2027-04-17", at: 0.05, by: "own" });
  });

  it("last until the last day that they are enough for", () => {
    // 2.5 g a day: 9 g are enough for three days, 12 to 14 April.
    const more = shelf({ "magnesium-sulphate": "stock: 0.009 kg\ncounted: 2027-04-12\nlead: 1 days" });
    const one = saltIn(fortnight(more), "magnesium-sulphate");
    expect(one).toMatchObject({ state: "order", lasts: "2027-04-14" });
    expect(one.order!.on).toBe(today);
  });

  it("say what is wanting and never guess a stock", () => {
    const supplies = fortnight(
      shelf({
        "calcium-nitrate": "stock: 42 kg",
        "magnesium-sulphate": "stock: 5 kg\ncounted: 2027-04-12",
        "potassium-nitrate": "stock: 0.001 kg\ncounted: 2027-03-01\nlead: 3 days",
        "potassium-sulphate": "stock: 7 kg\ncounted: 2027-04-12\nlead: 3 days",
      }),
    );
    expect(Object.fromEntries(supplies.salts.map(({ salt, state }) => [salt, state]))).toEqual({
      "calcium-nitrate": "not-dated",
      "monopotassium-phosphate": "not-recorded",
      "magnesium-sulphate": "no-limit",
      "potassium-nitrate": "count-again",
      "potassium-sulphate": "beyond",
    });
    const unknown = saltIn(supplies, "monopotassium-phosphate");
    expect(unknown).toMatchObject({ hand: undefined, now: undefined, order: undefined });
    expect(unknown.said).toMatch(/^What is on hand is not recorded/);
  });

  it("have no weight where the recipe is refused", () => {
    const hard = behind["waters/rain.md"].replace("Ca: 0", "Ca: 200");
    const supplies = fortnight({
      ...shelf({ "calcium-nitrate": "stock: 42 kg\ncounted: 2027-04-12\nlead: 3 days" }),
      "waters/rain.md": hard,
    });
    expect(supplies.lines[0]!.refused).toHaveLength(1);
    expect(supplies.lines[0]!.weeks[0]!.grams).toEqual({});
    expect(supplies.lines[0]!.weeks[0]!.litres).toBe(35);
    expect(saltIn(supplies, "calcium-nitrate")).toMatchObject({
      state: "unused",
      grams: undefined,
      missing: ["Line"],
      now: undefined,
      order: undefined,
    });
  });

  it("rest on the weakest of all that they lean on", () => {
    expect(fortnight().lines[0]!.basis).toBe("common-practice");
    expect(fortnight().salts.every(({ basis }) => basis === "common-practice")).toBe(true);
  });
});
