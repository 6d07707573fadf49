import { type Analysis, species } from "./ions.ts";
import type { In, MilliSiemens } from "./units.ts";

/** Any one unit of concentration, the same throughout a sum: EC in mS/cm, or one element in mg/L. */
type Level = In<"level">;

/** Metres of water that one bar lifts, at about 20 °C; common practice. */
export const metresPerBar = 10.2;

/**
 * How much EC one per cent of setting adds [mS/cm per %], measured from today's stock. Zero or less means that no
 * stock arrives. Proportional dosing: line EC = water EC + strength × setting.
 */
export function doseStrength(reading: {
  readonly ecWater: MilliSiemens;
  readonly ecLine: MilliSiemens;
  readonly setting: In<"%">;
}): In<"mS/cm per %"> {
  return (reading.ecLine - reading.ecWater) / reading.setting;
}

/** The setting that gives a target EC [%]; below zero when the water alone is stronger than the target. */
export function settingFor(wanted: {
  readonly ecWater: MilliSiemens;
  readonly ecTarget: MilliSiemens;
  readonly strength: In<"mS/cm per %">;
}): In<"%"> {
  return (wanted.ecTarget - wanted.ecWater) / wanted.strength;
}

/** The EC of the line at a setting [mS/cm]; the inverse of `settingFor`. */
export function lineEc(dosed: {
  readonly ecWater: MilliSiemens;
  readonly strength: In<"mS/cm per %">;
  readonly setting: In<"%">;
}): MilliSiemens {
  return dosed.ecWater + dosed.strength * dosed.setting;
}

/**
 * The part that one head's stock takes of the finished feed [share of 1], when each of `heads` heads adds `ratio`
 * parts *to* one part of water. Read as parts *in* the finished feed, the share is `ratio` itself.
 * Common practice in fertiliser injection; University of Maryland Extension FS-1121 reads 1:50 as 1 part in 50.
 */
export function shareAddedTo(ratio: In<"share">, heads: number): In<"share"> {
  return ratio / (1 + heads * ratio);
}

/** What a head gave [% of the water], from the stock it drew in mL and the metered water in L. */
export function drawnPercent(drawn: In<"mL">, water: In<"L">): In<"%"> {
  return drawn / water / 10;
}

/** How far `actual` is from `expected` [%]; undefined when nothing was expected. */
export function deviation(actual: number, expected: number): In<"%"> | undefined {
  return expected === 0 ? undefined : 100 * (actual / expected - 1);
}

/** The water, and what each head's tub adds to the line at the set ratio. */
export interface HeadLoads {
  readonly water: Analysis;
  readonly tubA: Analysis;
  readonly tubB: Analysis;
}

/**
 * The line when one head gives `share` of what it is set to, 0 for blocked and 1 for as set [mg/L]. A species that is
 * blank in all three stays blank. The little water that the stock itself brings is left out. Mass balance.
 */
export function lineWith({ water, tubA, tubB }: HeadLoads, head: "A" | "B", share: In<"share">): Analysis {
  const [a, b] = head === "A" ? [share, 1] : [1, share];
  return Object.fromEntries(
    species.flatMap((name) => {
      if ([water, tubA, tubB].every((part) => part[name] === undefined)) return [];
      return [[name, (water[name] ?? 0) + a * (tubA[name] ?? 0) + b * (tubB[name] ?? 0)]];
    }),
  );
}

/** Water drunk a day and litres held, which set how fast a base answers. */
interface Base {
  readonly volume: In<"L">;
  readonly drunk: In<"L/day">;
}

/**
 * Daily change in a float-fed base that is not drained [level/day]: (W/V)·(C_feed − C_uptake). What plants take up is
 * held constant, so it describes weeks, not seasons. Mass balance.
 */
export function drift({
  volume,
  drunk,
  feed,
  uptake,
}: Base & { readonly feed: Level; readonly uptake: Level }): number {
  return (drunk / volume) * (feed - uptake);
}

/** The level at which plants took up [level], from two readings; the inverse of `drift`. Below zero is a misreading. */
export function uptakeFrom(
  reading: Base & { readonly feed: Level; readonly now: Level; readonly before: Level; readonly days: In<"days"> },
): Level {
  return reading.feed - (reading.volume / reading.drunk) * ((reading.now - reading.before) / reading.days);
}

/** Days until a level reaches a limit [days]: 0 when it is passed, undefined when the drift never leads there. */
export function daysToLimit(course: {
  readonly now: Level;
  readonly limit: Level;
  readonly kind: "upper" | "lower";
  readonly change: In<"level/day">;
}): In<"days"> | undefined {
  const { now, limit, kind, change } = course;
  const towards = kind === "upper" ? 1 : -1;
  if (towards * (now - limit) >= 0) return 0;
  return towards * change < steady ? undefined : (limit - now) / change;
}

/** A daily change smaller than this is none. */
export const steady = 1e-9;

/** What to replace to bring a base back. */
interface Exchange {
  readonly now: Level;
  readonly want: Level;
  readonly fresh: Level;
}

/**
 * The share of a base to drain and refill with fresh feed [share of 1]: (now − want)/(now − fresh). Undefined when
 * `want` does not lie between the two, which no draining reaches. Mass balance.
 */
export function drainFraction({ now, want, fresh }: Exchange): In<"share"> | undefined {
  if (now === want) return 0;
  const fraction = (now - want) / (now - fresh);
  if (!Number.isFinite(fraction) || fraction < -slack || fraction > 1 + slack) return undefined;
  return Math.min(1, Math.max(0, fraction));
}

/**
 * The time constant with which a base follows a change at the line [days], V/(W·a): after this long it has gone 63 %
 * of the way. `uptakeRatio` is uptake over base level, about 0.8; common practice.
 */
export function responseTime({ volume, drunk, uptakeRatio }: Base & { readonly uptakeRatio: number }): In<"days"> {
  return volume / (drunk * uptakeRatio);
}

/** The level of two waters together [level], by mass balance. */
export function mixed(
  first: { readonly volume: In<"L">; readonly level: Level },
  second: { readonly volume: In<"L">; readonly level: Level },
): Level {
  return (first.volume * first.level + second.volume * second.level) / (first.volume + second.volume);
}

/**
 * A rough factor on daily drinking, VPD ÷ 0.8 kPa, and whether it was held at its ends 0.5 and 2: beyond them plants
 * close up and the straight line says nothing. Common practice.
 */
export function weatherFactor(vpd: In<"kPa">): { readonly factor: number; readonly held: boolean } {
  const raw = vpd / 0.8;
  const factor = Math.min(2, Math.max(0.5, raw));
  return { factor, held: Math.abs(raw - factor) > slack };
}

/** The flow at midday [L/h], taken as twice the day's mean; common practice. */
export function middayFlow(daily: In<"L/day">): In<"L/h"> {
  return (2 * daily) / 24;
}

/** What a pump must overcome [m of water]: the lift, the friction and the pressure at the nozzle. */
export function pumpHead(load: {
  readonly lift: In<"m">;
  readonly friction: In<"m">;
  readonly nozzle: In<"bar">;
}): In<"m"> {
  return load.lift + load.friction + metresPerBar * load.nozzle;
}

/** The nozzle pressure that a pump can still give [bar]; 0 when the lift alone is too much. */
export function nozzleWithin(limits: {
  readonly lift: In<"m">;
  readonly friction: In<"m">;
  readonly pump: In<"m">;
}): In<"bar"> {
  return Math.max(0, (limits.pump - limits.lift - limits.friction) / metresPerBar);
}

/** Room for the last bits of floating-point sums, in comparisons. */
const slack = 1e-9;
