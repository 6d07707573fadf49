import { ICalCalendar, ICalEventTransparency } from "ical-generator";
import type { Exported } from "./exports.ts";
import { addDays, dayNumber, type PlainDate } from "./science/calendar.ts";
import type { Task } from "./supply/agenda.ts";

/** What a calendar says of the book that it is from. */
interface Of {
  readonly name: string;
  readonly edition: PlainDate;
  readonly demo?: boolean | undefined;
}

/**
 * Everything to be done as a calendar (iCalendar, RFC 5545): an event of whole days each, which leaves the days free. What an
 * event is called by stays from edition to edition, so a calendar that reads the file again moves what has moved.
 */
export function exportCalendar(
  book: Of,
  tasks: readonly Pick<Task, "key" | "on" | "until" | "title" | "facts">[],
): Exported {
  const calendar = new ICalCalendar({
    prodId: "//Tierbook//EN",
    scale: "GREGORIAN",
    // The library writes a calendar's name as it stands, and what an event says escaped.
    name: readable(book.demo ? `${book.name} (demo)` : book.name)
      .replaceAll("\n", " ")
      .replace(/[\\;,]/g, "\\$&"),
    events: tasks.map(({ key, on, until, title, facts }) => ({
      id: `${key}@${hostOf(book.name)}`,
      // Whoever read an earlier edition takes a later one for newer.
      sequence: Math.max(0, dayNumber(book.edition)),
      stamp: midnight(book.edition),
      start: midnight(on),
      end: midnight(addDays(until, 1)),
      allDay: true,
      summary: readable(title),
      description: readable(facts.join("\n")),
      transparency: ICalEventTransparency.TRANSPARENT,
    })),
  });
  return { name: "yard.ics", text: `${ownLinesOnly(calendar.toString())}\r\n` };
}

/** A name for the yard that may stand after an `@`: its letters and digits without accents, or what each letter is numbered. */
function hostOf(name: string): string {
  const plain = name.normalize("NFKD").toLowerCase();
  const latin = plain.replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  const numbered = [...name].map((letter) => letter.codePointAt(0)!.toString(36)).join("-");
  return `${(latin.length > 2 ? latin : numbered).slice(0, 60)}.tierbook`;
}

/** Text that any reader can take: whole characters, and of those that cannot be seen only the end of a line. */
function readable(text: string): string {
  return text
    .replace(/\r\n?/g, "\n")
    .replace(/\p{Cs}/gu, "\uFFFD")
    .replace(/[\p{Cc}\u2028\u2029]/gu, (sign) => (sign === "\n" ? sign : " "));
}

/** Without the lines that one maker's programs alone read; the start of a line is never text, which goes on after a space. */
function ownLinesOnly(text: string): string {
  return text.replace(/^X-MICROSOFT-[^\r\n]*\r\n/gm, "");
}

function midnight(day: PlainDate): Date {
  return new Date(`${day}T00:00:00Z`);
}
