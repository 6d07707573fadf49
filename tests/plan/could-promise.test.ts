import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { couldPromise } from "../../generator/plan/could-promise.ts";
import { plan, settle } from "../../generator/plan/plan.ts";
import type { Yard } from "../../generator/plan/yard.ts";
import { addDays } from "../../generator/science/calendar.ts";
import { basil, order, yard } from "./yards.ts";

/** What could be promised of basil in a yard, week by week. */
function basilIn(one: Yard) {
  const [found] = couldPromise(one, plan(one));
  if (!found || "cannot" in found) throw new Error("basil has no weeks");
  return found;
}

const ports = (count: number, bench = 1000): Partial<Yard> => ({
  places: { bench, mister: 100_000, lines: [{ id: "main", crops: ["basil"], ports: count }] },
});

describe("couldPromise", () => {
  it("promises nothing before a sowing of today is ready: 5 + 16 + 9 + 21 days after Mon 1 March is Wed 21 April", () => {
    const { earliest, weeks } = basilIn(yard(ports(100)));
    expect(earliest).toBe("2027-04-21");
    expect(weeks[0]).toMatchObject({ week: "2027-W16", from: "2027-04-21" });
    expect(weeks[1]).toMatchObject({ week: "2027-W17", from: "2027-04-26" });
  });

  it("adds the days to spare: two more are Fri 23 April", () => {
    expect(basilIn(yard({ ...ports(100), buffer: 2 })).earliest).toBe("2027-04-23");
  });

  it("counts 100 free ports as 7 ÷ 9 × 32 × 0.92 × 100 = 2,289 g a week, in whole tens 2,280", () => {
    const { weeks } = basilIn(yard(ports(100)));
    expect(weeks.every(({ units, grams }) => units === 100 && grams === 2280)).toBe(true);
    expect(weeks[0]).toMatchObject({ of: "ports", full: "main", flowers: undefined, bunches: undefined });
  });

  it("tells bunches of 30 g too: 2,289 over 30 are 76 whole ones", () => {
    const crops = new Map([["basil", { ...basil, gramsPerBunch: 30 }]]);
    expect(basilIn(yard({ ...ports(100), crops })).weeks[0]!.bunches).toBe(76);
  });

  it("leaves out ports that an order holds: 60 of 100 from 12 May, when its plants come to the tower", () => {
    // 1,373 g a week over 22.9 is 60 ports. The last sowing before a need on 2 June: Mon 12 April, planted on 12 May.
    const held = order({ written: "1373 g/week", from: "2027-06-02" });
    const { weeks } = basilIn(yard({ ...ports(100), orders: [held] }));
    // A window of 45 days from 21 April ends on 5 June, so it meets the order from the first week on.
    expect(weeks[0]).toMatchObject({ units: 40, grams: 910 });
    expect(weeks.every(({ units }) => units === 40)).toBe(true);
  });

  it("says that the bench is full when one tray of 104 cells is all there is, and sows no more than that", () => {
    const { weeks } = basilIn(yard(ports(1000, 1)));
    expect(weeks[0]!.full).toBe("bench");
    // By exact fractions: P(Binomial(104, 0.684) ≥ 63) = 0.9638, and for 64 it is 0.9444, so 63 plugs are sure enough.
    expect(weeks[0]!.units).toBe(63);
  });

  it("tells only weeks of which the whole cut window lies within the plan", () => {
    const { weeks } = basilIn(yard(ports(100)));
    // The last day is Sun 29 August: 45 days end then when they begin on Fri 16 July, so Mon 12 July is the last Monday.
    expect(weeks.at(-1)).toMatchObject({ week: "2027-W28", from: "2027-07-12", until: "2027-08-26" });
  });

  it("says what is not on record, and asks for no line for a crop that no line carries", () => {
    const field = (crop: typeof basil) => couldPromise(yard({ crops: new Map([["basil", crop]]) }), plan(yard()));
    expect(field({ ...basil, daysBetweenCuts: undefined })).toEqual([
      { crop: "basil", cannot: { gap: "field", field: "cutting.regrowth" } },
    ]);
    expect(field({ ...basil, gramsPerCut: undefined })).toEqual([
      { crop: "basil", cannot: { gap: "field", field: "cutting.each" } },
    ]);
    const nowhere = yard({ places: { bench: 1, mister: 1, lines: [] } });
    expect(couldPromise(nowhere, plan(nowhere))).toEqual([]);
  });

  it("keeps its word: what it promises is met beside the plan, and one port more is not, in any yard", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: 1, max: 6 }),
        fc.integer({ min: 0, max: 4000 }),
        fc.nat(12),
        (count, bench, asked, later) => {
          const one = yard({
            ...ports(count, bench),
            orders: asked > 0 ? [order({ written: `${asked} g/week`, from: "2027-05-20" })] : [],
          });
          const { weeks } = basilIn(one);
          const promised = weeks[later % weeks.length]!;
          const settled = settle(one);
          const shortOf = (units: number) =>
            settled.beside(
              order({
                id: "more",
                kind: "trial",
                written: `${units} plants`,
                from: promised.from,
                to: addDays(promised.until, -1),
              }),
            ).shortfalls.length;
          if (promised.units > 0) expect(shortOf(promised.units)).toBe(0);
          expect(shortOf(promised.units + 1)).toBeGreaterThan(0);
        },
      ),
      { numRuns: 60 },
    );
  });
});
