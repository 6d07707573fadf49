import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { allowed, boardOf, layoutVetoes, placed, total } from "../../generator/science/place.ts";
import {
  conditions,
  faceOrder,
  type Port,
  points,
  scores,
  shading,
  vetoes,
  weights,
} from "../../generator/science/port.ts";
import { crop, cropIndex, fortyPlants, seededPlanting, summerTower } from "./towers.ts";

const port = (tier: number, face: Port["face"]): Port => ({ tier, face });

describe("conditions", () => {
  it("gives the worked light of the summer tower, by hand: 30 × face × (0.6 + 0.4 z)", () => {
    expect(conditions(summerTower, port(1, "N")).light).toBeCloseTo(9.0, 1);
    expect(conditions(summerTower, port(5, "E")).light).toBeCloseTo(18.7, 1);
    expect(conditions(summerTower, port(10, "S")).light).toBeCloseTo(30.0, 1);
  });

  it("gives the worked heights and moistures of the summer tower", () => {
    expect(conditions(summerTower, port(10, "N"))).toMatchObject({ height: expect.closeTo(1.8, 9) });
    expect(conditions(summerTower, port(4, "N")).moisture).toBeCloseTo(0.73, 2);
  });

  it("lets a reading win over the model, there only", () => {
    const tower = { ...summerTower, measuredLight: { 4: { N: 20 } } };
    expect(conditions(tower, port(4, "N")).light).toBe(20);
    expect(conditions(tower, port(4, "E")).light).toBe(conditions(summerTower, port(4, "E")).light);
  });

  it("is easiest to reach from 0.8 to 1.4 m, and out of reach at 0.3 and 2.0 m", () => {
    const at = (bottomHeight: number) => conditions({ ...summerTower, bottomHeight }, port(1, "N")).comfort;
    expect([0.3, 0.55, 0.8, 1.4, 1.7, 2].map(at)).toEqual(
      [0, 0.5, 1, 1, 0.5, 0].map((value) => expect.closeTo(value, 9)),
    );
  });
});

/** Worked by hand from the placing rules: weight, light, moisture, overlap, roots, picking, pollination, total. */
const spots: readonly (readonly [string, number, Port["face"], readonly number[], number])[] = [
  ["kale", 2, "E", [0.889, 1, 0.856, 0.4, 0.889, 0.84, 1], 83.9],
  ["kale", 9, "S", [0.111, 1, 0.756, 0.8, 0.111, 0.833, 1], 65.0],
  ["lettuce", 6, "E", [0.861, 1, 0.922, 0.8, 1, 1, 1], 93.1],
  ["lettuce", 10, "S", [0.75, 0.636, 0.7, 1, 1, 0.867, 1], 80.1],
  ["mint", 1, "N", [1, 1, 1, 0.6, 1, 0.58, 1], 89.8],
  ["basil", 6, "S", [0.833, 1, 0.878, 0.6, 0.722, 1, 1], 86.1],
  ["strawberry", 6, "E", [0.75, 1, 0.978, 0.6, 0.722, 1, 0.987], 85.8],
  ["strawberry", 2, "N", [0.95, 0.604, 0.756, 0.6, 0.944, 0.76, 0.483], 73.9],
  ["chives", 10, "S", [0.85, 1, 0.95, 1, 1, 0.467, 1], 90.9],
];

describe("scores", () => {
  it.each(spots)("of %s at %i%s are the ones worked by hand", (id, tier, face, wanted, sum) => {
    const given = scores(summerTower, crop(id), port(tier, face));
    const factors = ["weight", "light", "moisture", "overlap", "root", "pick", "pollination"] as const;
    factors.forEach((factor, index) => {
      expect(Math.abs(given[factor] - wanted[index]!), factor).toBeLessThanOrEqual(0.00051);
    });
    expect(Math.abs(points(given) - sum)).toBeLessThanOrEqual(0.051);
  });

  it("are worth 100 points together, and each stays from 0 to 1", () => {
    expect(Object.values(weights).reduce((sum, weight) => sum + weight, 0)).toBe(100);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5000 }), (seed) => {
        const { tower, crops } = seededPlanting(seed);
        for (const { plant } of crops) {
          for (const face of faceOrder(tower.latitude)) {
            const given = scores(tower, plant, port(tower.tiers, face));
            for (const value of Object.values(given)) expect(value >= 0 && value <= 1).toBe(true);
          }
        }
      }),
    );
  });

  it("fall for weight as a port is higher", () => {
    const weight = [1, 4, 7, 10].map((tier) => scores(summerTower, crop("chard"), port(tier, "E")).weight);
    expect(weight).toEqual([...weight].sort((a, b) => b - a));
    expect(new Set(weight).size).toBe(4);
  });
});

