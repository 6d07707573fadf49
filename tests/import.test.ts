import * as fs from "node:fs/promises";
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { stringify } from "csv-stringify/sync";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { importOn } from "../generator/commands/import.ts";
import type { Shelf } from "../generator/commands/new-land.ts";
import { load } from "../generator/node.ts";
import { said as cellSaid } from "../generator/writing/cells.ts";
import { columnAs, columnFor, namesFor, toldOf } from "../generator/writing/columns.ts";
import { type Cell, delimiters, tableOf } from "../generator/writing/table.ts";

const fixture = (name: string) => fileURLToPath(new URL(`import/${name}`, import.meta.url));
let folder = "";
let table = "";

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-import-"));
  await cp(fileURLToPath(new URL("content/base", import.meta.url)), folder, { recursive: true });
  table = join(folder, "crops.csv");
});
afterEach(() => rm(folder, { recursive: true, force: true }));

type World = Parameters<typeof main>[1];

async function said(run: (world: World) => Promise<number>, answers?: readonly string[]) {
  const told = { out: "", err: "" };
  const left = [...(answers ?? [])];
  const code = await run({
    cwd: folder,
    out: (text) => {
      told.out += `${text}\n`;
    },
    err: (text) => {
      told.err += `${text}\n`;
    },
    ...(answers ? { ask: async () => left.shift() } : {}),
  });
  return { code, left, ...told };
}

const tierbook = (...args: string[]) => said((world) => main(["import", ...args, "--content", folder], world));
const forAll = ["--set", "status=trial", "--set", "reviewed=2027-03-20"];
const text = (path: string) => readFile(join(folder, path), "utf8");
const crops = async () => (await readdir(join(folder, "crops"))).toSorted();

/** A table of two crops that lack nothing, parted and ended as asked. */
function two({ delimiter = ",", end = "\n", more = [] as readonly string[] } = {}): string {
  const rows = [
    ["Name", "Botanical name", "Kind", "Code", "Eaten", "EC (mS/cm)", "Text"],
    ["Tall thyme", "Thymus vulgaris", "herb", "TTA", "leaf; flower", "1.0–1.6", `By the wall.${end}Dry.`],
    ["Low thyme", "Thymus vulgaris", "herb", "TTB", "leaf", "", 'Called "creeping".'],
  ];
  return stringify([...rows, ...(more.length > 0 ? [more] : [])], { delimiter, record_delimiter: end });
}

