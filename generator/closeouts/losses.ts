import { type Sum, sum } from "../figures.ts";
import type { Library } from "../library.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import type { Life } from "./life.ts";

/** What was lost of some batches: where, by their moves, and why, by what was written down. */
export interface Losses {
  /** In the order of the stages; how many plants entered it, in the batches that say both. */
  readonly stages: readonly {
    readonly stage: StageName;
    readonly lost: number;
    readonly of: number;
    readonly batches: number;
    /** The share that came through, with its interval. */
    readonly sum: Sum;
  }[];
  /** The most first. */
  readonly reasons: readonly { readonly reason: string; readonly plants: number }[];
  /** Cells sown in the batches that have reasons on record. */
  readonly cells: number;
  /** Batches with reasons on record, and without: those may have lost plants or none. */
  readonly told: number;
  readonly silent: number;
  /** Plants that the moves show as lost, beyond those that have a reason; at least so many have none. */
  readonly unexplained: number;
}

/** The losses of some batches together. What was lost on the tower no move counts: only reasons tell. */
export function lossesOf(library: Library, lives: readonly Life[]): Losses {
  const told = lives.filter(({ batch }) => batch.fields.losses !== undefined);
  const reasons = new Map<string, number>();
  for (const { batch } of told)
    for (const [reason, plants] of Object.entries(batch.fields.losses ?? {}))
      reasons.set(reason, (reasons.get(reason) ?? 0) + plants);
  return {
    stages: stageNames.flatMap((stage) => {
      const found = lives.flatMap((life) => life.lost.filter((one) => one.stage === stage));
      const of = found.reduce((all, one) => all + one.of, 0);
      if (of === 0) return [];
      const lost = found.reduce((all, one) => all + one.lost, 0);
      const through = sum(library, "two-shares", () => ({ a: { good: of - lost, total: of } }));
      return [{ stage, lost, of, batches: found.length, sum: through }];
    }),
    reasons: [...reasons]
      .map(([reason, plants]) => ({ reason, plants }))
      .toSorted((a, b) => b.plants - a.plants || (a.reason < b.reason ? -1 : 1)),
    cells: told.reduce((all, { batch }) => all + batch.fields.cells, 0),
    told: told.length,
    silent: lives.length - told.length,
    unexplained: told.reduce((all, { batch, lost }) => {
      // Cells that stayed empty are no plants, and need no reason.
      const moved = lost.filter(({ stage }) => stage !== "germination").reduce((sum, one) => sum + one.lost, 0);
      const said = Object.values(batch.fields.losses ?? {}).reduce((sum, plants) => sum + plants, 0);
      return all + Math.max(0, moved - said);
    }, 0),
  };
}
