import { z } from "zod";
import { date as longDate, monthName, quantity } from "../format.ts";
import {
  addDays as daysOn,
  isLeapYear,
  isoDay,
  isoWeek,
  ordinalOf,
  sameDayNextYear,
  seasonMonth,
  weekdayOf,
  weekStart,
  yearOf,
} from "../science/calendar.ts";
import { amount, date, usually } from "./input.ts";
import { warn, worksheet } from "./worksheet.ts";

export const calendarDate = worksheet({
  id: "calendar-date",
  question: "What week is it, and what is the date after so many days?",
  input: z.strictObject({
    date: date({ label: "Date" }),
    addDays: usually(
      amount({
        unit: "days",
        min: -20_000,
        max: 20_000,
        whole: true,
        label: "Days later",
        help: "Earlier is negative",
      }),
      0,
    ),
  }),
  example: { date: "2026-12-31", addDays: 1 },
  answer: {
    result: { unit: "", label: "Date", key: true },
    weekday: { unit: "", label: "Day of the week" },
    isoWeek: { unit: "", label: "Week", key: true },
    isoDay: { unit: "", label: "Day of the week, Monday 1" },
    ordinal: { unit: "", label: "Day of the year" },
    weekStart: { unit: "", label: "Monday of that week" },
    weekEnd: { unit: "", label: "Sunday of that week" },
    sameDayNextYear: { unit: "", label: "Same day next year" },
    leapYear: { unit: "", label: "Leap year" },
  },
  cautions: [],
  source: "ISO 8601",
  solve({ date: from, addDays }) {
    const result = daysOn(from, addDays);
    const monday = weekStart(result);
    const thursday = daysOn(monday, 3);
    return {
      answer: {
        result,
        weekday: weekdayOf(result),
        isoWeek: isoWeek(result),
        isoDay: isoDay(result),
        ordinal: ordinalOf(result),
        weekStart: monday,
        weekEnd: daysOn(monday, 6),
        sameDayNextYear: sameDayNextYear(result),
        leapYear: isLeapYear(yearOf(result)),
      },
      working: [
        `${longDate(from)} and ${quantity(addDays, "days", 6)} is ${longDate(result)}`,
        `Its week runs from ${longDate(monday)}; its Thursday is in ${yearOf(thursday)}, so it is ${isoWeek(result)}`,
        `Day of the year ${ordinalOf(result)}; a year later ${longDate(sameDayNextYear(result))}${result.endsWith("-02-29") ? ", as 29 February is kept on 28 February in a common year" : ""}`,
      ],
    };
  },
});

export const monthShift = worksheet({
  id: "month-shift",
  question: "Which months is that where the customer lives?",
  input: z.strictObject({
    fromMonth: amount({
      unit: "",
      min: 1,
      max: 12,
      whole: true,
      label: "From month",
      help: "As written for the north",
    }),
    toMonth: amount({ unit: "", min: 1, max: 12, whole: true, label: "To month" }),
    latitude: amount({ unit: "°", min: -90, max: 90, label: "Latitude", help: "South is negative" }),
  }),
  example: { fromMonth: 3, toMonth: 5, latitude: -36.8 },
  answer: {
    from: { unit: "", label: "From month" },
    to: { unit: "", label: "To month" },
    text: { unit: "", label: "Months", key: true },
    shiftedBy: { unit: "", label: "Months shifted" },
    crossesNewYear: { unit: "", label: "Crosses New Year" },
  },
  cautions: [],
  source: "common practice",
  solve({ fromMonth, toMonth, latitude }) {
    const from = seasonMonth(fromMonth, latitude);
    const to = seasonMonth(toMonth, latitude);
    const text = from === to ? monthName(from) : `${monthName(from)}–${monthName(to)}`;
    return {
      answer: { from, to, text, shiftedBy: latitude < 0 ? 6 : 0, crossesNewYear: to < from },
      working: [
        latitude < 0
          ? `South of the equator: months ${fromMonth} to ${toMonth}, six on, are ${from} to ${to}: ${text}`
          : `North of the equator: months ${fromMonth} to ${toMonth} stay as they are: ${text}`,
        "Months of a season shift; the dates of orders and batches never do",
      ],
      notes: [
        Math.abs(latitude) < 23.5 &&
          warn("In the tropics months say little about a season: go by rain and heat instead."),
      ],
    };
  },
});