describe("tierbook import", () => {
  it("writes forty crops into a book that is as sound as before", async () => {
    const before = await crops();
    const { code, out, err } = await tierbook(
      "crops",
      fixture("forty-crops.csv"),
      ...forAll,
      "--set",
      "audience=staff",
    );
    expect([code, err]).toEqual([0, ""]);
    expect(out).toMatch(/^Wrote 40 records into crops\/: amber-leaf-kale, .* and 28 more\.\n$/);
    expect(await crops()).toHaveLength(before.length + 40);
    const { library, files } = await load(folder);
    expect(files.flatMap(({ messages }) => messages)).toEqual([]);
    // Its cell says 1.4-2.0 below EC (mS/cm), with a hyphen, and May–August with a dash.
    expect(library?.crops.get("bay-leaf-kale")?.fields).toMatchObject({
      status: "trial",
      audience: "staff",
      ec: { preferred: { low: 1.4, high: 2 } },
      season: { sow: { from: 5, to: 8 } },
      stages: { tray: { days: { low: 20, high: 22 } } },
    });
    expect(await text("crops/chalk-lemon-basil-the-tall-one.md")).toBe(`---
name: Chalk lemon basil, "the tall one"
botanical: Ocimum × africanum
family: Lamiaceae
kind: herb
code: LBE
audience: staff
status: trial
reviewed: 2027-03-20
eaten: [leaf, flower]
ec:
  preferred: 1.0–1.6 mS/cm
ph:
  preferred: 5.6-6.4
light:
  need: 14 mol/m²/day
stages:
  germination:
    days: 5 days
  tray:
    days: 16 days
season:
  sow: June-July
sources:
  memory: "*"
---

## Cutting

Twist, do not pull
`);
    expect(await text("crops/amber-leaf-kale.md")).toContain(
      "---\n\nInvented for this table.\nSown in the cool corner.\n\n## Cutting\n\nTwist, do not pull\n",
    );
  });

  it("tells every fault of a table at its row, line and column, and writes nothing", async () => {
    const before = await crops();
    const { code, out, err } = await tierbook("crops", fixture("bad-crops.csv"), "--set", "status=trial");
    expect([code, out]).toEqual([1, ""]);
    expect(err).toBe(await readFile(fixture("bad-crops.txt"), "utf8"));
    expect(await crops()).toEqual(before);
  });

  it("points at the cell that it speaks of", async () => {
    const { out } = await tierbook("crops", fixture("bad-crops.csv"), "--set", "status=trial", "--json");
    const lines = (await readFile(fixture("bad-crops.csv"), "utf8")).replace(/^\uFEFF/, "").split("\r\n");
    const { problems } = JSON.parse(out) as {
      problems: { line: number; column: number; at?: number; message: string; rule: string }[];
    };
    expect(problems.length).toBeGreaterThan(20);
    let pointed = 0;
    for (const { line, column, message } of problems) {
      const [, written] = /^Unexpected `([^`]+?)(?: mS\/cm)?`/.exec(message) ?? [];
      const there = lines[line - 1]!.slice(column - 1).split(";")[0]!;
      // A name of a file that is made from another field, or an item of a list, is pointed at by its cell.
      if (written === undefined || there === "" || written === "tall-thyme" || written === "wild") continue;
      expect(there, message).toBe(written);
      pointed++;
    }
    expect(pointed).toBeGreaterThan(15);
  });

  it("writes the rows that are well when a part will do, and says which were left out", async () => {
    const before = await crops();
    const basil = await text("crops/basil.md");
    const { code, out } = await tierbook("crops", fixture("bad-crops.csv"), "--set", "status=trial", "--partial");
    expect(code).toBe(1);
    expect(out).toBe(
      "Wrote 1 record into crops/: tall-thyme.\nLeft out: row 2 (low-thyme), row 3 (old-thyme), row 4 (tall-thyme), row 5 (basil), row 6 (Red_Thyme), row 7, row 9 (grey-thyme), row 10 (blue-thyme).\n",
    );
    expect(await crops()).toEqual([...before, "tall-thyme.md"].toSorted());
    expect(await text("crops/basil.md")).toBe(basil);
    expect((await load(folder)).library).toBeDefined();
  });

  it("leaves out a row that is well only beside one that is not", async () => {
    const rows =
      "Name,Botanical name,Kind,Code,Eaten,Replaces\nA thyme,T,herb,TTA,leaf,b-thyme\nB thyme,,herb,TTB,leaf,\n";
    await writeFile(table, rows);
    const map = ["--map", "Replaces=replaces", ...forAll, "--partial"];
    const { code, err, out } = await tierbook("crops", table, ...map);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toContain("row 1 (line 2, column 6), a-thyme: Unexpected `b-thyme`, expected a file of `crops/`.");
    expect(err).toContain("row 2 (line 3, column 2), b-thyme: Missing `botanical`");
    expect(err).toContain("2 rows read, 0 well. Nothing was written: mend the table.");
  });

  it.each([
    ["commas and line feeds", {}, ""],
    ["semicolons, carriage returns and the mark of a spreadsheet", { delimiter: ";", end: "\r\n" }, "\uFEFF"],
    ["tabs", { delimiter: "\t" }, ""],
  ])("reads %s alike", async (_name, how, mark) => {
    await writeFile(table, mark + two(how));
    const { code, err } = await tierbook("crops", table, ...forAll);
    expect([code, err]).toEqual([0, ""]);
    expect(await text("crops/tall-thyme.md")).toBe(`---
name: Tall thyme
botanical: Thymus vulgaris
kind: herb
code: TTA
status: trial
reviewed: 2027-03-20
eaten: [leaf, flower]
ec:
  preferred: 1.0–1.6 mS/cm
stages: {}
sources:
  memory: "*"
---

By the wall.
Dry.
`);
    expect(await text("crops/low-thyme.md")).toContain('\n\nCalled "creeping".\n');
    expect(await text("crops/low-thyme.md")).not.toContain("ec:");
  });

  it("keeps the lines of a text, and takes those within a name for blanks", async () => {
    await writeFile(table, two({ end: "\r\n" }).replace("Low thyme", '"Low\r\n thyme"'));
    expect((await tierbook("crops", table, ...forAll)).code).toBe(0);
    expect(await text("crops/low-thyme.md")).toContain("name: Low thyme\n");
    expect(await text("crops/tall-thyme.md")).toContain("By the wall.\nDry.\n");
  });

  it("says what is missing of every row once, with how to say it for all", async () => {
    await writeFile(table, two());
    const { code, err } = await tierbook("crops", table, "--set", "status=trial");
    expect(code).toBe(1);
    expect(
      err,
    ).toBe(`crops.csv:1:1 all 2 rows: Missing \`reviewed\` (last reviewed), such as \`reviewed: 2027-03-22\`. Add a column for it, or say it for all rows: --set reviewed=VALUE.
2 rows read, 0 well. Nothing was written: mend the table.
`);
  });

  it("takes the cell where a field is said for all rows too", async () => {
    await writeFile(
      table,
      "Name,Botanical name,Kind,Code,Eaten,Status\nA thyme,T,herb,TTA,leaf,tried\nB thyme,T,herb,TTB,leaf,\n",
    );
    expect((await tierbook("crops", table, ...forAll)).code).toBe(0);
    expect(await text("crops/a-thyme.md")).toContain("status: tried\n");
    expect(await text("crops/b-thyme.md")).toContain("status: trial\n");
  });

  it("shows how it reads the columns, and the first record, when it is dry", async () => {
    await writeFile(table, two());
    const before = await crops();
    const { code, out } = await tierbook("crops", table, ...forAll, "--dry-run");
    expect(code).toBe(0);
    expect(out).toContain("Would write 2 records into crops/: tall-thyme, low-thyme.\n");
    expect(out).toContain("  Botanical name  botanical\n");
    expect(out).toContain("  EC (mS/cm)      ec.preferred, in mS/cm\n");
    expect(out).toContain("The first would be crops/tall-thyme.md\n---\nname: Tall thyme\n");
    expect(await crops()).toEqual(before);
  });

  it("takes nothing for a column that it does not know, and names what is near", async () => {
    await writeFile(table, two().replace("Botanical name", "Botanical nam").replace("Eaten", "Colour"));
    const { code, err } = await tierbook("crops", table, ...forAll);
    expect(code).toBe(2);
    expect(
      err,
    ).toBe(`${table}:1:6 column 2 \`Botanical nam\`: no field goes by this name. Near: \`botanical\`. Say --map "Botanical nam=botanical", or --map "Botanical nam=" to leave it out.
${table}:1:30 column 5 \`Colour\`: no field goes by this name. Say --map "Colour=FIELD", or --map "Colour=" to leave it out.
Nothing was written.
`);
    const map = ["--map", "Botanical nam=botanical", "--map", "Colour=Parts eaten"];
    expect((await tierbook("crops", table, ...forAll, ...map)).code).toBe(0);
    expect(await text("crops/tall-thyme.md")).toContain("eaten: [leaf, flower]\n");
  });

  it("asks at a terminal what such a column is, and leaves it out for a blank", async () => {
    const more = two().replace("Botanical name", "Latin").replace("Text", "Colour");
    await writeFile(table, more);
    const run = (world: World) => main(["import", "crops", table, ...forAll, "--content", folder], world);
    const { code, err, left } = await said(run, ["botanicle", "botanical", ""]);
    expect([code, left]).toEqual([0, []]);
    expect(err).toContain("Column 2, `Latin`: no field goes by this name.");
    expect(err).toContain("`botanicle` is no field of crops. Near: botanical.");
    expect(await text("crops/tall-thyme.md")).not.toContain("By the wall");
    await rm(join(folder, "crops", "tall-thyme.md"));
    await rm(join(folder, "crops", "low-thyme.md"));
    const gone = await said(run, ["botanical"]);
    expect([gone.code, gone.err.trim().split("\n").at(-1)]).toEqual([2, "Nothing was written."]);
  });

  it("reads other kinds: terms with their meaning, and gear of several kinds", async () => {
    await writeFile(table, 'Term,Also written,Text\nBlow,"gale, storm",Wind that lifts a tower.\n');
    expect((await tierbook("glossary", table)).code).toBe(0);
    expect(await text("glossary/blow.md")).toBe(
      "---\nterm: Blow\nalso: [gale, storm]\n---\n\nWind that lifts a tower.\n",
    );
    const gear =
      "id,Kind,Name,Cells,Letter,Holds (L),Source\ntray-40,tray,Tray of 40,40,,,demo\ntub-c,tub,Tub C,,C,40,\n";
    await writeFile(table, gear);
    const { code, err } = await tierbook("gear", table);
    expect([code, err]).toEqual([0, ""]);
    expect(await text("gear/tray-40.md")).toBe(
      '---\nkind: tray\nname: Tray of 40\ncells: 40\nsources:\n  demo: "*"\n---\n',
    );
    expect(await text("gear/tub-c.md")).toContain('holds: 40 L\nsources:\n  memory: "*"\n');
  });

  it("gives what it did as one object", async () => {
    await writeFile(table, two());
    const { code, out } = await tierbook("crops", table, ...forAll, "--json");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      table,
      rows: { read: 2, well: 2 },
      written: ["crops/tall-thyme.md", "crops/low-thyme.md"],
      problems: [],
      refusal: null,
    });
    expect(JSON.parse(out).columns[5]).toEqual({ header: "EC (mS/cm)", field: "ec.preferred", unit: "mS/cm" });
  });

  it("takes away what it wrote when the disk will not have the rest", async () => {
    await writeFile(table, two());
    const before = await crops();
    let links = 0;
    const full: Shelf = {
      ...fs,
      link: async (from, to) => {
        if (++links === 2) throw Object.assign(new Error("x"), { code: "ENOSPC" });
        await fs.link(from, to);
      },
    };
    const run = (...more: string[]) =>
      said((world) => importOn(full).run(["crops", table, ...forAll, "--content", folder, ...more], world));
    const { code, err } = await run();
    expect(code).toBe(3);
    expect(err).toMatch(
      /low-thyme\.md could not be written: the disk is full\. Nothing was changed, and no other row was written\.\n$/,
    );
    expect(await crops()).toEqual(before);
    links = 0;
    const part = await run("--partial");
    expect([part.code, part.err.endsWith("Written before that: crops/tall-thyme.md.\n")]).toEqual([3, true]);
    expect(await crops()).toEqual([...before, "tall-thyme.md"].toSorted());
  });

  it.each<[string, string | Uint8Array, string]>([
    [
      "Latin-1",
      new Uint8Array([0x4e, 0x61, 0x6d, 0x65, 0x0a, 0x42, 0xe9]),
      ":2:2 The file is not in UTF-8: here stands a sign that cannot be read. In the spreadsheet, choose CSV UTF-8",
    ],
    ["UTF-16", new Uint8Array([0xff, 0xfe, 0x4e, 0x00]), ":1:1 The file is in UTF-16."],
    ["a spreadsheet", new Uint8Array([0x50, 0x4b, 0x03, 0x04, 0x00]), ":1:1 This is the spreadsheet itself"],
    ["an empty file", "", ":1:1 The first line has no names of columns."],
    ["a header alone", "Name,Kind\n,\n", ":1:1 The table has no rows below its header."],
    ["a quote that stays open", 'Name,Kind\na,"b\nc,d\n', ":2:3 The quote that opens here is never closed."],
    ["a quote within a cell", 'Name,Kind\na,b"c"\n', ":2:3 A quote opens in the middle of this cell."],
    [
      "a quote that ends too early",
      'Name,Kind\na,"b"c\n',
      ":2:3 A quote ends within this cell and something follows it.",
    ],
    [
      "two delimiters",
      "Name;Kind,Code\na;b,c\n",
      ":1:1 The header has as many semicolons, commas or tabs as the other.",
    ],
  ])("says what is amiss with %s", async (_name, value, sentence) => {
    await writeFile(table, value);
    const { code, out, err } = await tierbook("crops", table);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toContain(table + sentence);
    expect(err).toMatch(/\nNothing was written\.\n$/);
  });

  it.each([
    [["crops"], "Say which table, such as tierbook import crops spring.csv"],
    [["crops", "nowhere.csv"], "There is no file "],
    [["batches", "x.csv"], "A batch has its own deed"],
    [["corps", "x.csv"], "Unexpected corps, expected crops"],
    [
      ["crops", "crops.csv", "--set", "status=trail"],
      "--set status: Unexpected `trail`, expected `trial`, `tried`, `trusted` or `retired`. Did you mean `trial`?",
    ],
    [["crops", "crops.csv", "--set", "stattus=trial"], "Unexpected --set stattus, expected status"],
    [["crops", "crops.csv", "--map", "Nam=name"], "The table has no column Nam; did you mean Name?"],
    [["crops", "crops.csv", "--map", "Name"], "Unexpected --map Name, expected COLUMN=FIELD"],
    [["crops", "crops.csv", "--delimiter", "|"], 'Unexpected --delimiter |, expected "," ";" or tab'],
    [["news", "crops.csv", "--source", "memory"], "Unexpected --source, for a piece of news has no figures"],
  ])("%j is a sentence that says what to write", async (words, sentence) => {
    await writeFile(table, two());
    const { code, out, err } = await tierbook(...words);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain(sentence);
    expect(err.trim().split("\n")).toHaveLength(1);
  });
});

