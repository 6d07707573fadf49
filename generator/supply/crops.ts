import type { Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { asks, type Demand, readAmount } from "../plan/demands.ts";
import { legs, readyDay, sowingDays, type Way } from "../plan/passage.ts";
import { seeding } from "../plan/sowing.ts";
import type { GrownCrop, Yard } from "../plan/yard.ts";
import { dateOf, dayNumber, daysBetween, type PlainDate } from "../science/calendar.ts";
import { orderOf, trayFor, yardOf } from "./plan.ts";
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
      const { yard } = yardOf(library);
      const from = order && take(order, "from");
      const demand = order && demandOf(library, order);
      const need = demand ? dateOf(demand.need) : from;
      const plug = order?.fields.kind === "plug" || order?.fields.kind === "pot";
      return {
        need,
        stages: crop && stagesFor(take, crop, { yard, need, way: plug ? "bench" : "tower" }),
        sowDays: take(book, "sow"),
        holidays: take(book, "holidays"),
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
      const lot = given.lots?.[0] ?? (order && lotFor(library, order));
      const crop = library.crops.get(lot?.fields.crop ?? order?.fields.crop ?? "");
      const { yard } = yardOf(library);
      const known = lot && yard.lots.get(lot.id);
      const grown = crop && yard.crops.get(crop.id);
      const tray = given.gear ? gearOf(given.gear, "tray")[0] : crop && trayFor(take, crop, library);
      return {
        need: order && needOf(take, order, library),
        germinationPercent:
          (lot && germination(take, lot)) ?? inPercent(known?.germination) ?? (crop && take(crop, "seed.standard")),
        usablePercent:
          (lot && take(lot, "usable")) ??
          (crop && take(crop, "seed.usable")) ??
          inPercent(known?.usable ?? grown?.usable),
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
      const amount = orders?.[0] && readAmount(take(orders[0], "amount"));
      return {
        gramsPerWeek: amount?.weekly && amount.unit === "g" ? amount.number : undefined,
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
        pots: orders?.[0] && needOf(take, orders[0], library),
        usablePercent: (lot && take(lot, "usable")) ?? take(crop, "seed.usable"),
        seedsPerCm2: density && (density.low + density.high) / 2,
        thousandSeedGrams: gram && 2000 / (gram.low + gram.high),
        seedFoodUse: lot && take(lot, "food") && !take(lot, "treated"),
        allergens: take(crop, "allergens"),
      };
    },
  },
  "label-code": { needs: ["batches"], ask: (take, { batches }) => ({ check: take(batches![0]!, "code") }) },
};

/** What an order asks for first, before any batch in hand is looked at; undefined when it cannot be worked out. */
export function demandOf(library: Library, order: PageOf<"orders">): Demand | undefined {
  const { yard } = yardOf(library);
  const crop = yard.crops.get(order.fields.crop);
  const asked = crop && asks(orderOf(order), crop, yard);
  return asked && "demands" in asked ? asked.demands[0] : undefined;
}

/** The lot that an order is sown from: the one that it names, or the one that the plan takes. */
export function lotFor(library: Library, order: PageOf<"orders">): PageOf<"lots"> | undefined {
  if (order.fields.lot !== undefined) return library.lots.get(order.fields.lot);
  const { yard } = yardOf(library);
  const demand = demandOf(library, order);
  const found = demand && seeding(demand, yard.crops.get(demand.crop)!, yard, undefined);
  const id = found && "lot" in found ? found.lot : undefined;
  return id === undefined ? undefined : library.lots.get(id);
}

/** How many ports, plugs or pots an order asks for, with what is lost in trimming or packed besides. */
function needOf(take: Take, order: PageOf<"orders">, library: Library): number | undefined {
  const demand = demandOf(library, order);
  const crop = library.crops.get(order.fields.crop)!;
  const unit = readAmount(take(order, "amount"))?.unit;
  if (unit === "pieces") take(crop, "cutting.pieces");
  if (unit === "bunches") take(crop, "cutting.bunch");
  if (demand?.of === "ports" && unit !== "pieces")
    for (const path of ["each", "regrowth"] as const) take(crop, `cutting.${path}`);
  return demand?.units;
}

/**
 * The stages that a crop goes through to be cut, or for plugs and pots to leave the bench, with the days that they take when
 * it is sown on the last day that is in time; or on the first that there is, when none is.
 */
function stagesFor(
  take: Take,
  crop: PageOf<"crops">,
  { yard, need, way }: { yard: Yard; need: PlainDate | undefined; way: Way },
) {
  take(crop, "stages");
  const grown = yard.crops.get(crop.id)!;
  if (grown.micro) take(crop, "micro.days");
  if (grown.stages.length === 0) return undefined;
  const sown = lastSowing(grown, way, need, yard);
  return legs(grown, way, sown, yard.latitude).map(({ stage, from, until }) => ({ name: stage, days: until - from }));
}

function lastSowing(grown: GrownCrop, way: Way, need: PlainDate | undefined, yard: Yard): number {
  const maySow = sowingDays(yard);
  const today = dayNumber(yard.today);
  if (need !== undefined)
    for (let day = dayNumber(need) - yard.buffer; day >= today; day--)
      if (maySow(day) && readyDay(grown, way, day, yard.latitude) + yard.buffer <= dayNumber(need)) return day;
  let first = today;
  while (!maySow(first) && first < today + 400) first++;
  return first;
}

/** All tests of a lot together, in per cent. */
function germination(take: Take, lot: PageOf<"lots">): number | undefined {
  const tests = Object.values(take(lot, "tests") ?? {});
  const sown = tests.reduce((sum, test) => sum + test.sown, 0);
  return sown === 0 ? undefined : (100 * tests.reduce((sum, test) => sum + test.up, 0)) / sown;
}

function inPercent(share: number | undefined): number | undefined {
  return share === undefined ? undefined : 100 * share;
}

function cropOf({ crops, orders }: Given, library: Library): PageOf<"crops"> | undefined {
  return crops?.[0] ?? (orders?.[0] && library.crops.get(orders[0].fields.crop));
}
