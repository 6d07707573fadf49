import type { Board, Planting } from "../../generator/science/place.ts";
import { heavy, type Plant, type Tower, usualFaceLight } from "../../generator/science/port.ts";

/** An outdoor tower of ten tiers at 52° N in summer, fed at the top. */
export const summerTower: Tower = {
  tiers: 10,
  bottomHeight: 0.45,
  pitch: 15,
  latitude: 52,
  topLight: 30,
  lowestLightShare: 0.6,
  faceLight: usualFaceLight(52),
  moistureBottom: 0.9,
  moistureTop: 0.4,
  indoors: false,
  handPollination: false,
  roof: undefined,
  lampClearance: 0,
  portLimit: 2,
  tierLimit: 5,
  measuredLight: {},
};

type Row = readonly [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  Plant["root"],
  number,
  Plant["pollination"],
];

/** Count, kg, height, trail, light needed and borne, moisture, roots, picks a week, pollination. */
const rows: Readonly<Record<string, Row>> = {
  kale: [2, 1.2, 60, 0, 14, 35, 0.7, 3, 2, "none"],
  chard: [4, 0.7, 40, 0, 13, 35, 0.7, 2, 1, "none"],
  strawberry: [8, 0.45, 20, 25, 16, 35, 0.6, 2, 3, "insect"],
  mint: [2, 0.4, 35, 15, 9, 25, 0.9, 3, 3, "none"],
  nasturtium: [2, 0.4, 20, 60, 13, 35, 0.5, 1, 3, "none"],
  basil: [6, 0.3, 35, 0, 15, 35, 0.5, 2, 5, "none"],
  lettuce: [8, 0.25, 18, 0, 11, 22, 0.7, 1, 1, "none"],
  parsley: [4, 0.25, 25, 0, 11, 30, 0.6, 2, 4, "none"],
  chives: [4, 0.15, 25, 0, 11, 35, 0.45, 1, 4, "none"],
};

/** Forty plants that fill the summer tower. */
export const fortyPlants: Planting["crops"] = Object.entries(rows).map(
  ([id, [count, mass, height, trail, dliNeed, dliMax, moisture, root, picksPerWeek, pollination]]) => ({
    plant: { id, mass, height, trail, dliNeed, dliMax, moisture, root, picksPerWeek, pollination },
    count,
  }),
);

export const crop = (id: string): Plant => fortyPlants.find(({ plant }) => plant.id === id)!.plant;
export const cropIndex = (id: string): number => fortyPlants.findIndex(({ plant }) => plant.id === id);

/** Small whole towers from a seed, with heavy plants and with tiers that carry little more than their share. */
export function seededPlanting(seed: number, { tiers: most = 8, spare = 1.3 } = {}): Planting {
  const random = mulberry(seed);
  const whole = (below: number) => Math.floor(random() * below);
  const tiers = 2 + whole(most - 1);
  const latitude = random() < 0.3 ? -37 : 52;
  let left = Math.floor(tiers * 4 * (0.5 + 0.5 * random()));
  const crops = Array.from({ length: 2 + whole(5) }, (_, index) => {
    const isHeavy = random() < 0.3;
    const count = Math.min(left, isHeavy ? 1 + whole(3) : whole(left + 1));
    left -= count;
    const dliNeed = 5 + random() * 12;
    const plant: Plant = {
      id: `crop ${index}`,
      mass: isHeavy ? 1.1 + random() * 0.6 : (2 + whole(18)) / 20,
      height: whole(70),
      trail: whole(30),
      dliNeed,
      dliMax: dliNeed + 5 + random() * 15,
      moisture: random(),
      root: ([1, 2, 3] as const)[whole(3)]!,
      picksPerWeek: whole(8),
      pollination: (["none", "insect", "shake"] as const)[whole(3)]!,
    };
    return { plant, count };
  });
  const mass = crops.reduce((sum, { plant, count }) => sum + plant.mass * count, 0);
  const tierLimit = Math.max(1.75, (spare * mass) / tiers);
  return {
    tower: { ...summerTower, tiers, latitude, faceLight: usualFaceLight(latitude), tierLimit },
    crops,
    pins: [],
  };
}

/** A board as a mixed-integer program in the LP format, written from the rules and not from our own search. */
export function program({ tower, crops, ports, score }: Board, { V5 = true, V6 = true } = {}): string {
  const variables = crops.flatMap(({ plant, count }, crop) =>
    count === 0
      ? []
      : ports.flatMap((port, at) => {
          const points = score[crop]![at]!;
          return points === -Infinity ? [] : [{ name: `x_${crop}_${at}`, crop, at, port, plant, points }];
        }),
  );
  const sum = (wanted: (variable: (typeof variables)[number]) => boolean, times = (_: Plant) => 1) =>
    variables
      .filter(wanted)
      .map(({ name, plant }) => `${times(plant)} ${name}`)
      .join(" + ");
  const rows = [
    ...crops.map(({ count }, crop) => [sum((one) => one.crop === crop), "=", count] as const),
    ...ports.map((_, at) => [sum((one) => one.at === at), "<=", 1] as const),
    ...Array.from({ length: tower.tiers }, (_, index) => {
      return [
        sum(
          (one) => one.port.tier === index + 1,
          ({ mass }) => mass,
        ),
        "<=",
        V6 ? tower.tierLimit : 1000,
      ] as const;
    }),
    ...variables.flatMap((one) =>
      variables
        .filter((other) => {
          const apart = other.port.tier - one.port.tier;
          const both = V5 && one.plant.mass > heavy && other.plant.mass > heavy;
          return both && one.port.face === other.port.face && apart > 0 && apart <= 4;
        })
        .map((other) => [`${one.name} + ${other.name}`, "<=", 1] as const),
    ),
  ];
  const constraints = rows
    .filter(([left, sign, right]) => left !== "" || (sign === "=" && right > 0))
    .map(([left, sign, right], index) => ` row${index}: ${left || "0 none"} ${sign} ${right}`);
  const objective = variables.map(({ name, points }) => `${points} ${name}`).join(" + ");
  return `Maximize\n total: ${objective || "0 none"}\nSubject To\n${constraints.join("\n")}\nBinary\n ${variables.map(({ name }) => name).join(" ")}\nEnd\n`;
}

function mulberry(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
