import { asked, type Lean, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import type { Search } from "../plan/choose.ts";
import { type Plan, plan } from "../plan/plan.ts";
import type { GrowingStage, GrownCrop, Promised, SeedLot, StageName, Standing, Yard } from "../plan/yard.ts";
import { stageNames } from "../records/crop.ts";
import { addDays, type PlainDate } from "../science/calendar.ts";
import { germinationCounted, usableMoved } from "./raised.ts";
import { towerLight } from "./seasons.ts";
import { gearOf } from "./supply.ts";

/** How the yard is looked at: from which day, for how long, and with which orders besides those recorded. */
export interface Outlook {
  readonly today: PlainDate;
  readonly weeks: number;
  readonly besides: readonly Promised[];
}

/** The yard's plan, and what of the records each crop's part of it leans on. */
export interface YardPlan {
  readonly plan: Plan;
  readonly leans: ReadonlyMap<string, readonly Lean[]>;
}

/** The plan looks half a year ahead. */
export const weeksAhead = 26;

/** The plan of the library's yard. From the day of the edition when no other is named. */
export function planOf(library: Library, search: Search | undefined, outlook: Partial<Outlook> = {}): YardPlan {
  const { yard, leans } = yardOf(library, outlook);
  return { plan: plan(yard, search), leans };
}

/** The yard as the plan reads it. A batch counts as it stood on the day, an order from the day on which it begins. */
export function yardOf(
  library: Library,
  { today = library.book.fields.edition, weeks = weeksAhead, besides = [] }: Partial<Outlook> = {},
): { readonly yard: Yard; readonly leans: ReadonlyMap<string, readonly Lean[]> } {
  const { book } = library;
  const { crops, leans } = cropsOf(library, today);
  return {
    leans,
    yard: {
      today,
      until: addDays(today, Math.round(7 * weeks) - 1),
      latitude: book.fields.latitude,
      sowDays: book.fields.sow,
      postDays: book.fields.post,
      holidays: book.fields.holidays ?? [],
      buffer: book.fields.buffer ?? 0,
      transit: book.fields.transit ?? usualTransit,
      crops,
      lots: new Map([...library.lots.values()].map((lot) => [lot.id, lotOf(lot, library, today)])),
      orders: [...[...library.orders.values()].map(orderOf), ...besides],
      batches: [...library.batches.values()].flatMap((batch) => standing(batch, library, today)),
      places: placesOf(library),
    },
  };
}

interface GrownCrops {
  readonly crops: ReadonlyMap<string, GrownCrop>;
  readonly leans: ReadonlyMap<string, readonly Lean[]>;
}

/** Every crop as the plan reads it on a day, and what that leans on. Read once, as the sums of every order ask for it. */
function cropsOf(library: Library, today: PlainDate): GrownCrops {
  const days = known.get(library) ?? new Map<PlainDate, GrownCrops>();
  known.set(library, days);
  const found = days.get(today);
  if (found) return found;
  const leans = new Map<string, readonly Lean[]>();
  const crops = new Map<string, GrownCrop>();
  const light = towerLight(library);
  for (const crop of library.crops.values()) {
    let read: GrownCrop | undefined;
    const { from } = asked(library, (take) => {
      read = grown(take, crop, library, today);
      return {};
    });
    crops.set(crop.id, slowed(read!, light.slower.get(crop.id)));
    leans.set(crop.id, [...from, ...(light.leans.get(crop.id) ?? [])]);
  }
  days.set(today, { crops, leans });
  return { crops, leans };
}

const known = new WeakMap<Library, Map<PlainDate, GrownCrops>>();

/** Days in the post where the book names none. Common practice. */
const usualTransit = 2;

function grown(take: Take, crop: PageOf<"crops">, library: Library, today: PlainDate): GrownCrop {
  const micro = crop.fields.kind === "micro";
  const tray = trayFor(take, crop, library);
  const cut = take(crop, "cutting");
  const yields = take(crop, "micro.yield");
  const stages = stagesOf(take, crop);
  return {
    id: crop.id,
    micro,
    stages,
    gramsPerCut: cut?.each?.low,
    daysBetweenCuts: cut?.regrowth?.high,
    cutWindow: cut?.window?.low,
    cutWindowMost: cut?.window?.high,
    once: cut?.most === 1 || (cut !== undefined && cut.regrowth === undefined),
    gramsPerBunch: cut?.bunch,
    piecesPerWeek: cut?.pieces?.low,
    gramsPerPot: yields && tray?.fields.area !== undefined ? (yields.low * tray.fields.area) / 10_000 : undefined,
    empty: take(crop, "tower.empty")?.low ?? 0,
    usable: share(take(crop, "seed.usable")) ?? usableMoved(library, { crop: crop.id }, today)?.share,
    standard: share(take(crop, "seed.standard")),
    seedsPerCell: take(crop, "seed.cell")?.low ?? 1,
    cellsPerTray: tray?.fields.cells,
    tray: tray?.id,
    countDay: take(crop, "seed.count"),
    tolerance: take(crop, "posting.tolerance"),
  };
}

/** The tray that the record names; or for micro herbs the first tray of pots, for all else the first tray of plugs. */
export function trayFor(take: Take, crop: PageOf<"crops">, library: Library) {
  const trays = gearOf(library.gear.values(), "tray");
  const named = take(crop, "seed.tray");
  const micro = crop.fields.kind === "micro";
  return trays.find(({ id }) => id === named) ?? trays.find(({ fields }) => (fields.area !== undefined) === micro);
}

/** A crop that stands longer on the tower in months in which light is short. */
function slowed(crop: GrownCrop, slower: readonly number[] | undefined): GrownCrop {
  if (!slower) return crop;
  return { ...crop, stages: crop.stages.map((stage) => (stage.name === "tower" ? { ...stage, slower } : stage)) };
}

/** A range of days counts at its longer end. Where a stage has days for one half of the year only, they count for both. */
function stagesOf(take: Take, crop: PageOf<"crops">): readonly GrowingStage[] {
  const stages = take(crop, "stages");
  const found = stageNames.flatMap((name) => {
    const { days, summer, winter } = stages[name] ?? {};
    const one = summer ?? days ?? winter;
    const other = winter ?? days ?? summer;
    return one && other ? [{ name, summer: Math.ceil(one.high), winter: Math.ceil(other.high) }] : [];
  });
  const pot = take(crop, "micro.days");
  if (found.length > 0 || pot === undefined) return found;
  return [{ name: "tray", summer: Math.ceil(pot.high), winter: Math.ceil(pot.high) }];
}

/**
 * What comes up is what all tests of the lot say together; of a lot without a test, what its batches were counted at. What is
 * fit to use is what its record says; where neither that nor the crop's record says anything, what was planted out of those up.
 */
function lotOf({ id, fields }: PageOf<"lots">, library: Library, today: PlainDate): SeedLot {
  const tests = Object.values(fields.tests ?? {});
  const sown = tests.reduce((sum, test) => sum + test.sown, 0);
  const counted = sown === 0 ? germinationCounted(library, id, today) : undefined;
  const recorded = fields.usable ?? library.crops.get(fields.crop)?.fields.seed?.usable;
  return {
    id,
    crop: fields.crop,
    bought: fields.bought,
    germination: sown === 0 ? counted?.share : tests.reduce((sum, test) => sum + test.up, 0) / sown,
    ...(sown > 0 ? { germinationFrom: "tests" } : counted ? { germinationFrom: "batches" } : {}),
    usable:
      share(fields.usable) ?? (recorded === undefined ? usableMoved(library, { lot: id }, today)?.share : undefined),
    food: fields.food && !fields.treated,
  };
}

/** An order as the plan reads it. */
export function orderOf({ id, fields }: PageOf<"orders">): Promised {
  const { kind, crop, amount, from, to, days, lot } = fields;
  return { id, kind, crop, written: amount, from, to, days, lot };
}

/** An open batch where it was last seen; none that is closed or is not yet sown. */
function standing({ id, fields }: PageOf<"batches">, library: Library, today: PlainDate): readonly Standing[] {
  if (fields.sown > today || (fields.closed !== undefined && fields.closed <= today)) return [];
  const moves = Object.entries(fields.moves ?? {}) as [
    StageName,
    { readonly on: PlainDate; readonly plants: number },
  ][];
  const last = moves
    .filter(([, { on }]) => on <= today)
    .toSorted(([, a], [, b]) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
    .at(-1);
  const crop = library.crops.get(fields.crop)!;
  const tray = fields.tray === undefined ? undefined : library.gear.get(fields.tray);
  const cuts = Object.keys(fields.cuts ?? {}).filter((day) => day <= today);
  return [
    {
      id,
      code: fields.code,
      crop: fields.crop,
      order: fields.order,
      sown: fields.sown,
      cells: fields.cells,
      tray: fields.tray,
      cellsPerTray: tray?.fields.kind === "tray" ? tray.fields.cells : undefined,
      stage: last?.[0] ?? firstStage(crop),
      since: last?.[1].on ?? fields.sown,
      plants: last?.[1].plants ?? fields.counted?.up ?? fields.cells,
      firstCut: cuts.toSorted()[0],
    },
  ];
}

function firstStage(crop: PageOf<"crops">): StageName {
  return stageNames.find((name) => crop.fields.stages[name] !== undefined) ?? "tray";
}

/** Room on the benches, on the misters and in the ports of each line; undefined where the yard has recorded none. */
function placesOf(library: Library): Yard["places"] {
  const gear = [...library.gear.values()];
  const benches = gearOf(gear, "bench");
  const misters = gearOf(gear, "mister");
  const towers = gearOf(gear, "tower");
  return {
    bench: benches.length === 0 ? undefined : benches.reduce((sum, { fields }) => sum + fields.trays, 0),
    mister: misters.length === 0 ? undefined : misters.reduce((sum, { fields }) => sum + fields.places, 0),
    lines: gearOf(gear, "line").map(({ id, fields }) => ({
      id,
      crops: fields.crops,
      ports: towers
        .filter((tower) => tower.fields.line === id)
        .reduce((sum, tower) => sum + (tower.fields.count ?? 1) * tower.fields.tiers * tower.fields.faces, 0),
    })),
  };
}

function share(percent: number | undefined): number | undefined {
  return percent === undefined ? undefined : percent / 100;
}
