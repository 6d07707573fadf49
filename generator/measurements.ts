import type { VFile } from "vfile";
import type { Cell } from "./measurements/cells.ts";
import { sayPorts } from "./measurements/drawn.ts";
import { rowsOf } from "./measurements/rows.ts";
import { type Place, tell } from "./records/messages.ts";
import type { Join } from "./records/parse.ts";

/**
 * Puts the measurements of a CSV file into a trial's front matter as if they had been written there: values below
 * `blocks`, those that died or were left out below `deaths` and `excluded`, each with its reason; rows that are blank yet
 * are counted in `waiting`. What is wrong is told at its line and column of the CSV file, now or by whatever rule reads the field later.
 */
export function joining(file: VFile): Join {
  return (raw, say) => {
    if (raw.blocks !== undefined) {
      say(["data"], {
        rule: "trial-data",
        written: String(raw.data),
        expected: "either `data` or `blocks`",
        note: "Values that stand twice can differ. Keep one of the two.",
      });
      return { raw, say };
    }
    const rows = rowsOf(file);
    const places = new Map<string, Place>();
    const place = (path: readonly (string | number)[], cell: Cell) => {
      for (let length = 2; length <= path.length; length++) {
        const key = JSON.stringify(path.slice(0, length));
        if (!places.has(key)) places.set(key, cell.place);
      }
    };
    const blocks: Record<string, Record<string, string[]>> = Object.create(null);
    const lists = { deaths: listIn(raw.deaths), excluded: listIn(raw.excluded) };
    sayPorts(file, rows, raw.places);
    for (const { block, treatment, port, value, reason, waiting } of rows) {
      if (waiting) continue;
      blocks[block.text] ??= Object.create(null) as Record<string, string[]>;
      const ofBlock = blocks[block.text]!;
      ofBlock[treatment.text] ??= [];
      const values = ofBlock[treatment.text]!;
      place(["blocks", block.text], block);
      place(["blocks", block.text, treatment.text], treatment);
      if (value === undefined) continue;
      if (value.text === "died" || value.text === "excluded") {
        const name = value.text === "died" ? "deaths" : "excluded";
        const path = [name, lists[name].length];
        place([...path, "block"], block);
        place([...path, "treatment"], treatment);
        lists[name].push({
          block: block.text,
          treatment: treatment.text,
          ...(name === "deaths" ? { plants: "1" } : port?.text ? { port: port.text } : {}),
          reason: reason?.text ?? "",
        });
      } else {
        place(["blocks", block.text, treatment.text, values.length], value);
        values.push(value.text);
      }
    }
    return {
      raw: {
        ...raw,
        ...(Object.keys(blocks).length > 0 ? { blocks: plain(blocks) } : {}),
        ...(rows.some(({ waiting }) => waiting)
          ? { waiting: String(rows.filter(({ waiting }) => waiting).length) }
          : {}),
        ...Object.fromEntries(Object.entries(lists).filter(([, list]) => list.length > 0)),
      },
      say: (path, slip) => {
        const found = placeFor(places, path);
        if (found) tell(file, slip, found, path);
        else say(path, slip);
      },
    };
  };
}

function placeFor(places: ReadonlyMap<string, Place>, path: readonly (string | number)[]): Place | undefined {
  for (let length = path.length; length >= 2; length--) {
    const place = places.get(JSON.stringify(path.slice(0, length)));
    if (place) return place;
  }
  return undefined;
}

function listIn(value: unknown): unknown[] {
  return Array.isArray(value) ? [...value] : [];
}

function plain(blocks: Readonly<Record<string, Readonly<Record<string, unknown>>>>): unknown {
  return Object.fromEntries(Object.entries(blocks).map(([block, treatments]) => [block, { ...treatments }]));
}
