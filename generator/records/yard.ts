import type { z } from "zod";
import { type PlainDate, weekdays } from "../science/calendar.ts";
import { amount, count, date } from "./amounts.ts";
import { initials, notes, sources } from "./common.ts";
import { stageNames } from "./crop.ts";
import {
  type Complain,
  everyone,
  flag,
  group,
  keyWord,
  list,
  mapping,
  nobody,
  type Readable,
  reference,
  sensible,
  shaped,
  text,
  word,
} from "./fields.ts";
import { type Day, notBefore } from "./sense.ts";

/** Whose book it is, where it stands, and the days on which it sows and posts. */
export const Book = group({
  name: everyone(text()).meta({ label: "Name" }),
  demo: everyone(flag())
    .meta({ label: "Demo", help: "`yes` marks every page: no figure here is anyone's own." })
    .optional(),
  place: everyone(text()).meta({ label: "Place" }),
  latitude: everyone(amount("°", { within: [-90, 90] })).meta({ label: "Latitude" }),
  contact: everyone(text()).meta({ label: "Contact" }),
  currency: text().meta({ label: "Money is in" }).optional(),
  edition: everyone(date([1990, 2200])).meta({
    label: "Edition of",
    help: "The day that this edition speaks of. Change it when you print.",
  }),
  sow: list(word(weekdays)).meta({ label: "Sowing days" }),
  post: list(word(weekdays)).meta({ label: "Posting days" }),
  holidays: list(date()).meta({ label: "Holidays" }).optional(),
  transit: amount("days", { within: [0, 14] })
    .meta({ label: "Days in the post" })
    .optional(),
  buffer: amount("days", { within: [0, 60] })
    .meta({ label: "Days to spare" })
    .optional(),
  light: everyone(lightByMonth())
    .meta({
      label: "Light outdoors",
      help: "What falls outdoors on a day of each month, measured or published for the place. A month that is not known is left out.",
    })
    .optional(),
  power: amount("¤/kWh", { within: [0, 1000], like: "0.30 ¤/kWh" })
    .meta({ label: "A kilowatt-hour costs" })
    .optional(),
  sources: sources(),
});
export type Book = z.output<typeof Book>;

/** A lot of seed: where it came from, what was done to it, and how it came up. */
export const Lot = sensible(
  group({
    crop: reference("crops").meta({ label: "Crop" }),
    cultivar: text().meta({ label: "Cultivar" }).optional(),
    bought: date().meta({ label: "Bought" }),
    packed: count({ within: [1990, 2200] })
      .meta({ label: "Packed in the year" })
      .optional(),
    treated: flag().meta({ label: "Treated" }),
    treatment: text().meta({ label: "Treated with" }).optional(),
    food: flag().meta({ label: "Supplied for food use" }),
    tests: mapping(date(), sensible(group({ up: count(), sown: count({ within: [1, 100_000] }) }), upAtMostSown))
      .meta({ label: "Germination tests, by date" })
      .optional(),
    usable: amount("%", { within: [0, 100], usual: [50, 100] })
      .meta({ label: "Usable of those up" })
      .optional(),
    store: text().meta({ label: "Kept" }).optional(),
    rights: nobody(text()).meta({ label: "Licence", reader: "nobody" }).optional(),
    supplier: nobody(text()).meta({ label: "Supplier", reader: "nobody" }).optional(),
    price: nobody(amount("¤", { within: [0, 1_000_000] }))
      .meta({ label: "Price", reader: "nobody" })
      .optional(),
    notes: notes().optional(),
    sources: sources(),
  }),
  packedBeforeBought,
);
export type Lot = z.output<typeof Lot>;

const BatchFields = group({
  code: everyone(text()).meta({ label: "Code", reader: "everyone", example: "code: BAS-27081-01-K" }),
  crop: reference("crops").meta({ label: "Crop" }),
  lot: reference("lots").meta({ label: "Seed lot" }),
  order: reference("orders").meta({ label: "For the order" }).optional(),
  sown: everyone(date()).meta({ label: "Sown", reader: "everyone" }),
  cells: count({ within: [1, 1_000_000] }).meta({ label: "Cells" }),
  seeds: count({ within: [1, 200] })
    .meta({ label: "Seeds a cell" })
    .optional(),
  tray: reference("gear", "tray").meta({ label: "Tray" }).optional(),
  counted: group({ on: date(), up: count() }).meta({ label: "Counted" }).optional(),
  moves: mapping(keyWord(stageNames, "stage-unknown"), group({ on: date(), plants: count() }))
    .meta({ label: "Moved" })
    .optional(),
  losses: mapping(text(), count()).meta({ label: "Lost, by reason" }).optional(),
  cuts: mapping(date(), amount("g", { within: [0, 1_000_000] }))
    .meta({ label: "Cut, by date" })
    .optional(),
  closed: date().meta({ label: "Closed" }).optional(),
  by: initials().optional(),
  sources: sources(),
});

