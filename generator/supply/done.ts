import type { Library } from "../library.ts";
import { type ToldDay, toldDone } from "../plan/told-days.ts";
import { stageNames } from "../records/crop.ts";
import type { PlainDate } from "../science/calendar.ts";

/** One thing that a record says was done on a day. */
export interface Done extends ToldDay {
  readonly on: PlainDate;
  readonly what: "sow" | "count" | "move" | "cut" | "close" | "test" | "sample" | "begin" | "stop";
  readonly of: { readonly shelf: "batches" | "lots" | "waters" | "trials"; readonly id: string };
}

/**
 * What the records say was done from one day to another, both included, in the order of days: batches sown, counted, moved,
 * cut and closed, seed tested, water sampled, trials begun and stopped. What no record holds, such as a parcel handed over,
 * is not told.
 */
export function doneIn(library: Library, from: PlainDate, to: PlainDate): readonly Done[] {
  return [...ofBatches(library), ...ofLots(library), ...ofWaters(library), ...ofTrials(library)]
    .filter(({ on }) => on >= from && on <= to)
    .toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
}

function* ofBatches({ batches, crops }: Library): Iterable<Done> {
  for (const { id, fields } of batches.values()) {
    const { code, sown, cells, counted, closed, cuts = {} } = fields;
    const crop = crops.get(fields.crop)!.fields.name;
    const at = (
      what: Done["what"],
      on: PlainDate,
      facts: Omit<Parameters<typeof toldDone>[0], "what" | "called"> = {},
    ) => ({
      on,
      what,
      of: { shelf: "batches", id } as const,
      ...toldDone({ what, called: crop, code, ...facts }),
    });
    yield at("sow", sown, { cells, lot: fields.lot });
    if (counted) yield at("count", counted.on, { cells: counted.up, of: cells });
    for (const stage of stageNames) {
      const move = fields.moves?.[stage];
      if (move) yield at("move", move.on, { to: stage, plants: move.plants });
    }
    for (const [on, grams] of Object.entries(cuts)) yield at("cut", on, { grams });
    if (closed) yield at("close", closed);
  }
}

function* ofLots({ lots, crops }: Library): Iterable<Done> {
  for (const { id, fields } of lots.values())
    for (const [on, { up, sown }] of Object.entries(fields.tests ?? {})) {
      const called = `${crops.get(fields.crop)!.fields.name}, lot ${id}`;
      yield { on, what: "test", of: { shelf: "lots", id }, ...toldDone({ what: "test", called, cells: up, of: sown }) };
    }
}

function* ofWaters({ waters }: Library): Iterable<Done> {
  for (const { id, fields } of waters.values())
    if (fields.sampled)
      yield {
        on: fields.sampled,
        what: "sample",
        of: { shelf: "waters", id },
        ...toldDone({ what: "sample", called: fields.name }),
      };
}

function* ofTrials({ trials }: Library): Iterable<Done> {
  for (const { id, fields } of trials.values())
    for (const [what, on] of [
      ["begin", fields.started],
      ["stop", fields.stop],
    ] as const)
      yield { on, what, of: { shelf: "trials", id }, ...toldDone({ what, called: fields.question }) };
}
