import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import type { Library } from "../../generator/library.ts";
import { load } from "../../generator/node.ts";
import { stageDays } from "../../generator/plan/passage.ts";
import { dayNumber, daysInMonth } from "../../generator/science/calendar.ts";
import { yardOf } from "../../generator/supply/plan.ts";
import { type CropMonth, type CropYear, seasonsOf, towerLight } from "../../generator/supply/seasons.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { run } from "../../generator/worksheets/worksheet.ts";
import { behind, crop, libraryOf, line } from "./yard.ts";

/** Four lamps of 250 W, 200 µmol/m²/s in the mean, 14 h a day: 200 × 14 × 0.0036 = 10.08 mol/m²/day from 1 kW. */
const lamp = (more = "months: Nov–Feb") => `kind: lamp
name: Lamps
count: 4
watts: 250 W
readings: [180 µmol/m²/s, 220 µmol/m²/s]
measured: 2026-11-01
hours: 14 h
${more}`;

const light = "light: { mar: 12 mol/m²/day, oct: 6 mol/m²/day, dec: 1 mol/m²/day }";
const yard = (records: Readonly<Record<string, string>> = {}, book = `${light}\npower: 0.25 ¤/kWh`) =>
  libraryOf(
    {
      ...behind,
      "crops/sorrel.md": crop("", "days: 18–20 days"),
      "gear/line.md": line("sorrel"),
      "gear/lamp.md": lamp(),
      ...records,
    },
    book,
  );

const yearOf = (library: Library, id = "sorrel"): CropYear => seasonsOf(library).crops.find(({ crop }) => crop === id)!;
const monthOf = (library: Library, month: number, id?: string): CropMonth => yearOf(library, id).months[month - 1]!;

