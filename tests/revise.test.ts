import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Lexer, parse, parseDocument } from "yaml";
import { differsOnlyAt, shapeOf } from "../generator/revise/proof.ts";
import { scalar } from "../generator/revise/words.ts";
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
const parts = fc.record({
  top: fields(fc.oneof(leafEntry, mapEntry), 2),
  end: fc.constantFrom("\n", "\r\n", "\r"),
  mark: fc.constantFrom("", "\uFEFF"),
  body: fc.constantFrom("", "\nText.\n---\na: b\n", "текст\r\nmixed\nends  "),
  fence: fc.constantFrom("---", "--- "),
});
const record: fc.Arbitrary<Written> = parts.map(written);
/** The same without a remark anywhere. */
const unremarked: fc.Arbitrary<Written> = parts.map(({ top, ...rest }) => written({ top: top.map(bare), ...rest }));

function bare(field: Field): Field {
  const { entry } = field;
  const inner: Entry =
    entry.is === "map"
      ? { ...entry, entries: entry.entries.map(bare) }
      : entry.is === "flow"
        ? { ...entry, lines: false }
        : entry;
  return { ...field, entry: inner, comment: "", above: "" };
}

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

/** The same said, without what stands at one path. */
function without(said: Said, [step, ...rest]: Path): Said {
  if (Array.isArray(said))
    return rest.length === 0
      ? said.toSpliced(Number(step), 1)
      : said.map((item, place) => (place === step ? without(item, rest) : item));
  const map = said as { [name: string]: Said };
  if (rest.length > 0) return { ...map, [step!]: without(map[step!]!, rest) };
  return Object.fromEntries(Object.entries(map).filter(([name]) => name !== step));
}

/** The same said, with nothing for a list or a mapping that holds nothing. */
function blanked(said: Said): Said {
  if (typeof said !== "object" || said === null) return said ?? "";
  if (Array.isArray(said)) return said.length === 0 ? "" : said.map(blanked);
  const fields = Object.entries(said).map(([name, inner]) => [name, blanked(inner)] as const);
  return fields.length === 0 ? "" : Object.fromEntries(fields);
}

