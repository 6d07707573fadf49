import { z } from "zod";
import { date as longDate, number, quantity, shortDate } from "../format.ts";
import { addDays, dayOfYear as dayOf, yearOf } from "../science/calendar.ts";
import {
  dayLengths,
  declination as declinationOf,
  heatDays,
  dayLength as lengthOf,
  lightFactor,
  sunAngles,
  sunsetCosine,
  windowsOf,
} from "../science/season.ts";
import { amount, choice, date, everyday, fault, optional, usually } from "./input.ts";
import { ok, type Refusal, type Solved, warn, worksheet } from "./worksheet.ts";

export const dayLength = worksheet({
  id: "day-length",
  question: "How long is the day, and when is it long enough?",
  input: z.strictObject({
    latitude: amount({ unit: "°", min: -90, max: 90, label: "Latitude", help: "South is negative" }),
    date: date({ label: "Date" }),
    sun: usually(
      choice(["centre", "sunrise", "civil"], {
        label: "The day is counted",
        help: "From the sun's centre on the horizon, from sunrise to sunset, or with civil twilight",
      }),
      "centre",
    ),
    thresholdHours: optional(amount({ unit: "h", min: 0, max: 24, label: "At least so long a day" })),
  }),
  example: { latitude: -36.8, date: "2027-12-21", thresholdHours: 14 },
  answer: {
    hours: { unit: "h", label: "Day length", digits: 3, key: true },
    dayOfYear: { unit: "", label: "Day of the year" },
    declination: { unit: "rad", label: "Declination of the sun", digits: 3 },
    longest: { unit: "h", label: "Longest day of the year", digits: 3 },
    shortest: { unit: "h", label: "Shortest day of the year", digits: 3 },
    daysMeeting: { unit: "days", label: "Days long enough" },
    windowStart: { unit: "", label: "Long enough from", key: true },
    windowEnd: { unit: "", label: "Long enough to", key: true },
    crossesNewYear: { unit: "", label: "Crosses New Year" },
  },
  cautions: [],
  source:
    "Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, eqs. 24, 25 and 34; sunrise and twilight by the same geometry with the sun below the horizon",
  solve({ latitude, date: day, sun, thresholdHours }): Solved {
    const year = yearOf(day);
    const dayOfYear = dayOf(day);
    const declination = declinationOf(dayOfYear);
    const cosine = sunsetCosine({ latitude, dayOfYear, sun });
    const hours = lengthOf({ latitude, dayOfYear, sun });
    const lengths = dayLengths({ latitude, year, sun });
    const longest = Math.max(...lengths);
    const shortest = Math.min(...lengths);
    const meets = thresholdHours === undefined ? [] : lengths.map((length) => length >= thresholdHours);
    const windows = windowsOf(meets);
    const window = windows[0];
    const dateOf = (index: number) => addDays(`${year}-01-01`, index - 1);
    const never = thresholdHours !== undefined && window === undefined;
    return {
      answer: {
        hours,
        dayOfYear,
        declination,
        longest,
        shortest,
        daysMeeting: thresholdHours === undefined ? null : meets.filter(Boolean).length,
        windowStart: window ? dateOf(window.first) : null,
        windowEnd: window ? dateOf(window.last) : null,
        crossesNewYear: window ? window.first > window.last : null,
      },
      working: [
        `${longDate(day)} is day ${dayOfYear}`,
        `Declination = 0.409 × sin(2π × ${dayOfYear} ÷ 365 − 1.39) = ${quantity(declination, "rad")}`,
        `x = (sin ${angle(sunAngles[sun])} − sin ${angle(latitude)} × sin ${signed(declination)}) ÷ (cos ${angle(latitude)} × cos ${signed(declination)}) = ${number(cosine)}`,
        cosine >= 1
          ? `x is not below 1: the sun stays down, 0 h`
          : cosine <= -1
            ? `x is not above −1: the sun stays up, 24 h`
            : `Day length = 24 ÷ π × arccos ${signed(cosine)} = ${quantity(hours, "h")}`,
        `Of ${lengths.length} days in ${year} the longest has ${quantity(longest, "h")}, the shortest ${quantity(shortest, "h")}`,
        ...(window
          ? [
              `${meets.filter(Boolean).length} days have ${quantity(thresholdHours ?? 0, "h")} or more, from ${dayOnly(dateOf(window.first))} to ${dayOnly(dateOf(window.last))}${window.first > window.last ? ", over New Year" : ""}`,
            ]
          : []),
      ],
      notes: [
        ok(sunWords[sun]),
        Math.abs(latitude) > 60 &&
          warn(`At a latitude beyond 60° these equations are rough in winter and near midsummer.`),
        windows.length > 1 &&
          ok(`There are ${windows.length} such windows in the year; the first by the calendar is shown.`),
      ],
      refusal: never
        ? {
            why: `A day of ${quantity(thresholdHours, "h")} is never reached at this latitude; the longest is ${quantity(longest, "h")}. Only lamps can make up the rest.`,
            by: thresholdHours - longest,
            nearest: { hours: longest },
          }
        : undefined,
    };
  },
});

