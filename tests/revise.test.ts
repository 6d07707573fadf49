import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parse, parseDocument } from "yaml";
import { differsOnlyAt, shapeOf } from "../generator/revise/proof.ts";
import { edit, type Path, type Value } from "../generator/revise.ts";

/** What a record's front matter says, as the writer of it meant it. A blank is an empty text. */
type Said = string | Said[] | { [name: string]: Said };

/** A record that was written for a test: its text, what it says, and where each of its texts stands. */
interface Written {
  readonly text: string;
  readonly said: { readonly [name: string]: Said };
  readonly scalars: readonly Scalar[];
  /** Paths of the mappings, the top one and those in brackets among them. */
  readonly maps: readonly Path[];
  /** Paths of the lists. */
  readonly lists: readonly Path[];
}

interface Scalar {
  readonly path: Path;
  readonly from: number;
  readonly to: number;
  readonly style: "plain" | "single" | "double";
}

const plainTexts = [
  "12",
  "2027-03-11",
  "1.2–1.8 mS/cm",
  "yes",
  "Rocket",
  "крес-салат",
  "紫蘇",
  "خس",
  "¤4.50",
  "a#b",
  "x:y",
];
const oddTexts = [
  ...plainTexts,
  "",
  "*",
  "- x",
  "a: b",
  "it's",
  'say "so"',
  "a # b",
  "{ x }",
  "[1, 2]",
  "ends ",
  "tab\tin",
  "~",
  "null",
  "&x",
  "🌱: 'q'",
  "%",
  "@",
  "#",
  "? k",
  "| x",
  "línea",
  "\u00a0thin",
];
const names = ["a", "on", "up", "tray", "sown", "ключ", "葉", "half-open", "Öl", "n9"];
const comments = ["", "", "", " # why", "   # 'not a quote", " # ключ: нет", " #"];
const above = ["", "", "", "# a remark", "#", "# x: { y", "    # far in"];

type Entry =
  | { readonly is: "scalar"; readonly text: string; readonly style: Scalar["style"] }
  | {
      readonly is: "flow";
      readonly fields: readonly (readonly [string, string, Scalar["style"]])[];
      readonly wide: boolean;
      readonly comma: boolean;
      readonly lines: boolean;
    }
  | { readonly is: "flow-list"; readonly items: readonly string[]; readonly wide: boolean }
  | { readonly is: "map"; readonly indent: number; readonly entries: readonly Field[] }
  | { readonly is: "list"; readonly indent: number; readonly items: readonly string[] }
  | { readonly is: "folded"; readonly text: string };

interface Field {
  readonly name: string;
  readonly entry: Entry;
  readonly comment: string;
  readonly above: string;
  readonly trailing: string;
  readonly quoted: boolean;
}

const style = fc.constantFrom("plain", "single", "double");
const plain = fc.constantFrom(...plainTexts);
const quotable = fc.tuple(style, fc.constantFrom(...oddTexts.filter((text) => text !== "")), plain);
const scalarEntry: fc.Arbitrary<Entry> = quotable.map(([how, odd, simple]) => ({
  is: "scalar",
  text: how === "plain" ? simple : odd,
  style: how,
}));
const flowEntry: fc.Arbitrary<Entry> = fc
  .record({
    fields: fc.uniqueArray(fc.tuple(fc.constantFrom(...names), quotable), { maxLength: 3, selector: ([name]) => name }),
    wide: fc.boolean(),
    comma: fc.boolean(),
    lines: fc.boolean(),
  })
  .map(({ fields, ...rest }) => ({
    is: "flow",
    ...rest,
    fields: fields.map(([name, [how, odd, simple]]) => [name, how === "plain" ? simple : odd, how] as const),
  }));
const listed = fc.array(plain, { minLength: 1, maxLength: 3 });
const leafEntry = fc.oneof(
  { weight: 4, arbitrary: scalarEntry },
  { weight: 3, arbitrary: flowEntry },
  fc.record({ is: fc.constant("flow-list" as const), items: fc.array(plain, { maxLength: 3 }), wide: fc.boolean() }),
  fc.record({ is: fc.constant("list" as const), indent: fc.constantFrom(0, 2), items: listed }),
  fc.record({ is: fc.constant("folded" as const), text: fc.constantFrom("two\nlines", "one") }),
);
const field = (entry: fc.Arbitrary<Entry>): fc.Arbitrary<Field> =>
  fc.record({
    name: fc.constantFrom(...names),
    entry,
    comment: fc.constantFrom(...comments),
    above: fc.constantFrom(...above),
    trailing: fc.constantFrom("", "", "  "),
    quoted: fc.boolean(),
  });
