import {
  addDays as addTheirDays,
  differenceInCalendarDays,
  format,
  getISODay,
  getISOWeek,
  getISOWeeksInYear,
  getISOWeekYear,
} from "date-fns";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  addDays,
  dateFault,
  dateOf,
  dayNumber,
  dayOfYear,
  daysBetween,
  isoDay,
  isoWeek,
  mondayOf,
  ofOrdinal,
  onOrAfter,
  onOrBefore,
  ordinalOf,
  sameDayNextYear,
  seasonMonth,
  weekdayOf,
  weekdays,
  weekFault,
  weekStart,
  weeksInYear,
  yearOf,
} from "../../generator/science/calendar.ts";

/** Any date from 1600 to 2400. */
const dates = fc.integer({ min: dayNumber("1600-01-01"), max: dayNumber("2400-12-31") }).map(dateOf);
const spans = fc.integer({ min: -20_000, max: 20_000 });

/** Noon of the day where this runs, so that no summer time can move it. */
function theirs(date: string): Date {
  const [year, month, day] = date.split("-").map(Number) as [number, number, number];
  return new Date(year, month - 1, day, 12);
}

describe("addDays", () => {
  it("is undone by daysBetween and by going back", () => {
    fc.assert(
      fc.property(dates, spans, (date, days) => {
        const later = addDays(date, days);
        expect(daysBetween(date, later)).toBe(days);
        expect(addDays(later, -days)).toBe(date);
        expect(yearOf(later) < 1600 || dateFault(later) === undefined).toBe(true);
      }),
    );
  });

  it("agrees with another calendar over random dates", () => {
    fc.assert(
      fc.property(dates, spans, dates, (date, days, other) => {
        expect(addDays(date, days)).toBe(format(addTheirDays(theirs(date), days), "yyyy-MM-dd"));
        expect(daysBetween(date, other)).toBe(differenceInCalendarDays(theirs(other), theirs(date)));
      }),
      { numRuns: 500 },
    );
  });

  it("knows leap days and the ends of years", () => {
    expect(addDays("2028-03-01", -1)).toBe("2028-02-29");
    expect(addDays("2027-03-01", -1)).toBe("2027-02-28");
    expect(addDays("2026-12-31", 1)).toBe("2027-01-01");
    expect(addDays("1900-02-28", 1)).toBe("1900-03-01");
    expect(addDays("2000-02-28", 1)).toBe("2000-02-29");
    expect(addDays("9999-12-31", 1)).toBe("10000-01-01");
    expect(dayOfYear("10000-12-31")).toBe(366);
  });

  it("counts from 1970, on a Thursday", () => {
    expect(dayNumber("1970-01-01")).toBe(0);
    expect(weekdayOf("1970-01-01")).toBe("Thu");
  });
});

describe("isoWeek", () => {
  it("gives the first days of January to the old year when their Thursday is in it (ISO 8601)", () => {
    expect(isoWeek("2026-12-31")).toBe("2026-W53");
    expect(isoWeek("2027-01-01")).toBe("2026-W53");
    expect(isoWeek("2027-01-04")).toBe("2027-W01");
    expect(isoWeek("2024-12-30")).toBe("2025-W01");
  });

  it("agrees with another calendar over random dates", () => {
    fc.assert(
      fc.property(dates, (date) => {
        const day = theirs(date);
        const week = String(getISOWeek(day)).padStart(2, "0");
        expect(isoWeek(date)).toBe(`${getISOWeekYear(day)}-W${week}`);
        expect(isoDay(date)).toBe(getISODay(day));
        expect(weeksInYear(yearOf(date))).toBe(getISOWeeksInYear(theirs(`${yearOf(date)}-06-15`)));
      }),
      { numRuns: 1000 },
    );
  });

  it("goes round by its Monday", () => {
    fc.assert(
      fc.property(
        dates.filter((date) => date > "1600-01-07"),
        (date) => {
          expect(mondayOf(isoWeek(date))).toBe(weekStart(date));
          expect(isoWeek(mondayOf(isoWeek(date)))).toBe(isoWeek(date));
          expect(weekdayOf(weekStart(date))).toBe("Mon");
        },
      ),
    );
  });

  it("says why a week is none", () => {
    expect(weekFault("2026-W53")).toBeUndefined();
    expect(weekFault("2027-W53")).toBe("2027 has weeks 1 to 52, not 53");
    expect(weekFault("2027-W00")).toBe("2027 has weeks 1 to 52, not 0");
    expect(weekFault("2027-12")).toBe("a week is written year-W-week, such as 2027-W12");
    expect(weekFault("0202-W12")).toBe("the year 202 is before 1600");
    expect(() => mondayOf("2027-W53")).toThrow(RangeError);
  });
});

