import { isLeapYear } from "./calendar.ts";
import type { Celsius, In, Mol } from "./units.ts";

/** Where the sun's centre is when the day begins and ends [degrees above the horizon]. */
export const sunAngles = {
  /** On the horizon, without air or the sun's breadth. */
  centre: 0,
  /** Its upper edge is seen to rise, air bending its light. */
  sunrise: -0.833,
  /** Bright enough to read outdoors; many plants sense it. */
  civil: -6,
} as const;
export type Sun = keyof typeof sunAngles;

/**
 * Solar declination [rad] on a day of the year, 1 to 366.
 * @see Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, eq. 24
 */
export function declination(dayOfYear: number): In<"rad"> {
  return 0.409 * Math.sin((2 * Math.PI * dayOfYear) / 365 - 1.39);
}

/**
 * Length of the day [h], 0 in the polar night and 24 in the polar day. Latitude −90 to 90 [degrees], south negative.
 * The declination leaves out that the earth's orbit is an ellipse and is up to 1.3° amiss in October, which makes the day
 * up to 10 min × tan of the latitude too short or too long: 13 min at 52°, 17 min at 60°, and more beyond.
 * @throws RangeError on a latitude beyond the poles.
 * @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eqs. 25 and 34; other sun angles by the same geometry
 */
export function dayLength(moment: Place & { dayOfYear: number }): In<"h"> {
  const cosine = sunsetCosine(moment);
  if (cosine >= 1) return 0;
  if (cosine <= -1) return 24;
  return (24 / Math.PI) * Math.acos(cosine);
}

/** Cosine of the sunset hour angle: 1 or more when the sun stays down all day, −1 or less when it stays up. */
export function sunsetCosine({ latitude, dayOfYear, sun = "centre" }: Place & { dayOfYear: number }): number {
  if (!(Math.abs(latitude) <= 90)) throw new RangeError(`Unexpected latitude ${latitude}, expected −90 to 90 degrees`);
  const phi = radians(latitude);
  const delta = declination(dayOfYear);
  return (Math.sin(radians(sunAngles[sun])) - Math.sin(phi) * Math.sin(delta)) / (Math.cos(phi) * Math.cos(delta));
}

/**
 * Sunlight above the air, on a level plane [MJ/m²/day]: what reaches the ground is a part of it. Latitude −90 to 90 [degrees],
 * south negative. 0 in the polar night. From 20° to 52° within 0.1 MJ of the paper's own table 2.6; beyond 55° the paper trusts
 * its equations less.
 * @throws RangeError on a latitude beyond the poles.
 * @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eqs. 21, 23, 24 and 25
 */
export function extraterrestrialRadiation(moment: { latitude: In<"degrees">; dayOfYear: number }): In<"MJ/m²/day"> {
  const sunset = (Math.PI / 24) * dayLength(moment);
  const phi = radians(moment.latitude);
  const delta = declination(moment.dayOfYear);
  const nearness = 1 + 0.033 * Math.cos((2 * Math.PI * moment.dayOfYear) / 365);
  const height = sunset * Math.sin(phi) * Math.sin(delta) + Math.cos(phi) * Math.cos(delta) * Math.sin(sunset);
  return ((24 * 60) / Math.PI) * solarConstant * nearness * height;
}

/** Sunlight above the air, facing the sun [MJ/m²/min]. @see Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 21 */
const solarConstant = 0.082;

/** The length of each day [h] of a calendar year, 1 January first. */
export function dayLengths({ year, ...place }: Place & { year: number }): readonly In<"h">[] {
  return Array.from({ length: isLeapYear(year) ? 366 : 365 }, (_, index) =>
    dayLength({ ...place, dayOfYear: index + 1 }),
  );
}

/** A run of days of the year, 1 to 366; `first` after `last` when it crosses New Year. */
export interface Window {
  readonly first: number;
  readonly last: number;
}

/**
 * The runs of days on which `meets` is true, the year taken as a ring: 31 December goes before 1 January.
 * By first day; none when no day meets it, one from the first to the last day when all do.
 * Twilight near the equator can give two runs a year.
 */
export function windowsOf(meets: readonly boolean[]): readonly Window[] {
  const days = meets.length;
  if (meets.every(Boolean)) return days > 0 ? [{ first: 1, last: days }] : [];
  const starts = meets.flatMap((meeting, day) => (meeting && !meets[(day + days - 1) % days] ? [day] : []));
  return starts.map((start) => {
    let last = start;
    while (meets[(last + 1) % days]) last = (last + 1) % days;
    return { first: start + 1, last: last + 1 };
  });
}

/**
 * How much longer a crop takes in the light of now than in that of the record: √(reference ÷ now), held to 0.7–2.0.
 * `unheld` is the factor before it was held. Common practice.
 */
export function lightFactor({ reference, now }: { reference: Mol; now: Mol }): { factor: number; unheld: number } {
  const unheld = Math.sqrt(reference / now);
  return { factor: Math.min(2, Math.max(0.7, unheld)), unheld };
}

/** Days [days] for a heat sum [°C·d] at a mean temperature above the base. @throws RangeError when it is not above. */
export function heatDays({ heatSum, mean, base }: { heatSum: In<"°C·d">; mean: Celsius; base: Celsius }): In<"days"> {
  if (!(mean > base)) throw new RangeError(`Unexpected mean ${mean} °C, expected above the base of ${base} °C`);
  return heatSum / (mean - base);
}

/**
 * Growing degree days [°C·d] of one day: the mean of highest and lowest, less the base, and no less than 0.
 * Averages first and compares after; lifting a low night to the base first gives more on cool days.
 * @see McMaster and Wilhelm 1997, Agricultural and Forest Meteorology 87:291–300, method 1
 */
export function degreeDays({ highest, lowest, base }: Record<"highest" | "lowest" | "base", Celsius>): In<"°C·d"> {
  return Math.max(0, (highest + lowest) / 2 - base);
}

interface Place {
  readonly latitude: In<"degrees">;
  readonly sun?: Sun;
}

function radians(degrees: In<"degrees">): In<"rad"> {
  return (degrees * Math.PI) / 180;
}