const fields = (entry: fc.Arbitrary<Entry>, minLength = 1) =>
  fc.uniqueArray(field(entry), { minLength, maxLength: 5, selector: ({ name }) => name });
const mapEntry: fc.Arbitrary<Entry> = fc.record({
  is: fc.constant("map" as const),
  indent: fc.constantFrom(1, 2, 4),
  entries: fields(leafEntry),
});
const record: fc.Arbitrary<Written> = fc
  .record({
    top: fields(fc.oneof(leafEntry, mapEntry), 2),
    end: fc.constantFrom("\n", "\r\n", "\r"),
    mark: fc.constantFrom("", "\uFEFF"),
    body: fc.constantFrom("", "\nText.\n---\na: b\n", "текст\r\nmixed\nends  "),
    fence: fc.constantFrom("---", "--- "),
  })
  .map(written);

/** Writes a record out, and keeps the books while it does. */
function written({
  top,
  end,
  mark,
  body,
  fence,
}: {
  top: readonly Field[];
  end: string;
  mark: string;
  body: string;
  fence: string;
}): Written {
  let text = `${mark}${fence}${end}`;
  const scalars: Scalar[] = [];
  const maps: Path[] = [[]];
  const lists: Path[] = [];
  let folded = false;
  const put = (value: string, how: Scalar["style"], path: Path) => {
    const from = text.length;
    text += how === "double" ? JSON.stringify(value) : how === "single" ? `'${value.replaceAll("'", "''")}'` : value;
    scalars.push({ path, from, to: text.length, style: how });
  };
  const write = (all: readonly Field[], indent: number, above: Path): { [name: string]: Said } => {
    const said: { [name: string]: Said } = {};
    for (const one of all) {
      const path = [...above, one.name];
      // Below a text over several lines, what is indented far is a part of it.
      if (one.above && !(folded && one.above.startsWith(" ")))
        text += `${one.above.startsWith(" ") ? "" : " ".repeat(indent)}${one.above}${end}`;
      text += `${" ".repeat(indent)}${one.quoted ? JSON.stringify(one.name) : one.name}:`;
      folded = one.entry.is === "folded";
      said[one.name] = value(one, indent, path);
    }
    return said;
  };
  const value = ({ entry, comment, trailing }: Field, indent: number, path: Path): Said => {
    const close = () => {
      text += `${comment}${trailing}${end}`;
    };
    switch (entry.is) {
      case "scalar":
        text += " ";
        put(entry.text, entry.style, path);
        close();
        return entry.text;
      case "flow": {
        maps.push(path);
        const gap = entry.lines ? `${comment || " # in"}${end}${" ".repeat(indent + 3)}` : entry.wide ? " " : "";
        text += ` {${entry.fields.length > 0 ? gap : entry.wide ? " " : ""}`;
        for (const [index, [name, inner, how]] of entry.fields.entries()) {
          if (index > 0) text += `,${entry.lines ? gap : " "}`;
          text += `${name}: `;
          put(inner, how, [...path, name]);
        }
        if (entry.fields.length > 0)
          text += `${entry.comma ? "," : ""}${entry.lines ? `${end}${" ".repeat(indent + 1)}` : entry.wide ? " " : ""}`;
        text += "}";
        close();
        return Object.fromEntries(entry.fields.map(([name, inner]) => [name, inner]));
      }
      case "flow-list":
        lists.push(path);
        text += ` [${entry.wide ? " " : ""}`;
        for (const [index, item] of entry.items.entries()) {
          if (index > 0) text += ", ";
          put(item, "plain", [...path, index]);
        }
        text += `${entry.wide ? " " : ""}]`;
        close();
        return [...entry.items];
      case "list":
        lists.push(path);
        close();
        for (const [index, item] of entry.items.entries()) {
          text += `${" ".repeat(indent + entry.indent)}- `;
          put(item, "plain", [...path, index]);
          close();
        }
        return [...entry.items];
      case "folded":
        text += ` |${comment}${end}`;
        for (const line of entry.text.split("\n")) text += `${" ".repeat(indent + 2)}${line}${end}`;
        return `${entry.text}\n`;
      case "map":
        maps.push(path);
        close();
        return write(entry.entries, indent + entry.indent, path);
    }
  };
  const said = write(top, 0, []);
  text += `${fence}${end}${body}`;
  return { text, said, scalars, maps, lists };
}

