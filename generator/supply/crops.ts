import type { Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { stageNames } from "../records/crop.ts";
import { readSpan } from "../records/quantity.ts";
import { daysBetween } from "../science/calendar.ts";
import { type Given, gearOf, type Supply } from "./supply.ts";

/** Crops, seed, orders and trials, as the questions about them want them. Today is the day of the edition. */
export const cropSupplies: Readonly<Record<string, Supply>> = {
  "sow-date": {
    needs: [],
    may: ["orders", "crops"],
    ask(take, given, library) {
      const order = given.orders?.[0];
      const crop = cropOf(given, library);
      const { book } = library;
      return {
        need: order && take(order, "from"),
        stages: crop && stagesOf(take, crop, order?.fields.kind),
        sowDays: take(book, "sow"),
        bufferDays: take(book, "buffer"),
        today: take(book, "edition"),
        batches: [...library.batches.values()]
          .filter(
            ({ fields }) =>
              fields.crop === crop?.id && fields.closed === undefined && fields.sown <= book.fields.edition,
          )
          .map((batch) => ({
            code: take(batch, "code"),
            ageDays: daysBetween(take(batch, "sown"), book.fields.edition),
          })),
      };
    },
  },
  "cells-to-sow": {
    needs: [],
    may: ["orders", "lots", "gear"],
    ask(take, given, library) {
      const order = given.orders?.[0];
      const lot = given.lots?.[0] ?? (order?.fields.lot === undefined ? undefined : library.lots.get(order.fields.lot));
      const crop = lot && library.crops.get(lot.fields.crop);
      const tray = gearOf(given.gear ?? library.gear.values(), "tray")[0];
      return {
        need: order && countOf(take(order, "amount")),
        germinationPercent: lot && germination(take, lot),
        usablePercent: (lot && take(lot, "usable")) ?? (crop && take(crop, "seed.usable")),
        cellsPerTray: tray && take(tray, "cells"),
      };
    },
  },
  "germination-test": {
    needs: ["lots"],
    ask(take, { lots }, library) {
      const lot = lots![0]!;
      const crop = library.crops.get(lot.fields.crop);
      return { tests: Object.values(take(lot, "tests") ?? {}), standardPercent: crop && take(crop, "seed.standard") };
    },
  },
  "dispatch-day": {
    needs: ["crops"],
    ask: (take, { crops }, { book }) => ({
      postDays: take(book, "post"),
      holidays: take(book, "holidays"),
      toleranceDays: take(crops![0]!, "posting.tolerance"),
    }),
  },
  "use-by": {
    needs: ["crops"],
    ask(take, { crops }) {
      const shelf = take(crops![0]!, "keeping.shelf");
      const hold = take(crops![0]!, "keeping.temperature");
      return { shelfDays: shelf && Math.floor(shelf.low), holdLowC: hold?.low, holdHighC: hold?.high };
    },
  },
  "ports-for-order": {
    needs: ["crops"],
    may: ["orders"],
    ask(take, { crops, orders }) {
      const each = take(crops![0]!, "cutting.each");
      const regrowth = take(crops![0]!, "cutting.regrowth");
      const asked = orders?.[0] && readSpan(take(orders[0], "amount"), "g/week");
      return {
        gramsPerWeek: asked && "value" in asked ? asked.value.low : undefined,
        gramsPerCut: each?.low,
        cutIntervalDays: regrowth?.high,
      };
    },
  },
  "micro-pots": {
    needs: ["crops"],
    may: ["lots", "orders", "gear"],
    ask(take, { crops, lots, orders, gear }, library) {
      const crop = crops![0]!;
      const lot = lots?.[0];
      const gram = take(crop, "seed.gram");
      const density = take(crop, "micro.density");
      const tray = gearOf(gear ?? library.gear.values(), "tray").find(({ fields }) => fields.area !== undefined);
      return {
        areaCm2: tray && take(tray, "area"),
        potsPerTray: tray && take(tray, "cells"),
        pots: orders?.[0] && countOf(take(orders[0], "amount")),
        usablePercent: (lot && take(lot, "usable")) ?? take(crop, "seed.usable"),
        seedsPerCm2: density && (density.low + density.high) / 2,
        thousandSeedGrams: gram && 2000 / (gram.low + gram.high),
        seedFoodUse: lot && take(lot, "food") && !take(lot, "treated"),
        allergens: take(crop, "allergens"),
      };
    },
  },
  "label-code": { needs: ["batches"], ask: (take, { batches }) => ({ check: take(batches![0]!, "code") }) },
  "tower-port-score": {
    needs: ["crops"],
    may: ["gear"],
    ask(take, { crops, gear }, library) {
      const crop = crops![0]!;
      const tower = gearOf(gear ?? [], "tower")[0] ?? gearOf(library.gear.values(), "tower")[0];
      return {
        crop: {
          id: crop.id,
          massKg: take(crop, "form.mass"),
          heightCm: take(crop, "form.height")?.high,
          trailCm: take(crop, "form.trail"),
          dliNeed: take(crop, "light.need"),
          dliMax: take(crop, "light.most"),
          moisture: take(crop, "form.moisture"),
          root: take(crop, "form.roots"),
          picksPerWeek: take(crop, "cutting.picks"),
          pollination: take(crop, "pollination"),
        },
        tower: tower && {
          tiers: take(tower, "tiers"),
          bottomHeightM: take(tower, "bottom"),
          pitchCm: take(tower, "pitch"),
          latitude: take(library.book, "latitude"),
        },
      };
    },
  },
};

/** The stages that a crop goes through to be cut, or for plugs to be posted; a range counts at its longer end. */
function stagesOf(take: Take, crop: PageOf<"crops">, kind: PageOf<"orders">["fields"]["kind"] | undefined) {
  const stages = take(crop, "stages");
  const wanted = kind === "plug" ? stageNames.filter((name) => name !== "tower") : stageNames;
  return wanted.flatMap((name) => {
    const days = stages[name]?.days ?? stages[name]?.summer;
    return days ? [{ name, days: Math.round(days.high) }] : [];
  });
}

/** All tests of a lot together, in per cent. */
function germination(take: Take, lot: PageOf<"lots">): number | undefined {
  const tests = Object.values(take(lot, "tests") ?? {});
  const sown = tests.reduce((sum, test) => sum + test.sown, 0);
  return sown === 0 ? undefined : (100 * tests.reduce((sum, test) => sum + test.up, 0)) / sown;
}

/** The whole number in `120 plugs` or `140 pots`; undefined for an amount by weight. */
function countOf(amount: string): number | undefined {
  const match = /^(\d+)(?: *(?:plugs?|pots?|plants?|bunches|bunch))?$/.exec(amount.trim());
  return match ? Number(match[1]) : undefined;
}

function cropOf({ crops, orders }: Given, library: Library): PageOf<"crops"> | undefined {
  return crops?.[0] ?? (orders?.[0] && library.crops.get(orders[0].fields.crop));
}
