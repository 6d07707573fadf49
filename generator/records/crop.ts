import type { z } from "zod";
import { months } from "./amounts.ts";
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
import { form, spacing, tower } from "./crop/form.ts";
import { cutting, keeping, posting } from "./crop/harvest.ts";
import { ec, growth, light, ph, plug, roots, warmth } from "./crop/needs.ts";
import { micro, seed } from "./crop/seed.ts";
import { stages } from "./crop/stages.ts";
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
import { ascending } from "./sense.ts";

export { type StageName, stageNames } from "./crop/stages.ts";

/** Groups that must be declared where food is sold in many places; the local list decides. */
const allergenGroups = ["celery", "mustard", "sesame", "lupin", "soya", "gluten", "nuts", "peanuts"] as const;

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
  ec: ec.optional(),
  ph: ph.optional(),
  roots: roots.optional(),
  light: light.optional(),
  air: warmth.optional(),
  plug: plug.optional(),
  growth: growth.optional(),
  seed: seed.optional(),
  stages,
  cutting: cutting.optional(),
  form: form.optional(),
  tower: tower.optional(),
  pollination: everyone(word(["none", "insect", "shake"]))
    .meta({ label: "Pollination" })
    .optional(),
  keeping: keeping.optional(),
  posting: posting.optional(),
  spacing: spacing.optional(),
  season: group({ sow: everyone(months()).meta({ label: "Sow outdoors (50° north)", figure: true }) }).optional(),
  micro: micro.optional(),
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

/** A sign that something is wrong, and the first thing to do about it. */
function trouble() {
  return group({
    sign: text().meta({ label: "Sign" }),
    first: text().meta({ label: "First do" }),
    cause: text().meta({ label: "Because" }).optional(),
    kind: word(["pest", "disease", "disorder", "quality"]).optional(),
  });
}

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
