import { dayNumber, type PlainDate } from "../science/calendar.ts";
import { wholeUp } from "../science/counting.ts";
import { cellChance, safeCells } from "../science/seed.ts";
import type { Demand } from "./demands.ts";
import { type Day, type Leg, legs, readyDay, sowingDays } from "./passage.ts";
import type { Hold } from "./places.ts";
import type { GrownCrop, SeedLot, Yard } from "./yard.ts";

/** One way of meeting a demand: sown on this day, on this line. */
export interface Choice {
  readonly sown: Day;
  readonly ready: Day;
  readonly legs: readonly Leg[];
  readonly line: string | undefined;
  readonly holds: readonly Hold[];
  /** Days that it is ready before it is needed. */
  readonly waits: number;
  /** Days that it is ready after it is needed, for a standing order that begins late. */
  readonly late: number;
}

/** What is sown for a demand, whichever day is chosen. */
export interface Seeding {
  readonly lot: string | undefined;
  /** The lot was not named by the order: it is the newest that may be used. */
  readonly guessed: boolean;
  /** Share that comes up: of the lot's own tests, or the record's standard for want of one. */
  readonly germination: number;
  readonly tested: boolean;
  readonly usable: number;
  readonly cells: number;
  readonly trays: number | undefined;
  readonly seeds: number;
}

/** Why nothing can be sown for a demand. */
export type Unsown =
  | { readonly why: "no-line" }
  | { readonly why: "no-stages" }
  | { readonly why: "not-for-food"; readonly lot: string }
  | { readonly why: "untested" }
  | { readonly why: "weak-lot"; readonly lot: string | undefined; readonly chance: number };

/** How sure a sowing is to be enough. */
const sure = 0.95;

/** Under this share of usable plugs a lot is changed and not sown thicker, as in the sum of cells to sow. */
const weakest = 0.4;

/** Nothing is ready longer than this before it is needed: on the tower, and as a plug or a pot. Common practice. */
const longestWait = { tower: 14, bench: 7 } as const;

/** So many sowing days are weighed for each demand: the last ones in time, and of the late ones those that are least late. */
const most = { inTime: 4, late: 2 } as const;

/** How much is sown so that it is enough 19 times in 20; of micro herbs, so that it is enough on the average. */
export function seeding(demand: Demand, crop: GrownCrop, yard: Yard, named: string | undefined): Seeding | Unsown {
  if (crop.stages.length === 0) return { why: "no-stages" };
  if (demand.way === "tower" && !yard.places.lines.some(({ crops }) => crops.includes(crop.id)))
    return { why: "no-line" };
  const lot = lotFor(crop, yard, named);
  if (lot && crop.micro && !lot.food) return { why: "not-for-food", lot: lot.id };
  const usable = lot?.usable ?? crop.usable ?? 1;
  const found = { lot: lot?.id, guessed: named === undefined && lot !== undefined, usable };
  if (crop.micro) {
    const pots = wholeUp(demand.units / usable);
    return { ...found, germination: 1, tested: false, cells: pots, trays: traysFor(pots, crop), seeds: pots };
  }
  const germination = lot?.germination ?? crop.standard;
  if (germination === undefined) return { why: "untested" };
  const chance = cellChance({ germination, usable, seeds: 1 });
  if (chance <= weakest) return { why: "weak-lot", lot: lot?.id, chance };
  const cells = cellsFor(demand.units, chance);
  return {
    ...found,
    germination,
    tested: lot?.germination !== undefined,
    cells,
    trays: traysFor(cells, crop),
    seeds: cells * crop.seedsPerCell,
  };
}

/** The earliest day on which a new sowing could be ready, buffer included; undefined when there is no day to sow. */
export function earliestReady(demand: Demand, crop: GrownCrop, yard: Yard): Day | undefined {
  const today = dayNumber(yard.today);
  const maySow = sowingDays(yard);
  let earliest: Day | undefined;
  for (let sown = today; sown < today + 60; sown++) {
    if (!maySow(sown)) continue;
    const ready = readyDay(crop, demand.way, sown, yard.latitude) + yard.buffer;
    if (earliest === undefined || ready < earliest) earliest = ready;
  }
  return earliest;
}