describe("columnFor", () => {
  const names = namesFor("crops");
  const read = (header: string) => {
    const column = columnFor(names, header);
    return "target" in column ? [toldOf(column.target), column.unit] : column.why;
  };

  it.each<[string, string, string?]>([
    ["ec.preferred", "ec.preferred"],
    ["EC", "ec.preferred"],
    ["ec ( µS/cm )", "ec.preferred", "µS/cm"],
    ["EC [dS/m]", "ec.preferred", "dS/m"],
    ["pH (pH)", "ph.preferred"],
    ["Flood tray: Days (d)", "stages.tray.days", "days"],
    ["Sow outdoors (50° north)", "season.sow"],
    ["sow outdoors", "season.sow"],
    ["Parts-eaten", "eaten"],
    ["Keeping", "## Keeping"],
    ["file name", "id"],
    ["Source", "source"],
    ["body", "text"],
  ])("reads %s as %s", (header, told, unit) => expect(read(header)).toEqual([told, unit]));

  it.each([
    ["Days", "more than one field goes by this name"],
    ["EC (°C)", "`°C` is no unit of `ec.preferred`, which is in mS/cm"],
    ["EC (at the root)", "`at the root` is no unit of `ec.preferred`, which is in mS/cm"],
    ["Name (kg)", "`kg` is no unit of `name`, which has no unit"],
    ["constructor", "no field goes by this name"],
    ["", "no field goes by this name"],
  ])("asks what %s is", (header, why) => expect(read(header)).toBe(why));

  it("takes a person's word for what is not in any list", () => {
    const told = (header: string, meaning: string) => {
      const column = columnAs(names, header, meaning);
      return "target" in column ? [toldOf(column.target), column.unit] : column.why;
    };
    expect(told("Louse", "trouble.aphids.sign")).toEqual(["trouble.aphids.sign", undefined]);
    expect(told("Strength (at the root)", "ec.preferred")).toEqual(["ec.preferred", undefined]);
    expect(told("Strength (µS/cm)", "ec.preferred")).toEqual(["ec.preferred", "µS/cm"]);
    expect(told("Strength (°C)", "ec.preferred")).toBe("`°C` is no unit of `ec.preferred`, which is in mS/cm");
    expect(told("Remarks", "## Yard notes")).toEqual(["## Yard notes", undefined]);
    expect(told("Remarks", "ec")).toEqual(["ec.preferred", undefined]);
    expect(told("Remarks", "nothing")).toBe("`nothing` is no field of crops");
  });
});

