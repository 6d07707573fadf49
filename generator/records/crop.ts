import type { z } from "zod";
import { amount, count, months, span } from "./amounts.ts";
import {
  audience,
  borrowed,
  elsewhere,
  findings,
  history,
  initials,
  notes,
  provisional,
  reviewed,
  sources,
} from "./common.ts";
import {
  type Complain,
  everyone,
  group,
  list,
  mapping,
  type Readable,
  reference,
  sensible,
  shaped,
  text,
  word,
} from "./fields.ts";
import { ascending, contained, inOrder } from "./sense.ts";

/** Stages in the only order that a plant can pass through them. */
export const stageNames = ["germination", "tray", "mister", "hardening", "tower"] as const;
export type StageName = (typeof stageNames)[number];

/** Groups that must be declared where food is sold in many places; the local list decides. */
export const allergenGroups = ["celery", "mustard", "sesame", "lupin", "soya", "gluten", "nuts", "peanuts"] as const;

const ec = () => span("mS/cm", { within: [0, 10], usual: [0.3, 3.5] });
const ph = () => span("pH", { within: [0, 14], usual: [4.5, 7.5] });
const air = () => span("°C", { within: [-30, 60], usual: [-12, 45] });
const days = () => span("days", { within: [0, 400] });

/** How long a stage takes, and what one sees when it is done. Summer and winter stand apart where they differ. */
const stage = () =>
  sensible(
    group({
      days: days().meta({ label: "Days" }).optional(),
      summer: days().meta({ label: "Days in summer" }).optional(),
      winter: days().meta({ label: "Days in winter" }).optional(),
      ready: everyone(text()).meta({ label: "Ready when you see", reader: "everyone" }).optional(),
    }),
    (_stage, complain, written) => {
      if ("days" in written || "summer" in written || "winter" in written) return;
      complain(["days"], {
        rule: "field-missing",
        expected: "`days`, or `summer` and `winter`",
        note: "Write how long the stage takes, such as `days: 10–14 days`.",
      });
    },
  );

/** A sign that something is wrong, and the first thing to do about it. */
const trouble = () =>
  group({
    sign: text().meta({ label: "Sign" }),
    first: text().meta({ label: "First do" }),
    cause: text().meta({ label: "Because" }).optional(),
    kind: word(["pest", "disease", "disorder", "quality"]).optional(),
  });

