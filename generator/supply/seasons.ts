import { asked, type Lean, sum, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { toldLight } from "../plan/told-supplies.ts";
import { type Basis, weakest } from "../provenance.ts";
import { daysInMonth, yearOf } from "../science/calendar.ts";
import { dailyLightIntegral, hoursFor } from "../science/light.ts";
import { lightFactor } from "../science/season.ts";
import type { In, Mol } from "../science/units.ts";
import type { Caution } from "../worksheets/worksheet.ts";
import { type OutdoorMonth, outdoorLean, outdoorMonths } from "./daylight.ts";
import { type GearPage, gearOf } from "./supply.ts";
import { yardSupplies } from "./yard.ts";

/** The year of the edition, month by month from January: daylight, lamps, and what light each crop of the lines has. */
export interface Seasons {
  readonly year: number;
  readonly latitude: In<"°">;
  readonly currency: string;
  readonly power: In<"¤/kWh"> | undefined;
  readonly months: readonly OutdoorMonth[];
  readonly lamps: readonly LampYear[];
  readonly crops: readonly CropYear[];
  /** What light does to the plan, in a sentence. */
  readonly said: string;
  readonly cautions: readonly Caution[];
}

/** A lamp record, and what it burns in the months in which towers stand under it. */
export interface LampYear {
  readonly lamp: string;
  readonly name: string;
  readonly lines: readonly string[];
  readonly hours: In<"h">;
  readonly load: In<"kW">;
  /** Mean of the readings over its hours. */
  readonly light: Mol;
  readonly lowest: Mol;
  readonly months: readonly LampMonth[];
  readonly basis: Basis;
}

export interface LampMonth {
  readonly month: number;
  readonly now: Burning;
  /** For the crop that wants the most hours, within what it bears; undefined where none has a recorded need. */
  readonly wanted: (Burning & { readonly crop: string }) | undefined;
}

/** Lamps on for so many hours a day: what that takes in the month. */
export interface Burning {
  readonly hours: In<"h">;
  readonly energy: In<"kWh">;
  /** Undefined where no price of power is recorded. */
  readonly cost: In<"¤"> | undefined;
}

/** One crop of one line through the year. */
export interface CropYear {
  readonly line: string;
  readonly crop: string;
  readonly need: Mol | undefined;
  /** Longest day under lamps that it bears; 18 h where its record has none, common practice. */
  readonly longest: In<"h">;
  /** Days on the tower by the record; undefined where it has none, or has them by season and so has the light in them. */
  readonly days: In<"days"> | undefined;
  readonly months: readonly CropMonth[];
  readonly basis: Basis;
}

export interface CropMonth {
  readonly month: number;
  readonly under: "lamps" | "outdoors";
  /** Of several lamp records the one that gives least. */
  readonly lamp: string | undefined;
  /** Undefined outdoors where the book has no figure. */
  readonly light: Mol | undefined;
  /** How much less than its need; 0 for none, undefined where light or need is not recorded. */
  readonly wanting: Mol | undefined;
  /** What lamps would take to give what is wanting, or under lamps the whole need; undefined where there is nothing to say. */
  readonly lamps: (Burning & { readonly needed: In<"h">; readonly wanting: Mol }) | undefined;
  /** How many times as long it stands on the tower, 1 to 2; undefined where it is not known or is in the record's days already. */
  readonly slower: number | undefined;
}

/** Daylight, lamps and the light of each crop, through the year of the edition. */
export function seasonsOf(library: Library): Seasons {
  const { latitude, edition, power, currency = "¤" } = library.book.fields;
  const year = yearOf(edition);
  const outdoors = outdoorMonths(library, year);
  const crops = gearOf(library.gear.values(), "line").flatMap((line) =>
    line.fields.crops.map((id) => readCrop(library, line, library.crops.get(id)!, outdoors).year),
  );
  const lamps = gearOf(library.gear.values(), "lamp");
  const [lamp, crop] = [lamps[0], crops[0] && library.crops.get(crops[0].crop)];
  return {
    year,
    latitude,
    currency,
    power,
    months: outdoors,
    lamps: lamps.map((one) => lampYear(library, one, crops)),
    crops,
    said: toldLight(towerLight(library)),
    cautions:
      lamp && crop
        ? sum(library, "lamp-plan", (take) =>
            yardSupplies["lamp-plan"]!.ask(take, { gear: [lamp as PageOf<"gear">], crops: [crop] }, library),
          ).cautions
        : [],
  };
}

/** What light does to the plan. */
export interface TowerLight {
  /** Crops that stand longer on the tower in some months, with how many times as long, January first. */
  readonly slower: ReadonlyMap<string, readonly number[]>;
  /** Months, 1 to 12, in which the light of some crop's tower is not recorded: nothing is counted slower for it. */
  readonly unlit: readonly number[];
  /** What each slowed crop's factors lean on. */
  readonly leans: ReadonlyMap<string, readonly Lean[]>;
}

/**
 * How much longer each crop stands on the tower for want of light, by the month in which it comes there. Only where the record
 * gives one figure for the whole year, and never quicker than it. A crop of several lines goes by the darkest.
 */
export function towerLight(library: Library): TowerLight {
  const outdoors = outdoorMonths(library, yearOf(library.book.fields.edition));
  const slower = new Map<string, readonly number[]>();
  const leans = new Map<string, readonly Lean[]>();
  const unlit = new Set<number>();
  for (const line of gearOf(library.gear.values(), "line")) {
    for (const id of line.fields.crops) {
      const { from, year } = readCrop(library, line, library.crops.get(id)!, outdoors);
      if (year.days === undefined || year.need === undefined) continue;
      for (const { month, light } of year.months) if (light === undefined) unlit.add(month);
      const factors = year.months.map((one, at) => Math.max(one.slower ?? 1, slower.get(id)?.[at] ?? 1));
      if (factors.every((factor) => factor === 1)) continue;
      slower.set(id, factors);
      leans.set(id, [...(leans.get(id) ?? []), ...from]);
    }
  }
  return { slower, unlit: [...unlit].sort((a, b) => a - b), leans };
}

type Line = GearPage<"line">;
type Lamp = GearPage<"lamp">;

function readCrop(library: Library, line: Line, crop: PageOf<"crops">, outdoors: readonly OutdoorMonth[]) {
  let read: Omit<CropYear, "basis"> | undefined;
  const { from: taken } = asked(library, (take) => {
    const need = take(crop, "light.need");
    const longest = take(crop, "light.longest") ?? usualLongest;
    const { days, summer, winter } = take(crop, "stages.tower") ?? {};
    const alone = summer === undefined && winter === undefined ? days?.high : undefined;
    const lamps = gearOf(library.gear.values(), "lamp")
      .filter((lamp) => linesUnder(library, lamp).includes(line.id))
      .map((lamp) => lit(take, lamp));
    const grown = { need, longest, days: alone };
    read = {
      line: line.id,
      crop: crop.id,
      ...grown,
      months: outdoors.map((month) => cropMonth(library, grown, month, lamps)),
    };
    return {};
  });
  const { months } = read!;
  const outside = months.filter(({ under, light }) => under === "outdoors" && light !== undefined);
  const from = [...taken, ...outside.map(({ month }) => outdoorLean(library, month))];
  const year: CropYear = { ...read!, basis: from.length > 0 ? weakest(from.map(({ basis }) => basis)) : "memory" };
  return { year, from };
}

/** Longest day under lamps where a crop's record has none, as in the plan of lamps. Common practice. */
const usualLongest: In<"h"> = 18;

interface Lit {
  readonly id: string;
  readonly flux: In<"µmol/m²/s">;
  readonly lowest: In<"µmol/m²/s">;
  readonly hours: In<"h">;
  readonly load: In<"kW">;
  readonly months: ReadonlySet<number>;
}

function lit(take: Take, lamp: Lamp): Lit {
  const readings = take(lamp, "readings");
  const stand = take(lamp, "months");
  const run = stand ? ((stand.to - stand.from + 12) % 12) + 1 : 0;
  return {
    id: lamp.id,
    flux: readings.reduce((sum, reading) => sum + reading, 0) / readings.length,
    lowest: Math.min(...readings),
    hours: take(lamp, "hours"),
    load: (take(lamp, "count") * take(lamp, "watts")) / 1000,
    months: new Set(Array.from({ length: run }, (_, later) => ((stand!.from - 1 + later) % 12) + 1)),
  };
}

function cropMonth(
  library: Library,
  { need, longest, days }: Pick<CropYear, "need" | "longest" | "days">,
  { month, light: outside }: OutdoorMonth,
  lamps: readonly Lit[],
): CropMonth {
  const byLight = lamps.filter(({ flux }) => flux > 0).toSorted((a, b) => integralOf(a) - integralOf(b));
  const above = byLight.find(({ months }) => months.has(month));
  const light = above ? integralOf(above) : outside;
  const wanting = need === undefined || light === undefined ? undefined : Math.max(0, need - light);
  const lamp = above ?? byLight[0];
  const give = above ? need : wanting;
  const known = light !== undefined && need !== undefined && days !== undefined;
  return {
    month,
    under: above ? "lamps" : "outdoors",
    lamp: above?.id,
    light,
    wanting,
    lamps: lamp && give !== undefined && give > 0 ? burningFor(library, lamp, give, longest, month) : undefined,
    slower: known ? (wanting! > 0 ? lightFactor({ reference: need, now: light }).factor : 1) : undefined,
  };
}

function integralOf({ flux, hours }: Pick<Lit, "flux" | "hours">): Mol {
  return dailyLightIntegral({ flux, hours });
}

function burningFor(library: Library, lamp: Lit, integral: Mol, longest: In<"h">, month: number) {
  const needed = hoursFor({ integral, flux: lamp.flux });
  const hours = Math.min(needed, longest);
  return {
    ...burning(library, lamp, hours, month),
    needed,
    wanting: Math.max(0, integral - dailyLightIntegral({ flux: lamp.flux, hours })),
  };
}

function burning({ book }: Library, { load }: Pick<Lit, "load">, hours: In<"h">, month: number): Burning {
  const energy = load * hours * daysInMonth(yearOf(book.fields.edition), month);
  return { hours, energy, cost: book.fields.power === undefined ? undefined : energy * book.fields.power };
}

function lampYear(library: Library, lamp: Lamp, crops: readonly CropYear[]): LampYear {
  let read: Lit | undefined;
  const { from } = asked(library, (take) => {
    read = lit(take, lamp);
    return {};
  });
  const light = read!;
  return {
    lamp: lamp.id,
    name: lamp.fields.name,
    lines: linesUnder(library, lamp),
    hours: light.hours,
    load: light.load,
    light: integralOf(light),
    lowest: dailyLightIntegral({ flux: light.lowest, hours: light.hours }),
    months: [...light.months].map((month) => {
      const most = crops
        .flatMap((year) => {
          const one = year.months[month - 1]!;
          return one.lamp === lamp.id && one.lamps ? [{ crop: year.crop, hours: one.lamps.hours }] : [];
        })
        .toSorted((a, b) => b.hours - a.hours)[0];
      return {
        month,
        now: burning(library, light, light.hours, month),
        wanted: most && { crop: most.crop, ...burning(library, light, most.hours, month) },
      };
    }),
    basis: from.length > 0 ? weakest(from.map(({ basis }) => basis)) : "memory",
  };
}

function linesUnder(library: Library, { fields }: Lamp): readonly string[] {
  return fields.lines ?? gearOf(library.gear.values(), "line").map(({ id }) => id);
}

export type { OutdoorMonth } from "./daylight.ts";
