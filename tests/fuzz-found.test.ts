import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { check } from "../generator/node.ts";
import { html, sections } from "../generator/prose.ts";
import { type Kind, kinds, parse } from "../generator/records/index.ts";
import { nearest } from "../generator/records/nearest.ts";
import { readSpan } from "../generator/records/quantity.ts";
import { worksheets } from "../generator/worksheets/index.ts";
import { run } from "../generator/worksheets/worksheet.ts";
import { tableOf } from "../generator/writing/table.ts";
import { signPlace } from "../site/figures.ts";
import { small } from "./fuzz/book.ts";
import { expectPlaced } from "./fuzz/promises.ts";

// What made-up and hostile input has found, each by its name, so that it is not found again.

/** Line, rule and sentence of all that is said of one file of the small book with another text. */
function told(path: string, text: string): readonly string[] {
  const { files } = check(
    [...small.filter((file) => file.path !== path), { path, text }].map(
      (file) => new VFile({ path: file.path, value: file.text }),
    ),
  );
  const file = files.find((one) => one.path === path)!;
  expectPlaced(file);
  return file.messages.map(({ line, column, ruleId, reason }) => `${line}:${column} ${ruleId} ${reason}`);
}

/** What is told of a record read by itself. */
function alone(value: string, kind: Kind = "crops"): readonly string[] {
  const file = new VFile({ path: `${kind}/found.md`, value });
  parse(file, kinds[kind]);
  expectPlaced(file);
  return file.messages.map(({ line, ruleId, reason }) => `${line} ${ruleId} ${reason}`);
}

const deep = "yaml-deep Unexpected `fields in fields in fields`, expected a few at most";

describe("a record", () => {
  it("of brackets that go on is told at the line where they do, whatever room is left on the stack", () => {
    for (const size of [300, 20_000, 150_000])
      expect(alone(`---\nname: Basil\na: ${"[".repeat(size)}\n---\n`)).toEqual([`3 ${deep}`]);
    expect(alone(`---\n${"- ".repeat(5000)}x\n---\n`)).toEqual([`2 ${deep}`]);
    expect(alone(`---\nname: "${"[".repeat(50)}"\n---\n`).join()).not.toContain("yaml-deep");
  });

  it.each([
    ["file", "[".repeat(5_000_000), "a record of at most 1000000 signs"],
    ["front matter", `a: ${"[".repeat(250_000)}`, "a front matter of at most 200000 signs"],
    ["text", `name: a\n---\n${"> ".repeat(30_000)}`, "a text of at most 50000 signs"],
  ])("whose %s is longer than anybody writes is told so, and takes no memory", (_what, text, expected) => {
    const start = performance.now();
    expect(alone(`---\n${text}\n---\n`)).toEqual([`1 file-unreadable Unexpected \`found.md\`, expected ${expected}`]);
    expect(performance.now() - start).toBeLessThan(4000);
  });

  it("whose text is quotes within quotes is told, and shown without what is deepest", () => {
    for (const piece of ["> ", "- "]) {
      const body = `${piece.repeat(1000)}deep\n`;
      expect(told("glossary/ph.md", `---\nterm: pH\naudience: everyone\n---\n\n${body}`)).toEqual([
        "6:1 prose-deep Unexpected `lists or quotes in one another`, expected a few at most",
      ]);
      const [section] = sections(body);
      expect(html(section!, () => undefined)).not.toContain("deep");
    }
  });

  it.each([
    [
      "lists in one another on a line",
      "1. ".repeat(16_000),
      "6:1 prose-deep Unexpected `lists or quotes in one another`",
    ],
    ["quotes and lists in turn", "> - ".repeat(12_000), "6:1 prose-deep Unexpected `lists or quotes in one another`"],
    [
      "items ever further in",
      Array.from({ length: 160 }, (_, at) => `${"  ".repeat(at)}- a`).join("\n"),
      "25:1 prose-deep Unexpected `lists or quotes in one another`",
    ],
    ["emphasis that never ends", "*a_ ".repeat(12_000), "6:1 prose-dense Unexpected `a paragraph with over a thousand"],
    ["links that never end", "[a](".repeat(12_000), "6:1 prose-dense Unexpected `a paragraph with over a thousand"],
  ])("of %s is told, and does not keep its reader", (_what, body, said) => {
    const start = performance.now();
    const [first = ""] = told("glossary/ph.md", `---\nterm: pH\naudience: everyone\n---\n\n${body}\n`);
    expect(first).toContain(said);
    expect(performance.now() - start).toBeLessThan(4000);
    expect(sections(`Before.\n\n${body}\n\n## After\n\nAll of it.\n`).at(-1)?.heading).toBe("After");
  });

  it("with a picture shows its words, and fetches nothing", () => {
    const [section] = sections(
      "A ![red stem](https://a.example/x.png) and ![green][it].\n\n[it]: https://a.example/y.png\n",
    );
    expect(html(section!, () => undefined)).toBe("<p>A red stem and green.</p>");
  });

  it.each([
    "javascript:alert(1)",
    "JAVASCRIPT:x",
    "data:text/html,x",
    "vbscript:x",
    "file:///etc/passwd",
    "//a.example/x",
    "ftp://a.example",
  ])("with a link to %s is told, and the link leads nowhere", (address) => {
    expect(told("glossary/ph.md", `---\nterm: pH\naudience: everyone\n---\n[a](${address})\n`)).toEqual([
      `5:1 link-broken Unexpected \`${address}\`, expected the folder and name of a record, such as \`crops/basil\``,
    ]);
    const shown = html(sections(`[a](${address})`)[0]!, () => undefined);
    if (!address.startsWith("//")) expect(shown).toBe("<p><a>a</a></p>");
  });

  it("has an edition of years in which anybody prints", () => {
    for (const [day, says] of [
      ["9999-12-31", true],
      ["1600-01-01", true],
      ["2200-12-31", false],
      ["1990-01-01", false],
    ] as const) {
      const book = small.find(({ path }) => path === "book.md")!.text.replace("2027-03-20", day);
      expect(
        told("book.md", book).some((line) => line.includes("expected a day of the years 1990 to 2200")),
        day,
      ).toBe(says);
    }
  });
});