describe("ordinalOf", () => {
  it("writes 29 February 2028 as 2028-060 and goes round", () => {
    expect(ordinalOf("2028-02-29")).toBe("2028-060");
    expect(ordinalOf("2028-12-31")).toBe("2028-366");
    expect(ofOrdinal("2027-060")).toBe("2027-03-01");
    fc.assert(
      fc.property(dates, (date) => {
        expect(ofOrdinal(ordinalOf(date))).toBe(date);
      }),
    );
  });

  it("refuses days that a year does not have", () => {
    for (const text of ["2027-366", "2028-367", "2028-000", "2028-60", "nonsense"]) {
      expect(() => ofOrdinal(text)).toThrow(RangeError);
    }
  });
});

describe("sameDayNextYear", () => {
  it("keeps 29 February on 28 February in common years, and the day otherwise", () => {
    expect(sameDayNextYear("2028-02-29")).toBe("2029-02-28");
    expect(sameDayNextYear("2027-02-28")).toBe("2028-02-28");
    fc.assert(
      fc.property(dates, (date) => {
        const next = sameDayNextYear(date);
        expect(dateFault(next)).toBeUndefined();
        expect([365, 366]).toContain(daysBetween(date, next));
      }),
    );
  });
});

describe("onOrBefore and onOrAfter", () => {
  it("find the nearest day on their side", () => {
    expect(onOrBefore("2027-03-24", ["Mon", "Thu"])).toBe("2027-03-22");
    expect(onOrAfter("2027-03-24", ["Mon", "Thu"])).toBe("2027-03-25");
    fc.assert(
      fc.property(dates, fc.subarray([...weekdays], { minLength: 1 }), (date, days) => {
        const [before, after] = [onOrBefore(date, days), onOrAfter(date, days)];
        expect(days).toContain(weekdayOf(before));
        expect(days).toContain(weekdayOf(after));
        for (let day = addDays(before, 1); daysBetween(day, after) > 0; day = addDays(day, 1)) {
          expect(day === date || !days.includes(weekdayOf(day))).toBe(true);
        }
        expect(daysBetween(before, date)).toBeGreaterThanOrEqual(0);
        expect(daysBetween(date, after)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it("need a day to look for", () => expect(() => onOrAfter("2027-03-24", [])).toThrow(RangeError));
});

describe("seasonMonth", () => {
  it("moves a northern month six on in the south, and twice is none", () => {
    expect([3, 5, 11, 2].map((month) => seasonMonth(month, -36.8))).toEqual([9, 11, 5, 8]);
    for (let month = 1; month <= 12; month++) {
      expect(seasonMonth(month, 0)).toBe(month);
      expect(seasonMonth(seasonMonth(month, -1), -1)).toBe(month);
    }
  });
});

describe("dateFault", () => {
  it("says what is wrong in words", () => {
    expect(dateFault("2027-02-29")).toBe("2027 has no 29 February");
    expect(dateFault("2028-02-29")).toBeUndefined();
    expect(dateFault("2027-13-01")).toBe("there is no month 13");
    expect(dateFault("2027-04-31")).toBe("there is no 31 April");
    expect(dateFault("2028-02-30")).toBe("there is no 30 February");
    expect(dateFault("27-4-1")).toBe("a date is written year-month-day, such as 2027-03-22");
  });
});
