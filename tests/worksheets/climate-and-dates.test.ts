import { describe, it } from "vitest";
import { type Asked, amiss, answers, titled } from "./asked.ts";

const batch = (code: string, ports: number, from: string, to: string) => ({ code, ports, from, to });
const stages = [{ name: "all", days: 51 }];

const asked: readonly Asked[] = [
  {
    of: "light-total",
    input: { lux: [5400], hours: 10 },
    verdict: "refuse",
    says: ["factor"],
    // 5400 ÷ 54 × 10 × 0.0036; 5400 ÷ 70 × 10 × 0.0036
    nearest: { dliIfSun: 3.6, dliIfWhiteLed: 2.777143 },
    answer: { meanPpfd: null, dli: null, estimate: true },
  },
  {
    of: "light-total",
    input: { lux: [5400, 16_200], hours: 10, luxSource: "sun" },
    verdict: "warn",
    says: ["estimate", "uneven"],
    answer: { meanPpfd: 200, lowestPpfd: 100, dli: 7.2, dliLowest: 3.6, estimate: true },
  },
  {
    of: "light-total",
    input: { lux: [100], hours: 1, luxFactor: 50, luxSource: "sun" },
    verdict: "warn",
    answer: { meanPpfd: 2 },
  },
  {
    of: "lamp-plan",
    input: { ppfd: 100, targetDli: 36 },
    verdict: "refuse",
    says: ["hours", "24"],
    // 36 ÷ 0.36 = 100 h; 18 h × 0.36 = 6.48 mol; √(36 ÷ 6.48) = 2.36, held at 2
    answer: { hoursNeeded: 100, dliAtMaxHours: 6.48, slowerFactor: 2 },
    by: 82,
  },
  {
    of: "lamp-plan",
    input: { ppfd: 200, targetDli: 7.2, hoursNow: 12, lamps: 8, lampWatts: 320 },
    verdict: "warn",
    says: ["fall"],
    // 7.2 ÷ 0.72 = 10 h; 200 ÷ 2.6 ÷ 0.75 × 10 ÷ 1000; 8 × 320 × 12 ÷ 1000
    answer: {
      hoursNeeded: 10,
      dliNow: 8.64,
      planHours: 10,
      kwhPerM2Day: 1.025641,
      lampKwhPerDay: 30.72,
      slowerFactor: 1,
    },
  },
  { of: "lamp-plan", input: { ppfd: 200, targetDli: 7.2, hoursNow: 8 }, verdict: "warn", says: ["short"] },
  { of: "lamp-plan", input: { ppfd: 200, targetDli: 7.2, hoursNow: 10 }, verdict: "ok" },
  { of: "lamp-plan", input: { ppfd: 200, targetDli: 14.4, maxHours: 20 }, verdict: "warn", says: ["dark"] },
  {
    of: "day-length",
    input: { latitude: -36.8, date: "2027-06-21", thresholdHours: 15 },
    verdict: "refuse",
    says: ["never"],
    answer: { daysMeeting: 0, windowStart: null, crossesNewYear: null },
  },
  {
    of: "day-length",
    input: { latitude: 70, date: "2028-06-21", thresholdHours: 24, sun: "civil" },
    verdict: "warn",
    says: ["latitude", "6°"],
    answer: { hours: 24, longest: 24, crossesNewYear: false, dayOfYear: 173 },
  },
  {
    of: "day-length",
    input: { latitude: 52.2, date: "2028-02-15", thresholdHours: 0 },
    verdict: "ok",
    answer: { daysMeeting: 366, windowStart: "2028-01-01", windowEnd: "2028-12-31", crossesNewYear: false },
  },
  { of: "growing-days", input: { baseDays: 30 }, verdict: "ok", answer: { days: 30, factor: 1, method: "record" } },
  {
    of: "growing-days",
    input: { baseDays: 30, dliReference: 16, dliNow: 1 },
    verdict: "warn",
    says: ["held"],
    answer: { days: 60, factor: 2 },
  },
  {
    of: "growing-days",
    input: { baseDays: 30, dliReference: 16, dliNow: 9, heatSum: 600, meanTemp: 19, baseTemp: 4 },
    verdict: "refuse",
    says: ["stack"],
    nearest: { lightDays: 40, heatDays: 40 },
    answer: { days: null },
    by: null,
  },
  {
    of: "growing-days",
    input: { heatSum: 600, meanTemp: 1, baseTemp: 4 },
    verdict: "refuse",
    says: ["cold"],
    by: 3,
    nearest: { meanTempAbove: 4 },
  },
  {
    of: "air-dryness",
    input: { airTemp: 25, humidity: 30, leafOffset: 0, stage: "leaf" },
    verdict: "warn",
    says: ["dry"],
    // 3.1678 × 0.7
    answer: { band: "above", vpd: 2.21744 },
  },
  {
    of: "air-dryness",
    input: { airTemp: 20, humidity: 99, stage: "seedling" },
    verdict: "warn",
    says: ["damp", "mould", "condensation", "stuck"],
    answer: { band: "below", mouldRisk: true },
  },
  { of: "air-dryness", input: { airTemp: 20, humidity: 0 }, verdict: "ok", answer: { dewPoint: null } },
  {
    of: "air-dryness",
    input: { airTemp: 20, humidity: 100, leafOffset: 0 },
    verdict: "warn",
    answer: { dewPoint: 20, vpd: 0 },
  },
  {
    of: "room-load",
    input: { lampWatts: 1000, lampHours: 10, pumpWatts: 100, litresPerDay: 60, dryerRated: 50, units: 2 },
    verdict: "refuse",
    says: ["damp"],
    by: 10,
    nearest: { units: 3, rated: 60 },
    answer: { heatKw: 1.1, heatKwhPerDay: 12.4, dryerLitresHere: 50, unitsNeeded: 3 },
  },
  {
    of: "room-load",
    input: { lampWatts: 0, lampHours: 0, litresPerDay: 10, dryerRated: 50, units: 0 },
    verdict: "refuse",
    by: 10,
    nearest: { units: 1, rated: 20 },
  },
  {
    of: "room-load",
    input: { lampWatts: 1, lampHours: 1, litresPerDay: 24, dryerRated: 50 },
    verdict: "warn",
    says: ["spare"],
  },
  { of: "room-load", input: { lampWatts: 1, lampHours: 1, litresPerDay: 24 }, verdict: "warn", says: ["not checked"] },
  {
    of: "house-heat",
    input: { coverM2: 100, deltaT: 10, cropM2: 50, litresPerM2Day: 4 },
    verdict: "ok",
    says: ["designer"],
    answer: { heatKw: 6.2, peakLitresPerHour: 30 },
  },
  {
    of: "sow-date",
    input: { need: "2030-05-14", stages, bufferDays: 15, today: "2027-04-12" },
    verdict: "warn",
    says: ["buffer", "two years"],
    answer: { daysLate: 0 },
  },
  {
    of: "sow-date",
    input: {
      need: "2027-05-14",
      stages,
      today: "2027-04-12",
      batches: [
        { code: "OLD", ageDays: 90 },
        { code: "YOUNG", ageDays: 18 },
        { code: "JUST", ageDays: 19 },
      ],
    },
    verdict: "refuse",
    says: ["earliest", "OLD", "JUST"],
    by: 19,
    answer: {
      stageDates: [],
      totalDays: 51,
      sowWeek: null,
      batchesInTime: [
        { code: "OLD", readyDate: "2027-04-12" },
        { code: "JUST", readyDate: "2027-05-14" },
      ],
    },
  },
  {
    of: "sow-date",
    input: { need: "2028-03-01", stages: [{ name: "tray", days: 1 }], sowDays: ["Tue"] },
    verdict: "ok",
    answer: { rawDate: "2028-02-29", sowDate: "2028-02-29", sowWeek: "2028-W09", slackDays: 0, batchesInTime: [] },
  },
  {
    // Mon 3 May is a holiday and the Thursday before it is named too: Mon 26 April is the last sowing day in time.
    of: "sow-date",
    input: {
      need: "2027-05-14",
      stages: [{ name: "tray", days: 10 }],
      holidays: ["2027-05-03", "2027-04-29"],
    },
    verdict: "ok",
    answer: { rawDate: "2027-05-04", sowDate: "2027-04-26", readyDate: "2027-05-06", slackDays: 8 },
  },
  {
    // Today is one of the holidays: the first sowing is on Thu 6 May, so the earliest is Sun 16 May, two days late.
    of: "sow-date",
    input: {
      need: "2027-05-14",
      stages: [{ name: "tray", days: 10 }],
      holidays: ["2027-05-03"],
      today: "2027-05-03",
    },
    verdict: "refuse",
    says: ["16 May"],
    by: 2,
    answer: { earliestReady: "2027-05-16", daysLate: 2, sowDate: null },
  },
  {
    of: "calendar-date",
    input: { date: "2028-02-29" },
    verdict: "ok",
    answer: { ordinal: "2028-060", sameDayNextYear: "2029-02-28", leapYear: true, isoDay: 2, weekEnd: "2028-03-05" },
  },
  {
    of: "month-shift",
    input: { fromMonth: 5, toMonth: 8, latitude: -36.8 },
    verdict: "ok",
    answer: { from: 11, to: 2, text: "Nov–Feb", shiftedBy: 6, crossesNewYear: true },
  },
  {
    of: "month-shift",
    input: { fromMonth: 3, toMonth: 3, latitude: 10 },
    verdict: "warn",
    says: ["tropics"],
    answer: { text: "Mar", shiftedBy: 0 },
  },
  {
    of: "port-calendar",
    // A leaves on the day B comes in: its ports are free again that day.
    input: {
      portsAvailable: 40,
      batches: [batch("A", 39, "2027-01-01", "2027-02-01"), batch("B", 40, "2027-02-01", "2027-03-01")],
      cutWindowDays: 28,
      batchesWanted: 4,
    },
    verdict: "warn",
    says: ["95"],
    answer: {
      peakPorts: 40,
      peakDate: "2027-02-01",
      peakPercent: 100,
      firstClash: null,
      clashBatches: [],
      intervalDays: 7,
    },
  },
  {
    of: "port-calendar",
    input: { portsAvailable: 9, batches: [] },
    verdict: "ok",
    answer: { peakPorts: 0, peakDate: null },
  },
];

