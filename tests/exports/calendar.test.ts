import fc from "fast-check";
import ICAL from "ical.js";
import { describe, expect, it } from "vitest";
import { exportCalendar } from "../../generator/calendar.ts";

const book = { name: "Yard", edition: "2027-04-12", demo: false };
const sow = {
  key: "sow-kitchen-2027-05-14",
  on: "2027-03-22",
  until: "2027-03-22",
  title: "Sow basil",
  facts: ["72 cells", "BAS-27081-01-7"],
};

/** The events of a calendar as another program reads them. */
function eventsOf(text: string) {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents("vevent").map((component) => {
    const event = new ICAL.Event(component);
    return {
      uid: event.uid,
      start: event.startDate,
      end: event.endDate,
      summary: event.summary,
      description: event.description,
      sequence: event.sequence,
      stamp: String(component.getFirstPropertyValue("dtstamp")),
      transparent: component.getFirstPropertyValue("transp"),
    };
  });
}

/** Lines as they stand in the file, without the end of the last. */
function linesOf(text: string): readonly string[] {
  expect(text.endsWith("\r\n")).toBe(true);
  return text.slice(0, -2).split("\r\n");
}

describe("exportCalendar", () => {
  it("writes a day as another program reads it: whole, free, stamped with the edition and no clock", () => {
    const [event] = eventsOf(exportCalendar(book, [sow]).text);
    expect(event).toMatchObject({
      uid: "sow-kitchen-2027-05-14@yard.tierbook",
      summary: "Sow basil",
      description: "72 cells\nBAS-27081-01-7",
      stamp: "2027-04-12T00:00:00Z",
      transparent: "TRANSPARENT",
    });
    expect(event!.start.isDate).toBe(true);
    expect([event!.start.toString(), event!.end.toString()]).toEqual(["2027-03-22", "2027-03-23"]);
  });

  it("ends an event of several days on the day after its last, as the standard has it", () => {
    const [event] = eventsOf(exportCalendar(book, [{ ...sow, until: "2027-03-31" }]).text);
    expect(event!.end.toString()).toBe("2027-04-01");
  });

  it("keeps what an event is called by when its day moves, and is taken for newer in a later edition", () => {
    const [was] = eventsOf(exportCalendar(book, [sow]).text);
    const later = exportCalendar({ ...book, edition: "2027-04-19" }, [
      { ...sow, on: "2027-03-25", until: "2027-03-25" },
    ]);
    const [is] = eventsOf(later.text);
    expect(is!.uid).toBe(was!.uid);
    expect(is!.sequence - was!.sequence).toBe(7);
    expect(is!.stamp > was!.stamp).toBe(true);
  });

  it("names a yard in any script, with signs that the format uses itself", () => {
    for (const name of ["Gärtnerei; Süd, Nord\\West", "苗圃", "مزرعة"]) {
      const { text } = exportCalendar({ ...book, name }, [sow]);
      const calendar = new ICAL.Component(ICAL.parse(text));
      // A reader that does not know a property gives its text as it is escaped in the file.
      const escaped = String(calendar.getFirstPropertyValue("x-wr-calname"));
      expect(escaped).not.toMatch(/(?<!\\)[;,]/);
      expect(escaped.replace(/\\([\\;,])/g, "$1")).toBe(name);
      expect(eventsOf(text)[0]!.uid).toMatch(/^[\x21-\x7e]+@[a-z0-9-]+\.tierbook$/);
    }
    const uids = ["苗圃", "مزرعة"].map((name) => eventsOf(exportCalendar({ ...book, name }, [sow]).text)[0]!.uid);
    expect(new Set(uids).size).toBe(2);
  });

  const text = fc.oneof(
    fc.string({ unit: "grapheme", maxLength: 200 }),
    fc.string({ unit: fc.constantFrom("\\", ";", ",", ":", '"', "\n", "n", " ", "é", "苗", "🌱"), maxLength: 200 }),
  );

  it("gives back every text as it was, in lines of at most 75 octets that end as they should", () => {
    fc.assert(
      fc.property(text, text, (title, fact) => {
        const plain = (words: string) =>
          words.replace(/[\p{Cc}\u2028\u2029]/gu, (sign) => (sign === "\n" ? sign : " "));
        const file = exportCalendar(book, [{ ...sow, title: `Sow ${title}`, facts: [`For ${fact}`] }]).text;
        for (const line of linesOf(file)) {
          expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
          expect(line).not.toMatch(/[\r\n]/);
        }
        // No character is cut in two: each line is whole UTF-8 by itself.
        for (const line of linesOf(file)) expect(Buffer.from(line).toString()).toBe(line);
        const [event] = eventsOf(file);
        expect(event!.summary).toBe(plain(`Sow ${title}`.replace(/\r\n?/g, "\n")));
        expect(event!.description).toBe(plain(`For ${fact}`.replace(/\r\n?/g, "\n")));
      }),
    );
  });

  it("lets no text begin a line of its own or end the event", () => {
    const title = "Sow\r\nEND:VEVENT\r\nBEGIN:VALARM\u0000\u2028X-MICROSOFT-CDO:1";
    const events = eventsOf(exportCalendar(book, [{ ...sow, title }]).text);
    expect(events.map(({ summary }) => summary)).toEqual(["Sow\nEND:VEVENT\nBEGIN:VALARM  X-MICROSOFT-CDO:1"]);
  });

  it("is the same twice, and a calendar without events is one still", () => {
    expect(exportCalendar(book, [sow])).toEqual(exportCalendar(book, [sow]));
    expect(eventsOf(exportCalendar(book, []).text)).toEqual([]);
  });
});