export const growingDays = worksheet({
  id: "growing-days",
  question: "How many days in this month's light or warmth?",
  input: z
    .strictObject({
      baseDays: optional(everyday({ unit: "days", above: 0, max: 400, label: "Days by the record" })),
      dliReference: optional(everyday({ unit: "mol/m²/day", above: 0, max: 70, label: "Light that the record had" })),
      dliNow: optional(everyday({ unit: "mol/m²/day", above: 0, max: 70, label: "Light now" })),
      heatSum: optional(everyday({ unit: "°C·d", above: 0, label: "Heat sum the crop needs" })),
      meanTemp: optional(amount({ unit: "°C", min: -30, max: 60, label: "Mean temperature" })),
      baseTemp: optional(amount({ unit: "°C", min: -5, max: 20, label: "Base temperature" })),
    })
    .superRefine((input, context) => {
      const light = (["dliReference", "dliNow"] as const).filter((key) => input[key] === undefined);
      const heat = (["heatSum", "meanTemp", "baseTemp"] as const).filter((key) => input[key] === undefined);
      const half = [...(light.length < 2 ? light : []), ...(heat.length < 3 ? heat : [])];
      for (const key of half) fault(context, [key], "Missing, expected it beside the others of its method");
      if (input.baseDays === undefined && (light.length < 2 || heat.length === 3)) {
        fault(context, ["baseDays"], "Missing, expected the days that the record gives");
      }
    }),
  example: { baseDays: 30, dliReference: 14, dliNow: 8.6 },
  answer: {
    days: { unit: "days", label: "Days", digits: 3, key: true },
    factor: { unit: "", label: "Times as long", digits: 3 },
    method: { unit: "", label: "By" },
  },
  cautions: [],
  source: "light: common practice; heat: the heat-sum method; best is a month table of one's own",
  solve({ baseDays, dliReference, dliNow, heatSum, meanTemp, baseTemp }): Solved {
    const light =
      baseDays !== undefined && dliReference !== undefined && dliNow !== undefined
        ? {
            base: baseDays,
            reference: dliReference,
            now: dliNow,
            ...lightFactor({ reference: dliReference, now: dliNow }),
          }
        : undefined;
    const heat =
      heatSum !== undefined && meanTemp !== undefined && baseTemp !== undefined
        ? { heatSum, mean: meanTemp, base: baseTemp, above: meanTemp > baseTemp }
        : undefined;
    const byLight = light && light.base * light.factor;
    const byHeat = heat?.above ? heatDays(heat) : undefined;
    const working = [
      ...(light
        ? [
            `Times as long = √(${number(light.reference)} ÷ ${number(light.now)}) = ${number(light.unheld)}, held to 0.7–2.0`,
            `Days = ${number(light.base)} × ${number(light.factor)} = ${quantity(light.base * light.factor, "days")}`,
          ]
        : []),
      ...(heat
        ? [
            `Days = ${number(heat.heatSum)} ÷ (${number(heat.mean)} − ${number(heat.base)}) ${byHeat === undefined ? "has no answer" : `= ${quantity(byHeat, "days")}`}`,
          ]
        : []),
    ];
    if (light && heat) {
      return refused({ days: null, factor: null, method: null }, working, {
        why: "Light and heat are two corrections for the same slowness, and they do not stack: choose one.",
        by: null,
        nearest: { lightDays: byLight ?? null, heatDays: byHeat ?? null },
      });
    }
    if (heat && byHeat === undefined) {
      return refused({ days: null, factor: null, method: "heat" }, working, {
        why: `A mean of ${quantity(heat.mean, "°C")} is too cold: nothing grows at or under the base of ${quantity(heat.base, "°C")}.`,
        by: heat.base - heat.mean,
        nearest: { meanTempAbove: heat.base },
      });
    }
    if (heat) return { answer: { days: byHeat, factor: null, method: "heat" }, working };
    if (!light) {
      return {
        answer: { days: baseDays, factor: 1, method: "record" },
        working: [`Days = ${quantity(baseDays ?? 0, "days")}, as the record has it`],
      };
    }
    return {
      answer: { days: byLight, factor: light.factor, method: "light" },
      working,
      notes: [
        light.factor !== light.unheld &&
          warn(
            `The factor of ${number(light.unheld)} is held at ${number(light.factor)}: beyond that the rule says nothing. Use a record of this month.`,
          ),
      ],
    };
  },
});

const sunWords = {
  centre: "Counted with the sun's centre on the horizon (0°); plants sense some twilight as well.",
  sunrise: "Counted from sunrise to sunset, the sun's centre 0.833° below the horizon.",
  civil: "Counted with civil twilight, the sun's centre 6° below the horizon.",
} as const;

function angle(degrees: number): string {
  return degrees < 0 ? `(${number(degrees)}°)` : `${number(degrees)}°`;
}

function signed(value: number): string {
  return value < 0 ? `(${number(value)})` : number(value);
}

/** `15 Nov`, for windows that come round every year. */
function dayOnly(day: string): string {
  return shortDate(day).replace(/ \d+$/, "");
}

function refused(answer: Solved["answer"], working: readonly string[], refusal: Refusal): Solved {
  return { answer, working, refusal };
}