const Fields = group({
  name: everyone(text()).meta({ label: "Name", example: "name: Sweet basil" }),
  also: everyone(list(text())).meta({ label: "Also called" }).optional(),
  search: everyone(list(text()))
    .meta({ label: "Also found by", help: "Misspellings and words that people type, which no page prints." })
    .optional(),
  botanical: everyone(text()).meta({ label: "Botanical name" }),
  family: everyone(text()).meta({ label: "Family" }).optional(),
  eppo: everyone(text()).meta({ label: "EPPO code", help: "The plant's code in plant-health papers." }).optional(),
  kind: everyone(word(["leaf", "herb", "fruit", "flower", "micro"])).meta({ label: "Kind" }),
  code: everyone(shaped(/^[A-Z]{3}[0-9]{0,2}$/, "three capitals and up to two digits, such as `BAS` or `LET02`")).meta({
    label: "Tray code",
    help: "Three capitals and up to two digits; it starts every tray label.",
    example: "code: BAS",
  }),
  audience: audience().optional(),
  status: word(["trial", "tried", "trusted", "retired"]).meta({ label: "Status" }),
  reviewed: reviewed(),
  by: initials().optional(),
  eaten: everyone(list(text())).meta({ label: "Parts eaten" }),
  uneaten: everyone(list(text())).meta({ label: "Parts not eaten" }).optional(),
  lookalikes: everyone(list(text())).meta({ label: "Look-alikes" }).optional(),
  allergens: everyone(list(word(allergenGroups)))
    .meta({ label: "Allergens" })
    .optional(),
  ec: sensible(
    group({
      preferred: ec().meta({ label: "EC" }).optional(),
      tolerated: ec().meta({ label: "EC tolerated" }).optional(),
      seedling: span("mS/cm", { within: [0, 10], usual: [0, 3.5] })
        .meta({ label: "EC for seedlings" })
        .optional(),
      fruiting: ec().meta({ label: "EC in fruit" }).optional(),
    }),
    contained,
  ).optional(),
  ph: sensible(
    group({
      preferred: ph().meta({ label: "pH" }),
      tolerated: ph().meta({ label: "pH tolerated" }).optional(),
    }),
    contained,
  ).optional(),
  roots: span("°C", { within: [-1, 45], usual: [10, 28] })
    .meta({ label: "Water at the roots" })
    .optional(),
  light: group({
    need: amount("mol/m²/day", { within: [0, 70], usual: [4, 40] }).meta({ label: "Light needed" }),
    best: span("mol/m²/day", { within: [0, 70], usual: [4, 45] })
      .meta({ label: "Light aimed at" })
      .optional(),
    most: amount("mol/m²/day", { within: [0, 70], usual: [6, 60] })
      .meta({ label: "Most light" })
      .optional(),
    hours: span("h", { within: [0, 24], usual: [8, 18] })
      .meta({ label: "Hours of light" })
      .optional(),
    longest: amount("h", { within: [0, 24], usual: [10, 20] })
      .meta({ label: "Longest day under lamps" })
      .optional(),
    response: text().meta({ label: "What day length does" }).optional(),
    plain: everyone(text()).meta({ label: "Light in plain words" }).optional(),
  }).optional(),
  air: group({
    day: everyone(air()).meta({ label: "Air by day" }).optional(),
    night: everyone(air()).meta({ label: "Air by night" }).optional(),
    lowest: everyone(amount("°C", { within: [-30, 60], usual: [-15, 20] }))
      .meta({ label: "Not below" })
      .optional(),
  }).optional(),
  plug: group({
    days: days().meta({ label: "From sowing to plug" }).optional(),
    day: air().meta({ label: "Plugs by day" }).optional(),
    night: air().meta({ label: "Plugs by night" }).optional(),
  }).optional(),
  growth: group({
    best: air().meta({ label: "Grows best at" }).optional(),
    least: air().meta({ label: "Hardly grows below" }).optional(),
    most: air().meta({ label: "Suffers above" }).optional(),
    base: air().meta({ label: "Base temperature" }).optional(),
  }).optional(),
  seed: group({
    temperature: everyone(span("°C", { within: [-5, 50], usual: [4, 38] }))
      .meta({ label: "Sow at" })
      .optional(),
    coldest: span("°C", { within: [-5, 50] })
      .meta({ label: "Coldest for germination" })
      .optional(),
    hottest: span("°C", { within: [-5, 60] })
      .meta({ label: "Hottest for germination" })
      .optional(),
    days: span("days", { within: [0, 120], usual: [1, 30] })
      .meta({ label: "Days to come up" })
      .optional(),
    count: count({ within: [1, 120] })
      .meta({ label: "Count on day" })
      .optional(),
    light: everyone(text()).meta({ label: "Light or dark" }).optional(),
    depth: everyone(span("mm", { within: [0, 100], usual: [0, 40] }))
      .meta({ label: "Depth" })
      .optional(),
    cell: span("", { within: [1, 200] })
      .meta({ label: "Seeds a cell" })
      .optional(),
    tray: reference("gear", "tray").meta({ label: "Sown in" }).optional(),
    gram: span("", { within: [0.1, 100_000] })
      .meta({ label: "Seeds in a gram" })
      .optional(),
    standard: amount("%", { within: [0, 100], usual: [40, 100] })
      .meta({ label: "Germination standard" })
      .optional(),
    usable: amount("%", { within: [0, 100], usual: [50, 100] })
      .meta({ label: "Usable of those up" })
      .optional(),
    before: text().meta({ label: "Before sowing" }).optional(),
    test: group({
      temperature: span("°C", { within: [-5, 50] })
        .meta({ label: "Test temperature" })
        .optional(),
      first: count({ within: [1, 120] })
        .meta({ label: "First count, day", figure: true })
        .optional(),
      final: count({ within: [1, 120] })
        .meta({ label: "Final count, day", figure: true })
        .optional(),
    }).optional(),
  }).optional(),
  stages: sensible(
    group({
      germination: stage().meta({ label: "Germination" }).optional(),
      tray: stage().meta({ label: "Flood tray" }).optional(),
      mister: stage().meta({ label: "Mister" }).optional(),
      hardening: stage().meta({ label: "Hardening off" }).optional(),
      tower: stage().meta({ label: "Tower" }).optional(),
    }),
    (stages, complain) =>
      inOrder(
        Object.keys(stages),
        stageNames,
        "Stages stand in the order in which a plant passes through them.",
        complain,
      ),
  ),
  cutting: group({
    style: text().meta({ label: "How it is cut" }).optional(),
    first: days().meta({ label: "From planting to the first cut" }).optional(),
    how: everyone(text()).meta({ label: "Cut" }).optional(),
    height: span("cm", { within: [0, 200] })
      .meta({ label: "Cut height" })
      .optional(),
    each: span("g", { within: [0, 20_000] })
      .meta({ label: "Each cut gives" })
      .optional(),
    bunch: amount("g", { within: [1, 2000] })
      .meta({ label: "A bunch weighs" })
      .optional(),
    pieces: span("/week", { within: [0, 1000] })
      .meta({ label: "Flowers or fruits a port" })
      .optional(),
    regrowth: span("days", { within: [0, 200] })
      .meta({ label: "Days between cuts" })
      .optional(),
    window: span("days", { within: [0, 400] })
      .meta({ label: "Cut for" })
      .optional(),
    most: count({ within: [1, 200] })
      .meta({ label: "Most cuts", figure: true })
      .optional(),
    picks: amount("/week", { within: [0, 14] })
      .meta({ label: "Picks" })
      .optional(),
    yield: text().meta({ label: "Yield" }).optional(),
  }).optional(),
  form: group({
    height: span("cm", { within: [0, 400] })
      .meta({ label: "Height" })
      .optional(),
    spread: everyone(span("cm", { within: [0, 400] }))
      .meta({ label: "Spread" })
      .optional(),
    trail: amount("cm", { within: [0, 300] })
      .meta({ label: "Trails" })
      .optional(),
    mass: amount("kg", { within: [0.001, 10], usual: [0.005, 4] })
      .meta({ label: "Weight in the port" })
      .optional(),
    roots: count({ within: [1, 3] })
      .meta({ label: "Root class", figure: true })
      .optional(),
    moisture: amount("", { within: [0, 1] })
      .meta({ label: "Moisture liked" })
      .optional(),
    habit: text().meta({ label: "Habit" }).optional(),
    support: text().meta({ label: "Support" }).optional(),
  }).optional(),
  tower: group({
    plants: span("", { within: [1, 30] })
      .meta({ label: "Plants a port" })
      .optional(),
    empty: span("", { within: [0, 10] })
      .meta({ label: "Ports left empty beside it" })
      .optional(),
    zone: word(["top", "upper", "middle", "lower", "base", "any", "none"]).meta({ label: "Place on the tower" }),
    why: text().meta({ label: "Why there" }),
  }).optional(),
  pollination: everyone(word(["none", "insect", "shake"]))
    .meta({ label: "Pollination" })
    .optional(),
  keeping: group({
    temperature: span("°C", { within: [-5, 30], usual: [0, 16] })
      .meta({ label: "Store at" })
      .optional(),
    shelf: span("days", { within: [0, 365] })
      .meta({ label: "Keeps" })
      .optional(),
    how: text().meta({ label: "Handling" }).optional(),
  }).optional(),
  posting: group({
    tolerance: amount("days", { within: [0, 60], usual: [1, 14] }).meta({ label: "Days in the dark" }),
  }).optional(),
  spacing: everyone(span("cm", { within: [1, 400] }))
    .meta({ label: "Spacing outdoors" })
    .optional(),
  season: group({ sow: everyone(months()).meta({ label: "Sow outdoors (50° north)", figure: true }) }).optional(),
  micro: group({
    sow: span("", { within: [1, 5000] })
      .meta({ label: "Seed, g/m²" })
      .optional(),
    density: span("/cm²", { within: [0.05, 60] })
      .meta({ label: "Seeds" })
      .optional(),
    soak: span("h", { within: [0, 48] })
      .meta({ label: "Soak" })
      .optional(),
    dark: span("days", { within: [0, 20] })
      .meta({ label: "In the dark" })
      .optional(),
    days: span("days", { within: [1, 60] })
      .meta({ label: "Days to cut" })
      .optional(),
    yield: span("", { within: [1, 20_000] })
      .meta({ label: "Yield, g/m²" })
      .optional(),
    height: span("mm", { within: [1, 300] })
      .meta({ label: "Cut height" })
      .optional(),
  }).optional(),
  trouble: everyone(mapping(text(), trouble())).meta({ label: "Trouble" }).optional(),
  cautions: everyone(mapping(text(), text())).meta({ label: "Cautions" }).optional(),
  replaces: reference("crops").optional(),
  borrowed: borrowed().optional(),
  elsewhere: elsewhere().optional(),
  findings: findings().optional(),
  notes: notes().optional(),
  provisional: provisional().optional(),
  history: history().optional(),
  sources: sources(),
});

export const Crop = sensible(Fields, uncrossed);
export type Crop = z.output<typeof Crop>;

/** Asks that of two figures, the one that must be the smaller is. */
function uncrossed({ light, growth, seed, air }: Readable<z.output<typeof Fields>>, complain: Complain): void {
  ascending(
    [
      ["light.need", light?.need, "light.most", light?.most],
      ["growth.least", growth?.least?.high, "growth.best", growth?.best?.low],
      ["growth.best", growth?.best?.high, "growth.most", growth?.most?.high],
      ["seed.coldest", seed?.coldest?.low, "seed.temperature", seed?.temperature?.low],
      ["seed.temperature", seed?.temperature?.high, "seed.hottest", seed?.hottest?.high],
      ["seed.test.first", seed?.test?.first, "seed.test.final", seed?.test?.final],
      ["air.lowest", air?.lowest, "air.night", air?.night?.low],
      ["air.lowest", air?.lowest, "air.day", air?.day?.low],
    ],
    complain,
  );
}
