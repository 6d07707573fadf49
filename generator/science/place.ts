import {
  faceOrder,
  isHeavy,
  type Plant,
  type Port,
  points,
  scores,
  shading,
  slack,
  type Tower,
  type Veto,
  vetoes,
} from "./port.ts";
import type { In } from "./units.ts";

/** A tower and what shall stand on it. */
export interface Planting {
  readonly tower: Tower;
  readonly crops: readonly { readonly plant: Plant; readonly count: number }[];
  /** Plants whose port is settled beforehand; `crop` is a place in `crops`, counted within its `count`. */
  readonly pins: readonly { readonly crop: number; readonly port: Port }[];
}

/** A planting with its ports in the order of ties, and every score worked out once. */
export interface Board extends Planting {
  /** From the lowest tier up, the sunny face first. */
  readonly ports: readonly Port[];
  /** `score[crop][port]` [points]; −Infinity where a rule forbids that port to that crop. */
  readonly score: readonly Float64Array[];
  /** For each port the pinned crop, or `blank`. */
  readonly pinned: Int8Array;
}

/** For each port of a board the crop's place in `crops`, or `blank`. */
export type Holding = Int8Array;

export const blank = -1;

/** Why a planting cannot be laid out at all. */
export type Impossible =
  | { readonly rule: "ports"; readonly excess: number }
  | { readonly rule: "pin"; readonly pin: number; readonly vetoes: readonly Veto[] }
  | { readonly rule: "no port"; readonly crop: number; readonly proved: boolean };

/** The board of a planting. Pins are taken as they are; `pinFault` says what is wrong with them. */
export function boardOf(planting: Planting): Board {
  const { tower, crops, pins } = planting;
  const order = faceOrder(tower.latitude);
  const ports = Array.from({ length: tower.tiers }, (_, tier) =>
    order.map((face) => ({ tier: tier + 1, face })),
  ).flat();
  const score = crops.map(({ plant }) =>
    Float64Array.from(ports, (port) =>
      vetoes(tower, plant, port).length > 0 ? -Infinity : points(scores(tower, plant, port)),
    ),
  );
  const pinned = new Int8Array(ports.length).fill(blank);
  for (const { crop, port } of pins) pinned[portIndex(ports, port)] = crop;
  return { ...planting, ports, score, pinned };
}

/** The first pin that cannot stand: its port is taken, there is no plant left for it, or a rule forbids it. */
export function pinFault({ tower, crops, pins, ports }: Board): Impossible | undefined {
  const held = new Int8Array(ports.length).fill(blank);
  const left = crops.map(({ count }) => count);
  for (const [pin, { crop, port }] of pins.entries()) {
    const at = portIndex(ports, port);
    const { plant } = crops[crop]!;
    const broken = [...vetoes(tower, plant, port)];
    if (held[at] !== blank || left[crop] === 0) return { rule: "pin", pin, vetoes: [] };
    const alone = { tower, crops, ports };
    if (broken.length === 0) broken.push(...layoutVetoes(alone, held, crop, at));
    if (broken.length > 0) return { rule: "pin", pin, vetoes: broken };
    held[at] = crop;
    left[crop]!--;
  }
  return undefined;
}

/** The rules between plants that `crop` in port `at` would break beside what `held` has in the other ports. */
export function layoutVetoes(
  { tower, crops, ports }: Pick<Board, "tower" | "crops" | "ports">,
  held: Holding,
  crop: number,
  at: number,
): readonly Veto[] {
  const { plant } = crops[crop]!;
  const here = ports[at]!;
  let mass = plant.mass;
  let near = false;
  for (let other = 0; other < held.length; other++) {
    if (held[other]! < 0 || other === at) continue;
    const neighbour = crops[held[other]!]!.plant;
    const there = ports[other]!;
    if (there.tier === here.tier) mass += neighbour.mass;
    near ||= there.face === here.face && Math.abs(there.tier - here.tier) <= 4 && isHeavy(neighbour);
  }
  const broken: Veto[] = [];
  if (near && isHeavy(plant)) broken.push("V5");
  if (mass > tower.tierLimit + slack) broken.push("V6");
  return broken;
}

/** Whether no rule is broken anywhere. */
export function allowed(board: Board, held: Holding): boolean {
  return held.every(
    (crop, at) =>
      crop === blank || (board.score[crop]![at]! > -Infinity && layoutVetoes(board, held, crop, at).length === 0),
  );
}