describe("a figure", () => {
  it("as long as a page is not written back in the note", () => {
    for (const text of ["1 ".repeat(60_000), "1–".repeat(5000), `0–${"9".repeat(400)} ppm`, `${"9".repeat(400)} gal`]) {
      const read = readSpan(text, "mS/cm");
      if (!("slip" in read)) throw new Error("a figure where none is");
      expect(read.slip.note!.length).toBeLessThan(400);
      expect(read.slip.note).not.toMatch(/Infinity|NaN/);
    }
  });
});

describe("a worksheet", () => {
  it.each([
    ["feed-recipe", "stock.ratioPercent", { ratioPercent: 5e-324, tankLitres: 100 }],
    ["trace-weights", "treatedM3", 5e-324],
    ["acid-dose", "strengthPercent", 5e-324],
    ["injector-setting", "ecLine", 5e-324],
  ])("%s with next to nothing for %s is turned away in a sentence", (id, field, value) => {
    const sheet = worksheets.get(id)!;
    const result = run(sheet, { ...(sheet.example as object), [field.split(".")[0]!]: value });
    const faults = "faults" in result ? result.faults : [];
    expect(faults.map((fault) => `${fault.field}: ${fault.reason}`)).toContain(
      `${field}: Unexpected 5e-324, expected a number of everyday size`,
    );
  });

  it.each([
    ["a list", [], "Unexpected a list, expected an object"],
    ["nothing", null, "Unexpected nothing, expected an object"],
    ["a number", 7, "Unexpected 7, expected an object"],
  ])("given %s for its input says what it takes", (_what, input, reason) => {
    for (const sheet of worksheets.values())
      expect(run(sheet, input)).toEqual({ faults: [{ field: "", reason: expect.stringContaining(reason) }] });
  });
});