/** What a text says, by a reader that knows nothing of the editor. */
function saidBy(text: string): unknown {
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/);
  const close = lines.findIndex((line, index) => index > 0 && line.trimEnd() === "---");
  return parse(`${lines.slice(1, close).join("\n")}\n`, { schema: "failsafe" });
}

/** The same said, but for one path. */
function withPut(said: Said, [step, ...rest]: Path, value: Said): Said {
  if (step === undefined) return value;
  if (Array.isArray(said)) {
    const items = [...said];
    items[Number(step)] = withPut(items[Number(step)] ?? "", rest, value);
    return items;
  }
  const map = typeof said === "object" ? said : {};
  return { ...map, [step]: withPut(map[step] ?? "", rest, value) };
}

function textOf(revised: ReturnType<typeof edit>): string {
  if ("refusal" in revised) throw new Error(revised.refusal);
  return revised.text;
}

/** Whether all of the old text still stands, with one stretch put in. */
function onlyPutIn(before: string, after: string): boolean {
  let head = 0;
  while (head < before.length && before[head] === after[head]) head++;
  let tail = 0;
  while (tail < before.length - head && before.at(-1 - tail) === after.at(-1 - tail)) tail++;
  return head + tail === before.length;
}

const many = { numRuns: 500 };
const words = fc.oneof(fc.constantFrom(...oddTexts), fc.string({ unit: "grapheme", maxLength: 12 }));
const at = fc.nat();

