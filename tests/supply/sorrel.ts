import { type Closeouts, closeoutsOf } from "../../generator/closeouts.ts";
import type { Library } from "../../generator/library.ts";
import { addDays, type PlainDate } from "../../generator/science/calendar.ts";
import { bodyOf, checkCharacter, trayCode } from "../../generator/science/labels.ts";
import { libraryOf } from "./yard.ts";

/** Sorrel in three stages, 4 + 14 + 20–22 days; `more` is added to its record. */
export const sorrel = (tower = "days: 20–22 days", more = "") => `name: Sorrel
botanical: Rumex acetosa
kind: leaf
code: SOR
status: tried
reviewed: 2027-01-01
eaten: [leaves]
seed: { standard: 80 %, usable: 90 %, cell: 1 }
stages:
  germination: { days: 4 days }
  tray: { days: 14 days }
  tower: { ${tower} }
cutting: { each: 30–40 g, regrowth: 7–9 days, window: 20–40 days }
${more}`;

export const lot = (cultivar: string) => `crop: sorrel
cultivar: ${cultivar}
bought: 2025-01-01
treated: no
food: no`;

export interface Sown {
  readonly sown: PlainDate;
  readonly tray?: number;
  readonly lot?: string;
  readonly seeds?: number;
  readonly cells?: number;
  readonly up?: number;
  /** Days in each stage. */
  readonly days?: readonly [germination: number, tray: number, tower: number];
  readonly plants?: readonly [tray: number, tower: number];
  readonly losses?: string;
  /** Grams, a week apart from the first cut. */
  readonly cuts?: readonly number[];
  /** Days after the first cut; `open` for a batch that is not closed. */
  readonly closed?: number | "open";
}

/** A batch of 100 cells that goes by the record, 96 up, 90 planted, three cuts of 3000 g, closed 30 days after the first. */
function batch(one: Sown): readonly [string, string] {
  const { sown, tray = 1, cells = 100, seeds = 1, up = 96, days = [4, 14, 21], plants = [up, 90] } = one;
  const body = trayCode({ crop: "SOR", sown, tray });
  const moved = addDays(sown, days[0]);
  const planted = addDays(moved, days[1]);
  const first = addDays(planted, days[2]);
  const cuts = (one.cuts ?? [3000, 3000, 3000]).map((grams, at) => `  ${addDays(first, 7 * at)}: ${grams} g`);
  const closed = one.closed ?? 30;
  return [
    `batches/${body.toLowerCase()}.md`,
    `code: ${body}-${checkCharacter(bodyOf(body))}
crop: sorrel
lot: ${one.lot ?? "plain"}
sown: ${sown}
cells: ${cells}
seeds: ${seeds}
counted: { on: ${moved}, up: ${up} }
moves:
  tray: { on: ${moved}, plants: ${plants[0]} }
  tower: { on: ${planted}, plants: ${plants[1]} }
${one.losses === undefined ? "" : `losses: ${one.losses}\n`}${cuts.length === 0 ? "" : `cuts:\n${cuts.join("\n")}\n`}${closed === "open" ? "" : `closed: ${addDays(first, closed)}`}`,
  ];
}

export const yard = (
  batches: readonly Sown[],
  crop = sorrel(),
  records: Readonly<Record<string, string>> = {},
): Library =>
  libraryOf({
    "crops/sorrel.md": crop,
    "lots/plain.md": lot("plain"),
    "lots/red.md": lot("red"),
    ...Object.fromEntries(batches.map(batch)),
    ...records,
  });

export const read = (library: Library, uses = 0): Closeouts => closeoutsOf(library, new Map([["sorrel", uses]]));
export const part = (library: Library, half: "summer" | "winter" = "summer") =>
  read(library).crops[0]!.parts.find((one) => one.half === half)!;
export const measure = (library: Library, what: string, half: "summer" | "winter" = "summer") =>
  part(library, half)?.measures.find((one) => one.what === what || one.stage === what);

/** Summer sowings a week apart. */
export const weekly = (all: readonly Omit<Sown, "sown">[]): readonly Sown[] =>
  all.map((one, at) => ({ sown: addDays("2026-04-06", 7 * at), ...one }));
export const tower = (days: number, more: Omit<Sown, "sown"> = {}): Omit<Sown, "sown"> => ({
  days: [4, 14, days],
  ...more,
});
