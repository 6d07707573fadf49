import type { Library, PageOf } from "../library.ts";
import { faceNames, towerNames } from "../records/tower-names.ts";
import type { PlainDate } from "../science/calendar.ts";
import type { Face } from "../science/port.ts";

/** One tower of the yard, as the blocks of a trial call it. */
export interface Tower {
  /** `tower-2`. */
  readonly name: string;
  /** The gear record that speaks of it. */
  readonly record: string;
  /** The gear record of the line that it drinks from, and the crops on it. */
  readonly line: string;
  readonly grows: readonly string[];
  readonly tiers: number;
  readonly bottom: number;
  readonly pitch: number;
  readonly faces: readonly Face[];
  /** What it drinks [L/day], if that is recorded, and how it is shut off. */
  readonly drinks: number | undefined;
  readonly isolate: string | undefined;
  /** No other tower drinks from its line. */
  readonly apart: boolean;
  /** Ports that are not free, with what stands there. */
  readonly taken: ReadonlyMap<string, string>;
}

/**
 * Every tower of the yard, as the blocks of a trial are called: `tower-2` is one of those that a record with the name
 * `Towers 1 to 14` speaks of.
 *
 * A port is taken by what is pinned to it, and by a trial of which some day is one of the days asked about.
 */
export function towersOf(
  library: Library,
  days: { readonly from: PlainDate; readonly to: PlainDate },
): readonly Tower[] {
  const records = [...library.gear.values()].flatMap(({ id, fields }) =>
    fields.kind === "tower" ? [{ id, fields }] : [],
  );
  const drinking = new Map<string, number>();
  for (const { fields } of records) drinking.set(fields.line, (drinking.get(fields.line) ?? 0) + (fields.count ?? 1));
  const trials = [...library.trials.values()].filter(
    ({ fields }) => fields.started <= days.to && fields.stop >= days.from,
  );
  const towers = records.flatMap(({ id, fields }) =>
    towerNames(id, fields).map((name) => {
      const line = library.gear.get(fields.line)?.fields;
      return {
        name,
        record: id,
        line: fields.line,
        grows: line?.kind === "line" ? line.crops : [],
        tiers: fields.tiers,
        bottom: fields.bottom,
        pitch: fields.pitch,
        faces: faceNames(fields.faces),
        drinks: fields.drinks,
        isolate: fields.isolate,
        apart: drinking.get(fields.line) === 1,
        taken: new Map([...Object.entries(fields.pins ?? {}), ...trials.flatMap((trial) => standing(trial, name))]),
      };
    }),
  );
  return towers.sort((a, b) => byNumber.compare(a.name, b.name));
}

/** `tower-2` before `tower-11`. */
const byNumber = new Intl.Collator("en", { numeric: true });

/** Where a trial stands on one tower. */
function standing({ id, fields }: PageOf<"trials">, tower: string): readonly (readonly [port: string, by: string])[] {
  return Object.keys(fields.places?.[tower] ?? {}).map((port) => [port, id] as const);
}
