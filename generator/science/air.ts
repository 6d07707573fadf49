import { wholeUp } from "./counting.ts";
import type { Celsius, In, Kilopascal, MgPerL } from "./units.ts";

/** Temperatures that the vapour-pressure formula is used for; below freezing it is that over supercooled water. */
export const vapourPressureRange = { low: -45, high: 75 } as const satisfies Range;

/** Temperatures that the oxygen formula was fitted to. */
export const dissolvedOxygenRange = { low: 0, high: 40 } as const satisfies Range;

/**
 * Saturation vapour pressure [kPa] at a temperature [°C], −45 to 75. Within 0.12 % of the ASHRAE form from 0 to 70 °C.
 * @throws RangeError outside its range.
 * @see Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, eq. 11
 */
export function saturationVapourPressure(temperature: Celsius): Kilopascal {
  within(temperature, vapourPressureRange);
  return 0.6108 * Math.exp((17.27 * temperature) / (temperature + 237.3));
}

/**
 * Vapour pressure deficit [kPa] between a leaf and the air around it; of the air itself when both are equally warm.
 * Negative when the leaf is colder than the dew point: water gathers on it. Humidity 0–100 [%].
 * @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eqs. 11 and 10
 */
export function vapourPressureDeficit({ air, leaf = air, humidity }: Air & { leaf?: Celsius }): Kilopascal {
  return saturationVapourPressure(leaf) - (saturationVapourPressure(air) * humidity) / 100;
}

/**
 * Temperature [°C] to which air must cool for dew; undefined in air without any water. Humidity 0–100 [%].
 * @see the inverse of FAO Irrigation and Drainage Paper 56, eq. 11
 */
export function dewPoint({ air, humidity }: Air): Celsius | undefined {
  within(air, vapourPressureRange);
  if (humidity === 0) return undefined;
  const g = Math.log(humidity) - Math.log(100) + (17.27 * air) / (237.3 + air);
  return (237.3 * g) / (17.27 - g);
}

/**
 * Air pressure [kPa] at an altitude [m], −500 to 9000, in a standard air of 20 °C.
 * @throws RangeError outside its range.
 * @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 7
 */
export function atmosphericPressure(altitude: In<"m">): Kilopascal {
  if (!(altitude >= -500 && altitude <= 9000)) {
    throw new RangeError(`Unexpected ${altitude} m, expected −500 to 9000 m`);
  }
  return 101.3 * ((293 - 0.0065 * altitude) / 293) ** 5.26;
}

/**
 * Oxygen that fresh water holds when it is at rest with the air [mg/L], at 0 to 40 °C and a pressure [kPa].
 * @throws RangeError outside 0–40 °C, or at a pressure too low for the water to stay liquid.
 * @see Benson and Krause 1984, Limnology and Oceanography 29:620–632, fresh water, as in Standard Methods 4500-O;
 *   pressure as in USGS Quality of Water Branch technical memoranda 81.11 and 81.15
 */
export function dissolvedOxygen(temperature: Celsius, pressure: Kilopascal = standardPressure): MgPerL {
  within(temperature, dissolvedOxygenRange);
  const t = temperature + 273.15;
  const atStandard = Math.exp(
    -139.344_11 + 1.575_701e5 / t - 6.642_308e7 / t ** 2 + 1.2438e10 / t ** 3 - 8.621_949e11 / t ** 4,
  );
  const vapour = (10 ** (8.107_65 - 1750.286 / (235 + temperature)) * standardPressure) / 760;
  if (!(pressure > vapour)) throw new RangeError(`Unexpected ${pressure} kPa, expected more than ${vapour} kPa`);
  return (atStandard * (pressure - vapour)) / (standardPressure - vapour);
}

/** What lamps and pumps put into a room: heat at full load [kW] and in a day [kWh]. All of their power ends as heat. */
export function roomHeat({ lamps, hours, pumps }: { lamps: In<"W">; hours: In<"h">; pumps: In<"W"> }): {
  power: In<"kW">;
  energy: In<"kWh/day">;
} {
  return { power: (lamps + pumps) / 1000, energy: (lamps * hours + pumps * 24) / 1000 };
}

interface Dryers {
  readonly water: In<"L/day">;
  /** Of one unit, by its plate. */
  readonly rated: In<"L/day">;
  /** The part of it that one gets here; about half at 18–20 °C. Common practice. */
  readonly factor: number;
  readonly units: number;
}

/** What dryers take out of a room [L/day], and how many units it takes for all the water that plants drink. */
export function dryers({ water, rated, factor, units }: Dryers): { here: In<"L/day">; needed: number } {
  return { here: rated * factor * units, needed: wholeUp(water / (rated * factor)) };
}

interface House {
  readonly uValue: In<"W/m²/K">;
  readonly cover: In<"m²">;
  readonly difference: In<"K">;
}

/** Heat [kW] that goes through a house's cover when it is so much warmer inside than out: U·A·ΔT, steady state. */
export function houseHeat({ uValue, cover, difference }: House): In<"kW"> {
  return (uValue * cover * difference) / 1000;
}

/** Peak hour of water [L/h] of a crop that drinks so much a day: 15 % of the day's in one hour. Common practice. */
export function peakWater({ area, daily }: { area: In<"m²">; daily: In<"L/m²/day"> }): In<"L/h"> {
  return area * daily * 0.15;
}

/** 760 mmHg. */
const standardPressure: Kilopascal = 101.325;

interface Air {
  readonly air: Celsius;
  readonly humidity: In<"%">;
}

interface Range {
  readonly low: Celsius;
  readonly high: Celsius;
}

function within(temperature: Celsius, { low, high }: Range): void {
  if (!(temperature >= low && temperature <= high)) {
    throw new RangeError(`Unexpected ${temperature} °C, expected ${low} to ${high} °C`);
  }
}