describe("a table", () => {
  it("whose lines end in two ways is told at the line that an editor shows", () => {
    const csv = "block,treatment,value\r\r\nnorth,low,31\r\r\nnorth,high,many\r\r\n";
    expect(told("trials/cut-again.csv", csv).filter((line) => line.includes("many"))).toEqual([
      "5:12 number-unreadable Unexpected `many`, expected a number, `died` or `excluded`",
    ]);
  });

  it("of one endless line, or of too much, is told and not counted through", () => {
    const start = performance.now();
    expect(told("trials/cut-again.csv", `block,treatment,value\n${",".repeat(900_000)}`)[0]).toBe(
      "2:1 file-unreadable Unexpected `cut-again.csv`, expected a table of at most 1000000 signs, and 20000 in a line",
    );
    const bytes = (text: string) => new TextEncoder().encode(text);
    expect(tableOf(bytes(`name\n${",".repeat(900_000)}`))).toMatchObject({
      line: 2,
      column: 1,
      refusal: expect.stringContaining("20000 signs"),
    });
    expect(tableOf(bytes("\n".repeat(5_000_000)))).toMatchObject({ refusal: "The file has more than 2 MB. Part it" });
    expect(performance.now() - start).toBeLessThan(4000);
  });
});

describe("the command line", () => {
  async function said(...words: string[]): Promise<string> {
    const all: string[] = [];
    const world = { cwd: "/", out: (text: string) => void all.push(text), err: (text: string) => void all.push(text) };
    return `${await main(words, world)} ${all.join("\n")}`;
  }
  const base = fileURLToPath(new URL("content/base", import.meta.url));
  const nested = `${"[".repeat(100_000)}${"]".repeat(100_000)}`;

  it.each([
    ["inputs within inputs", `${"a.".repeat(50_000)}b=1`],
    ["lists within lists", `reading=${nested}`],
  ])("turns away %s without end in a sentence", async (_what, word) => {
    expect(await said("worksheet", "ec-reading", word)).toBe(
      "2 Unexpected inputs within inputs, so deep that nobody can read them; expected a few levels at most. See tierbook worksheet --help",
    );
  });

  it("takes no name that every object has for a kind of record", async () => {
    for (const name of ["toString", "constructor", "__proto__"])
      expect(await said("explain", name, "--content", base)).toContain(
        `2 There is no kind of record ${name}: the kinds are`,
      );
  });

  it.each([
    ["basil", ""],
    ['{"reading": 812,}', " from its sign 17 on"],
    ["", ""],
  ])("says of %j that it is no JSON in its own words", async (text, where) => {
    expect(await said("worksheet", "ec-reading", `--input=${text}`)).toBe(
      `2 Unexpected --input ${text}, which is no JSON${where}; expected such as {"reading": 812}. See tierbook worksheet --help`,
    );
  });

  it("does not say a page of words again", async () => {
    const long = "x".repeat(1_000_000);
    for (const words of [
      [long],
      ["check", `--${long}`],
      ["check", "--content", long],
      ["can", "9 g/week ".repeat(20_000), "basil"],
    ])
      expect((await said(...words)).length).toBeLessThan(4000);
    const many = JSON.stringify(Object.fromEntries(Array.from({ length: 50_000 }, (_, index) => [`k${index}`, 1])));
    expect(await said("worksheet", "ec-reading", "--input", many)).toMatch(
      /there is no such input here; and 49981 more$/,
    );
  });
});

it("the nearest of some names to a text of a million letters is found at once", () => {
  const start = performance.now();
  expect(
    nearest(
      "b".repeat(1_000_000),
      Array.from({ length: 500 }, (_, index) => `basil-${index}`),
    ),
  ).toBeUndefined();
  expect(performance.now() - start).toBeLessThan(1000);
});

it("a sign by any name has a place that a link can say", () => {
  for (const name of ["50 % loss", "a#b?c", "ржавчина", "錆", "\ud800x", "a\u0301"]) {
    const place = signPlace(name);
    expect(place).toMatch(/^sign-[\p{L}\p{N}-]+$/u);
    expect(decodeURIComponent(place)).toBe(place);
  }
  expect(signPlace("ржавчина")).not.toBe(signPlace("гниль"));
});
