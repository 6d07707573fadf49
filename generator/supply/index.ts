import { type Sum, sum } from "../figures.ts";
import type { Library } from "../library.ts";
import { cropSupplies } from "./crops.ts";
import { feedSupplies } from "./feed.ts";
import { plantingSupplies } from "./planting.ts";
import type { Given, Supply } from "./supply.ts";
import { trialSupplies } from "./trials.ts";
import { yardSupplies } from "./yard.ts";

/** How records fill in each worksheet that can be asked of them, by its id. */
export const supplies: ReadonlyMap<string, Supply> = new Map(
  Object.entries({ ...feedSupplies, ...yardSupplies, ...cropSupplies, ...plantingSupplies, ...trialSupplies }),
);

/** A worksheet answered from records; `extra` inputs win over theirs. @throws RangeError when no record can fill it in. */
export function sumOf(library: Library, id: string, given: Given, extra: Readonly<Record<string, unknown>> = {}): Sum {
  const supply = supplies.get(id);
  if (!supply) throw new RangeError(`No record fills in ${id}`);
  return sum(library, id, (take) => ({ ...supply.ask(take, given, library), ...extra }));
}

export { type GearPage, type Given, gearOf, type Supply } from "./supply.ts";
