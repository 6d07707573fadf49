import { describe, expect, it } from "vitest";
import { freeByWeek, plan } from "../../generator/plan/plan.ts";
import { loadSearch } from "../../generator/search.ts";
import { basil, batch, lot, order, yard } from "./yards.ts";

const search = await loadSearch();

describe("plan", () => {
  it("sows basil for 14 May on Monday 22 March and has it ready two days early, as counted on a calendar", () => {
    const { sowings, shortfalls, method } = plan(yard({ orders: [order()] }), search);
    expect(shortfalls).toEqual([]);
    expect(method).toBe("each-best");
    expect(sowings).toHaveLength(1);
    expect(sowings[0]).toMatchObject({
      sown: "2027-03-22",
      week: "2027-W12",
      count: "2027-03-27",
      ready: "2027-05-12",
      waits: 2,
      line: "main",
    });
    expect(sowings[0]!.stages.map(({ until }) => until)).toEqual([
      "2027-03-27",
      "2027-04-12",
      "2027-04-21",
      "2027-05-12",
    ]);
  });

  it("takes the ports that one cut of 1,200 g takes: 1,200 over 32 × 0.92, rounded up, is 41", () => {
    expect(plan(yard({ orders: [order()] })).sowings[0]).toMatchObject({ units: 41, of: "ports" });
  });

  it("takes the ports of a weekly order by the week: 2,400 g over 7 ÷ 9 × 32 × 0.92 is 105", () => {
    const { sowings } = plan(yard({ orders: [order({ written: "2400 g/week", to: "2027-06-10" })] }));
    expect(sowings.map(({ units }) => units)).toEqual([105]);
  });

  it("sows 200 cells for 126 plugs of which 68.4 % are usable, so that they are enough 19 times in 20", () => {
    // The fewest n with P(Binomial(n, 0.684) ≥ 126) ≥ 0.95, by exact fractions: 0.9557 at 200, 0.9458 at 199.
    const { sowings } = plan(yard({ orders: [order({ kind: "plug", written: "120 plugs" })] }));
    expect(sowings[0]).toMatchObject({ units: 126, of: "plugs", cells: 200, trays: 2 });
  });

  it("refuses what is asked for too late: 19 days on 12 April, and names a batch that would do", () => {
    const standing = batch({ stage: "mister", since: "2027-04-03", sown: "2027-03-13", order: "another" });
    const { sowings, shortfalls } = plan(yard({ today: "2027-04-12", orders: [order()], batches: [standing] }), search);
    expect(sowings).toEqual([]);
    expect(shortfalls).toEqual([
      expect.objectContaining({
        order: "kitchen",
        units: 41,
        reason: {
          why: "late",
          earliest: "2027-06-02",
          days: 19,
          batches: [{ batch: "bas-27060-01", ready: "2027-05-03", plants: 60 }],
        },
      }),
    ]);
  });

  it("uses a batch in hand before it sows, and sows nothing when that is enough", () => {
    const { sowings, kept } = plan(yard({ orders: [order()], batches: [batch()] }), search);
    expect(sowings).toEqual([]);
    expect(kept).toEqual([
      { batch: "bas-27060-01", order: "kitchen", of: "ports", units: 41, from: "2027-05-14", until: "2027-05-15" },
    ]);
  });

  it("sows only what a batch in hand leaves open", () => {
    const { sowings, kept } = plan(yard({ orders: [order()], batches: [batch({ plants: 30 })] }), search);
    expect(kept[0]).toMatchObject({ units: 30 });
    expect(sowings[0]).toMatchObject({ units: 11 });
  });

  it("sows a standing order again for every cut window", () => {
    const standing = order({ written: "2400 g/week", from: "2027-05-14", to: "2027-08-11" });
    const { sowings } = plan(yard({ orders: [standing] }), search);
    // 14 May + 45 days = 28 June, + 45 days = 12 August, the day after the last.
    expect(sowings.map(({ need, until }) => [need, until])).toEqual([
      ["2027-05-14", "2027-06-28"],
      ["2027-06-28", "2027-08-12"],
    ]);
  });

  it("begins a standing order late rather than never, and says from when", () => {
    const standing = order({ written: "700 g/week", from: "2027-04-01", to: "2027-06-30" });
    const { sowings, shortfalls } = plan(yard({ orders: [standing] }), search);
    expect(shortfalls[0]).toMatchObject({ from: "2027-04-01", until: "2027-04-21", reason: { why: "late", days: 20 } });
    expect(sowings[0]).toMatchObject({ sown: "2027-03-01", need: "2027-04-21" });
  });

  it("begins a standing order late when the room is taken until then, and names the place that is full and by how much", () => {
    // Forty stand on the tower from 22 March for 21 days and a window of 45: until 27 May. Thirty-one more want 71 of 60 ports.
    const standing = order({ written: "700 g/week", from: "2027-06-14", to: "2027-07-10" });
    const there = batch({ id: "there", order: "another", stage: "tower", since: "2027-03-22", plants: 40 });
    const { sowings, shortfalls } = plan(
      yard({
        today: "2027-03-25",
        orders: [standing],
        batches: [there],
        places: { bench: 10, mister: 1000, lines: [{ id: "main", crops: ["basil"], ports: 60 }] },
      }),
      search,
    );
    expect(sowings.map(({ sown, ready, late }) => [sown, ready, late])).toEqual([["2027-04-29", "2027-06-19", 5]]);
    expect(shortfalls).toEqual([
      expect.objectContaining({
        from: "2027-06-14",
        until: "2027-06-19",
        units: 31,
        reason: {
          why: "no-room",
          place: "main",
          on: "2027-05-22",
          by: 11,
          holders: [{ order: undefined, batch: "there", amount: 40 }],
          earliest: "2027-06-19",
        },
      }),
    ]);
  });

  it("never sows on a holiday", () => {
    const { sowings } = plan(yard({ orders: [order()], holidays: ["2027-03-22"] }), search);
    expect(sowings[0]).toMatchObject({ sown: "2027-03-18", waits: 6 });
  });

  it("posts plugs on the next day on which they may travel", () => {
    // Friday 30 April, and Monday 3 May is a holiday: Tuesday.
    const { sowings } = plan(
      yard({ orders: [order({ kind: "plug", written: "60 plugs", from: "2027-04-30" })], holidays: ["2027-05-03"] }),
    );
    expect(sowings[0]).toMatchObject({ need: "2027-05-04", units: 63 });
  });

  it("adds the buffer before the day that is needed", () => {
    expect(plan(yard({ orders: [order()], buffer: 3 })).sowings[0]).toMatchObject({ sown: "2027-03-18", waits: 3 });
  });

  it("counts 29 February", () => {
    const plugs = order({ kind: "plug", written: "100 plugs", from: "2028-02-29" });
    const lettuce = { ...basil, stages: [{ name: "tray" as const, summer: 42, winter: 42 }] };
    const { sowings } = plan(
      yard({ today: "2028-01-03", until: "2028-06-30", orders: [plugs], crops: new Map([["basil", lettuce]]) }),
    );
    expect(sowings[0]).toMatchObject({ sown: "2028-01-17", ready: "2028-02-28", need: "2028-02-29" });
  });

  it("puts the turn of 2026 in week 53", () => {
    const free = freeByWeek(plan(yard({ today: "2026-12-28", until: "2027-01-10" })), "main");
    expect([...free.keys()]).toEqual(["2026-W53", "2027-W01"]);
  });

  it("grows by the seasons of its own hemisphere", () => {
    const slow = { ...basil, stages: [{ name: "tower" as const, summer: 20, winter: 40 }] };
    const crops = new Map([["basil", slow]]);
    const june = order({ from: "2027-06-30" });
    expect(plan(yard({ orders: [june], crops })).sowings[0]).toMatchObject({ sown: "2027-06-10" });
    expect(plan(yard({ orders: [june], crops, latitude: -36.8 })).sowings[0]).toMatchObject({ sown: "2027-05-20" });
  });

  it("has nothing to say of an empty yard", () => {
    const empty = plan(yard({ places: { bench: undefined, mister: undefined, lines: [] } }), search);
    expect(empty).toMatchObject({ sowings: [], kept: [], shortfalls: [], clashes: [], method: "each-best" });
    expect(empty.places.map(({ place, room }) => [place, room])).toEqual([
      ["bench", undefined],
      ["mister", undefined],
    ]);
  });

  it("refuses one order that is bigger than the yard, with how much too big and who holds the place", () => {
    const { sowings, shortfalls } = plan(
      yard({
        orders: [order({ written: "2400 g/week", to: "2027-06-10" })],
        places: { bench: 10, mister: 1000, lines: [{ id: "main", crops: ["basil"], ports: 80 }] },
      }),
      search,
    );
    expect(sowings).toEqual([]);
    expect(shortfalls[0]).toMatchObject({ units: 105, reason: { why: "no-room", place: "main", by: 25, holders: [] } });
  });

  it("names the first day on which what stands already is too much, and what stands there", () => {
    const { clashes } = plan(
      yard({
        today: "2027-03-25",
        batches: [batch({ id: "one", plants: 50 }), batch({ id: "two", plants: 40 })],
        places: { bench: 10, mister: 1000, lines: [{ id: "main", crops: ["basil"], ports: 80 }] },
      }),
    );
    expect(clashes).toEqual([
      {
        place: "main",
        on: "2027-03-31",
        by: 10,
        most: 10,
        holders: [
          { order: undefined, batch: "one", amount: 50 },
          { order: undefined, batch: "two", amount: 40 },
        ],
      },
    ]);
  });

  it("says which field of the record is wanting", () => {
    const bunches = order({ kind: "bunch", written: "40 bunches/week" });
    expect(plan(yard({ orders: [bunches] })).shortfalls[0]!.reason).toEqual({ gap: "field", field: "cutting.bunch" });
  });

  it("does not sow a weak lot thicker", () => {
    const weak = new Map([["basil-1", { ...lot, germination: 0.3 }]]);
    expect(plan(yard({ orders: [order()], lots: weak })).shortfalls[0]!.reason).toMatchObject({
      why: "weak-lot",
      lot: "basil-1",
    });
  });

  it("does not sow treated seed for what is eaten as a seedling", () => {
    const crops = new Map([["basil", { ...basil, micro: true }]]);
    const lots = new Map([["basil-1", { ...lot, food: false }]]);
    const pots = order({ kind: "pot", written: "140 pots" });
    expect(plan(yard({ orders: [pots], crops, lots })).shortfalls[0]!.reason).toEqual({
      why: "not-for-food",
      lot: "basil-1",
    });
  });

  it("moves a sowing to an earlier day when the benches are full on its own", () => {
    // Two orders of one tray each, one place: the second is sown so that the first has left the bench.
    const orders = [order({ id: "a" }), order({ id: "b", from: "2027-06-11" })];
    const places = { bench: 1, mister: 1000, lines: [{ id: "main", crops: ["basil"], ports: 1000 }] };
    const found = plan(yard({ orders, places }), search);
    expect(found.shortfalls).toEqual([]);
    const same = plan(yard({ orders: [orders[0]!, { ...orders[1]!, from: "2027-05-28" }], places }), search);
    expect(same.method).toBe("exact");
    expect(same.sowings.length + same.shortfalls.length).toBe(2);
  });

  it("gives the same plan whatever the order of the records", () => {
    const orders = [
      order({ id: "a" }),
      order({ id: "b", written: "900 g/week" }),
      order({ id: "c", from: "2027-06-01" }),
    ];
    const one = plan(yard({ orders }), search);
    expect(plan(yard({ orders: orders.toReversed() }), search)).toEqual(one);
  });
});
