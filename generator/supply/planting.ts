import type { Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { type GearPage, type Given, gearOf, pair, type Supply } from "./supply.ts";

/** Towers with what stands on them, as the question of where each plant goes wants them. */
export const plantingSupplies: Readonly<Record<string, Supply>> = {
  "tower-layout": {
    needs: ["gear"],
    ask(take, given, library) {
      const tower = gearOf(given.gear!, "tower")[0];
      const crops = tower && cropsFor(take, tower, given, library);
      return {
        crops,
        pins: tower && crops && pinsOf(take, tower, crops),
        tower: tower && columnOf(take, tower, library),
      };
    },
  },
  "tower-port-score": {
    needs: ["crops"],
    may: ["gear"],
    ask(take, { crops, gear }, library) {
      const tower = gearOf(gear ?? [], "tower")[0] ?? gearOf(library.gear.values(), "tower")[0];
      return { crop: plantOf(take, crops![0]!), tower: tower && columnOf(take, tower, library) };
    },
  },
  "gust-check": {
    needs: ["gear"],
    ask(take, given, library) {
      const tower = gearOf(given.gear!, "tower")[0];
      const masses =
        tower && cropsFor(take, tower, given, library).map(({ count, massKg }) => count * (massKg ?? Number.NaN));
      const plants = masses?.reduce((sum, mass) => sum + mass, 0);
      return {
        gust: tower && take(tower, "gust"),
        baseLitres: tower && take(tower, "base"),
        baseCapacity: tower && take(tower, "base"),
        baseRadius: tower && take(tower, "radius"),
        plantsKg: Number.isFinite(plants) ? plants : undefined,
      };
    },
  },
};

/**
 * The crops of a tower, each with its share of plants: of the open batches that stand on towers of its line, or else of
 * those on their way there. Towers that one record speaks of share evenly.
 */
function cropsFor(take: Take, tower: GearPage<"tower">, { crops }: Given, library: Library) {
  const line = library.gear.get(take(tower, "line")) as GearPage<"line"> | undefined;
  const drinking = crops?.map(({ id }) => id) ?? (line ? take(line, "crops") : []);
  const open = [...library.batches.values()].filter(
    ({ fields }) => fields.closed === undefined && drinking.includes(fields.crop),
  );
  const standing = open.filter(({ fields }) => fields.moves?.tower !== undefined);
  const counted = new Map<string, number>();
  for (const batch of standing.length > 0 ? standing : open)
    counted.set(batch.fields.crop, (counted.get(batch.fields.crop) ?? 0) + plantsOf(take, batch));
  const chosen = [...counted].flatMap(([id, plants]) => {
    const crop = library.crops.get(id);
    return crop && crop.fields.tower?.zone !== "none" ? [{ crop, plants }] : [];
  });
  const banded = chosen.every(({ crop }) => crop.fields.ec?.preferred && crop.fields.ph?.preferred);
  const towers = take(tower, "count") ?? 1;
  return chosen.map(({ crop, plants }) => ({
    ...plantOf(take, crop),
    count: Math.max(1, Math.floor(plants / towers)),
    ...(banded ? { ec: pair(take(crop, "ec.preferred")), ph: pair(take(crop, "ph.preferred")) } : {}),
  }));
}

/** A crop as it stands in a port when mature. */
function plantOf(take: Take, crop: PageOf<"crops">) {
  return {
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
  };
}

/** A tower's column, where it stands. */
function columnOf(take: Take, tower: GearPage<"tower">, library: Library) {
  return {
    tiers: take(tower, "tiers"),
    bottomHeightM: take(tower, "bottom"),
    pitchCm: take(tower, "pitch"),
    latitude: take(library.book, "latitude"),
  };
}

/** What is pinned to a port of this tower, of the crops that go on it. */
function pinsOf(take: Take, tower: GearPage<"tower">, crops: readonly { readonly id: string }[]) {
  const pins = Object.entries(take(tower, "pins") ?? {}).filter(([, crop]) => crops.some(({ id }) => id === crop));
  if (pins.length === 0) return undefined;
  return pins.map(([port, crop]) => ({ crop, tier: Number.parseInt(port, 10), face: port.slice(-1) }));
}

/** How many plants of a batch were there when last counted. */
function plantsOf(take: Take, batch: PageOf<"batches">): number {
  const moves = Object.values(take(batch, "moves") ?? {}).toSorted((a, b) => (a.on < b.on ? -1 : 1));
  return moves.at(-1)?.plants ?? take(batch, "cells");
}