/** The points of a layout; an empty port is worth 0. */
export function total({ score }: Board, held: Holding): In<"points"> {
  return held.reduce((sum, crop, at) => (crop === blank ? sum : sum + score[crop]![at]!), 0);
}

/**
 * A layout that can be followed by hand: pins, then heavy and light-hungry plants first, each into its best free port;
 * then exchanges of two ports while one raises the total. A crop's place when that crop finds no port.
 */
export function placed(board: Board): { readonly held: Holding } | { readonly crop: number } {
  const { crops, score, ports } = board;
  const held = board.pinned.slice();
  const order = crops
    .map((_, crop) => crop)
    .sort((a, b) => {
      const [one, other] = [crops[a]!.plant, crops[b]!.plant];
      return (
        other.mass - one.mass || other.dliNeed - one.dliNeed || (one.id < other.id ? -1 : one.id > other.id ? 1 : 0)
      );
    });
  for (const crop of order) {
    const pinned = held.filter((other) => other === crop).length;
    for (let plant = pinned; plant < crops[crop]!.count; plant++) {
      let best = -1;
      for (let at = 0; at < ports.length; at++) {
        if (held[at] !== blank || score[crop]![at] === -Infinity) continue;
        if (best !== -1 && micro(score[crop]![at]!) <= micro(score[crop]![best]!)) continue;
        if (layoutVetoes(board, held, crop, at).length === 0) best = at;
      }
      if (best === -1) return { crop };
      held[best] = crop;
    }
  }
  return { held: exchanged(board, held, (gain) => gain > slack) };
}

/**
 * Among layouts of the same total, one that leaves more empty ports above tall plants, where light is poor; found by
 * exchanges that cost nothing, so it is a preference and not an optimum.
 */
export function airy(board: Board, held: Holding): Holding {
  if (!held.includes(blank)) return held;
  const aim = total(board, held) - slack;
  return exchanged(
    board,
    held,
    (gain, before, after) =>
      gain > -slack && shadedBlanks(board, after()) > shadedBlanks(board, before) && total(board, after()) >= aim,
  );
}

type Worthwhile = (gain: number, before: Holding, after: () => Holding) => boolean;

/** Exchanges the contents of two ports whenever that is worth while and breaks no rule, until none is. */
function exchanged(board: Board, start: Holding, worthwhile: Worthwhile): Holding {
  const { score, pinned, ports } = board;
  const held = start.slice();
  const worth = (crop: number, at: number) => (crop === blank ? 0 : score[crop]![at]!);
  const fits = (crop: number, at: number) => crop === blank || layoutVetoes(board, held, crop, at).length === 0;
  for (let changed = true; changed; ) {
    changed = false;
    for (let a = 0; a < ports.length; a++) {
      for (let b = a + 1; b < ports.length; b++) {
        const [one, other] = [held[a]!, held[b]!];
        if (one === other || pinned[a] !== blank || pinned[b] !== blank) continue;
        const gain = worth(one, b) + worth(other, a) - worth(one, a) - worth(other, b);
        if (!(gain > -1)) continue;
        const after = () => swapped(held, a, b);
        if (!worthwhile(gain, held, after)) continue;
        [held[a], held[b]] = [other, one];
        if (fits(other, a) && fits(one, b)) changed = true;
        else [held[a], held[b]] = [one, other];
      }
    }
  }
  return held;
}

function swapped(held: Holding, a: number, b: number): Holding {
  const copy = held.slice();
  [copy[a], copy[b]] = [held[b]!, held[a]!];
  return copy;
}

/** How many empty ports lie in the shade of a plant below them on their face. */
function shadedBlanks({ tower, crops, ports }: Board, held: Holding): number {
  return ports.reduce((sum, port, at) => {
    if (held[at] !== blank) return sum;
    const shaded = ports.some((below, index) => {
      const crop = held[index]!;
      if (crop === blank || below.face !== port.face || below.tier >= port.tier) return false;
      return shading(tower, crops[crop]!.plant, below.tier).up >= port.tier - below.tier;
    });
    return shaded ? sum + 1 : sum;
  }, 0);
}

function portIndex(ports: readonly Port[], { tier, face }: Port): number {
  return ports.findIndex((port) => port.tier === tier && port.face === face);
}

/** Points rounded to a millionth, so that the last bits do not settle a tie. */
function micro(score: number): number {
  return Math.floor(score * 1e6 + 0.5);
}