/** The remarks of a text, by a reader that knows nothing of the editor. */
function remarksIn(text: string): readonly string[] {
  return [...new Lexer().lex(text.replaceAll(/\r\n?/g, "\n"))].filter((token) => token.startsWith("#"));
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

const front = (fields: string) => `---\n${fields}\n---\n`;

describe("edit(text, changes)", () => {
  it("puts a move below its neighbours and a closing before what the schema has behind it", () => {
    const order = (path: Path) => (path.length === 0 ? ["code", "moves", "closed", "by", "sources"] : undefined);
    const before = front(
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
      text: front(
        "code: X # as printed\nmoves:\n    tray: { on: 2027-03-16, plants: 99 }   # by hand\n    mister: { on: 2027-04-01, plants: 95 }\nclosed: 2027-05-02\n\n# who\nby: 'JVQ'\nsources:\n  demo: \"*\"",
      ),
    });
  });

  it("makes the mappings that are not there, as deep as the others are", () => {
    expect(edit(front("a:\n    b: 1"), [{ path: ["cuts", "2027-04-12"], value: "320 g" }])).toEqual({
      text: front("a:\n    b: 1\ncuts:\n    2027-04-12: 320 g"),
    });
  });

  it("fills a blank where it stands, before its remark", () => {
    expect(
      edit(front("a: # not yet\nb: ~"), [
        { path: ["a"], value: "1" },
        { path: ["b", "c"], value: "2" },
      ]),
    ).toEqual({
      text: front("a: 1 # not yet\nb: { c: 2 }"),
    });
  });

  it("puts a mapping into one that stands field by field", () => {
    expect(
      edit(front("counted: { on: 2027-03-16, up: 99, by: X }"), [
        { path: ["counted"], value: { on: "2027-03-17", up: "98" } },
      ]),
    ).toEqual({
      text: front("counted: { on: 2027-03-17, up: 98, by: X }"),
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
    const revised = edit(front(fields), [{ path, value: "9" }]);
    expect(revised).toHaveProperty("refusal");
    expect((revised as { refusal: string }).refusal).toContain(words);
  });

  it("keeps an anchor that nobody uses, and changes the value behind it", () => {
    expect(edit(front("a: &x 1"), [{ path: ["a"], value: "2" }])).toEqual({ text: front("a: &x 2") });
  });

  it("makes all changes or none", () => {
    expect(
      edit(front("a: 1\nb: |\n  x"), [
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

describe("edit(text, changes) that takes out or puts in", { timeout: 60_000 }, () => {
  const places = ({ scalars, maps, lists }: Written) => [
    ...scalars.map(({ path }) => path),
    ...[...maps, ...lists].filter((path) => path.length > 0),
  ];

  it("takes out any field or item: all else says what it said, every byte that is left stood there before", () => {
    let gone = 0;
    fc.assert(
      fc.property(record, at, (one, which) => {
        const paths = places(one);
        fc.pre(paths.length > 0);
        const path = paths[which % paths.length]!;
        const revised = edit(one.text, [{ path, remove: true }]);
        if ("refusal" in revised) return;
        gone++;
        expect(onlyPutIn(revised.text, one.text)).toBe(true);
        expect(blanked(saidBy(revised.text) as Said)).toEqual(blanked(without(one.said as Said, path)));
        expect(remarksIn(revised.text)).toEqual(remarksIn(one.text));
      }),
      { numRuns: 1000 },
    );
    // It does not stand by refusing everything: in these records only a remark that would go refuses.
    expect(gone).toBeGreaterThan(300);
  });

  it("refuses to take a field out only where a remark would go with it", () => {
    fc.assert(
      fc.property(unremarked, at, (one, which) => {
        const paths = places(one);
        fc.pre(paths.length > 0 && Object.keys(one.said).length > 1);
        expect(edit(one.text, [{ path: paths[which % paths.length]!, remove: true }])).toHaveProperty("text");
      }),
      { numRuns: 1000 },
    );
  });

  it("changes a text there and back to the same bytes, unless it had no quotes and needed them", () => {
    fc.assert(
      fc.property(record, at, words, ({ text, scalars, said }, which, value) => {
        fc.pre(scalars.length > 0 && !/[\r\n]/.test(value) && value.trim() !== "");
        const { path, style: how } = scalars[which % scalars.length]!;
        const was = path.reduce<Said>(
          (inner, step) => (inner as Record<string | number, Said>)[step]!,
          said as Said,
        ) as string;
        const there = textOf(edit(text, [{ path, value, was }]));
        const back = edit(there, [{ path, value: was, was: value }]);
        const open = !/[\p{Cc}\p{Cs}\u2028\u2029]/u.test(value + was);
        const kept = how === "double" || (how === "single" ? open : scalar(value, path.length > 1) === value);
        if (kept) expect(textOf(back)).toBe(text);
        else expect(saidBy(textOf(back))).toEqual(said);
      }),
      { numRuns: 1000 },
    );
  });

  it("adds a field to any mapping and takes it out again, to the same bytes", () => {
    const values: fc.Arbitrary<Value> = fc.oneof(
      plain,
      fc.record({ on: plain, up: plain }),
      fc.array(plain, { minLength: 1, maxLength: 2 }),
    );
    fc.assert(
      fc.property(
        record,
        at,
        values,
        fc.constantFrom("neu", "新", "2027-04-12"),
        ({ text, maps, said }, which, value, name) => {
          const path = [...maps[which % maps.length]!, name];
          const there = textOf(edit(text, [{ path, value }]));
          const back = textOf(edit(there, [{ path, remove: true, was: value }]));
          // Of `{ }` and `{}` the one is made the other.
          if (/\{ +\}/.test(text)) expect(saidBy(back)).toEqual(said);
          else expect(back).toBe(text);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it("makes what is not there, however deep, and takes all of it out again", () => {
    fc.assert(
      fc.property(record, fc.boolean(), ({ text }, deep) => {
        const path = deep ? ["neu", "tief", "drin"] : ["neu", "drin"];
        for (const change of [
          { path, value: "5" },
          { path: ["neu", 0], value: "5" },
          { path: ["neu", "l", 0], value: { on: "5" } },
        ]) {
          const there = textOf(edit(text, [change]));
          expect(edit(there, [{ path: change.path, remove: true, was: change.value, emptied: "drop" }])).toEqual({
            text,
          });
        }
      }),
      { numRuns: 300 },
    );
  });

  it("puts an item into a list at any place and takes it out again, to the same bytes", () => {
    fc.assert(
      fc.property(record, at, at, plain, ({ text, said, lists }, which, where, value) => {
        fc.pre(lists.length > 0);
        const path = lists[which % lists.length]!;
        const list = path.reduce<Said>((inner, step) => (inner as Record<string, Said>)[step]!, said as Said) as Said[];
        const place = where % (list.length + 1);
        const there = textOf(edit(text, [{ path: [...path, place], value, insert: true }]));
        expect(saidBy(there)).toEqual(withPut(said as Said, path, list.toSpliced(place, 0, value)));
        expect(onlyPutIn(text, there)).toBe(true);
        expect(textOf(edit(there, [{ path: [...path, place], remove: true, was: value }]))).toBe(text);
      }),
      { numRuns: 1000 },
    );
  });

  it("takes an item out of a list and puts it back to the same bytes, where it stood on a line of its own or in a row", () => {
    fc.assert(
      fc.property(record, at, ({ text, scalars, said }, which) => {
        const items = scalars.filter(({ path }) => typeof path.at(-1) === "number");
        fc.pre(items.length > 0);
        const { path } = items[which % items.length]!;
        const value = path.reduce<Said>(
          (inner, step) => (inner as Record<string | number, Said>)[step]!,
          said as Said,
        ) as string;
        const there = edit(text, [{ path, remove: true, was: value }]);
        const list = path
          .slice(0, -1)
          .reduce<Said>((inner, step) => (inner as Record<string, Said>)[step]!, said as Said) as Said[];
        if ("refusal" in there || list.length === 1) return;
        const back = textOf(edit(there.text, [{ path, value, insert: true }]));
        if (/[ ]+(?=\r|\n)/.test(text)) expect(saidBy(back)).toEqual(said);
        else expect(back).toBe(text);
      }),
      { numRuns: 1000 },
    );
  });

  it("leaves alone what is said again elsewhere by its name, and changes and takes out the rest beside it", () => {
    fc.assert(
      fc.property(unremarked, at, at, plain, ({ text, scalars, said }, which, other, value) => {
        fc.pre(scalars.length > 1);
        const { path, from } = scalars[which % scalars.length]!;
        const close = text.replace(/^\uFEFF/, " ").search(/(?<=[\r\n])--- ?[\r\n]/);
        const end = /\r\n|\r|\n/.exec(text)![0];
        const named = `${text.slice(0, from)}&name ${text.slice(from, close)}again: *name${end}${text.slice(close)}`;
        for (const refused of [path, ["again"]]) {
          expect(edit(named, [{ path: refused, value: "9" }])).toHaveProperty("refusal");
        }
        expect(edit(named, [{ path, remove: true }])).toHaveProperty("refusal");
        const one = scalars[other % scalars.length]!.path;
        if (one === path) return;
        const was = one.reduce<Said>((inner, step) => (inner as Record<string | number, Said>)[step]!, said as Said);
        const there = textOf(edit(named, [{ path: one, value }]));
        expect(saidBy(there)).toMatchObject(withPut(said as Said, one, value) as object);
        expect(saidBy(textOf(edit(there, [{ path: one, value: was as string, was: value }])))).toEqual(saidBy(named));
        const gone = edit(named, [{ path: one, remove: true }]);
        if ("text" in gone) expect(gone.text).toContain("again: *name");
      }),
      { numRuns: 1000 },
    );
  });

  it("takes nothing out where something else stands than was said", () => {
    fc.assert(
      fc.property(record, at, (one, which) => {
        const paths = places(one);
        fc.pre(paths.length > 0);
        expect(
          edit(one.text, [{ path: paths[which % paths.length]!, remove: true, was: "never this" }]),
        ).toHaveProperty("refusal");
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    ["a field on its line", "a: 1\nb: 2\nc: 3", ["b"], "a: 1\nc: 3"],
    ["the last field", "a: 1\nb: 2", ["b"], "a: 1"],
    ["a mapping with all that is in it", "a: 1\nb:\n  c: 2\n  d: [3,\n    4]\ne: 5", ["b"], "a: 1\ne: 5"],
    ["a text over several lines", "a: |\n  x\n  y\n\nb: 2", ["a"], "\nb: 2"],
    ["an item of a list", "a:\n  - x\n  - y\n  - z", ["a", 1], "a:\n  - x\n  - z"],
    ["a mapping in a list", "a:\n  - on: 1\n    up: 2\n  - on: 3", ["a", 0], "a:\n  - on: 3"],
    ["the first field behind a hyphen", "a:\n  - on: 1\n    up: 2", ["a", 0, "on"], "a:\n  - up: 2"],
    ["the first in brackets", "a: [x, y, z]", ["a", 0], "a: [y, z]"],
    ["one in the middle of brackets", "a: { b: 1, c: 2, d: 3 } # why", ["a", "c"], "a: { b: 1, d: 3 } # why"],
    ["the last in brackets, before a comma", "a: [x, y,]", ["a", 1], "a: [x,]"],
    ["the only one in brackets", "a: { b: 1 }\nc: [x]", ["a", "b"], "a: {}\nc: [x]"],
    ["one in brackets over lines", "a: [x, y,\n    z]", ["a", 2], "a: [x, y]"],
    ["a value with an anchor of its own", "a: &x 1\nb: 2", ["a"], "b: 2"],
    ["a remark above it stays", "# why\na: 1\nb: 2", ["a"], "# why\nb: 2"],
  ] as const)("takes out %s", (_what, before, path, after) => {
    expect(edit(front(before), [{ path, remove: true }])).toEqual({ text: front(after) });
  });

  it("writes a mapping as a new item of a list a field a line, and takes all its lines out again", () => {
    const value = { on: "2027-05-02", what: "a: b", seen: ["x", "y"] };
    const item = '- on: 2027-05-02\n    what: "a: b"\n    seen: [x, y]';
    for (const [before, after, place] of [
      ["a: 1\nz: 2", `a: 1\nhistory:\n  ${item}\nz: 2`, 0],
      ["history:\n  - on: 1 # first\nz: 2", `history:\n  - on: 1 # first\n  ${item}\nz: 2`, 1],
      ["history: [x]\nz: 2", 'history: [x, { on: 2027-05-02, what: "a: b", seen: [x, y] }]\nz: 2', 1],
    ] as const) {
      const path = ["history", place];
      const order = () => ["a", "history", "z"];
      expect(edit(front(before), [{ path, value, lines: true }], order)).toEqual({ text: front(after) });
      expect(edit(front(after), [{ path, remove: true, was: value, emptied: "drop" }])).toEqual({
        text: front(before),
      });
    }
  });

  it("takes out what is left with nothing in it when it is asked to, as far as that goes", () => {
    const path = ["a", "b", 0];
    const before = front("a:\n  b:\n    - x\nc: 1");
    expect(edit(before, [{ path, remove: true, emptied: "drop" }])).toEqual({ text: front("c: 1") });
    expect(edit(before, [{ path, remove: true }])).toEqual({ text: front("a:\n  b:\nc: 1") });
    expect(edit(front("a: { b: [x], d: 1 }"), [{ path, remove: true, emptied: "drop" }])).toEqual({
      text: front("a: { d: 1 }"),
    });
  });

  it.each([
    ["a remark beside it", "a: 1 # why\nb: 2", ["a"], "A remark stands beside `a`"],
    ["a remark inside it", "a:\n  # why\n  b: 1\nc: 2", ["a"], "cannot be taken out here"],
    ["a remark between brackets", "a: [x, # why\n  y]", ["a", 0], "cannot be taken out here"],
    ["what is said again elsewhere", "a: &x 1\nb: *x", ["a"], "`a` is named `&x`"],
    ["something in it that is said again elsewhere", "a:\n  c: &x 1\nb: *x", ["a"], "`a` is named `&x`"],
    ["what is not there", "a: 1", ["b"], "There is no `b` here"],
    ["a place past the end of a list", "a: [1]", ["a", 1], "There is no `a.1` here"],
    ["all that there is", "a: 1", ["a"], "cannot be taken out"],
  ] as const)("refuses to take out %s, with a sentence", (_what, fields, path, words) => {
    const revised = edit(front(fields), [{ path, remove: true }]);
    expect((revised as { refusal: string }).refusal).toContain(words);
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
