import * as fs from "node:fs/promises";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { parse as readCsv } from "csv-parse/sync";
import ICAL from "ical.js";
import { VFile } from "vfile";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parse as readYaml, stringify } from "yaml";
import { exportCalendar } from "../generator/calendar.ts";
import { main } from "../generator/cli.ts";
import { visible } from "../generator/commands/visible.ts";
import { customerEdition, staffEdition } from "../generator/editions.ts";
import { exportCrops, exportPlan } from "../generator/exports.ts";
import { kindNames } from "../generator/library.ts";
import { check, read } from "../generator/node.ts";
import { Book, type Kind, kinds, read as readRecord } from "../generator/records/index.ts";
import { agendaOf } from "../generator/supply/agenda.ts";
import { bookPlan } from "../generator/supply/planned.ts";
import { canaryFiles, faults } from "./canaries.ts";
import { demo, small } from "./fuzz/book.ts";
import { strays } from "./fuzz/promises.ts";
import { plantHostile } from "./hostile/book.ts";
import { hostile } from "./hostile/values.ts";

/** What may reach a terminal: no sign but the end of a line that steers it or turns the way of writing round. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: just these
const steering = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]|\p{Cs}/u;

/** What a spreadsheet takes for a formula. */
const formula = /^[=+\-@\t\r]/;