/** Every way of sowing for a demand in time, the latest day first; and for a standing one, late by up to `lateness` days. */
export function choicesFor(
  demand: Demand,
  crop: GrownCrop,
  yard: Yard,
  { cells, trays, germination }: Seeding,
  lateness = demand.standing && demand.of === "ports" ? 14 : 0,
): readonly Choice[] {
  const today = dayNumber(yard.today);
  const maySow = sowingDays(yard);
  const lines = demand.way === "tower" ? yard.places.lines.filter(({ crops }) => crops.includes(crop.id)) : [undefined];
  const longest = crop.stages.reduce(
    (sum, stage) => sum + Math.max(stage.summer, stage.winter) * slowest(stage.slower),
    0,
  );
  const inTime: Timed[] = [];
  const late: Timed[] = [];
  const earliest = Math.max(today, Math.floor(demand.need - longest - yard.buffer - longestWait[demand.way]));
  for (let sown = demand.need + lateness; sown >= earliest && inTime.length < most.inTime; sown--) {
    if (!maySow(sown)) continue;
    const way = legs(crop, demand.way, sown, yard.latitude);
    const ready = way.at(-1)!.until;
    const waits = demand.need - ready - yard.buffer;
    if (waits > longestWait[demand.way] || waits < -lateness || (waits < 0 && ready >= demand.until)) continue;
    (waits < 0 ? late : inTime).push({ sown, ready, legs: way, waits: Math.max(0, waits), late: Math.max(0, -waits) });
  }
  const plugs = Math.ceil(cells * germination);
  return [...late.slice(-most.late), ...inTime].flatMap((timed) =>
    lines.map((line) => ({
      ...timed,
      line: line?.id,
      holds: roomFor(demand, crop, timed.legs, { trays: trays ?? 1, plugs, line: line?.id }),
    })),
  );
}

type Timed = Omit<Choice, "line" | "holds">;

/** The room that a sowing takes: trays to the end of the tray, plugs on the mister, ports from planting until it is over. */
function roomFor(
  demand: Demand,
  crop: GrownCrop,
  way: readonly Leg[],
  { trays, plugs, line }: { trays: number; plugs: number; line: string | undefined },
): readonly Hold[] {
  const lastLeg = way.at(-1);
  return way.flatMap((leg): readonly Hold[] => {
    const until = leg === lastLeg ? Math.max(leg.until, demand.until) : leg.until;
    if (until <= leg.from) return [];
    if (leg.stage === "germination" || leg.stage === "tray")
      return [{ place: "bench", amount: trays, from: leg.from, until }];
    if (leg.stage === "mister") return [{ place: "mister", amount: plugs, from: leg.from, until }];
    if (leg.stage === "tower" && line !== undefined)
      return [{ place: line, amount: demand.units * (1 + crop.empty), from: leg.from, until }];
    return [];
  });
}

/** The lot that an order names, or the newest of the crop; of micro herbs the newest that is fit for food, if there is one. */
function lotFor(crop: GrownCrop, yard: Yard, named: string | undefined): SeedLot | undefined {
  const own = named === undefined ? undefined : yard.lots.get(named);
  if (own) return own;
  const lots = [...yard.lots.values()]
    .filter((lot) => lot.crop === crop.id)
    .toSorted((a, b) => newestFirst(a.bought, b.bought) || (a.id < b.id ? -1 : 1));
  return (
    (crop.micro ? lots.find(({ food }) => food) : lots.find(({ germination }) => germination !== undefined)) ?? lots[0]
  );
}

function traysFor(cells: number, { cellsPerTray }: GrownCrop): number | undefined {
  return cellsPerTray === undefined ? undefined : wholeUp(cells / cellsPerTray);
}

function cellsFor(need: number, chance: number): number {
  const key = `${need} ${chance}`;
  let cells = known.get(key);
  if (cells === undefined) {
    cells = safeCells({ need, chance, confidence: sure });
    known.set(key, cells);
  }
  return cells;
}

function newestFirst(a: PlainDate, b: PlainDate): number {
  return a < b ? 1 : a > b ? -1 : 0;
}

function slowest(factors: readonly number[] | undefined): number {
  return factors ? Math.max(...factors) : 1;
}

const known = new Map<string, number>();
