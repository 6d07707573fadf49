import { z } from "zod";
import { amount, count, date, months, span } from "./amounts.ts";
import { audience, initials, notes, sources } from "./common.ts";
import { flag, group, keyShaped, list, mapping, nobody, reference, sensible, text, word } from "./fields.ts";
import { ascending } from "./sense.ts";

/** What every piece of gear may say. */
const every = {
  name: text().meta({ label: "Name" }),
  audience: audience().optional(),
  place: text().meta({ label: "Stands" }).optional(),
  isolate: text().meta({ label: "Shut off at" }).optional(),
  serviced: date().meta({ label: "Serviced" }).optional(),
  due: date().meta({ label: "Service due" }).optional(),
  serial: nobody(text()).meta({ label: "Serial", reader: "nobody" }).optional(),
  cost: nobody(amount("¤", { within: [0, 10_000_000] }))
    .meta({ label: "Cost", reader: "nobody" })
    .optional(),
  supplier: nobody(text()).meta({ label: "Supplier", reader: "nobody" }).optional(),
  notes: notes().optional(),
  sources: sources(),
};

const litres = () => amount("L", { within: [0, 100_000] });
const flow = () => amount("L/h", { within: [0, 100_000] });

/** One feed line, with the band that its set-point is held in and the crops that drink from it. */
const Line = group({
  kind: z.literal("line"),
  ...every,
  feed: reference("feeds").meta({ label: "Feed" }),
  injector: reference("gear", "injector").meta({ label: "Injector" }),
  ec: amount("mS/cm", { within: [0, 10], usual: [0.3, 3.5] }).meta({ label: "Set-point" }),
  band: span("mS/cm", { within: [0, 10], usual: [0.3, 3.5] })
    .meta({ label: "EC held between" })
    .optional(),
  ph: span("pH", { within: [0, 14], usual: [4.5, 7.5] }).meta({ label: "pH held at" }),
  crops: list(reference("crops")).meta({ label: "Crops on the line", refers: "crops" }),
  litres: amount("L/day", { within: [0, 100_000] })
    .meta({ label: "Drunk a day" })
    .optional(),
});

const TowerFields = group({
  kind: z.literal("tower"),
  ...every,
  line: reference("gear", "line").meta({ label: "Line" }),
  count: count({ within: [1, 1000] })
    .meta({ label: "How many" })
    .optional(),
  tiers: count({ within: [2, 30] }).meta({ label: "Tiers" }),
  faces: count({ within: [1, 8] }).meta({ label: "Faces" }),
  bottom: amount("m", { within: [0, 3] }).meta({ label: "Lowest tier" }),
  pitch: amount("cm", { within: [1, 100] }).meta({ label: "Between tiers" }),
  fed: word(["top", "bottom", "mist"]).meta({ label: "Fed from" }),
  base: litres().meta({ label: "Base holds" }),
  radius: amount("m", { within: [0.05, 2] })
    .meta({ label: "Base radius" })
    .optional(),
  turned: flag().meta({ label: "Turned a quarter weekly" }).optional(),
  gust: amount("m/s", { within: [0, 60], usual: [5, 40] })
    .meta({ label: "Strongest gust where it stands" })
    .optional(),
  pins: mapping(keyShaped(/^[1-9]\d?[NESW]$/, "a tier and a face, such as `3S`"), reference("crops"))
    .meta({ label: "Pinned, by port", help: "What stays in its port whatever else is planted." })
    .optional(),
  wilt: text().meta({ label: "Time to wilt with the pump off" }).optional(),
  drinks: amount("L/day", { within: [0, 1000] })
    .meta({ label: "Drinks" })
    .optional(),
});

const Tower = sensible(TowerFields, ({ tiers, pins = {} }, complain) => {
  for (const port of Object.keys(pins)) {
    if (tiers === undefined || Number.parseInt(port, 10) <= tiers) continue;
    complain(["pins", port], {
      rule: "count-over",
      on: "key",
      written: port,
      expected: `a tier of 1 to ${tiers}`,
      note: "Tier 1 is the lowest.",
    });
  }
});

const Tray = group({
  kind: z.literal("tray"),
  ...every,
  cells: count({ within: [1, 1000] }).meta({ label: "Cells" }),
  area: amount("cm²", { within: [0.1, 2000] })
    .meta({ label: "Area of a cell or pot" })
    .optional(),
  count: count({ within: [0, 100_000] })
    .meta({ label: "How many" })
    .optional(),
});

const Bench = group({
  kind: z.literal("bench"),
  ...every,
  trays: count({ within: [0, 10_000] }).meta({ label: "Tray places" }),
  flood: text().meta({ label: "Flooded" }).optional(),
});

