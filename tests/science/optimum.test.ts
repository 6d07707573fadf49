import fc from "fast-check";
import loadHighs from "highs";
import { describe, expect, it } from "vitest";
import { assign } from "../../generator/science/assignment.ts";
import { type Layout, layout } from "../../generator/science/optimum.ts";
import { allowed, blank, boardOf, placed, total } from "../../generator/science/place.ts";
import { cropIndex, fortyPlants, program, seededPlanting, summerTower } from "./towers.ts";

/** The package says its types as CommonJS and runs as a module. */
const solver = await (loadHighs as unknown as typeof loadHighs.default)();

/** What a general solver of mixed-integer programs makes of the same rules; undefined when nothing fits. */
function solved(planting: Parameters<typeof boardOf>[0]): number | undefined {
  const { Status, ObjectiveValue } = solver.solve(program(boardOf(planting)), { mip_rel_gap: 0 });
  if (Status === "Infeasible") return undefined;
  expect(Status).toBe("Optimal");
  return ObjectiveValue;
}

function laidOut(planting: Parameters<typeof layout>[0]): Layout {
  const found = layout(planting);
  if ("rule" in found) throw new Error(`No layout: ${found.rule}`);
  return found;
}

const seeded = Array.from({ length: 40 }, (_, index) => {
  const planting = seededPlanting(index + 1, { tiers: 6, spare: 1.6 });
  return { seed: index + 1, planting, found: layout(planting) };
});

describe("assign", () => {
  const square = fc
    .integer({ min: 1, max: 6 })
    .chain((size) => fc.array(fc.integer({ min: 0, max: 30 }), { minLength: size * size, maxLength: size * size }));

  it("finds what trying every permutation finds, and its prices prove it", () => {
    fc.assert(
      fc.property(square, (numbers) => {
        const size = Math.sqrt(numbers.length);
        const cost = Float64Array.from(numbers, (value) => (value > 26 ? Infinity : value));
        const found = assign(cost, size);
        const least = cheapest(cost, size);
        expect(found === undefined).toBe(least === Infinity);
        if (!found) return;
        expect([...found.columnOf].sort()).toEqual(Array.from({ length: size }, (_, index) => index));
        const paid = found.columnOf.reduce((sum, column, row) => sum + cost[row * size + column]!, 0);
        expect(paid).toBeCloseTo(least, 9);
        cost.forEach((value, pair) => {
          const prices = found.rowPrice[Math.floor(pair / size)]! + found.columnPrice[pair % size]!;
          expect(prices).toBeLessThanOrEqual(value + 1e-9);
        });
      }),
    );
  });

  it("is as exact when it starts from the answer to another matrix", () => {
    fc.assert(
      fc.property(
        square,
        fc.array(fc.integer({ min: 0, max: 30 }), { minLength: 36, maxLength: 36 }),
        (numbers, others) => {
          const size = Math.sqrt(numbers.length);
          const near = assign(Float64Array.from(numbers), size);
          const cost = Float64Array.from(others.slice(0, size * size));
          const found = assign(cost, size, near)!;
          expect(found.columnOf.reduce((sum, column, row) => sum + cost[row * size + column]!, 0)).toBeCloseTo(
            cheapest(cost, size),
            9,
          );
        },
      ),
    );
  });
});

