import fc from "fast-check";
import { VFile } from "vfile";
import { kindNames } from "../../generator/library.ts";
import { Book, type Kind, kinds, parse } from "../../generator/records/index.ts";
import { checked, record, records } from "./book.ts";
import { expectPlaced, expectTold, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, changed, changes, pieces } from "./text.ts";

interface Case {
  readonly path: string;
  readonly text: string;
}

/** Reads a file by itself twice, and beside `book.md` by the rules between records. */
function readWell({ path, text }: Case): void {
  const schema = path === "book.md" ? Book : kinds[path.split("/")[0] as Kind];
  const [first, second] = [0, 1].map(() => {
    const file = new VFile({ path, value: text });
    const entry = parse(file, schema);
    const stopped = file.messages.some(({ fatal }) => fatal === true);
    hold((entry === undefined) === stopped, "an entry that an error stops, or none without an error");
    hold(file.value === text, "the file's text was changed");
    expectPlaced(file);
    return JSON.stringify([entry?.fields, file.messages]);
  });
  hold(first === second, "the same file was read in two ways");
  const { files, library } = checked([...(path === "book.md" ? [] : [record("book.md")]), { path, text }]);
  hold(
    (library === undefined) === files.some(({ messages }) => messages.some(({ fatal }) => fatal === true)),
    "library",
  );
  expectTold(files, text);
}

const path = fc.constantFrom(...kindNames.map((kind) => `${kind}/made-up.md`), "book.md");

/** YAML of every form: block and flow, anchors and aliases, tags, keys twice, tabs, texts over several lines. */
const yaml: fc.Arbitrary<string> = fc.letrec<{ node: string; flow: string; block: string; word: string }>((tie) => ({
  word: fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...names()) },
    { weight: 2, arbitrary: fc.constantFrom(...pieces) },
    { weight: 1, arbitrary: anyText },
    {
      weight: 3,
      arbitrary: fc.constantFrom("1.2–1.8 mS/cm", "14 days", "2027-03-22", "Mar–May", "yes", "5 %", "*a", "&a b"),
    },
  ),
  flow: fc.oneof(
    { maxDepth: 5, withCrossShrink: true },
    tie("word"),
    fc.array(tie("flow"), { maxLength: 4 }).map((all) => `[${all.join(", ")}]`),
    fc
      .array(fc.tuple(tie("word"), tie("flow")), { maxLength: 4 })
      .map((all) => `{ ${all.map(([key, value]) => `${key}: ${value}`).join(", ")} }`),
  ),
  block: fc
    .array(
      fc.tuple(
        tie("word"),
        fc.constantFrom(": ", ":\n  ", ":", " : ", ": |\n  ", ": >-\n  ", ": &a ", ": !!str ", ":\n\t"),
        tie("node"),
      ),
      {
        minLength: 1,
        maxLength: 5,
      },
    )
    .map((all) => all.map(([key, colon, value]) => `${key}${colon}${value.replaceAll("\n", "\n  ")}`).join("\n")),
  node: fc.oneof(
    { maxDepth: 4, withCrossShrink: true },
    { weight: 3, arbitrary: tie("flow") },
    { weight: 2, arbitrary: tie("block").map((text) => `\n${text}`) },
    {
      weight: 1,
      arbitrary: fc.array(tie("flow"), { maxLength: 4 }).map((all) => all.map((item) => `\n- ${item}`).join("")),
    },
  ),
})).block;

/** Every name that a field of the demo book has. */
function names(): readonly string[] {
  const all = records.flatMap(({ text }) => [...text.matchAll(/^\s*([a-z][A-Za-z-]*):/gm)].map(([, name]) => name!));
  return [...new Set(all)].sort();
}

const body = fc.constantFrom(
  "",
  "\n",
  "Text.\n",
  "## Steps\n\n1. One\n",
  "## Steps\n\n## Steps\n",
  "[a](crops/none)\n",
);
const end = fc.constantFrom("\n", "\n", "\n", "\r\n", "\r");
const start = fc.constantFrom("", "", "", "\ufeff");