describe("seasonsOf(library)", () => {
  it("has the lamps' light in their months, with the hours and the power that the need takes", () => {
    // 12 ÷ (200 × 0.0036) = 16.667 h; × 1 kW × 31 days = 516.67 kWh, × 0.25 = 129.17.
    const january = monthOf(yard(), 1);
    expect(january).toMatchObject({ under: "lamps", lamp: "lamp" });
    expect(january.light).toBeCloseTo(10.08, 10);
    expect(january.wanting).toBeCloseTo(1.92, 10);
    expect(january.lamps!.needed).toBeCloseTo(16.6667, 4);
    expect(january.lamps!.hours).toBeCloseTo(16.6667, 4);
    expect(january.lamps!.energy).toBeCloseTo(516.667, 3);
    expect(january.lamps!.cost).toBeCloseTo(129.167, 3);
    expect(january.lamps!.wanting).toBeCloseTo(0, 10);
    // √(12 ÷ 10.08) = 1.09109.
    expect(january.slower).toBeCloseTo(1.09109, 5);
  });

  it("has the recorded light outdoors, and what lamps would have to add", () => {
    // 12 − 6 = 6 mol, 6 ÷ 0.72 = 8.333 h, × 31 days = 258.33 kWh; √(12 ÷ 6) = 1.41421.
    const october = monthOf(yard(), 10);
    expect(october).toMatchObject({ under: "outdoors", light: 6, wanting: 6 });
    expect(october.lamps!.hours).toBeCloseTo(8.3333, 4);
    expect(october.lamps!.energy).toBeCloseTo(258.333, 3);
    expect(october.slower).toBeCloseTo(Math.SQRT2, 10);
    expect(monthOf(yard(), 3)).toMatchObject({ light: 12, wanting: 0, lamps: undefined, slower: 1 });
  });

  it("bounds a month without a figure by its sky, and makes no figure of it", () => {
    const library = yard();
    expect(monthOf(library, 9)).toMatchObject({
      light: undefined,
      wanting: undefined,
      lamps: undefined,
      slower: undefined,
    });
    const { sky, day, light: recorded } = seasonsOf(library).months[8]!;
    expect(recorded).toBeUndefined();
    // 24.7 MJ/m²/day at 52° north in September (FAO 56, table 2.6) × 0.45 × 4.57 = 50.8 mol: 12.7 and 38.1.
    expect(sky.low).toBeCloseTo(12.7, 1);
    expect(sky.high).toBeCloseTo(38.1, 0);
    // FAO 56, table 2.7: 12.4 h at 52° north in September.
    expect(Math.abs(day - 12.4)).toBeLessThan(0.1);
  });

  it("burns no lamp longer than the crop bears, and says what is then wanting", () => {
    // 10 h give 200 × 10 × 0.0036 = 7.2 mol: 4.8 are wanting.
    const { lamps } = monthOf(yard({ "crops/sorrel.md": crop(", longest: 10 h", "days: 20 days") }), 1);
    expect(lamps!.needed).toBeCloseTo(16.6667, 4);
    expect(lamps!.hours).toBe(10);
    expect(lamps!.wanting).toBeCloseTo(4.8, 10);
  });

  it("holds a plant back no more than twice, and never hurries it", () => {
    // √(12 ÷ 1) = 3.46.
    expect(monthOf(yard({ "gear/lamp.md": lamp("months: Jan") }), 12).slower).toBe(2);
    expect(monthOf(yard({}, "light: { jun: 40 mol/m²/day }"), 6).slower).toBe(1);
    expect(monthOf(yard({}, "light: { jun: 0 mol/m²/day }"), 6).slower).toBe(2);
  });

  it("counts light once: a record that knows seasons keeps its own days", () => {
    const library = yard({ "crops/sorrel.md": crop("", "days: 20 days, winter: 30 days") });
    expect(yearOf(library).days).toBeUndefined();
    expect(monthOf(library, 10)).toMatchObject({ wanting: 6, slower: undefined });
    expect(towerLight(library).slower.size).toBe(0);
  });

  it("lights only the lines that are named, and by the darker of two lamps", () => {
    const library = yard({
      "crops/dock.md": crop("", "days: 20 days").replace("SOR", "DOC").replace("Sorrel", "Dock"),
      "gear/line.md": line("sorrel"),
      "gear/bucket.md": line("dock").replace("name: Line", "name: Bucket"),
      "gear/lamp.md": lamp("months: Nov–Feb\nlines: [line]"),
      "gear/weak.md": lamp("months: Dec\nlines: [line]").replace("name: Lamps", "name: Weak").replace("14 h", "10 h"),
    });
    expect(monthOf(library, 1, "dock")).toMatchObject({ under: "outdoors", light: undefined });
    expect(monthOf(library, 1).lamp).toBe("lamp");
    expect(monthOf(library, 12).lamp).toBe("weak");
    expect(monthOf(library, 12).light).toBeCloseTo(7.2, 10);
  });

  it("says what lamps burn now and for the crop that wants most, and no cost without a price", () => {
    // 1 kW × 14 h × 28 days = 392 kWh; 16.667 h: 466.67 kWh.
    const february = seasonsOf(yard({}, light)).lamps[0]!.months.find(({ month }) => month === 2)!;
    expect(february.now).toEqual({ hours: 14, energy: 392, cost: undefined });
    expect(february.wanted!.crop).toBe("sorrel");
    expect(february.wanted!.energy).toBeCloseTo(466.667, 3);
    expect(seasonsOf(yard()).lamps[0]!.lowest).toBeCloseTo(180 * 14 * 0.0036, 10);
    expect(seasonsOf(yard()).lamps[0]!.months.map(({ month }) => month)).toEqual([11, 12, 1, 2]);
  });
});