/** Trays of one crop sown on one day, and all that happened to them. */
export const Batch = sensible(BatchFields, lived);
export type Batch = z.output<typeof Batch>;

/** A promise: what, how much, for when. It carries a reference, never a person. */
export const Order = sensible(
  group({
    reference: nobody(text()).meta({
      label: "Reference",
      reader: "nobody",
      help: "A number or a word of your own, never a name.",
    }),
    kind: word(["cut", "bunch", "pot", "plug", "trial"]).meta({ label: "Kind" }),
    crop: reference("crops").meta({ label: "Crop" }),
    amount: shaped(
      /^\d+(?:\.\d+)? ?[^\d\s.,].*$/,
      "a number and what it counts, such as `2400 g/week`, `40 bunches` or `120 plugs`",
    ).meta({ label: "How much", example: "amount: 2400 g/week" }),
    from: date().meta({ label: "From" }),
    to: date().meta({ label: "To" }).optional(),
    days: list(word(weekdays)).meta({ label: "On" }).optional(),
    lot: reference("lots").meta({ label: "Seed lot" }).optional(),
    terms: nobody(text()).meta({ label: "Terms", reader: "nobody" }).optional(),
    price: nobody(amount("¤", { within: [0, 1_000_000] }))
      .meta({ label: "Price", reader: "nobody" })
      .optional(),
    notes: notes().optional(),
    sources: sources(),
  }),
  ({ from, to }, complain) => notBefore({ path: ["from"], day: from }, { path: ["to"], day: to }, complain),
);
export type Order = z.output<typeof Order>;

/** Light outdoors by month. */
function lightByMonth() {
  const light = (label: string) =>
    amount("mol/m²/day", { within: [0, 70], usual: [0, 65] })
      .meta({ label })
      .optional();
  return group({
    jan: light("Light outdoors, January"),
    feb: light("Light outdoors, February"),
    mar: light("Light outdoors, March"),
    apr: light("Light outdoors, April"),
    may: light("Light outdoors, May"),
    jun: light("Light outdoors, June"),
    jul: light("Light outdoors, July"),
    aug: light("Light outdoors, August"),
    sep: light("Light outdoors, September"),
    oct: light("Light outdoors, October"),
    nov: light("Light outdoors, November"),
    dec: light("Light outdoors, December"),
  });
}

function packedBeforeBought(
  { packed, bought }: { readonly packed?: number | undefined; readonly bought?: PlainDate | undefined },
  complain: Complain,
): void {
  if (packed === undefined || bought === undefined || packed <= Number(bought.slice(0, 4))) return;
  complain(["packed"], {
    rule: "date-order",
    written: String(packed),
    expected: `${bought.slice(0, 4)} or earlier`,
    note: "Seed is packed before it is bought.",
  });
}

function upAtMostSown(
  { up, sown }: { readonly up?: number | undefined; readonly sown?: number | undefined },
  complain: Complain,
): void {
  if (up === undefined || sown === undefined || up <= sown) return;
  complain(["up"], {
    rule: "count-over",
    written: String(up),
    expected: `at most the ${sown} sown`,
    note: "Count seeds that came up, not shoots: one cluster of chard gives several.",
  });
}

/** Asks that a batch's days and numbers follow one another: nothing before it is sown, never more plants than before. */
function lived(batch: Readable<z.output<typeof BatchFields>>, complain: Complain): void {
  const { cells, moves = {}, losses = {}, cuts = {} } = batch;
  const sown: Day = { path: ["sown"], day: batch.sown };
  notBefore(sown, { path: ["counted", "on"], day: batch.counted?.on }, complain);
  let earlier = sown;
  let before: { readonly path: string; readonly plants: number | undefined } = { path: "cells", plants: cells };
  for (const stage of stageNames) {
    const move = moves[stage];
    if (!move) continue;
    const moved: Day = { path: ["moves", stage, "on"], day: move.on };
    notBefore(earlier, moved, complain);
    if (move.on !== undefined) earlier = moved;
    if (move.plants === undefined) continue;
    if (before.plants !== undefined && move.plants > before.plants)
      complain(["moves", stage, "plants"], {
        rule: "count-over",
        written: String(move.plants),
        expected: `at most the ${before.plants} of \`${before.path}\``,
        note: "A batch does not gain plants on its way.",
      });
    before = { path: `moves.${stage}.plants`, plants: move.plants };
  }
  for (const day of Object.keys(cuts)) notBefore(sown, { path: ["cuts", day], day, on: "key" }, complain);
  notBefore(earlier, { path: ["closed"], day: batch.closed }, complain);
  const lost = Object.values(losses).reduce<number>((sum, number) => sum + (number ?? 0), 0);
  if (cells !== undefined && lost > cells)
    complain(["losses"], {
      rule: "count-over",
      written: `${lost} lost`,
      expected: `at most the ${cells} of \`cells\``,
      note: "A cell is lost once, whatever the reason.",
    });
}
