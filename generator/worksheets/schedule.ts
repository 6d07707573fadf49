import { z } from "zod";
import { list, date as longDate, number, quantity } from "../format.ts";
import {
  addDays,
  dayNumber,
  daysBetween,
  isoWeek,
  onOrAfter,
  onOrBefore,
  type PlainDate,
  type Weekday,
  weekdayOf,
  weekdays,
} from "../science/calendar.ts";
import { amount, choice, date, everyday, fault, optional, several, text, together, usually } from "./input.ts";
import { type Solved, warn, worksheet } from "./worksheet.ts";

export const sowDate = worksheet({
  id: "sow-date",
  question: "When must I sow, and can this promise be kept?",
  input: z.strictObject({
    need: date({ label: "Needed on" }),
    stages: several(
      z.strictObject({
        name: text({ label: "Stage" }),
        days: amount({ unit: "days", min: 0, max: 400, whole: true, label: "Days" }),
      }),
      { min: 1, max: 12, label: "Stages, in order" },
    ),
    sowDays: usually(several(choice(weekdays, { label: "Day" }), { min: 1, max: 7, label: "Days on which we sow" }), [
      "Mon",
      "Thu",
    ]),
    holidays: optional(several(date({ label: "Holiday" }), { label: "No sowing on these" })),
    bufferDays: usually(amount({ unit: "days", min: 0, max: 60, whole: true, label: "Days in hand" }), 0),
    today: optional(date({ label: "Today" })),
    batches: optional(
      several(
        z.strictObject({
          code: text({ label: "Batch" }),
          ageDays: amount({ unit: "days", min: 0, max: 100_000, whole: true, label: "Age" }),
        }),
        { label: "Batches of this crop already growing" },
      ),
    ),
  }),
  example: {
    need: "2027-05-14",
    stages: [
      { name: "germination", days: 5 },
      { name: "tray", days: 16 },
      { name: "mister", days: 9 },
      { name: "tower", days: 21 },
    ],
    today: "2027-03-01",
  },
  answer: {
    totalDays: { unit: "days", label: "Days from seed to ready" },
    rawDate: { unit: "", label: "Latest day to sow" },
    sowDate: { unit: "", label: "Sow on", key: true },
    sowWeekday: { unit: "", label: "A" },
    sowWeek: { unit: "", label: "In week", key: true },
    stageDates: { unit: "", label: "End of each stage" },
    readyDate: { unit: "", label: "Ready on", key: true },
    slackDays: { unit: "days", label: "Days in hand" },
    earliestReady: { unit: "", label: "Earliest that could be ready" },
    daysLate: { unit: "days", label: "Days late" },
    batchesInTime: { unit: "", label: "Batches that make it" },
  },
  cautions: [],
  source: "ISO 8601; common practice",
  solve({ need, stages, sowDays, holidays = [], bufferDays, today, batches = [] }): Solved {
    const totalDays = stages.reduce((sum, { days }) => sum + days, 0);
    const rawDate = addDays(need, -totalDays - bufferDays);
    const sown = sowingDay(onOrBefore, rawDate, { sowDays, holidays, step: -1 });
    const readyDate = addDays(sown, totalDays);
    const firstSowing = today && sowingDay(onOrAfter, today, { sowDays, holidays, step: 1 });
    const earliestReady = firstSowing && addDays(firstSowing, totalDays + bufferDays);
    const daysLate = earliestReady ? Math.max(0, daysBetween(need, earliestReady)) : null;
    const batchesInTime = today
      ? batches
          .map(({ code, ageDays }) => ({ code, readyDate: addDays(today, Math.max(0, totalDays - ageDays)) }))
          .filter((batch) => daysBetween(batch.readyDate, need) >= 0)
      : [];
    const sum = stages.map(({ days }) => days).join(" + ");
    const working = [
      `From seed to ready: ${sum} = ${totalDays} days`,
      `${longDate(need)} − ${totalDays} − ${bufferDays} days = ${longDate(rawDate)}`,
      ...(earliestReady && firstSowing
        ? [
            `From ${longDate(firstSowing)}, the first sowing day, + ${totalDays} + ${bufferDays} days = ${longDate(earliestReady)} at the earliest`,
          ]
        : []),
    ];
    const always = { totalDays, earliestReady: earliestReady ?? null, daysLate, batchesInTime };
    if (earliestReady && daysLate !== null && daysLate > 0) {
      const others =
        batchesInTime.length > 0
          ? ` In time: ${list(batchesInTime.map(({ code, readyDate: on }) => `${code}, ready ${longDate(on)}`))}.`
          : " No batch already growing makes it.";
      return {
        answer: {
          ...always,
          rawDate: null,
          sowDate: null,
          sowWeekday: null,
          sowWeek: null,
          stageDates: [],
          readyDate: null,
          slackDays: null,
        },
        working,
        refusal: {
          why: `The earliest is ${longDate(earliestReady)}, ${quantity(daysLate, "days")} late.${others}`,
          by: daysLate,
          nearest: { date: earliestReady },
        },
      };
    }
    let reached = sown;
    const stageDates = stages.map(({ name, days }) => {
      reached = addDays(reached, days);
      return { name, date: reached };
    });
    const slackDays = daysBetween(readyDate, need);
    return {
      answer: {
        ...always,
        rawDate,
        sowDate: sown,
        sowWeekday: weekdayOf(sown),
        sowWeek: isoWeek(sown),
        stageDates,
        readyDate,
        slackDays,
      },
      working: [
        ...working,
        `The sowing day not after it: ${longDate(sown)}, in ${isoWeek(sown)}`,
        `${longDate(sown)} + ${totalDays} days = ready ${longDate(readyDate)}, ${slackDays} in hand`,
      ],
      notes: [
        bufferDays > 14 && warn(`A buffer of ${quantity(bufferDays, "days")} is long: the crop may be past its best.`),
        today !== undefined &&
          daysBetween(today, need) > 730 &&
          warn("The date is more than two years ahead: check the year."),
      ],
    };
  },
});