describe("a record with a hostile value in every field of its schema", () => {
  const canaries = [...canaryFiles("everyone"), ...canaryFiles("staff")];

  it("is there for every kind", () =>
    expect(new Set(canaries.map(({ path }) => path.split("/")[0]))).toEqual(new Set([...kindNames, "book.md"])));

  it.each(canaries.map((file, index) => [`${file.path} ${index}`, file] as const))(
    "%s is read as it is written",
    (_name, file) => {
      for (const make of hostile) {
        const value = make("hq0n0z");
        const made = withValue(file, value);
        // Some fields are words of one form, such as initials. What is told of those is a sentence on one line.
        for (const sentence of faults(made)) expect(visible(sentence)).not.toMatch(/[\r\n]|undefined|\[object/);
        const schema = file.path === "book.md" ? Book : kinds[file.path.split("/")[0] as Kind];
        const reading = readRecord(new VFile({ path: made.path, value: String(made) }), schema);
        expect(leavesOf(reading?.raw)).toContain(value);
        expect(leavesOf(reading?.fields)).toContain(value.trim());
      }
    },
  );
});

describe("what the hostile book is made into", () => {
  let files: readonly VFile[];
  let library: NonNullable<ReturnType<typeof check>["library"]>;
  beforeAll(async () => {
    files = plantHostile(await read(demo)).files;
    library = check(files.map(({ path, value }) => new VFile({ path, value: value! }))).library!;
  }, 120_000);

  it("is plain JSON in both editions", () => {
    for (const edition of [customerEdition(library), staffEdition(library)]) {
      const text = JSON.stringify(edition);
      expect(strays(JSON.parse(text))).toEqual([]);
      expect(text).toContain("<script>");
    }
  });

  it("is tables without a formula, in which a number is a number", () => {
    const staff = staffEdition(library);
    for (const { name, text } of [
      ...exportCrops(staff),
      ...exportCrops(customerEdition(library)),
      ...exportPlan(bookPlan(library)),
    ]) {
      if (!name.endsWith(".csv")) {
        expect(Object.keys(JSON.parse(text))).toEqual(["book", "crops"]);
        continue;
      }
      const rows = readCsv(text, { record_delimiter: "\r\n" }) as string[][];
      expect(rows.length).toBeGreaterThan(10);
      expect(new Set(rows.map((row) => row.length)).size).toBe(1);
      for (const cell of rows.flat()) expect(!formula.test(cell) || /^-?\d+(?:\.\d+)?$/.test(cell), cell).toBe(true);
      if (name === "crops.csv") {
        expect(text).toContain("'=HYPERLINK");
        expect(text).toContain("'@SUM");
      }
    }
  });

  it("is a calendar of events, each with its own words and nothing else", () => {
    const plan = bookPlan(library);
    const { tasks } = agendaOf(library, plan);
    const { text } = exportCalendar(library.book.fields, tasks);
    const calendar = new ICAL.Component(ICAL.parse(text));
    expect(calendar.getAllSubcomponents().map(({ name }) => name)).toEqual(tasks.map(() => "vevent"));
    for (const event of calendar.getAllSubcomponents()) {
      expect(event.getAllSubcomponents()).toEqual([]);
      const names = new Set(event.getAllProperties().map(({ name }) => name));
      for (const odd of ["attach", "url", "organizer", "attendee"]) expect(names.has(odd), odd).toBe(false);
    }
    expect(text.replaceAll("\r\n", "")).not.toMatch(/\p{Cc}/u);
  });
});

it("keeps a negative figure a number in a table", () => {
  const files = small.map(
    ({ path, text }) =>
      new VFile({ path, value: path === "crops/basil.md" ? text.replace("lowest: 10 °C", "lowest: -3 °C") : text }),
  );
  const { library } = check(files);
  const [csv] = exportCrops(staffEdition(library!));
  const rows = readCsv(csv!.text, { columns: true }) as Record<string, string>[];
  const lowest = rows.find(({ crop, field }) => crop === "basil" && field === "air.lowest")!;
  expect([lowest.low, lowest.high]).toEqual(["-3", "-3"]);
  expect(formula.test(lowest["as printed"]!)).toBe(false);
});

describe("the terminal", () => {
  let around = "";
  beforeAll(async () => {
    around = await mkdtemp(join(tmpdir(), "tierbook-terminal-"));
    for (const { path, value } of plantHostile(small.map(({ path, text }) => new VFile({ path, value: text }))).files) {
      await fs.mkdir(dirname(join(around, "content", path)), { recursive: true });
      await writeFile(join(around, "content", path), String(value));
    }
  });
  afterAll(() => rm(around, { recursive: true, force: true }));

  async function said(...words: string[]): Promise<{ code: number; text: string }> {
    const all: string[] = [];
    const world = {
      cwd: around,
      out: (text: string) => void all.push(text),
      err: (text: string) => void all.push(text),
    };
    return { code: await main(words, world), text: all.join("\n") };
  }

  it.each([
    ["check"],
    ["check", "--json"],
    ["explain", "crops/basil"],
    ["explain", "crops/basil", "--json"],
    ["plan"],
    ["plan", "--json"],
    ["week", "2027-W13"],
    ["week", "--json"],
    ["can", "200 g/week", "basil", "--from", "2027-06-08"],
    ["really", "--json"],
    ["really"],
    ["trial", "read", "cut-height"],
    ["trial", "read", "cut-height", "--json"],
    ["batch", "count", "BAS-27060-01-W", "--up", "200", "--on", "2027-03-09", "--correct", "--dry-run"],
    ["worksheet", "feed-recipe", "--feed", "leaf", "--water", "rain", "--json"],
    ["explain", "\u001b]0;title\u0007/\u202ex"],
    ["worksheet", "label-code", "code=\u001b[31m"],
    ["\u001b[2J"],
  ])("is given no sign that steers it by %s %s %s %s", async (...words) => {
    const { text } = await said(...words.filter((word) => word !== undefined));
    expect(steering.exec(text)?.index).toBeUndefined();
    if (words.includes("--json") && text.startsWith("{")) for (const line of text.split("\n")) JSON.parse(line);
  });

  it("is shown such signs as escapes", async () => {
    await writeFile(
      join(around, "content/glossary/odd.md"),
      '---\nterm: Odd\naudience: "\\e[31mall\\u202e"\n---\nWord.\n',
    );
    const { code, text } = await said("check");
    await rm(join(around, "content/glossary/odd.md"));
    expect(code).toBe(1);
    expect(text).toContain("Unexpected `\\u001b[31mall\\u202e`");
  });
});

describe("visible(text)", () => {
  it.each([
    ["\u001b[31mred\u001b[0m", "\\u001b[31mred\\u001b[0m"],
    ["a\rb\tc\bd\u007fe\u009bf\u0085", "a\\u000db\\u0009c\\u0008d\\u007fe\\u009bf\\u0085"],
    ["\u202egnp.exe \u2066x\u2069 \u200f", "\\u202egnp.exe \\u2066x\\u2069 \\u200f"],
    ["half \ud800 a letter, a whole \u{1f331}", "half \\ud800 a letter, a whole \u{1f331}"],
    ["one\ntwo — базилик, ריחן, e\u0301 \u202f°C", "one\ntwo — базилик, ריחן, e\u0301 \u202f°C"],
  ])("%j is %j", (text, shown) => expect(visible(text)).toBe(shown));

  it("leaves JSON what it means", () => {
    const value = hostile.map((make) => make("hq0n0z"));
    expect(JSON.parse(visible(JSON.stringify({ value }, undefined, 2)))).toEqual({
      value,
    });
  });
});

/** Whether a text is one of the canaries, and not the name of a record. */
function isCanary(text: string): boolean {
  return text.startsWith("canary") && !kindNames.some((kind) => text === `canary${kind}`);
}

/** Every text in some data. */
function leavesOf(value: unknown): readonly unknown[] {
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(leavesOf) : [value];
}

/** A record of `canaries.ts` with a hostile value instead of every canary that names no record. */
function withValue(file: VFile, value: string): VFile {
  const [, yaml = "", body = ""] = /^---\n([\s\S]*?)\n---\n([\s\S]*)$/.exec(String(file)) ?? [];
  const put = (inner: unknown): unknown => {
    if (typeof inner === "string") return isCanary(inner) ? value : inner;
    if (Array.isArray(inner)) return inner.map(put);
    if (typeof inner !== "object" || inner === null) return inner;
    return Object.fromEntries(Object.entries(inner).map(([key, next]) => [key, put(next)]));
  };
  return new VFile({
    path: file.path,
    value: `---\n${stringify(put(readYaml(yaml)), { lineWidth: 0 })}---\n${body}${value}\n`,
  });
}