describe("what a cell says", () => {
  const names = namesFor("crops");
  const cell = (header: string, text: string) => {
    const column = columnFor(names, header);
    if (!("target" in column)) throw new Error(column.why);
    const { value, slip } = cellSaid(text, column);
    return slip ? [value, slip.rule, slip.severity] : value;
  };

  it.each<[string, string, string | readonly string[]]>([
    ["EC (mS/cm)", "1.2-1.8", "1.2-1.8 mS/cm"],
    ["EC (mS/cm)", "1.2 to 1.8", "1.2 to 1.8 mS/cm"],
    ["EC (mS/cm)", "1,2", "1,2 mS/cm"],
    ["EC (mS/cm)", "1.2–1.8 mS/cm", "1.2–1.8 mS/cm"],
    ["EC (µS/cm)", "1200", "1200 µS/cm"],
    ["EC (mS/cm)", "1200 µS/cm", ["1200 µS/cm", "cell-unit", "error"]],
    ["EC (mS/cm)", "18 °C", ["18 °C", "cell-unit", "error"]],
    ["EC (mS/cm)", "about 1.2", "about 1.2"],
    ["EC", "1.2", "1.2"],
    ["air.lowest (°C)", "-4", "-4 °C"],
    ["air.lowest (°C)", "−4 C", "−4 C"],
    ["Name", "=A1", ["=A1", "cell-formula", "info"]],
    ["Name", "@home", ["@home", "cell-formula", "info"]],
    ["air.lowest (°C)", "+4", "+4 °C"],
    ["Name", "#N/A", ["#N/A", "cell-fault", "error"]],
    ["EC (mS/cm)", "#REF!", ["#REF!", "cell-fault", "error"]],
  ])("below %s, %s", (header, text, expected) => expect(cell(header, text)).toEqual(expected));
});

