import { coin } from "./design/coin.ts";
import { matchedSets, type Plant } from "./design/ports.ts";
import { type Spread, shows } from "./design/power.ts";
import { refusalsOf } from "./design/refusals.ts";
import type { Tower } from "./design/yard.ts";

/** What is to be tried, on which towers, with how many plants. */
export interface Wish {
  readonly crop: Plant;
  /** Two to four, the names that the record gives them. */
  readonly treatments: readonly string[];
  /** What is done now, one of the treatments. */
  readonly control: string;
  /** `feed` for anything in the water. */
  readonly through: "plant" | "feed";
  /** Towers in the order in which they are named; `only` is for one that was given to one treatment alone. */
  readonly towers: readonly { readonly tower: Tower; readonly only?: string | undefined }[];
  /** Of each treatment in each block. */
  readonly plants: number;
  /** Towers that are fed apart for this, beyond those that are so by their line. */
  readonly isolated: number;
  readonly spread: Spread | undefined;
  /** What the tosses begin with, 1 to 2³¹ − 2. */
  readonly coin: number;
}

/** Where a trial is planned: every tower there is, and the latitude [°], by which the sun comes round. */
export interface Yard {
  readonly towers: readonly Tower[];
  readonly latitude: number;
}

/** A block: every treatment in the same number of places that are alike but for it. */
export interface Block {
  readonly name: string;
  /** A port of the tower and its treatment; for a trial through the feed, a tower and its treatment. */
  readonly places: Readonly<Record<string, string>>;
  /** One line for each plant that is measured, in the order of a walk from the top tier down. `port` is as the data have it. */
  readonly plants: readonly { readonly treatment: string; readonly port: string }[];
}

export interface Design {
  /** What was treated apart, which alone is counted. */
  readonly unit: "port" | "tower";
  readonly blocks: readonly Block[];
  /** Of each treatment: in the trial, and one more that is grown and never put in the place of another. */
  readonly each: { readonly planted: number; readonly spare: 1 };
  /** The difference [%] that it shows four times in five; undefined when the spread is not known, or the blocks are two. */
  readonly shows: number | undefined;
}

/** A design, or every reason why there is none, each with what would do. */
export type Planned =
  | { readonly design: Design; readonly refusals?: undefined }
  | { readonly design?: undefined; readonly refusals: readonly Refused[] };

export interface Refused {
  readonly why: string;
  readonly offer: string;
}

/** Plans a trial. The same wish in the same yard gives the same places. */
export function planTrial(wish: Wish, yard: Yard): Planned {
  const refusals = refusalsOf(wish, yard);
  if (refusals.length > 0) return { refusals };
  const blocks = wish.through === "feed" ? feedBlocks(wish, yard) : plantBlocks(wish, yard);
  return {
    design: {
      unit: wish.through === "feed" ? "tower" : "port",
      blocks,
      each: { planted: wish.plants * blocks.length, spare: 1 },
      shows: wish.spread && shows({ spread: wish.spread, plants: wish.plants, blocks: blocks.length }),
    },
  };
}

/** In each tower, sets of ports that are alike; a toss for each set says which treatment has which. */
function plantBlocks({ crop, treatments, towers, plants, coin: number }: Wish, { latitude }: Yard): readonly Block[] {
  const { shuffled } = coin(number);
  return towers.map(({ tower }) => {
    const sets = matchedSets(tower, crop, { size: treatments.length, latitude }).slice(0, plants);
    const places = sets.flatMap((ports) => {
      const order = shuffled(treatments);
      return ports.map((port, index) => [port, order[index]!] as const);
    });
    const walked = places.toSorted(([a], [b]) => Number.parseInt(b, 10) - Number.parseInt(a, 10) || (a < b ? -1 : 1));
    return {
      name: tower.name,
      places: Object.fromEntries(walked),
      plants: walked.map(([port, treatment]) => ({ treatment, port })),
    };
  });
}

/** Towers side by side are a block, as many as there are treatments; a toss says which tower has which. */
function feedBlocks({ crop, treatments, towers, plants, coin: number }: Wish, { latitude }: Yard): readonly Block[] {
  const { shuffled } = coin(number);
  const size = treatments.length;
  return Array.from({ length: towers.length / size }, (_, block) => {
    const group = towers.slice(block * size, (block + 1) * size).map(({ tower }) => tower);
    const order = shuffled(treatments);
    const given = group.map((tower, index) => [tower, order[index]!] as const);
    return {
      name: `block-${block + 1}`,
      places: Object.fromEntries(given.map(([tower, treatment]) => [tower.name, treatment])),
      plants: treatments.flatMap((treatment) =>
        given
          .filter(([, has]) => has === treatment)
          .flatMap(([tower]) =>
            matchedSets(tower, crop, { size: 1, latitude })
              .slice(0, plants)
              .map(([port]) => ({ treatment, port: `${tower.name} ${port!}` })),
          ),
      ),
    };
  });
}