describe("edit(text, changes) of any record", () => {
  it("reads what the test wrote as it was meant", () => {
    fc.assert(
      fc.property(record, ({ text, said }) => {
        expect(saidBy(text)).toEqual(said);
      }),
      many,
    );
  });

  it("changes one text: not a byte before it, not a byte behind it, and it reads as intended", () => {
    fc.assert(
      fc.property(record, at, words, ({ text, said, scalars }, which, value) => {
        fc.pre(scalars.length > 0 && !/[\r\n]/.test(value));
        const { path, from, to, style: how } = scalars[which % scalars.length]!;
        const revised = edit(text, [{ path, value }]);
        // Quotes with nothing in them are a blank, and a blank is not what a fact is changed to.
        if (value.trim() === "") return;
        const now = textOf(revised);
        expect(now.slice(0, from)).toBe(text.slice(0, from));
        expect(now.endsWith(text.slice(to))).toBe(true);
        expect(saidBy(now)).toEqual(withPut(said as Said, path, value));
        const put = now.slice(from, now.length - (text.length - to));
        if (how === "double") expect(put).toMatch(/^".*"$/su);
        if (how === "single" && !/[\p{Cc}\p{Cs}\u2028\u2029]/u.test(value)) expect(put).toMatch(/^'.*'$/su);
      }),
      many,
    );
  });

  it("changes nothing when the text says that already", () => {
    fc.assert(
      fc.property(record, at, ({ text, said, scalars }, which) => {
        fc.pre(scalars.length > 0);
        const { path } = scalars[which % scalars.length]!;
        const value = path.reduce<Said>((inner, step) => (inner as Record<string | number, Said>)[step]!, said as Said);
        expect(edit(text, [{ path, value: value as string }])).toEqual({ text });
      }),
      many,
    );
  });

  it("adds a field to any mapping: all that stood there stands, and the rest says what it said", () => {
    const values: fc.Arbitrary<Value> = fc.oneof(
      plain,
      fc.constantFrom("a: b", "*", "x # y"),
      fc.record({ on: plain, up: plain }),
      fc.array(plain, { minLength: 1, maxLength: 2 }),
    );
    fc.assert(
      fc.property(
        record,
        at,
        values,
        fc.constantFrom("neu", "new: key", "新", "2027-04-12", "#"),
        ({ text, said, maps }, which, value, name) => {
          const path = [...maps[which % maps.length]!, name];
          const now = textOf(edit(text, [{ path, value }]));
          expect(onlyPutIn(text, now)).toBe(true);
          expect(saidBy(now)).toEqual(withPut(said as Said, path, value as Said));
        },
      ),
      many,
    );
  });

  it("adds a field where the order of the record has it", () => {
    fc.assert(
      fc.property(record, at, ({ text, said, maps }, which) => {
        const path = maps[which % maps.length]!;
        const map = path.reduce<Said>((inner, step) => (inner as Record<string, Said>)[step]!, said as Said) as Record<
          string,
          Said
        >;
        const keys = Object.keys(map);
        fc.pre(keys.length > 0);
        const place = which % (keys.length + 1);
        const order = [...keys.slice(0, place), "neu", ...keys.slice(place)];
        const now = textOf(edit(text, [{ path: [...path, "neu"], value: "5" }], () => order));
        expect(onlyPutIn(text, now)).toBe(true);
        const found = path.reduce<unknown>((inner, step) => (inner as Record<string, unknown>)[step], saidBy(now));
        // In brackets nothing is put before the first.
        if (place > 0) expect(Object.keys(found as object)).toEqual(order);
      }),
      many,
    );
  });

  it("lengthens a list by one", () => {
    fc.assert(
      fc.property(record, at, plain, ({ text, said, lists }, which, value) => {
        fc.pre(lists.length > 0);
        const path = lists[which % lists.length]!;
        const list = path.reduce<Said>((inner, step) => (inner as Record<string, Said>)[step]!, said as Said) as Said[];
        const now = textOf(edit(text, [{ path: [...path, list.length], value }]));
        expect(onlyPutIn(text, now)).toBe(true);
        expect(saidBy(now)).toEqual(withPut(said as Said, [...path, list.length], value));
      }),
      many,
    );
  });

  it("makes no change at all when the field says something else than it did", () => {
    fc.assert(
      fc.property(record, at, ({ text, scalars }, which) => {
        fc.pre(scalars.length > 0);
        const { path } = scalars[which % scalars.length]!;
        expect(edit(text, [{ path, value: "12", was: "never this" }])).toHaveProperty("refusal");
      }),
      { numRuns: 300 },
    );
  });
});