describe("tableOf", () => {
  const bytes = (text: string) => new TextEncoder().encode(text);

  it("reads ten thousand rows and no more", () => {
    const lines = (count: number) => `Name,Kind\n${"a,b\n".repeat(count)}`;
    expect(tableOf(bytes(lines(10_000)))).toMatchObject({ rows: { length: 10_000 } });
    expect(tableOf(bytes(lines(10_001)))).toEqual({
      refusal: "The table has 10001 rows, and 10000 at most are read at a time. Part it",
      line: 10_002,
      column: 1,
    });
  });

  it("counts rows without the header and with blank ones, and lines as they are", () => {
    const read = tableOf(bytes('Name,Kind\n"a\nb",c\n,\n\nd,é\n'));
    if ("refusal" in read) throw new Error(read.refusal);
    expect(read.rows.map(({ number, line }) => [number, line])).toEqual([
      [1, 2],
      [4, 6],
    ]);
    expect(read.rows[1]!.cells[1]).toEqual({ text: "é", line: 6, column: 3 });
  });

  it("gives back what was written, and says where it stands", () => {
    const words = fc.stringMatching(/^[a-zé°×,;"'\t\n.=-]{0,8}$/);
    fc.assert(
      fc.property(
        fc.array(fc.array(words, { minLength: 3, maxLength: 3 }), { minLength: 1, maxLength: 5 }),
        fc.constantFrom(...delimiters),
        fc.constantFrom("\n", "\r\n"),
        fc.boolean(),
        (rows, delimiter, end, marked) => {
          const whole = stringify([["one", "two", "three"], ...rows], {
            delimiter,
            record_delimiter: end,
            quoted_match: /\n/,
          });
          const read = tableOf(bytes((marked ? "\uFEFF" : "") + whole));
          const kept = rows.filter((row) => row.some((cell) => cell.trim() !== ""));
          if ("refusal" in read) {
            expect([read.refusal, kept.length]).toEqual(["The table has no rows below its header", 0]);
            return;
          }
          expect(read.rows.map(({ cells }) => cells.map(({ text }) => text))).toEqual(
            kept.map((row) => row.map((cell) => cell.trim())),
          );
          const lines = whole.split(/\r\n|\n/);
          for (const { cells } of read.rows) for (const cell of cells) expect(startsThere(lines, cell)).toBe(true);
        },
      ),
    );
  });

  function startsThere(lines: readonly string[], { text, line, column }: Cell): boolean {
    const rest = lines
      .slice(line - 1)
      .join("\n")
      .slice(column - 1);
    return text === "" || rest.replace(/^"/, "").replaceAll('""', '"').trimStart().startsWith(text);
  }
});
