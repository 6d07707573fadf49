import { stringify } from "csv-stringify/sync";
import type { Edition } from "./editions.ts";

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
