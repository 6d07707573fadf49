import { z } from "zod";
import { weekdays } from "../science/calendar.ts";
import { initials, notes, sources } from "./common.ts";
import {
  amount,
  complain,
  count,
  date,
  everyone,
  flag,
  group,
  list,
  mapping,
  nobody,
  reference,
  text,
  word,
} from "./fields.ts";

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
  edition: everyone(date()).meta({
    label: "Edition of",
    help: "The day that this edition speaks of. Change it when you print.",
  }),
  sow: list(word(weekdays)).meta({ label: "Sowing days" }),
  post: list(word(weekdays)).meta({ label: "Posting days" }),
  holidays: list(date()).meta({ label: "Holidays" }).optional(),
  buffer: amount("days", { within: [0, 60] })
    .meta({ label: "Days to spare" })
    .optional(),
  sources: sources(),
});
export type Book = z.output<typeof Book>;

/** A lot of seed: where it came from, what was done to it, and how it came up. */
export const Lot = group({
  crop: reference("crops").meta({ label: "Crop" }),
  cultivar: text().meta({ label: "Cultivar" }).optional(),
  bought: date().meta({ label: "Bought" }),
  packed: count({ within: [1990, 2200] })
    .meta({ label: "Packed in the year" })
    .optional(),
  treated: flag().meta({ label: "Treated" }),
  treatment: text().meta({ label: "Treated with" }).optional(),
  food: flag().meta({ label: "Supplied for food use" }),
  tests: mapping(text(), group({ up: count(), sown: count({ within: [1, 100_000] }) }).superRefine(upAtMostSown))
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
});
export type Lot = z.output<typeof Lot>;

/** Trays of one crop sown on one day, and all that happened to them. */
export const Batch = group({
  code: everyone(text()).meta({ label: "Code", reader: "everyone", example: "code: BAS-27081-01-K" }),
  crop: reference("crops").meta({ label: "Crop" }),
  lot: reference("lots").meta({ label: "Seed lot" }),
  order: reference("orders").meta({ label: "For the order" }).optional(),
  sown: everyone(date()).meta({ label: "Sown", reader: "everyone" }),
  cells: count({ within: [1, 1_000_000] }).meta({ label: "Cells" }),
  seeds: count({ within: [1, 200] })
    .meta({ label: "Seeds a cell" })
    .optional(),
  tray: reference("gear").meta({ label: "Tray" }).optional(),
  counted: group({ on: date(), up: count() }).meta({ label: "Counted" }).optional(),
  moves: mapping(text(), group({ on: date(), plants: count() }))
    .meta({ label: "Moved" })
    .optional(),
  losses: mapping(text(), count()).meta({ label: "Lost, by reason" }).optional(),
  cuts: mapping(text(), amount("g", { within: [0, 1_000_000] }))
    .meta({ label: "Cut, by date" })
    .optional(),
  closed: date().meta({ label: "Closed" }).optional(),
  by: initials().optional(),
  sources: sources(),
});
export type Batch = z.output<typeof Batch>;

/** A promise: what, how much, for when. It carries a reference, never a person. */
export const Order = group({
  reference: nobody(text()).meta({
    label: "Reference",
    reader: "nobody",
    help: "A number or a word of your own, never a name.",
  }),
  kind: word(["cut", "bunch", "pot", "plug", "trial"]).meta({ label: "Kind" }),
  crop: reference("crops").meta({ label: "Crop" }),
  amount: text().meta({ label: "How much", example: "amount: 2400 g/week" }),
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
}).superRefine(({ from, to }, context) => {
  if (to !== undefined && to < from)
    complain(context, ["to"], { rule: "date-order", written: to, expected: `${from} or later` });
});
export type Order = z.output<typeof Order>;

/** A question put to plants, and what they answered. */
export const Trial = group({
  question: text().meta({ label: "Question" }),
  crop: reference("crops").meta({ label: "Crop" }),
  worthwhile: text().meta({
    label: "Worthwhile difference",
    help: "Agreed before sowing: the least that would change your mind.",
  }),
  measure: text().meta({ label: "Measured" }),
  through: word(["plant", "feed"]).meta({
    label: "Treatment reaches them through",
    help: "`feed` for anything in the water: then the unit is a tower fed apart.",
  }),
  isolated: count({ within: [0, 1000] })
    .meta({ label: "Towers fed apart" })
    .optional(),
  started: date().meta({ label: "Started" }),
  stop: date().meta({ label: "Stops on" }),
  blocks: mapping(text(), mapping(text(), list(z.union([z.number(), z.literal("died")]))))
    .meta({ label: "Measured, by block and treatment" })
    .optional(),
  incidents: list(text()).meta({ label: "What went wrong" }).optional(),
  signed: nobody(text()).meta({ label: "Edible parts signed by", reader: "nobody" }).optional(),
  decision: text().meta({ label: "Decision" }).optional(),
  sources: sources(),
}).superRefine(({ started, stop }, context) => {
  if (stop < started)
    complain(context, ["stop"], { rule: "date-order", written: stop, expected: `${started} or later` });
});
export type Trial = z.output<typeof Trial>;

function upAtMostSown({ up, sown }: { readonly up: number; readonly sown: number }, context: z.RefinementCtx): void {
  if (up <= sown) return;
  complain(context, ["up"], {
    rule: "count-over",
    written: String(up),
    expected: `at most the ${sown} sown`,
    note: "Count cells with a shoot, not shoots: one seed of chard gives several.",
  });
}
