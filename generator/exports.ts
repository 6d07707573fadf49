import { stringify } from "csv-stringify/sync";
import type { Edition } from "./editions.ts";
import { freeByWeek } from "./plan/plan.ts";
import { roomUnit } from "./plan/told.ts";
import type { BookPlan } from "./supply/planned.ts";

/** A file to be written, by its name. */
export interface Exported {
  readonly name: string;
  readonly text: string;
}

/** The crops of an edition for other programs: a table with one figure a line, and the same as JSON. */
export function exportCrops(edition: Edition): readonly Exported[] {
  const crops = edition.crops.map(({ id, name, botanical, kind, code, figures }) => ({
    id,
    name,
    botanical,
    kind,
    code,
    figures: Object.values(figures).map(({ path, label, low, high, unit, text, basis, cited, borrowed, note }) => ({
      path,
      label,
      low,
      high,
      unit,
      text: plain(text),
      basis,
      sources: cited.map((source) => source.text || source.id),
      ...(borrowed === undefined ? {} : { borrowed }),
      ...(note === undefined ? {} : { note }),
    })),
  }));
  const lines = crops.flatMap(({ figures, ...crop }) =>
    figures.map((figure) => [
      crop.id,
      crop.name,
      figure.path,
      figure.label,
      figure.low,
      figure.high,
      figure.unit,
      figure.text,
      figure.basis,
      figure.sources.join("; "),
      figure.borrowed,
      figure.note,
    ]),
  );
  const { name, edition: day, demo = false } = edition.book;
  const book = { name, edition: day, demo, audience: edition.audience };
  return [
    { name: "crops.csv", text: table(heads, lines) },
    { name: "crops.json", text: `${JSON.stringify({ book, crops }, undefined, 2)}\n` },
  ];
}

/** The yard's plan for other programs: a sowing a line, and the room that is left in each place a week a line. For staff. */
export function exportPlan(plan: BookPlan): readonly Exported[] {
  const sowings = plan.sowings.map((one) => [
    one.sown,
    one.week,
    one.crop,
    one.order,
    one.lot,
    one.cells,
    one.trays,
    one.seeds,
    one.units,
    one.of,
    one.count,
    one.ready,
    one.need,
    one.until,
    one.waits,
    one.late,
    one.line,
    one.codes.join(" "),
    one.basis,
  ]);
  const room = plan.places.flatMap(({ place, name, room }) =>
    [...freeByWeek(plan, place)].map(([week, free]) => [week, place, name, roomUnit(place), room, free]),
  );
  return [
    { name: "sowings.csv", text: table(sowingHeads, sowings) },
    { name: "room-by-week.csv", text: table(roomHeads, room) },
  ];
}

const sowingHeads = [
  "sown",
  "week",
  "crop",
  "order",
  "lot",
  "cells",
  "trays",
  "seeds",
  "units",
  "units of",
  "count on",
  "ready",
  "needed from",
  "needed until before",
  "waits (days)",
  "late (days)",
  "line",
  "codes",
  "basis",
] as const;

const roomHeads = ["week", "place", "name", "counts", "room", "least free"] as const;

const heads = [
  "crop",
  "name",
  "field",
  "figure",
  "low",
  "high",
  "unit",
  "as printed",
  "basis",
  "sources",
  "borrowed from",
  "note",
] as const;

/** Lines as CSV (RFC 4180). Text that a spreadsheet would take for a formula is kept from being one. */
function table(head: readonly string[], lines: readonly (readonly (string | number | undefined)[])[]): string {
  return stringify([[...head], ...lines.map((line) => [...line])], {
    record_delimiter: "windows",
    escape_formulas: true,
    cast: { number: (value) => ({ value: String(value), escape_formulas: false }) },
  });
}

/** A figure without the thin spaces of the printed page. */
function plain(text: string): string {
  return text.replaceAll("\u202f", " ");
}
