import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Plan, plan, settle } from "../../generator/plan/plan.ts";
import { earliestOf, mostOf, reply, worse } from "../../generator/plan/promise.ts";
import type { Promised, Yard } from "../../generator/plan/yard.ts";
import { loadSearch } from "../../generator/search.ts";
import { basil, batch, order, yard } from "./yards.ts";

const search = await loadSearch();
const more = (changes: Partial<Promised> = {}) => order({ id: "more", ...changes });

/** A line of so many ports and nothing else that is scarce. */
function ports(number: number, changes: Partial<Yard> = {}): Yard {
  const places = { bench: 1000, mister: 100_000, lines: [{ id: "main", crops: ["basil"], ports: number }] };
  return yard({ places, ...changes });
}

describe("reply", () => {
  it("says yes with the sowing that the order would have alone, as counted on a calendar", () => {
    const found = reply(yard(), more(), search);
    expect(found).toMatchObject({ verdict: "yes", watch: [] });
    expect(found.part.sowings).toEqual(plan(yard({ orders: [more()] }), search).sowings);
    expect(found.part.sowings[0]).toMatchObject({ sown: "2027-03-22", units: 41 });
    expect(found.before.sowings).toEqual([]);
  });

  it("says yes from plants of a batch in hand that no other order has", () => {
    const now = yard({
      today: "2027-04-12",
      batches: [batch()],
      orders: [order({ written: "500 g", from: "2027-05-13" })],
    });
    const found = reply(now, more({ written: "1000 g", from: "2027-05-13" }), search);
    // 500 over 29.44 is 17 ports and 1,000 is 34; the batch has 60.
    expect(found.before.kept.map(({ order, units }) => [order, units])).toEqual([["kitchen", 17]]);
    expect(found.verdict).toBe("yes");
    expect(found.part.kept.map(({ order, units }) => [order, units])).toEqual([["more", 34]]);
  });

  it("says no when the batch would only do if it were taken from another order, and names it", () => {
    const now = yard({ today: "2027-04-12", batches: [batch()], orders: [order({ from: "2027-05-13" })] });
    const found = reply(now, more({ from: "2027-05-13" }), search);
    // 60 plants less 41 are 19 ports: 19 × 29.44 = 559 g.
    expect(found).toMatchObject({ verdict: "no", most: 550 });
    expect(found.part.shortfalls[0]?.reason).toMatchObject({ why: "late", batches: [{ batch: "bas-27060-01" }] });
    // The same plants have grown again nine days after they were cut for the other.
    expect(found).toMatchObject({ earliest: "2027-05-22" });
  });

  it("says no for want of ports, with the most that fits and the first day for all, worked out by hand", () => {
    const found = reply(ports(60, { orders: [order()] }), more(), search);
    // 60 ports less 41 are 19, and 19 × 32 × 0.92 = 559 g. The ports are free on 15 May; sown on Thursday 15 April the
    // next are planted on that day, and ready on 5 June.
    expect(found).toMatchObject({ verdict: "no", most: 550, earliest: "2027-06-05" });
    expect(found.part.shortfalls).toMatchObject([{ order: "more", reason: { why: "no-room", place: "main" } }]);
  });

  it("says yes, if another is sown on an earlier day, when none is late for it", () => {
    const places = { bench: 1, mister: 100_000, lines: [{ id: "main", crops: ["basil"], ports: 10_000 }] };
    const found = reply(yard({ places, orders: [order()] }), more({ from: "2027-05-24" }), search);
    // The one tray place is held for 21 days: from 22 March it is in the way of all four days for 24 May, from 11 March of none.
    expect(found).toMatchObject({
      verdict: "if",
      moved: [{ order: "kitchen", need: "2027-05-14", was: { sown: "2027-03-22" }, is: { sown: "2027-03-11" } }],
      part: { sowings: [{ order: "more", sown: "2027-04-01" }], shortfalls: [] },
    });
  });

  it("does not look for another day when it is a record that says too little", () => {
    const crops = new Map([["basil", { ...basil, gramsPerCut: undefined }]]);
    const found = reply(yard({ crops }), more(), search);
    expect(found).toMatchObject({ verdict: "no", most: 0, earliest: undefined });
    expect(found.part.shortfalls).toMatchObject([{ reason: { gap: "field", field: "cutting.each" } }]);
  });

  it("says that nothing is asked when no day of delivery falls within the days named", () => {
    // 14 May 2027 is a Friday.
    const once = { ...basil, once: true };
    const asked = more({ written: "1200 g/week", days: ["Mon"], to: "2027-05-15" });
    expect(reply(yard({ crops: new Map([["basil", once]]) }), asked, search).verdict).toBe("nothing");
  });
});

