import type { Library, PageOf } from "../library.ts";
import type { PlainDate } from "../science/calendar.ts";

/** A share that a yard's own batches show, and how many plants it was counted on. */
export interface Raised {
  /** From 0 to 1. */
  readonly share: number;
  /** All cells, or all seedlings, that were counted together. */
  readonly of: number;
  /** The batches that it was counted in, by their ids. */
  readonly batches: readonly string[];
}

/**
 * The share of seed of a lot that came up, pooled over its batches: all that were counted as up over all cells sown. Only
 * batches with one seed a cell and a count by `today` say it, for of a cell with several seeds nobody knows how many came up.
 * Undefined when there is none. A count on the bench is no germination test: it is what the yard's own trays gave.
 */
export function germinationCounted(library: Library, lot: string, today: PlainDate): Raised | undefined {
  return pooled(batchesBy(library, "lot").get(lot), (batch) => cameUpIn(batch, today));
}

/**
 * The share of those up that was fit to use, pooled over the batches of a lot or a crop: all plants that went to the tower, or
 * to the mister where they went no further, over all that were counted as up. Only batches that were counted, once a cell, and
 * moved there by `today` say it. Undefined when there is none.
 */
export function usableMoved(
  library: Library,
  of: { readonly lot: string } | { readonly crop: string },
  today: PlainDate,
): Raised | undefined {
  const batches = "lot" in of ? batchesBy(library, "lot").get(of.lot) : batchesBy(library, "crop").get(of.crop);
  return pooled(batches, (batch) => fitIn(batch, today));
}

/** A part of a whole, both counted. */
export interface Counted {
  readonly part: number;
  readonly whole: number;
}

/** Of one batch: what was counted as up, of all cells sown. Undefined where it does not say, as {@link germinationCounted} has it. */
export function cameUpIn({ fields }: PageOf<"batches">, today: PlainDate): Counted | undefined {
  const { seeds, cells, counted } = fields;
  return seeds === 1 && counted !== undefined && counted.on <= today ? { part: counted.up, whole: cells } : undefined;
}

/** Of one batch: the plants that were fit to use, of all counted as up. Undefined where it does not say, as {@link usableMoved} has it. */
export function fitIn({ fields }: PageOf<"batches">, today: PlainDate): Counted | undefined {
  const { cells, counted, moves } = fields;
  const moved = [moves?.tower, moves?.mister].find((move) => move !== undefined && move.on <= today);
  if (!moved || counted === undefined || counted.up === 0 || counted.up > cells) return undefined;
  return { part: moved.plants, whole: counted.up };
}

type Batch = PageOf<"batches">;

/** All batches by their lot or their crop, put in order once: every crop and every lot asks. */
function batchesBy(library: Library, by: "lot" | "crop"): ReadonlyMap<string, readonly Batch[]> {
  const known = ordered[by].get(library);
  if (known) return known;
  const found = Map.groupBy(library.batches.values(), ({ fields }) => fields[by]);
  ordered[by].set(library, found);
  return found;
}

const ordered = {
  lot: new WeakMap<Library, Map<string, Batch[]>>(),
  crop: new WeakMap<Library, Map<string, Batch[]>>(),
};

function pooled(
  batches: readonly Batch[] | undefined,
  counted: (batch: Batch) => Counted | undefined,
): Raised | undefined {
  const found = (batches ?? []).flatMap((batch) => {
    const one = counted(batch);
    return one ? [{ id: batch.id, ...one }] : [];
  });
  const of = found.reduce((sum, { whole }) => sum + whole, 0);
  if (of === 0) return undefined;
  return { share: found.reduce((sum, { part }) => sum + part, 0) / of, of, batches: found.map(({ id }) => id) };
}
