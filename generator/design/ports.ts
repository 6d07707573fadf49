import { type Face, heavy, usualFaceLight } from "../science/port.ts";
import type { Tower } from "./yard.ts";

/** As much of a crop as decides where it may stand on a tower. */
export interface Plant {
  readonly id: string;
  readonly name: string;
  readonly zone: "top" | "upper" | "middle" | "lower" | "base" | "any" | "none" | undefined;
  /** Wet, with fruit [kg]. */
  readonly mass: number | undefined;
  /** How far it hangs [cm]. */
  readonly trail: number | undefined;
  /** 1 fine, 2 middling, 3 strong. */
  readonly roots: number | undefined;
}

/** Ports that differ in as little as may be but the treatment, `["5E", "5W"]`. */
export type Matched = readonly string[];

/**
 * Free ports of a tower in sets of `size`, the best matched first: of one tier, on the faces whose usual light differs least,
 * nearest the crop's own part of the tower. No port is in two sets. The business's own placing rules: a tier away from the
 * crop's part counts as much as 0.15 of the light; what the rules of place forbid a plant is not offered.
 */
export function matchedSets(
  tower: Tower,
  plant: Plant,
  { size, latitude }: { size: number; latitude: number },
): readonly Matched[] {
  const light = usualFaceLight(latitude);
  const away = tiersAway(tower, plant);
  const offered = Array.from({ length: tower.tiers }, (_, index) => index + 1)
    .filter((tier) => allowed(tower, plant, tier))
    .flatMap((tier) => {
      const free = tower.faces.filter((face) => !tower.taken.has(`${tier}${face}`));
      return partition(free, size, light).map((faces) => ({
        ports: faces.map((face) => ({ tier, face })),
        cost: spreadOf(faces, light) + 0.15 * away(tier),
        from: Math.abs(tier - middleOf(tower, plant)),
      }));
    })
    .sort((a, b) => a.cost - b.cost || a.from - b.from || a.ports[0]!.tier - b.ports[0]!.tier);
  const chosen: (typeof offered)[number]["ports"][] = [];
  for (const { ports } of offered) {
    const near = ports.some(({ tier, face }) =>
      chosen.flat().some((other) => other.face === face && Math.abs(other.tier - tier) <= 4),
    );
    if (!(isHeavy(plant) && near)) chosen.push(ports);
  }
  return chosen.map((ports) => ports.map(({ tier, face }) => `${tier}${face}`));
}

/** How many plants of a treatment one tower has room for, when every treatment stands in it. */
export function roomFor(tower: Tower, plant: Plant, asked: { size: number; latitude: number }): number {
  return matchedSets(tower, plant, asked).length;
}

const zones: readonly (string | undefined)[] = ["base", "lower", "middle", "upper", "top"];

/** The first and last tier of the crop's part: a fifth of the tower, the whole of it when any will do. */
function partOf({ tiers }: Tower, { zone }: Plant): { from: number; to: number } {
  const fifth = zones.indexOf(zone);
  if (fifth < 0) return { from: 1, to: tiers };
  const edge = (part: number) => Math.round((part * tiers) / zones.length);
  const from = Math.min(edge(fifth) + 1, tiers);
  return { from, to: Math.max(edge(fifth + 1), from) };
}

function middleOf(tower: Tower, plant: Plant): number {
  const { from, to } = partOf(tower, plant);
  return (from + to) / 2;
}

/** How many tiers outside the crop's part a tier is. */
function tiersAway(tower: Tower, plant: Plant): (tier: number) => number {
  const { from, to } = partOf(tower, plant);
  return (tier) => Math.max(0, from - tier, tier - to);
}

/** The rules of place that speak of a tier alone: heavy plants low, strong roots in the lower half, nothing on the floor. */
function allowed({ tiers, bottom, pitch }: Tower, plant: Plant, tier: number): boolean {
  const height = bottom + (pitch / 100) * (tier - 1);
  return (
    !(isHeavy(plant) && tier > 3) &&
    !(plant.roots === 3 && tier > tiers / 2) &&
    (plant.trail ?? 0) / 100 <= height - 0.1 + 1e-9
  );
}

function isHeavy({ mass = 0 }: Plant): boolean {
  return mass > heavy;
}

type Light = Readonly<Record<Face, number>>;

/** Faces in sets of a size, those of the most even light first; faces over are left. */
function partition(free: readonly Face[], size: number, light: Light): readonly (readonly Face[])[] {
  const [best] = choices(free, size).sort((a, b) => spreadOf(a, light) - spreadOf(b, light));
  if (!best) return [];
  return [
    best,
    ...partition(
      free.filter((face) => !best.includes(face)),
      size,
      light,
    ),
  ];
}

function choices(faces: readonly Face[], size: number): (readonly Face[])[] {
  if (size === 0) return [[]];
  return faces.flatMap((face, index) => choices(faces.slice(index + 1), size - 1).map((rest) => [face, ...rest]));
}

function spreadOf(faces: readonly Face[], light: Light): number {
  const shares = faces.map((face) => light[face]);
  return Math.max(...shares) - Math.min(...shares);
}