describe("mostOf and earliestOf", () => {
  const amount = fc.integer({ min: 1, max: 120 });

  it("give an amount that fits where ten grams more do not, and a day that fits where none before does", () => {
    fc.assert(
      fc.property(amount, amount, fc.integer({ min: 30, max: 150 }), (recorded, asked, room) => {
        const now = ports(room, { orders: [order({ written: `${recorded * 10} g` })] });
        const settled = settle(now, search);
        const fits = (changes: Partial<Promised>) => settled.beside(more(changes)).shortfalls.length === 0;
        const written = `${asked * 10} g`;
        if (fits({ written })) return;
        const most = mostOf(settled, more({ written }));
        expect(most).toBeLessThan(asked * 10);
        if (most > 0) expect(fits({ written: `${most} g` })).toBe(true);
        expect(fits({ written: `${most + 10} g` })).toBe(false);
        const { earliest } = earliestOf(settled, more({ written }), now);
        if (earliest === undefined) return;
        expect(earliest > "2027-05-14").toBe(true);
        expect(fits({ written, from: earliest })).toBe(true);
      }),
      { numRuns: 30 },
    );
  });

  it("tries the days of delivery alone", () => {
    const now = ports(60, { orders: [order()] });
    const asked = more({ written: "900 g/week", days: ["Wed"], to: "2027-07-15", from: "2027-05-12" });
    const { earliest } = earliestOf(settle(now, search), asked, now);
    // 900 over (7 ÷ 9 × 29.44) is 40 ports: from 5 June on, of which the first Wednesday is 9 June.
    expect(earliest).toBe("2027-06-09");
  });
});

describe("beside", () => {
  it("leaves all others what they have, and no place fuller than it may be, whatever is asked", () => {
    const one = fc.record({ grams: fc.integer({ min: 100, max: 3000 }), days: fc.integer({ min: 40, max: 120 }) });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 4 }), one, fc.integer({ min: 1, max: 4 }), (recorded, asked, bench) => {
        const on = (days: number) => new Date(Date.UTC(2027, 2, 1 + days)).toISOString().slice(0, 10);
        const orders = recorded.map(({ grams, days }, index) =>
          order({ id: `o${index}`, written: `${grams} g`, from: on(days) }),
        );
        const places = { bench, mister: 400, lines: [{ id: "main", crops: ["basil"], ports: 120 }] };
        const settled = settle(yard({ orders, places, batches: [batch()] }), search);
        const before = JSON.stringify(settled.plan);
        const part = settled.beside(more({ written: `${asked.grams} g`, from: on(asked.days) }));
        expect(JSON.stringify(settled.plan)).toBe(before);
        expect([...part.sowings, ...part.kept, ...part.shortfalls].every((each) => each.order === "more")).toBe(true);
        for (const [index, { taken, room }] of part.places.entries())
          for (const [day, now] of taken.entries()) {
            const was = settled.plan.places[index]!.taken[day]!;
            expect(now).toBeGreaterThanOrEqual(was - 1e-6);
            if (now > was + 1e-6) expect(now).toBeLessThanOrEqual(room! + 1e-6);
          }
        const again = settled.beside(more({ written: `${asked.grams} g`, from: on(asked.days) }));
        expect(again).toEqual(part);
      }),
      { numRuns: 30 },
    );
  });
});

describe("worse", () => {
  const made = (short: readonly (readonly [order: string, from: string, until: string, units: number])[]): Plan => ({
    ...plan(yard()),
    shortfalls: short.map(([name, from, until, units]) => ({
      order: name,
      crop: "basil",
      of: "ports",
      units,
      from,
      until,
      reason: { why: "no-day" },
    })),
  });

  it("names those that are short of more on any day, but for the one that is asked about", () => {
    const before = made([["a", "2027-05-01", "2027-05-03", 5]]);
    expect(worse(before, before, "more")).toEqual([]);
    expect(worse(before, made([["more", "2027-05-01", "2027-05-03", 5]]), "more")).toEqual([]);
    expect(worse(before, made([["a", "2027-05-02", "2027-05-03", 5]]), "more")).toEqual([]);
    expect(worse(before, made([["a", "2027-05-02", "2027-05-04", 5]]), "more")).toEqual(["a"]);
    expect(worse(before, made([["b", "2027-05-02", "2027-05-03", 1]]), "more")).toEqual(["b"]);
  });

  it("in all does not mind which days are short", () => {
    const before = made([["a", "2027-05-01", "2027-05-03", 5]]);
    expect(worse(before, made([["a", "2027-05-02", "2027-05-04", 5]]), "more", "in all")).toEqual([]);
    expect(worse(before, made([["a", "2027-05-02", "2027-05-04", 6]]), "more", "in all")).toEqual(["a"]);
  });
});
