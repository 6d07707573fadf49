import type { Library } from "../../library.ts";
import type { BookPlan } from "../planned.ts";
import { gearOf } from "../supply.ts";
import { suppliesOf } from "../water.ts";
import { type Doing, oneDay, present } from "./doing.ts";

/** Stock that runs out or has stood too long, and salts of which no more is left than lasts until new ones come. */
export function ofSupplies(library: Library, plan: BookPlan): readonly Doing[] {
  const { tubs, salts } = suppliesOf(library, plan);
  return [
    ...tubs.flatMap(({ tub, empties, stale, mix, basis }) => {
      const on = [empties, stale].filter((day) => day !== undefined).sort()[0];
      const says = present({ litres: mix === undefined ? undefined : Math.ceil(mix) });
      return on === undefined
        ? []
        : [{ ...oneDay(on), what: "mix", of: { shelf: "gear", id: tub }, says, basis } as const];
    }),
    ...salts.flatMap(({ salt, order, basis }) =>
      order === undefined
        ? []
        : [{ ...oneDay(order.on), what: "order", of: { shelf: "salts", id: salt }, says: {}, basis } as const],
    ),
  ];
}

/** Tests of water, service of gear, and trials that have run out without a decision. */
export function ofChecks(library: Library): readonly Doing[] {
  const found: Doing[] = [];
  for (const { id, fields } of library.waters.values())
    if (fields.due !== undefined)
      found.push({ ...oneDay(fields.due), what: "test", of: { shelf: "waters", id }, says: {} });
  for (const { id, fields } of library.gear.values())
    if (fields.due !== undefined)
      found.push({ ...oneDay(fields.due), what: "service", of: { shelf: "gear", id }, says: {} });
  for (const { id, fields } of library.trials.values())
    if (fields.decision === undefined)
      found.push({ ...oneDay(fields.stop), what: "decide", crop: fields.crop, of: { shelf: "trials", id }, says: {} });
  return found;
}

/** The day from which a place holds too much. */
export function ofClashes(library: Library, { clashes }: BookPlan): readonly Doing[] {
  return clashes.flatMap(({ place, on, why, instead }) => {
    const id = gearAt(library, place);
    return id === undefined
      ? []
      : [{ ...oneDay(on), what: "clash", of: { shelf: "gear", id }, says: present({ why, instead }) } as const];
  });
}

/** The record of a place: of several benches or misters the first. */
function gearAt(library: Library, place: string): string | undefined {
  if (place !== "bench" && place !== "mister") return place;
  return gearOf(library.gear.values(), place)[0]?.id;
}