describe("answers, warnings and refusals", () => {
  it.each(titled(asked))("%s %s", (_, __, wanted) => answers(wanted));
});

describe("what is not well put", () => {
  it.each([
    ["light-total", { ppfd: [1], lux: [1], hours: 1 }, "ppfd"],
    ["light-total", { hours: 1 }, "ppfd"],
    ["lamp-plan", { ppfd: 200, targetDli: 14, lamps: 3 }, "lampWatts"],
    ["growing-days", {}, "baseDays"],
    ["growing-days", { dliReference: 14, dliNow: 9 }, "baseDays"],
    ["growing-days", { baseDays: 30, dliNow: 9 }, "dliReference"],
    ["growing-days", { heatSum: 600, meanTemp: 17 }, "baseTemp"],
    ["calendar-date", { date: "2027-02-29" }, "date"],
    ["sow-date", { need: "2027-05-14", stages: [{ name: "a", days: -1 }] }, "stages[0].days"],
    ["sow-date", { need: "2027-05-14", stages, sowDays: [] }, "sowDays"],
    ["sow-date", { need: "2027-05-14", stages, holidays: ["2027-02-30"] }, "holidays[0]"],
    ["port-calendar", { portsAvailable: 1, batches: [batch("A", 1, "2027-01-02", "2027-01-02")] }, "batches[0].to"],
  ])("%s %j is said to be amiss at %s", amiss);
});