const Mister = group({
  kind: z.literal("mister"),
  ...every,
  places: count({ within: [0, 100_000] }).meta({ label: "Plug places" }),
  on: amount("s", { within: [0, 24] })
    .meta({ label: "Mist for" })
    .optional(),
  off: amount("min", { within: [0, 24] })
    .meta({ label: "Rest for" })
    .optional(),
  wilt: text().meta({ label: "Time to wilt with the pump off" }).optional(),
});

const Injector = sensible(
  group({
    kind: z.literal("injector"),
    ...every,
    least: amount("%", { within: [0.001, 10], like: "0.2 %" }).meta({ label: "Lowest setting" }),
    most: amount("%", { within: [0.001, 10], like: "2 %" }).meta({ label: "Highest setting" }),
    heads: count({ within: [1, 4] }).meta({ label: "Heads" }),
    means: word(["in", "to"]).meta({ label: "Ratio means" }),
    slowest: flow().meta({ label: "Least flow" }),
    fastest: flow().meta({ label: "Most flow" }).optional(),
  }),
  ({ least, most, slowest, fastest }, complain) =>
    ascending(
      [
        ["least", least, "most", most],
        ["slowest", slowest, "fastest", fastest],
      ],
      complain,
    ),
);

const Lamp = group({
  kind: z.literal("lamp"),
  ...every,
  count: count({ within: [1, 10_000] }).meta({ label: "How many" }),
  watts: amount("W", { within: [0, 10_000] }).meta({ label: "Power each" }),
  efficacy: amount("µmol/J", { within: [0, 5] })
    .meta({ label: "Efficacy" })
    .optional(),
  readings: list(amount("µmol/m²/s", { within: [0, 2500], usual: [20, 1200] })).meta({
    label: "Measured at the ports",
  }),
  measured: date().meta({ label: "Measured on" }),
  hours: amount("h", { within: [0, 24], usual: [8, 18] }).meta({ label: "On for" }),
  months: months("Months are named, the first three letters at least: the yard's own, wherever it is.")
    .meta({ label: "Towers stand under them", like: "Nov–Mar" })
    .optional(),
  lines: list(reference("gear", "line"))
    .meta({ label: "Lines under them", refers: "gear", help: "All lines when none is named." })
    .optional(),
});

const Meter = group({
  kind: z.literal("meter"),
  ...every,
  measures: word(["EC", "pH", "light", "temperature", "humidity"]).meta({ label: "Measures" }),
  scale: word(["mS/cm", "uS/cm", "dS/m", "CF", "ppm500", "ppm640", "ppm700"]).meta({ label: "Scale" }).optional(),
  compensated: flag().meta({ label: "Corrects for temperature" }).optional(),
  calibrated: date().meta({ label: "Calibrated" }).optional(),
  reading: group({
    on: date(),
    where: text(),
    shows: count({ within: [0, 20_000] }).meta({ label: "Shows", figure: true }),
    temperature: amount("°C", { within: [-1, 45] })
      .meta({ label: "Water at" })
      .optional(),
    by: initials().optional(),
  }).optional(),
});

const Scale = group({
  kind: z.literal("scale"),
  ...every,
  division: amount("g", { within: [0.0001, 1000] }).meta({ label: "Smallest division" }),
  most: amount("kg", { within: [0.001, 10_000] }).meta({ label: "Weighs up to" }),
});

const Tub = group({
  kind: z.literal("tub"),
  ...every,
  letter: word(["A", "B", "C"]).meta({ label: "Letter" }),
  holds: litres().meta({ label: "Holds" }),
  recipe: reference("feeds").meta({ label: "Recipe inside" }).optional(),
  made: date().meta({ label: "Made" }).optional(),
  left: litres().meta({ label: "Left in it" }).optional(),
  looked: date().meta({ label: "Looked at" }).optional(),
});

const Room = group({
  kind: z.literal("room"),
  ...every,
  area: amount("m²", { within: [0, 100_000] })
    .meta({ label: "Area" })
    .optional(),
  coldest: amount("°C", { within: [-30, 60] })
    .meta({ label: "Coldest" })
    .optional(),
  dryer: amount("L/day", { within: [0, 10_000] })
    .meta({ label: "Dehumidifier rated" })
    .optional(),
});

/** A piece of the yard's gear, of the kind that its `kind` says. No maker is named. */
export const Gear = z.discriminatedUnion("kind", [
  Line,
  Tower,
  Tray,
  Bench,
  Mister,
  Injector,
  Lamp,
  Meter,
  Scale,
  Tub,
  Room,
]);
export type Gear = z.output<typeof Gear>;
export type GearKind = Gear["kind"];
export type GearOf<Kind extends GearKind> = Extract<Gear, { readonly kind: Kind }>;
