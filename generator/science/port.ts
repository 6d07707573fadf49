import type { In, Mol } from "./units.ts";

/** In the order in which ties are settled north of the equator. */
export const faces = ["S", "E", "W", "N"] as const;
export type Face = (typeof faces)[number];

export interface Tower {
  /** 2 to 30; tier 1 is the lowest. */
  readonly tiers: number;
  readonly bottomHeight: In<"m">;
  readonly pitch: In<"cm">;
  readonly latitude: In<"°">;
  /** Daily light at the top of a face of share 1. */
  readonly topLight: Mol;
  /** Light at the lowest tier as a share of the top's. */
  readonly lowestLightShare: In<"share">;
  /** Light of a face as a share of the brightest. */
  readonly faceLight: Readonly<Record<Face, In<"share">>>;
  /** 0 dry to 1 wet. */
  readonly moistureBottom: In<"share">;
  readonly moistureTop: In<"share">;
  readonly indoors: boolean;
  readonly handPollination: boolean;
  /** Undefined under an open sky. */
  readonly roof: In<"m"> | undefined;
  readonly lampClearance: In<"cm">;
  readonly portLimit: In<"kg">;
  readonly tierLimit: In<"kg">;
  /** By tier; wins over the model where it is given. */
  readonly measuredLight: Readonly<Record<number, Readonly<Partial<Record<Face, Mol>>>>>;
}

/** A crop as it stands in a port when mature. */
export interface Plant {
  readonly id: string;
  /** Wet, with fruit. */
  readonly mass: In<"kg">;
  readonly height: In<"cm">;
  readonly trail: In<"cm">;
  readonly dliNeed: Mol;
  readonly dliMax: Mol;
  /** Preferred moisture, 0 dry to 1 wet. */
  readonly moisture: In<"share">;
  /** 1 fine, 2 middling, 3 strong. */
  readonly root: 1 | 2 | 3;
  readonly picksPerWeek: In<"/week">;
  readonly pollination: "none" | "insect" | "shake";
}

export interface Port {
  readonly tier: number;
  readonly face: Face;
}

/** What a port offers. */
export interface Conditions {
  readonly light: Mol;
  readonly moisture: In<"share">;
  readonly height: In<"m">;
  /** How easily a hand reaches it: 1 from 0.8 to 1.4 m, 0 at 0.3 m and at 2.0 m. */
  readonly comfort: number;
}

/** Each from 0 to 1. */
export type Scores = Readonly<Record<keyof typeof weights, number>>;

/** Points that a full score of each is worth; 100 in all. The business's own placing rules. */
export const weights = {
  weight: 20,
  light: 25,
  moisture: 15,
  overlap: 15,
  root: 10,
  pick: 10,
  pollination: 5,
} as const;

/** A rule that no score outweighs. V0 is the shared feed; V5 and the tier's part of V6 look at a whole layout. */
export type Veto = "V0" | "V1" | "V2" | "V3" | "V4" | "V5" | "V6" | "V7" | "V8";

/** Above this a plant is heavy: tiers 1 to 3 only, and no two near each other on a face [kg]. */
export const heavy: In<"kg"> = 1;

/** Room for the last bits of floating-point sums, in comparisons. */
export const slack = 1e-9;

/** The usual light of the faces; sunny side south north of the equator, north south of it. Common practice. */
export function usualFaceLight(latitude: In<"°">): Readonly<Record<Face, In<"share">>> {
  return latitude < 0 ? { N: 1, E: 0.8, S: 0.5, W: 0.8 } : { N: 0.5, E: 0.8, S: 1, W: 0.8 };
}

/** What a port offers: measured light where there is a reading, the model elsewhere; moisture linear up the column. */
export function conditions(tower: Tower, { tier, face }: Port): Conditions {
  const z = rise(tower, tier);
  const height = tower.bottomHeight + (tower.pitch / 100) * (tier - 1);
  const modelled = tower.topLight * tower.faceLight[face] * (tower.lowestLightShare + (1 - tower.lowestLightShare) * z);
  return {
    light: tower.measuredLight[tier]?.[face] ?? modelled,
    moisture: tower.moistureBottom + (tower.moistureTop - tower.moistureBottom) * z,
    height,
    comfort: comfort(height),
  };
}

/** How well a plant suits a port, factor by factor. The business's own placing rules. */
export function scores(tower: Tower, plant: Plant, port: Port): Scores {
  const z = rise(tower, port.tier);
  const { light, moisture, comfort } = conditions(tower, port);
  const reach = shading(tower, plant, port.tier);
  return {
    weight: unit(1 - Math.min(1, plant.mass) * z),
    light: unit(
      light < plant.dliNeed
        ? light / plant.dliNeed
        : light <= plant.dliMax
          ? 1
          : 1 - (light - plant.dliMax) / plant.dliMax,
    ),
    moisture: unit(1 - Math.abs(moisture - plant.moisture)),
    overlap: unit(1 - 0.2 * (reach.up + reach.down)),
    root: unit(1 - ((plant.root - 1) / 2) * z),
    pick: unit(1 - Math.min(1, plant.picksPerWeek / 5) * (1 - comfort)),
    pollination: unit({ none: 1, insect: Math.min(1, light / 20), shake: comfort }[plant.pollination]),
  };
}

/** The weighted sum of scores [points, 0 to 100]. */
export function points(given: Scores): number {
  return factors.reduce((sum, factor) => sum + weights[factor] * given[factor], 0);
}

/** How many ports of its own face a plant shades, above by its height and below by its trail. */
export function shading({ tiers, pitch }: Tower, { height, trail }: Plant, tier: number) {
  const ports = (length: In<"cm">) => Math.max(0, Math.ceil(length / pitch - slack) - 1);
  return { up: Math.min(tiers - tier, ports(height)), down: Math.min(tier - 1, ports(trail)) };
}

/** The rules that forbid a plant this port, whatever else stands on the tower, in number order. */
export function vetoes(tower: Tower, plant: Plant, port: Port): readonly Veto[] {
  const { light, height } = conditions(tower, port);
  const broken: readonly (readonly [Veto, boolean])[] = [
    ["V1", isHeavy(plant) && port.tier > 3],
    ["V2", plant.root === 3 && port.tier > tower.tiers / 2],
    ["V3", light < 0.5 * plant.dliNeed - slack],
    ["V4", plant.trail / 100 > height - 0.1 + slack],
    ["V6", plant.mass > tower.portLimit + slack],
    ["V7", plant.pollination === "insect" && tower.indoors && !tower.handPollination],
    ["V8", tower.roof !== undefined && height + (plant.height + tower.lampClearance) / 100 > tower.roof + slack],
  ];
  return broken.filter(([, is]) => is).map(([veto]) => veto);
}

export function isHeavy({ mass }: Pick<Plant, "mass">): boolean {
  return mass > heavy + slack;
}

/** The order in which equal ports are taken on one tier: the sunny face first. */
export function faceOrder(latitude: In<"°">): readonly Face[] {
  return latitude < 0 ? ["N", "E", "W", "S"] : faces;
}

const factors = Object.keys(weights) as (keyof typeof weights)[];

/** 0 at the lowest tier, 1 at the highest. */
function rise({ tiers }: Tower, tier: number): number {
  return (tier - 1) / (tiers - 1);
}

function comfort(height: In<"m">): number {
  if (height < 0.8) return unit(1 - (0.8 - height) / 0.5);
  if (height > 1.4) return unit(1 - (height - 1.4) / 0.6);
  return 1;
}

function unit(value: number): number {
  return Math.min(1, Math.max(0, value));
}
