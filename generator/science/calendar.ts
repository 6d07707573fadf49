/** A plain calendar day, `2027-03-22`, with no clock and no time zone. ISO 8601, proleptic Gregorian calendar. */
export type PlainDate = string;

/** Days of the week as ISO 8601 orders them, Monday first. */
export const weekdays = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"] as const;
export type Weekday = (typeof weekdays)[number];

export const monthNames = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
] as const;

/**
 * Why `text` is no date of the calendar, as a sentence without a full stop, or undefined when it is one.
 * Years 1600 to 9999, so that a slip such as year 0202 is caught.
 */
export function dateFault(text: string): string | undefined {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!match) return "a date is written year-month-day, such as 2027-03-22";
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  if (year < 1600) return `the year ${year} is before 1600`;
  if (month < 1 || month > 12) return `there is no month ${month}`;
  const name = monthNames[month - 1]!;
  if (day < 1) return `there is no ${day} ${name}`;
  if (day > daysInMonth(year, month)) {
    return day === 29 && month === 2 ? `${year} has no 29 February` : `there is no ${day} ${name}`;
  }
  return undefined;
}

/** Whole days from 1970-01-01 to `date`; negative before it. */
export function dayNumber(date: PlainDate): number {
  const known = numbered.get(date);
  if (known !== undefined) return known;
  const number = counted(date);
  if (numbered.size >= 10_000) numbered.clear();
  numbered.set(date, number);
  return number;
}

/** A plan asks for the same few days very often. */
const numbered = new Map<PlainDate, number>();

function counted(date: PlainDate): number {
  const [year, month, day] = date.split("-").map(Number) as [number, number, number];
  // Days from civil: the year starts in March, so that the leap day is its last.
  const shifted = month > 2 ? year : year - 1;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const dayOfShifted = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfShifted;
  return era * 146_097 + dayOfEra - 719_468;
}

/** The date `number` whole days after 1970-01-01; the inverse of {@link dayNumber}. */
export function dateOf(number: number): PlainDate {
  const z = number + 719_468;
  const era = Math.floor(z / 146_097);
  const dayOfEra = z - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36_524) - Math.floor(dayOfEra / 146_096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shiftedMonth = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * shiftedMonth + 2) / 5) + 1;
  const month = shiftedMonth < 10 ? shiftedMonth + 3 : shiftedMonth - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`;
}

/** `date` and `days` whole days later, or earlier when negative. */
export function addDays(date: PlainDate, days: number): PlainDate {
  return dateOf(dayNumber(date) + days);
}

/** Whole days from `from` to `to`; negative when `to` is earlier. */
export function daysBetween(from: PlainDate, to: PlainDate): number {
  return dayNumber(to) - dayNumber(from);
}

/** 1 Monday to 7 Sunday. */
export function isoDay(date: PlainDate): number {
  return ((((dayNumber(date) + 3) % 7) + 7) % 7) + 1;
}

export function weekdayOf(date: PlainDate): Weekday {
  return weekdays[isoDay(date) - 1]!;
}

/** The Monday of the ISO week that `date` is in. */
export function weekStart(date: PlainDate): PlainDate {
  return addDays(date, 1 - isoDay(date));
}

/** The ISO week, `2026-W53`. Its year is that of its Thursday, so 1 January 2027 is in 2026-W53. */
export function isoWeek(date: PlainDate): string {
  const thursday = addDays(weekStart(date), 3);
  return `${String(yearOf(thursday)).padStart(4, "0")}-W${two(Math.ceil(dayOfYear(thursday) / 7))}`;
}

/** 1 on 1 January to 365, or 366 in a leap year. */
export function dayOfYear(date: PlainDate): number {
  return dayNumber(date) - dayNumber(`${yearOf(date)}-01-01`) + 1;
}

export function isLeapYear(year: number): boolean {
  return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
}

export function daysInMonth(year: number, month: number): number {
  if (month === 2) return isLeapYear(year) ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

/** The calendar year of `date`. */
export function yearOf(date: PlainDate): number {
  return Number(date.slice(0, date.indexOf("-")));
}

/** Why `text` is no ISO week, as a sentence without a full stop, or undefined when it is one. */
export function weekFault(text: string): string | undefined {
  const match = /^(\d{4})-W(\d{2})$/.exec(text);
  if (!match) return "a week is written year-W-week, such as 2027-W12";
  const [year, week] = match.slice(1).map(Number) as [number, number];
  if (year < 1600) return `the year ${year} is before 1600`;
  const weeks = weeksInYear(year);
  return week < 1 || week > weeks ? `${year} has weeks 1 to ${weeks}, not ${week}` : undefined;
}

/** The Monday of an ISO week such as `2026-W53`. @throws RangeError when there is no such week. */
export function mondayOf(week: string): PlainDate {
  const fault = weekFault(week);
  if (fault) throw new RangeError(`Unexpected ${week}: ${fault}`);
  // 4 January is always in week 1.
  return addDays(weekStart(`${week.slice(0, 4)}-01-04`), 7 * (Number(week.slice(6)) - 1));
}

/** 53 in a year whose 31 December or 1 January is a Thursday, else 52. */
export function weeksInYear(year: number): 52 | 53 {
  return isoDay(`${year}-01-01`) === 4 || isoDay(`${year}-12-31`) === 4 ? 53 : 52;
}

/** Year and day of the year, `2028-060`. */
export function ordinalOf(date: PlainDate): string {
  return `${String(yearOf(date)).padStart(4, "0")}-${String(dayOfYear(date)).padStart(3, "0")}`;
}

/** The date of an ordinal date such as `2028-060`. @throws RangeError when the year has no such day. */
export function ofOrdinal(ordinal: string): PlainDate {
  const match = /^(\d{4})-(\d{3})$/.exec(ordinal);
  const [year, day] = (match ?? []).slice(1).map(Number) as [number, number];
  if (!match || year < 1600 || day < 1 || day > (isLeapYear(year) ? 366 : 365)) {
    throw new RangeError(`Unexpected ${ordinal}, expected a year from 1600 and a day of it, such as 2028-060`);
  }
  return addDays(`${year}-01-01`, day - 1);
}

/** The same day a year later; what falls on 29 February falls on 28 February in a common year. */
export function sameDayNextYear(date: PlainDate): PlainDate {
  const [year, month, day] = date.split("-").map(Number) as [number, number, number];
  return `${String(year + 1).padStart(4, "0")}-${two(month)}-${two(Math.min(day, daysInMonth(year + 1, month)))}`;
}

/** The last of `days` of the week that is not after `date`. @throws RangeError when no day is named. */
export function onOrBefore(date: PlainDate, days: readonly Weekday[]): PlainDate {
  return nearestDay(date, days, -1);
}

/** The first of `days` of the week that is not before `date`. @throws RangeError when no day is named. */
export function onOrAfter(date: PlainDate, days: readonly Weekday[]): PlainDate {
  return nearestDay(date, days, 1);
}

/** A month, 1 to 12, of a season written for the north, where the latitude is `latitude`: six months on in the south. */
export function seasonMonth(month: number, latitude: number): number {
  return latitude < 0 ? ((month - 1 + 6) % 12) + 1 : month;
}

function nearestDay(date: PlainDate, days: readonly Weekday[], step: 1 | -1): PlainDate {
  for (let away = 0; away < 7; away++) {
    const candidate = addDays(date, step * away);
    if (days.includes(weekdayOf(candidate))) return candidate;
  }
  throw new RangeError("Unexpected no day of the week, expected at least one");
}

function two(number: number): string {
  return String(number).padStart(2, "0");
}