/** The sowing day nearest to a day, on one side of it, that is no holiday. */
function sowingDay(
  nearest: typeof onOrBefore,
  day: PlainDate,
  { sowDays, holidays, step }: { sowDays: readonly Weekday[]; holidays: readonly PlainDate[]; step: 1 | -1 },
): PlainDate {
  let found = nearest(day, sowDays);
  while (holidays.includes(found)) found = nearest(addDays(found, step), sowDays);
  return found;
}

export const portCalendar = worksheet({
  id: "port-calendar",
  question: "Do the ports ever run out?",
  input: z
    .strictObject({
      portsAvailable: everyday({ unit: "", min: 1, whole: true, label: "Ports" }),
      batches: several(
        z.strictObject({
          code: text({ label: "Batch" }),
          ports: everyday({ unit: "", min: 0, label: "Ports" }),
          from: date({ label: "First day in" }),
          to: date({ label: "Day cleared", help: "The ports are free again on this day" }),
        }),
        { label: "Batches" },
      ),
      cutWindowDays: optional(everyday({ unit: "days", above: 0, label: "Days that a batch is cut" })),
      batchesWanted: optional(everyday({ unit: "", above: 0, label: "Batches wanted in that time" })),
    })
    .superRefine(together("cutWindowDays", "batchesWanted"))
    .superRefine(({ batches }, context) => {
      for (const [index, { from, to }] of batches.entries()) {
        if (daysBetween(from, to) < 1) {
          fault(context, ["batches", index, "to"], `Unexpected ${to}, expected a date after ${from}`);
        }
      }
    }),
  example: {
    portsAvailable: 80,
    batches: [
      { code: "A", ports: 40, from: "2027-05-03", to: "2027-06-07" },
      { code: "B", ports: 30, from: "2027-05-17", to: "2027-06-21" },
    ],
    cutWindowDays: 28,
    batchesWanted: 2,
  },
  answer: {
    peakPorts: { unit: "", label: "Most ports in use", key: true },
    peakDate: { unit: "", label: "First on", key: true },
    peakPercent: { unit: "%", label: "Of all ports", digits: 3 },
    firstClash: { unit: "", label: "First clash", key: true },
    clashBatches: { unit: "", label: "Batches in on that day" },
    intervalDays: { unit: "days", label: "Days between sowings", digits: 3 },
  },
  cautions: [],
  source: "counting",
  solve({ portsAvailable, batches, cutWindowDays, batchesWanted }): Solved {
    const inOn = (day: PlainDate) =>
      batches.filter(({ from, to }) => daysBetween(from, day) >= 0 && daysBetween(day, to) > 0);
    // The count only rises on a day when a batch comes in.
    const days = [...new Set(batches.map(({ from }) => from))].sort((a, b) => dayNumber(a) - dayNumber(b));
    const counted = days.map((day) => ({ day, ports: inOn(day).reduce((sum, batch) => sum + batch.ports, 0) }));
    const peakPorts = Math.max(0, ...counted.map(({ ports }) => ports));
    const peakDate = counted.find(({ ports }) => ports === peakPorts)?.day ?? null;
    const firstClash = counted.find(({ ports }) => ports > portsAvailable + 1e-9)?.day ?? null;
    const clashBatches = firstClash ? inOn(firstClash).map(({ code }) => code) : [];
    const peakPercent = (100 * peakPorts) / portsAvailable;
    const intervalDays =
      cutWindowDays === undefined || batchesWanted === undefined ? null : cutWindowDays / batchesWanted;
    return {
      answer: { peakPorts, peakDate, peakPercent, firstClash, clashBatches, intervalDays },
      working: [
        ...counted.map(({ day, ports }) => {
          const sum = inOn(day).map((batch) => `${number(batch.ports)} (${batch.code})`);
          return `${longDate(day)}: ${sum.join(" + ")} = ${number(ports)} ports`;
        }),
        `Peak = ${number(peakPorts)} of ${portsAvailable} ports, ${number(peakPercent, 3)} %`,
        ...(intervalDays === null
          ? []
          : [
              `Between sowings = ${number(cutWindowDays ?? 0)} ÷ ${number(batchesWanted ?? 1)} = ${quantity(intervalDays, "days")}`,
            ]),
      ],
      notes: [
        firstClash === null &&
          peakPercent > 95 &&
          warn(`At the peak over 95 % of the ports are taken: one slow batch and there is no room.`),
      ],
      refusal: firstClash
        ? {
            why: `First clash on ${firstClash}, with ${list(clashBatches)} in. At the peak, ${peakDate}, ${number(peakPorts)} ports are wanted and there are ${portsAvailable}.`,
            by: peakPorts - portsAvailable,
            nearest: { portsAvailable: peakPorts },
          }
        : undefined,
    };
  },
});