describe("shading", () => {
  it("counts whole ports above and below and stops at the ends", () => {
    expect(shading(summerTower, crop("kale"), 2)).toEqual({ up: 3, down: 0 });
    expect(shading(summerTower, crop("kale"), 9)).toEqual({ up: 1, down: 0 });
    expect(shading(summerTower, crop("nasturtium"), 3)).toEqual({ up: 1, down: 2 });
  });

  it("takes 45 cm as three pitches of 15 cm in spite of the last bits", () => {
    expect(shading({ ...summerTower, pitch: 0.1 }, { ...crop("kale"), height: 0.1 * 3 }, 1).up).toBe(2);
  });
});

describe("vetoes", () => {
  const { roof: _, ...rest } = summerTower;
  const under = (roof: number) => ({ ...rest, roof, lampClearance: 20 });

  it("V1 keeps a plant over 1 kg to tiers 1 to 3, and V2 strong roots to the lower half", () => {
    expect(vetoes(summerTower, crop("kale"), port(3, "S"))).toEqual([]);
    expect(vetoes(summerTower, crop("kale"), port(4, "S"))).toEqual(["V1"]);
    expect(vetoes(summerTower, crop("kale"), port(6, "S"))).toEqual(["V1", "V2"]);
    expect(vetoes(summerTower, { ...crop("kale"), mass: 1 }, port(4, "S"))).toEqual([]);
  });

  it("V3 asks for half of the light, and half is enough", () => {
    expect(vetoes(summerTower, { ...crop("basil"), dliNeed: 18 }, port(1, "N"))).toEqual([]);
    expect(vetoes(summerTower, { ...crop("basil"), dliNeed: 18.1 }, port(1, "N"))).toEqual(["V3"]);
  });

  it("V4 keeps what trails 10 cm off the floor", () => {
    expect(vetoes(summerTower, { ...crop("basil"), trail: 35 }, port(1, "S"))).toEqual([]);
    expect(vetoes(summerTower, { ...crop("basil"), trail: 36 }, port(1, "S"))).toEqual(["V4"]);
  });

  it("V6 keeps to what a port carries", () => {
    expect(vetoes({ ...summerTower, portLimit: 0.3 }, crop("basil"), port(1, "S"))).toEqual([]);
    expect(vetoes({ ...summerTower, portLimit: 0.29 }, crop("basil"), port(1, "S"))).toEqual(["V6"]);
  });

  it("V7 asks for a person where there are no insects", () => {
    const indoors = { ...summerTower, indoors: true };
    expect(vetoes(indoors, crop("strawberry"), port(5, "S"))).toEqual(["V7"]);
    expect(vetoes({ ...indoors, handPollination: true }, crop("strawberry"), port(5, "S"))).toEqual([]);
    expect(vetoes(indoors, crop("basil"), port(5, "S"))).toEqual([]);
  });

  it("V8 leaves the lamp its clearance: 1.80 + 0.35 + 0.20 m is 2.35 m", () => {
    expect(vetoes(under(2.35), crop("basil"), port(10, "S"))).toEqual([]);
    expect(vetoes(under(2.34), crop("basil"), port(10, "S"))).toEqual(["V8"]);
  });
});

describe("placed", () => {
  const planting = { tower: summerTower, crops: fortyPlants, pins: [] };

  it("reaches the worked 3532.8 points by hand, without a rule broken", () => {
    const board = boardOf(planting);
    const found = placed(board);
    if (!("held" in found)) throw new Error("no layout");
    expect(Math.abs(total(board, found.held) - 3532.8)).toBeLessThanOrEqual(0.05);
    expect(allowed(board, found.held)).toBe(true);
  });

  it("names the crop that finds no port", () => {
    const board = boardOf({ ...planting, crops: [{ plant: crop("kale"), count: 5 }] });
    expect(placed(board)).toEqual({ crop: 0 });
  });
});

describe("layoutVetoes", () => {
  const board = boardOf({ tower: summerTower, crops: fortyPlants, pins: [] });
  const at = (tier: number, face: Port["face"]) =>
    board.ports.findIndex((one) => one.tier === tier && one.face === face);
  const kale = cropIndex("kale");

  it("V5 keeps two heavy plants of a face apart, and not those of two faces", () => {
    const held = board.pinned.slice();
    held[at(1, "S")] = kale;
    expect(layoutVetoes(board, held, kale, at(3, "S"))).toEqual(["V5"]);
    expect(layoutVetoes(board, held, kale, at(3, "E"))).toEqual([]);
  });

  it("V6 sums a tier, and reaching the limit is not passing it", () => {
    const held = board.pinned.slice();
    held[at(1, "S")] = kale;
    held[at(1, "E")] = kale;
    const limited = (tierLimit: number) => ({ ...board, tower: { ...summerTower, tierLimit } });
    expect(layoutVetoes(limited(3.6), held, kale, at(1, "W"))).toEqual([]);
    expect(layoutVetoes(limited(3.59), held, kale, at(1, "W"))).toEqual(["V6"]);
  });
});