describe("the plan", () => {
  it("stretches the days on the tower once, by the month in which they begin", () => {
    const { yard: plan, leans } = yardOf(yard());
    const stages = plan.crops.get("sorrel")!.stages;
    const tower = stages.find(({ name }) => name === "tower")!;
    const days = (on: string) => stageDays(tower, dayNumber(on), plan.latitude);
    // 20 × 1.41421 = 28.3 days in October, 20 × 1.09109 = 21.8 in January, 20 in March and where nothing is recorded.
    expect([days("2027-10-01"), days("2027-01-31"), days("2027-03-01"), days("2027-06-01")]).toEqual([29, 22, 20, 20]);
    expect(stages.filter(({ slower }) => slower).map(({ name }) => name)).toEqual(["tower"]);
    const paths = leans.get("sorrel")!.map(({ record, path }) => `${record} ${path}`);
    expect(paths).toEqual(expect.arrayContaining(["book light.oct", "gear/lamp hours", "crops/sorrel light.need"]));
  });

  it("says in which months it does not know the light, and slows nothing there", () => {
    expect(towerLight(yard()).unlit).toEqual([4, 5, 6, 7, 8, 9]);
    expect(seasonsOf(yard()).said).toMatch(/short in Oct to Feb.*For Apr to Sep no light outdoors is recorded/);
    const bare = yard({ "gear/lamp.md": lamp("") }, "");
    expect(towerLight(bare).slower.size).toBe(0);
    expect(seasonsOf(bare).said).toMatch(/^No crop is counted slower.*For all months/);
    expect(
      yardOf(bare)
        .yard.crops.get("sorrel")!
        .stages.some(({ slower }) => slower),
    ).toBe(false);
  });
});

describe("the demo book", () => {
  let library: Library;
  beforeAll(async () => {
    library = (await load(fileURLToPath(new URL("../../content", import.meta.url)))).library!;
  });
  const answer = (id: string, input: object) => {
    const result = run(worksheets.get(id)!, input);
    if (!("outcome" in result)) throw new Error(JSON.stringify(result));
    return result.outcome.answer as Readonly<Record<string, number>>;
  };

  it("has the same figures as the worksheets of light, lamps, days and growing", () => {
    const { months, lamps, crops, year, latitude } = seasonsOf(library);
    for (const { month, day } of months) {
      const date = `${year}-${String(month).padStart(2, "0")}-15`;
      expect(day).toBeCloseTo(answer("day-length", { latitude, date }).hours!, 10);
    }
    let compared = 0;
    for (const one of lamps) {
      const page = library.gear.get(one.lamp)!.fields;
      if (page.kind !== "lamp") throw new Error(one.lamp);
      const { dli, dliLowest, meanPpfd } = answer("light-total", { ppfd: page.readings, hours: page.hours });
      expect(one.light).toBeCloseTo(dli!, 10);
      expect(one.lowest).toBeCloseTo(dliLowest!, 10);
      for (const { need, longest, days, months } of crops) {
        for (const { month, under, lamp, lamps: burnt, light, slower } of months) {
          if (under !== "lamps" || lamp !== one.lamp || !burnt || need === undefined || light === undefined) continue;
          const input = {
            ppfd: meanPpfd,
            targetDli: need,
            maxHours: longest,
            lamps: page.count,
            lampWatts: page.watts,
          };
          const plan = answer("lamp-plan", input);
          expect(burnt.needed).toBeCloseTo(plan.hoursNeeded!, 10);
          expect(burnt.energy).toBeCloseTo(plan.lampKwhPerDay! * daysInMonth(year, month), 6);
          if (slower === undefined || days === undefined) continue;
          const growing = answer("growing-days", { baseDays: days, dliReference: need, dliNow: light });
          expect(slower).toBeCloseTo(Math.max(1, growing.factor!), 10);
          compared++;
        }
      }
    }
    expect(compared).toBeGreaterThan(20);
  });

  it("lies between the overcast and the clear sky in every month", () => {
    for (const { month, light: recorded, sky } of seasonsOf(library).months) {
      expect(recorded, String(month)).toBeGreaterThanOrEqual(sky.low);
      expect(recorded, String(month)).toBeLessThanOrEqual(sky.high);
    }
  });
});
