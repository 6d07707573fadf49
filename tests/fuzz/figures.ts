import fc from "fast-check";
import { sentence } from "../../generator/records/messages.ts";
import { type FigureUnit, readAmount, readSpan } from "../../generator/records/quantity.ts";
import {
  addDays,
  dateFault,
  dateOf,
  dayNumber,
  isoWeek,
  mondayOf,
  ofOrdinal,
  ordinalOf,
  weekFault,
  weekStart,
} from "../../generator/science/calendar.ts";
import { type UnitSymbol, units } from "../../generator/science/units.ts";
import { expectPlainWords, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, pieces } from "./text.ts";

const symbols: readonly FigureUnit[] = [...(Object.keys(units) as UnitSymbol[]), "pH", ""];
const digits = fc.oneof(
  fc.stringMatching(/^\d{1,6}(?:\.\d{1,4})?$/),
  fc.constantFrom(
    "0",
    "-0",
    "+1",
    "−3",
    ".5",
    "5.",
    "1.2.3",
    "1,5",
    "1 000",
    "1e3",
    "1e400",
    "9".repeat(400),
    "１２",
    "½",
    "1/2",
    "one",
    "1:100",
    "٣",
    "²",
  ),
);
const dash = fc.constantFrom("–", "-", "—", " to ", " – ", "…", "..", "±", "+/-", "−", "‑", "–-", " ", "");
const unit = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom(...symbols) },
  {
    weight: 2,
    arbitrary: fc.constantFrom(
      "ppm",
      "ppm500",
      "ppm (700 scale)",
      "gal",
      "US gal",
      "mS",
      "μS/cm",
      "uS",
      "°F",
      "℃",
      "€",
      "$/kg",
      "percent",
      "DAYS",
      "pH",
    ),
  },
  { weight: 1, arbitrary: fc.constantFrom(...pieces) },
);
const hedge = fc.constantFrom("", "", "", "~", "about ", "max ", "<", "≥ ", "pH ", "up to ", "-", "– ", " ", "\u202f");

const figure = fc
  .tuple(
    hedge,
    digits,
    unit,
    fc.option(fc.tuple(dash, digits, unit)),
    fc.oneof({ weight: 5, arbitrary: fc.constant("") }, anyText),
    fc.constantFrom("", " ", "\u00a0", "\u202f", "  "),
  )
  .map(([before, low, first, more, tail, gap]) =>
    [before, low, more ? "" : gap + first, ...(more ? [more[0], more[1], gap, more[2]] : []), tail].join(""),
  );

/** What stands for one sign over and over, in which a reader might look back without end. */
const long = fc
  .tuple(
    fc.constantFrom("1", " ", "1 ", "–", "1–", ".", "1.", "m", "to", "to ", "e", ",", "½", "ppm ", "\u0301", "ﬁ"),
    fc.constantFrom(50, 119, 121, 5000, 60_000),
    unit,
  )
  .map(([piece, times, tail]) => `${piece.repeat(times)}${tail}`);

/** Figures with their units, and the days of the calendar. */
export const figureTargets: readonly Target[] = [
  target({
    name: "a quantity or a span",
    share: 50,
    cases: fc.tuple(
      fc.oneof({ weight: 20, arbitrary: figure }, { weight: 5, arbitrary: anyText }, { weight: 1, arbitrary: long }),
      fc.constantFrom(...symbols),
      fc.boolean(),
    ),
    hold([text, wanted, single]) {
      const read = () => (single ? readAmount(text, wanted) : readSpan(text, wanted));
      const found = read();
      hold(JSON.stringify(found) === JSON.stringify(read()), "the same figure was read in two ways");
      if ("value" in found) {
        const ends = typeof found.value === "number" ? [found.value, found.value] : [found.value.low, found.value.high];
        hold(ends.every(Number.isFinite) && ends[0]! <= ends[1]!, `read as ${ends.join(" to ")}`);
        return;
      }
      const { note = "" } = found.slip;
      hold(sentence(found.slip).length < 600 && note.length < 1200, "a sentence too long to read");
      expectPlainWords(`${sentence(found.slip)}\n${note}`, text);
    },
  }),
  target({
    name: "a day or a week",
    share: 30,
    cases: fc.oneof(
      fc
        .tuple(fc.integer({ min: 0, max: 10_100 }), fc.nat(14), fc.nat(33))
        .map(([year, month, day]) =>
          [year, month, day].map((part, at) => String(part).padStart(at ? 2 : 4, "0")).join("-"),
        ),
      fc
        .tuple(fc.integer({ min: 0, max: 10_100 }), fc.nat(60))
        .map(([year, week]) => `${String(year).padStart(4, "0")}-W${String(week).padStart(2, "0")}`),
      fc
        .tuple(fc.integer({ min: 0, max: 10_100 }), fc.nat(400))
        .map(([year, day]) => `${String(year).padStart(4, "0")}-${String(day).padStart(3, "0")}`),
      anyText,
      fc.constantFrom(
        "2027-02-29",
        "2027-2-3",
        "27-02-03",
        "2027-02-03\n",
        " 2027-02-03",
        "２０２７-02-03",
        "2027-02-03T00:00",
        "-271821-04-20",
        "2026-W53",
        "2027-w01",
      ),
    ),
    hold(text) {
      const fault = dateFault(text);
      if (fault === undefined) {
        hold(dateOf(dayNumber(text)) === text && addDays(addDays(text, 1), -1) === text, "another day");
        hold(ofOrdinal(ordinalOf(text)) === text, "another day by its number");
        // The last days of 9999 are in a week of the year after, which no text names.
        if (text < "9999-12-27") hold(mondayOf(isoWeek(text)) === weekStart(text), "another week");
      } else expectPlainWords(fault, text);
      const amiss = weekFault(text);
      if (amiss === undefined) hold(isoWeek(mondayOf(text)) === text, "another week");
      else expectPlainWords(amiss, text);
      for (const read of [mondayOf, ofOrdinal])
        try {
          hold(dateFault(read(text)) === undefined, "no day of the calendar");
        } catch (error) {
          if (!(error instanceof RangeError)) throw error;
          expectPlainWords(error.message, text);
        }
    },
  }),
];