describe("layout", () => {
  it("reaches 3532.8 points with the forty plants of the worked summer tower, proved", () => {
    const found = laidOut({ tower: summerTower, crops: fortyPlants, pins: [] });
    expect(found.total).toBeCloseTo(3532.84, 1);
    expect(found.total / 40).toBeGreaterThanOrEqual(88.2);
    expect(found.proved).toBe(true);
  });

  it("agrees with a general solver on the summer tower", () => {
    const planting = { tower: summerTower, crops: fortyPlants, pins: [] };
    expect(laidOut(planting).total).toBeCloseTo(solved(planting)!, 6);
  });

  it.each(seeded)(
    "agrees with a general solver on seeded tower $seed, heavy plants and tight tiers included",
    ({ planting, found }) => {
      const best = solved(planting);
      if ("rule" in found) {
        expect(found.rule).toBe("no port");
        expect(best).toBeUndefined();
        return;
      }
      expect(allowed(found.board, found.held)).toBe(true);
      expect(found.total).toBeLessThanOrEqual(best! + 1e-6);
      if (found.proved) expect(found.total).toBeCloseTo(best!, 6);
    },
  );

  it("proves nearly all of those towers, and both rules between plants bite among them", () => {
    const feasible = seeded.flatMap(({ planting, found }) => ("rule" in found ? [] : [{ planting, found }]));
    expect(feasible.length).toBeGreaterThan(20);
    expect(feasible.filter(({ found }) => found.proved).length).toBeGreaterThan(feasible.length - 3);
    const better = (text: string, total: number) =>
      solver.solve(text, { mip_rel_gap: 0 }).ObjectiveValue > total + 1e-6;
    const byV5 = feasible.filter(({ found }) => better(program(found.board, { V5: false }), found.total));
    const byV6 = feasible.filter(({ found }) => better(program(found.board, { V6: false }), found.total));
    expect(byV5.length).toBeGreaterThan(2);
    expect(byV6.length).toBeGreaterThan(5);
  });

  it("is never below placing by hand and exchanging, and places each plant once", () => {
    for (let seed = 100; seed < 120; seed++) {
      const planting = seededPlanting(seed, { tiers: 7, spare: 2 });
      const board = boardOf(planting);
      const byHand = placed(board);
      const found = layout(planting);
      if ("rule" in found) continue;
      if ("held" in byHand) expect(found.total).toBeGreaterThanOrEqual(total(board, byHand.held) - 1e-9);
      planting.crops.forEach(({ count }, crop) => {
        expect(found.held.filter((other) => other === crop)).toHaveLength(count);
      });
      expect(allowed(found.board, found.held)).toBe(true);
    }
  });

  it("keeps pins and says what they cost: the general solver's difference", () => {
    const pins = [
      { crop: cropIndex("nasturtium"), port: { tier: 3, face: "E" } as const },
      { crop: cropIndex("nasturtium"), port: { tier: 3, face: "W" } as const },
      { crop: cropIndex("lettuce"), port: { tier: 1, face: "S" } as const },
    ];
    const found = laidOut({ tower: summerTower, crops: fortyPlants, pins });
    for (const { crop, port } of pins) {
      const at = found.board.ports.findIndex(({ tier, face }) => tier === port.tier && face === port.face);
      expect(found.held[at]).toBe(crop);
    }
    const pinned = pins
      .map(({ crop, port }, index) => {
        const at = found.board.ports.findIndex(({ tier, face }) => tier === port.tier && face === port.face);
        return ` pin${index}: x_${crop}_${at} = 1`;
      })
      .join("\n");
    const text = program(found.board).replace("Subject To\n", `Subject To\n${pinned}\n`);
    const { ObjectiveValue } = solver.solve(text, { mip_rel_gap: 0 });
    expect(found.total).toBeCloseTo(ObjectiveValue, 6);
    expect(found.pinCost).toBeCloseTo(3532.8404 - ObjectiveValue, 3);
  });

  it("finds a layout where placing by hand runs into a dead end", () => {
    const dead = Array.from({ length: 200 }, (_, seed) => seededPlanting(seed, { tiers: 4, spare: 1.2 })).find(
      (one) => "crop" in placed(boardOf(one)) && solved(one) !== undefined,
    );
    expect(dead).toBeDefined();
    expect(laidOut(dead!).total).toBeCloseTo(solved(dead!)!, 6);
  });

  it("exchanges N and S south of the equator, and gives the same total", () => {
    const north = laidOut({ tower: summerTower, crops: fortyPlants, pins: [] });
    const faceLight = { N: 1, E: 0.8, S: 0.5, W: 0.8 };
    const south = laidOut({ tower: { ...summerTower, latitude: -37, faceLight }, crops: fortyPlants, pins: [] });
    expect(south.total).toBeCloseTo(north.total, 9);
    const mirrored = { N: "S", S: "N", E: "E", W: "W" } as const;
    south.board.ports.forEach(({ tier, face }, at) => {
      const other = north.board.ports.findIndex((port) => port.tier === tier && port.face === mirrored[face]);
      expect(south.held[at]).toBe(north.held[other]);
    });
  });

  it("puts at least 60 % of the mass into the lower half of the summer tower", () => {
    const { board, held } = laidOut({ tower: summerTower, crops: fortyPlants, pins: [] });
    const mass = (wanted: (tier: number) => boolean) =>
      held.reduce<number>(
        (sum, crop, at) =>
          crop !== blank && wanted(board.ports[at]!.tier) ? sum + board.crops[crop]!.plant.mass : sum,
        0,
      );
    expect(mass((tier) => tier <= 5) / mass(() => true)).toBeGreaterThanOrEqual(0.6);
  });

  it("gives the same layout twice", () => {
    const planting = seededPlanting(3, { tiers: 8, spare: 1.3 });
    expect(laidOut(planting).held).toEqual(laidOut(planting).held);
  });

  it("prefers an empty port above a tall plant to an equal one elsewhere", () => {
    const tall = { ...fortyPlants[0]!.plant, mass: 0.5, root: 1 as const, height: 60, picksPerWeek: 0 };
    const short = { ...tall, id: "short", height: 5 };
    const tower = { ...summerTower, tiers: 2, faceLight: { N: 1, E: 1, S: 1, W: 1 } };
    const { board, held } = laidOut({
      tower,
      crops: [
        { plant: tall, count: 1 },
        { plant: short, count: 6 },
      ],
      pins: [{ crop: 0, port: { tier: 1, face: "E" } }],
    });
    const above = board.ports.findIndex(({ tier, face }) => tier === 2 && face === "E");
    expect(held[above]).toBe(blank);
  });

  it("says why nothing can be laid out", () => {
    const [kale] = fortyPlants;
    expect(layout({ tower: summerTower, crops: [{ plant: kale!.plant, count: 41 }], pins: [] })).toEqual({
      rule: "ports",
      excess: 1,
    });
    expect(layout({ tower: summerTower, crops: [{ plant: kale!.plant, count: 5 }], pins: [] })).toMatchObject({
      rule: "no port",
      crop: 0,
      proved: true,
    });
    const pin = (tier: number, face: "N" | "E" | "S" | "W") => ({ crop: 0, port: { tier, face } });
    const pinned = (pins: ReturnType<typeof pin>[]) =>
      layout({ tower: summerTower, crops: [{ plant: kale!.plant, count: 2 }], pins });
    expect(pinned([pin(9, "S")])).toEqual({ rule: "pin", pin: 0, vetoes: ["V1", "V2"] });
    expect(pinned([pin(1, "S"), pin(1, "S")])).toEqual({ rule: "pin", pin: 1, vetoes: [] });
    expect(pinned([pin(1, "S"), pin(3, "S")])).toEqual({ rule: "pin", pin: 1, vetoes: ["V5"] });
    expect(pinned([pin(1, "S"), pin(1, "E"), pin(2, "W")])).toEqual({ rule: "pin", pin: 2, vetoes: [] });
  });
});

/** The least cost over every permutation. */
function cheapest(cost: Float64Array, size: number, row = 0, taken: readonly number[] = []): number {
  if (row === size) return 0;
  let least = Infinity;
  for (let column = 0; column < size; column++) {
    if (taken.includes(column)) continue;
    least = Math.min(least, cost[row * size + column]! + cheapest(cost, size, row + 1, [...taken, column]));
  }
  return least;
}
