import type { GrownCrop, Promised, SeedLot, Standing, Yard } from "../../generator/plan/yard.ts";

/** Basil as a kitchen wants it: 5 + 16 + 9 + 21 days, and 22.9 g a port and week. */
export const basil: GrownCrop = {
  id: "basil",
  micro: false,
  stages: [
    { name: "germination", summer: 5, winter: 5 },
    { name: "tray", summer: 16, winter: 16 },
    { name: "mister", summer: 9, winter: 9 },
    { name: "tower", summer: 21, winter: 21 },
  ],
  gramsPerCut: 32,
  daysBetweenCuts: 9,
  cutWindow: 45,
  cutWindowMost: 45,
  once: false,
  gramsPerBunch: undefined,
  piecesPerWeek: undefined,
  gramsPerPot: undefined,
  empty: 0,
  usable: 0.95,
  standard: undefined,
  seedsPerCell: 1,
  cellsPerTray: 104,
  tray: "tray-104",
  countDay: 5,
  tolerance: 4,
};

export const lot: SeedLot = {
  id: "basil-1",
  crop: "basil",
  bought: "2027-01-05",
  germination: 0.72,
  usable: 0.95,
  food: true,
};

/** A yard that sows on Mondays and Thursdays, with room for everything unless a test says less. */
export function yard(changes: Partial<Yard> = {}): Yard {
  return {
    today: "2027-03-01",
    until: "2027-08-29",
    latitude: 52.2,
    sowDays: ["Mon", "Thu"],
    postDays: ["Mon", "Tue", "Wed"],
    holidays: [],
    buffer: 0,
    transit: 2,
    crops: new Map([["basil", basil]]),
    lots: new Map([["basil-1", lot]]),
    orders: [],
    batches: [],
    places: { bench: 1000, mister: 100_000, lines: [{ id: "main", crops: ["basil"], ports: 10_000 }] },
    ...changes,
  };
}

export function order(changes: Partial<Promised> = {}): Promised {
  return {
    id: "kitchen",
    kind: "cut",
    crop: "basil",
    written: "1200 g",
    from: "2027-05-14",
    to: undefined,
    days: undefined,
    lot: undefined,
    ...changes,
  };
}

export function batch(changes: Partial<Standing> = {}): Standing {
  return {
    id: "bas-27060-01",
    code: "BAS-27060-01-0",
    crop: "basil",
    order: undefined,
    sown: "2027-03-01",
    cells: 104,
    tray: "tray-104",
    cellsPerTray: 104,
    stage: "mister",
    since: "2027-03-22",
    plants: 60,
    firstCut: undefined,
    ...changes,
  };
}