/** Files that grow when they are read, or that are long or deep. */
const bombs: readonly ((size: number) => string)[] = [
  (size) =>
    [
      "a: &a [x, x]",
      ..."bcdefghij".split("").map(
        (name, at) =>
          `${name}: &${name} [${Array(size % 20)
            .fill(`*${"abcdefghi"[at]}`)
            .join(", ")}]`,
      ),
    ].join("\n"),
  (size) => `a: ${"[".repeat(size)}`,
  (size) => `a: ${"{a: ".repeat(size)}`,
  (size) => `${"- ".repeat(size)}x`,
  (size) => `a: ${"[".repeat(size / 2)}${"]".repeat(size / 2)}`,
  (size) => Array.from({ length: size / 10 }, (_, at) => `${" ".repeat(at % 400)}a:`).join("\n"),
  (size) => `name: ${"x".repeat(size)}`,
  (size) => `${"x".repeat(size)}: 1`,
  (size) => `name: "${"\\u0041".repeat(size)}`,
  (size) => `ec: ${"9".repeat(size)} mS/cm`,
  (size) => `ec: ${"1 ".repeat(size)}`,
  (size) => `ec: 1 ${"m".repeat(size)}`,
  (size) => `ec: ${"1–".repeat(size)}2`,
  (size) => `kind: ${"y".repeat(size)}`,
  (size) => Array.from({ length: size / 8 }, (_, at) => `x${at}: 1`).join("\n"),
  (size) => Array.from({ length: size / 8 }, () => "name: a").join("\n"),
  (size) => `sources: [${"demo, ".repeat(size / 6)}]`,
  (size) => `search: [${Array.from({ length: size / 6 }, (_, at) => `a${at}`).join(", ")}]`,
  (size) => `sources:\n${Array.from({ length: size / 12 }, (_, at) => `  s${at}: "*"`).join("\n")}`,
  (size) => `sources: { demo: [${Array.from({ length: size / 8 }, (_, at) => `ec${at}`).join(", ")}] }`,
  (size) => "\n".repeat(size),
  (size) => "# x\n".repeat(size / 4),
  (size) => `name: |\n${"  line\n".repeat(size / 7)}`,
  (size) => `a: ${"\ud800".repeat(size)}`,
];

/** Whole files of records. */
export const recordTargets: readonly Target[] = [
  target({
    name: "a record of the demo, changed",
    share: 24,
    cases: fc
      .tuple(fc.nat(records.length - 1), changes)
      .map(([index, all]): Case => ({ path: records[index]!.path, text: changed(records[index]!.text, all) }))
      .filter(({ path }) => path.endsWith(".md")),
    hold: readWell,
  }),
  target({
    name: "a record of made-up YAML",
    share: 24,
    cases: fc.tuple(path, start, yaml, body, end).map(
      ([where, mark, text, below, sign]): Case => ({
        path: where,
        text: mark + `---\n${text}\n---\n${below}`.replaceAll("\n", sign),
      }),
    ),
    hold: readWell,
  }),
  target({
    name: "a file of any text",
    share: 6,
    cases: fc
      .tuple(path, fc.array(fc.oneof(anyText, fc.constantFrom("---\n", "\n---\n", "name: x\n")), { maxLength: 12 }))
      .map(([where, all]): Case => ({ path: where, text: all.join("") })),
    hold: readWell,
  }),
  target({
    name: "a file that grows, is long or is deep",
    share: 0.25,
    cases: fc
      .tuple(
        path,
        fc.constantFrom(...bombs.keys()),
        fc.constantFrom(1000, 20_000, 200_000, 200_000, 5_000_000),
        fc.boolean(),
      )
      .map(([where, which, size, below]) => ({ path: where, which, size, below })),
    hold({ path: where, which, size, below }) {
      const made = bombs[which]!(size);
      readWell({ path: where, text: below ? `---\nname: a\n---\n${made}` : `---\n${made}\n---\n` });
    },
  }),
];
