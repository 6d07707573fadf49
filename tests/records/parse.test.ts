import fc from "fast-check";
import { VFile } from "vfile";
import { describe, expect, it } from "vitest";
import { kinds, parse, read } from "../../generator/records/index.ts";
import type { Place } from "../../generator/records/messages.ts";

const water = `name: Rain
from: rain
sampled: 2027-02-01
ec: 0.06 mS/cm
ions: { Ca: 4 mg/L }
sources: { demo: "*" }`;

function file(yaml: string, body = ""): VFile {
  return new VFile({ path: "waters/rain.md", value: `---\n${yaml}\n---\n${body}` });
}

function told({ messages }: VFile): string[] {
  return messages.map((message) => {
    const { start } = message.place as Place;
    return `${start.line}:${start.column} ${message.ruleId}`;
  });
}

describe("parse", () => {
  it("gives fields in one unit, the text as it was written, and the body with its line", () => {
    const source = file(water.replace("0.06 mS/cm", "60 µS/cm"), "Clear.\n");
    const entry = parse(source, kinds.waters);
    expect(source.messages).toEqual([]);
    expect(entry).toMatchObject({ id: "rain", body: "Clear.\n", bodyLine: 8, fields: { ec: 0.06, ions: { Ca: 4 } } });
    expect(entry?.raw).toMatchObject({ ec: "60 µS/cm", sampled: "2027-02-01" });
  });

  it("takes numbers, yes, no, dates and codes as the text that they are", () => {
    const order = new VFile({
      path: "orders/a.md",
      value:
        '---\nreference: 0071\nkind: cut\ncrop: basil\namount: 10 kg/week\nfrom: 2027-04-01\nsources: { demo: "*" }\n---\n',
    });
    expect(parse(order, kinds.orders)?.fields.reference).toBe("0071");
    expect(order.messages).toEqual([]);
  });

  it("tells every slip of a record at once, and none twice", () => {
    const source = file(`name: Rain
form: rain
sampled: 2027-02-30
ec: 0,06 mS/cm
ph:
ions: { Ca: 4, Mg: 3 mg/L }
colour: clear
sources: { demo: all }`);
    expect(parse(source, kinds.waters)).toBeUndefined();
    expect(told(source).sort()).toEqual([
      "3:1 field-misspelt",
      "4:10 date-unreal",
      "5:5 decimal-comma",
      "6:1 field-blank",
      "7:13 unit-missing",
      "8:1 field-unknown",
      "9:18 type-wrong",
    ]);
  });

  it("runs the rules between fields beside slips in other fields", () => {
    const source = new VFile({
      path: "orders/a.md",
      value:
        '---\nreference: a\nkind: gift\ncrop: basil\namount: 10 kg/week\nfrom: 2027-04-01\nto: 2027-03-01\nsources: { demo: "*" }\n---\n',
    });
    parse(source, kinds.orders);
    expect(told(source).sort()).toEqual(["3:7 word-unknown", "7:5 date-order"]);
  });

  it("finds the item of a list below a blank one", () => {
    const source = new VFile({
      path: "gear/lamp.md",
      value:
        '---\nkind: lamp\nname: Lamp\ncount: 2\nwatts: 30 W\nreadings:\n  -\n  - 200 µmol/m²/s\n  - bright\nmeasured: 2027-02-01\nhours: 16 h\nsources: { demo: "*" }\n---\n',
    });
    parse(source, kinds.gear);
    expect(told(source).sort()).toEqual(["7:4 field-blank", "9:5 number-unreadable"]);
  });

  it("never takes a name that every object has for a field", () => {
    const source = file(`${water}\nconstructor: x\ntoString: y\n__proto__: { safe: yes }`);
    const entry = read(source, kinds.waters);
    expect(entry).toBeUndefined();
    expect(told(source)).toEqual(["10:1 yaml-syntax"]);
    const other = file(`${water}\nconstructor: x\ntoString: y`);
    expect(parse(other, kinds.waters)?.fields).not.toHaveProperty("constructor", "x");
    expect(told(other)).toEqual(["8:1 field-unknown", "9:1 field-unknown"]);
  });

  it.each([
    ["a NUL", "---\nname: a\0b\n---\n", "2:1 file-unreadable"],
    [
      "bytes that are no UTF-8",
      new Uint8Array([45, 45, 45, 10, 0xff, 0xfe, 10, 45, 45, 45, 10]),
      "2:1 file-unreadable",
    ],
    ["nothing at all", "", "1:1 front-matter-missing"],
    ["no second fence", "---\nname: a\n", "1:1 front-matter-open"],
    ["a list for fields", "---\n- a\n- b\n---\n", "2:1 type-wrong"],
    ["a key twice", `---\n${water}\nfrom: well\n---\n`, "8:1 key-twice"],
    ["a tab for indent", "---\nions:\n\tCa: 4 mg/L\n---\n", "3:1 yaml-syntax"],
    ["an alias", `---\n${water}\nph: &a 6.8\n---\n`, "8:5 yaml-alias"],
    ["an end of document", `---\n${water}\n...\nph: 6.8\n---\n`, "9:1 yaml-syntax"],
  ])("places %s", (_name, value, place) => {
    const source = new VFile({ path: "waters/rain.md", value });
    expect(parse(source, kinds.waters)).toBeUndefined();
    expect(told(source)).toContain(place);
  });

  it("reads files from any machine: a byte order mark, CRLF, a lone CR", () => {
    for (const end of ["\n", "\r\n", "\r"]) {
      const source = new VFile({
        path: "waters/rain.md",
        value: `\uFEFF---\n${water}\n---\nClear.\n`.replaceAll("\n", end),
      });
      expect(parse(source, kinds.waters)?.fields.ec).toBe(0.06);
    }
  });

  it("stops at aliases that would grow without end, and at nesting that would", () => {
    const bomb = [
      "a: &a [x, x]",
      ...[..."bcdefghij"].map((name, index) => `${name}: &${name} [*${"abcdefghi"[index]}, *${"abcdefghi"[index]}]`),
    ];
    for (const yaml of [
      bomb.join("\n"),
      `a: ${"[".repeat(20_000)}`,
      `a: ${"{a: ".repeat(20_000)}`,
      `${"- ".repeat(20_000)}x`,
      `a: ${"[".repeat(5000)}${"]".repeat(5000)}`,
    ]) {
      const source = file(yaml);
      const start = performance.now();
      expect(parse(source, kinds.waters)).toBeUndefined();
      expect(performance.now() - start).toBeLessThan(4000);
      expect(source.messages.length).toBeGreaterThan(0);
      expectPlaced(source);
    }
  });

  it("keeps long whole numbers as they are written", () => {
    const source = file(water.replace("0.06 mS/cm", `${"9".repeat(400)} mS/cm`));
    expect(parse(source, kinds.waters)).toBeUndefined();
    expect(told(source)).toEqual(["5:5 number-unreadable"]);
  });

  it("never throws, and places every message inside the file", () => {
    const line = fc.oneof(
      fc.constantFrom(...water.split("\n")),
      fc.constantFrom(
        "ec: 1,2",
        "ph: [",
        "ph: {",
        "- x",
        "  - y",
        "\tph: 6",
        "? a",
        ": b",
        "x: |",
        "  text",
        "&a b: *a",
        "ph: !!float 6",
        "ec:",
        "...",
        "---",
        "%YAML 1.2",
        "\0",
        "ions: { Ca: }",
        "'",
        '"',
        "<<: *a",
        "~: 1",
        "[a]: b",
        "{a}: b",
        "__proto__: 1",
        "kind: lamp",
        "notes: { a: b }",
        "sources: [a]",
        "tests: { 2027-02-30: { up: 3, sown: 2 } }",
        "stages: { tower: {}, tray: { days: x } }",
      ),
      fc.string({ unit: "binary", maxLength: 20 }),
    );
    const text = fc
      .array(line, { maxLength: 12 })
      .chain((lines) => fc.constantFrom("\n", "\r\n").map((end) => ["---", ...lines, "---", "body"].join(end)));
    fc.assert(
      fc.property(text, fc.constantFrom(...(Object.keys(kinds) as (keyof typeof kinds)[])), (value, kind) => {
        const source = new VFile({ path: `${kind}/a.md`, value });
        const entry = parse(source, kinds[kind]);
        expect(entry === undefined).toBe(source.messages.some(({ fatal }) => fatal === true));
        expectPlaced(source);
      }),
      { numRuns: 1500 },
    );
  });

  it("takes time by the length of a record, not by its square", () => {
    const lines = (count: number) => Array.from({ length: count }, (_, index) => `odd${index}: 1`).join("\n");
    const time = (count: number) => {
      const start = performance.now();
      parse(file(`${water}\n${lines(count)}`), kinds.waters);
      return performance.now() - start;
    };
    time(500);
    const short = Math.min(time(500), time(500), time(500));
    const long = Math.min(time(4000), time(4000));
    expect(long / short).toBeLessThan(32);
  });
});

function expectPlaced(source: VFile): void {
  const lines = String(source)
    .replace(/^\uFEFF/, "")
    .split(/\r\n|\r|\n/);
  for (const message of source.messages) {
    const { start, end } = message.place as Place;
    expect(start.line).toBeGreaterThanOrEqual(1);
    expect(start.column).toBeGreaterThanOrEqual(1);
    expect(start.line, `${message.ruleId}`).toBeLessThanOrEqual(lines.length);
    expect(end.line).toBe(start.line);
    expect(end.column).toBeGreaterThanOrEqual(start.column);
    expect(end.column, `${message.ruleId} ${message.reason} in ${JSON.stringify(String(source))}`).toBeLessThanOrEqual(
      lines[start.line - 1]!.length + 1,
    );
  }
}