describe("edit(text, changes)", () => {
  const record = (fields: string) => `---\n${fields}\n---\n`;

  it("puts a move below its neighbours and a closing before what the schema has behind it", () => {
    const order = (path: Path) => (path.length === 0 ? ["code", "moves", "closed", "by", "sources"] : undefined);
    const before = record(
      "code: X # as printed\nmoves:\n    tray: { on: 2027-03-16, plants: 99 }   # by hand\n\n# who\nby: 'JVQ'\nsources:\n  demo: \"*\"",
    );
    expect(
      edit(
        before,
        [
          { path: ["moves", "mister"], value: { on: "2027-04-01", plants: "95" } },
          { path: ["closed"], value: "2027-05-02" },
        ],
        order,
      ),
    ).toEqual({
      text: record(
        "code: X # as printed\nmoves:\n    tray: { on: 2027-03-16, plants: 99 }   # by hand\n    mister: { on: 2027-04-01, plants: 95 }\nclosed: 2027-05-02\n\n# who\nby: 'JVQ'\nsources:\n  demo: \"*\"",
      ),
    });
  });

  it("makes the mappings that are not there, as deep as the others are", () => {
    expect(edit(record("a:\n    b: 1"), [{ path: ["cuts", "2027-04-12"], value: "320 g" }])).toEqual({
      text: record("a:\n    b: 1\ncuts:\n    2027-04-12: 320 g"),
    });
  });

  it("fills a blank where it stands, before its remark", () => {
    expect(
      edit(record("a: # not yet\nb: ~"), [
        { path: ["a"], value: "1" },
        { path: ["b", "c"], value: "2" },
      ]),
    ).toEqual({
      text: record("a: 1 # not yet\nb: { c: 2 }"),
    });
  });

  it("puts a mapping into one that stands field by field", () => {
    expect(
      edit(record("counted: { on: 2027-03-16, up: 99, by: X }"), [
        { path: ["counted"], value: { on: "2027-03-17", up: "98" } },
      ]),
    ).toEqual({
      text: record("counted: { on: 2027-03-17, up: 98, by: X }"),
    });
  });

  it.each([
    ["an alias", "a: &x 1\nb: *x", ["b"], "`b` is `*x`"],
    ["an anchor that is used elsewhere", "a: &x 1\nb: *x", ["a"], "`a` is named `&x`"],
    ["something inside what is said again elsewhere", "a: &x\n  c: 1\nb: *x", ["a", "c"], "`a` is named `&x`"],
    ["a new field inside an alias", "a: &x\n  c: 1\nb: *x", ["b", "d"], "`b` is `*x`"],
    ["a text over several lines", "a: |\n  x\n  y", ["a"], "several lines"],
    ["a mapping", "a:\n  c: 1", ["a"], "holds fields of its own"],
    ["a field inside a text", "a: 1", ["a", "b"], "does not hold a field `b`"],
    ["a place far past the end of a list", "a: [1]", ["a", 5], "does not hold a field `5`"],
    ["what cannot be read", "a: [1", ["a"], "cannot be read"],
    ["a field that stands twice", "a: 1\na: 2", ["a"], "cannot be read"],
  ])("refuses %s, with a sentence", (_what, fields, path, words) => {
    const revised = edit(record(fields), [{ path, value: "9" }]);
    expect(revised).toHaveProperty("refusal");
    expect((revised as { refusal: string }).refusal).toContain(words);
  });

  it("keeps an anchor that nobody uses, and changes the value behind it", () => {
    expect(edit(record("a: &x 1"), [{ path: ["a"], value: "2" }])).toEqual({ text: record("a: &x 2") });
  });

  it("makes all changes or none", () => {
    expect(
      edit(record("a: 1\nb: |\n  x"), [
        { path: ["a"], value: "2" },
        { path: ["b"], value: "3" },
      ]),
    ).toHaveProperty("refusal");
  });

  it("refuses a file without front matter", () => {
    expect(edit("a: 1\n", [{ path: ["a"], value: "2" }])).toHaveProperty("refusal");
    expect(edit("---\n---\n", [{ path: ["a"], value: "2" }])).toHaveProperty("refusal");
  });
});

describe("differsOnlyAt(before, after, path, value)", () => {
  const shape = (yaml: string) => shapeOf(parseDocument(yaml, { schema: "failsafe" }).contents);
  const before = shape("a: 1\nb: { c: 2, d: [3, 4] }\ne: &x 5\nf:");

  it.each([
    ["the field alone", "a: 1\nb: { c: 9, d: [3, 4] }\ne: &x 5\nf:", true],
    ["the field, in another style of quoting", "a: 1\nb: { c: '9', d: [3, 4] }\ne: &x 5\nf:", true],
    ["another value of the field", "a: 1\nb: { c: 8, d: [3, 4] }\ne: &x 5\nf:", false],
    ["another field as well", "a: 2\nb: { c: 9, d: [3, 4] }\ne: &x 5\nf:", false],
    ["a place in a list beside it", "a: 1\nb: { c: 9, d: [3] }\ne: &x 5\nf:", false],
    ["the order of the fields", "b: { c: 9, d: [3, 4] }\na: 1\ne: &x 5\nf:", false],
    ["an anchor", "a: 1\nb: { c: 9, d: [3, 4] }\ne: 5\nf:", false],
    ["a blank elsewhere", "a: 1\nb: { c: 9, d: [3, 4] }\ne: &x 5\nf: 0", false],
    ["a field too many", "a: 1\nb: { c: 9, d: [3, 4] }\ne: &x 5\nf:\ng: 1", false],
    ["a field too few", "a: 1\nb: { c: 9, d: [3, 4] }\ne: &x 5", false],
  ])("sees a change of %s", (_what, after, well) => {
    expect(differsOnlyAt(before, shape(after), ["b", "c"], "9")).toBe(well);
  });
});
