import fc from "fast-check";
import type { Root } from "hast";
import rehypeParse from "rehype-parse";
import { unified } from "unified";
import { visit } from "unist-util-visit";
import { html, htmlIn, links, sections, termsOf, words } from "../../generator/prose.ts";
import { checked, record, records } from "./book.ts";
import { expectTold, frozen, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, changed, changes, pieces } from "./text.ts";

/** What the prose of a page may be made of. */
const tags = new Set(
  "a blockquote br code del em h1 h2 h3 h4 h5 h6 hr input li ol p pre strong table tbody td th thead tr ul".split(" "),
);
const attributes = new Set(["href", "title", "start", "align", "className", "type", "checked", "disabled"]);

const terms = termsOf([
  { names: ["EC", "electrical conductivity"], address: "/glossary#ec" },
  { names: ["plug", "a"], address: "/glossary#plug" },
]);

/** Reads a body twice, shows it, and asks that nothing in it can do more than be read. */
function readProse(body: string): void {
  const [first, second] = [0, 1].map(() => {
    const linked = new Set<string>();
    return sections(body).map((section) => {
      frozen(section.tree);
      const shown = html(section, (where) => (where.startsWith("crops/") ? `/${where}` : undefined), terms, linked);
      expectHarmless(shown);
      return [section.heading, section.line, shown, words(section), links(section), htmlIn(section)];
    });
  });
  hold(JSON.stringify(first) === JSON.stringify(second), "the same body was read in two ways");
  const text = `---\ntitle: Made up\nsummary: Made up\naudience: everyone\n---\n${body}`;
  const { files } = checked([record("book.md"), { path: "guides/made-up.md", text }]);
  expectTold(files, text);
}

/** Asks that HTML has no element and no attribute but those of plain prose, and no address that does anything. */
export function expectHarmless(shown: string): void {
  const tree: Root = unified().use(rehypeParse, { fragment: true }).parse(shown);
  visit(tree, "element", ({ tagName, properties }) => {
    hold(tags.has(tagName), `<${tagName}> in ${JSON.stringify(shown.slice(0, 500))}`);
    for (const [name, value] of Object.entries(properties)) {
      hold(attributes.has(name), `${name} on <${tagName}> in ${JSON.stringify(shown.slice(0, 500))}`);
      const address = name === "href" ? String(value) : "";
      hold(!/^[^/?#]*:/.test(address) || /^(?:https?|mailto):/i.test(address), `an address ${address}`);
    }
  });
}

const marks = [
  ..."*_`~#>|-+=[]()<>!\\&:\"'",
  "\n",
  "\n\n",
  "    ",
  "\t",
  "## ",
  "## Steps\n\n",
  "- [ ] ",
  "1. ",
  "```\n",
  "|a|b|\n|-|-|\n|c|d|\n",
  "[a]: ",
  "[a][a]",
  "![a](x.png)",
  "![a](https://a.example/x.png)",
  "<https://a.example>",
  "<b onclick=alert(1)>",
  "<script>alert(1)</script>",
  "<!--",
  "-->",
  "&#x6a;avascript:",
  "[a](javascript:alert(1))",
  "[a](JaVaScRiPt&colon;alert(1))",
  "[a](java\nscript:alert(1))",
  "[a](data:text/html,x)",
  "[a](vbscript:x)",
  "[a](crops/basil-sweet)",
  "[a](../../etc/passwd)",
  "[a](//a.example/x)",
  "[a](/\\a.example)",
  '[a](<x y> "t")',
  "EC",
  "plug",
  "~~~js\n",
  "<svg onload=alert(1)>",
  "[^1]",
  "{{x}}",
  "<style>*{}</style>",
  "cures",
] as const;

/** Bodies that are deep, or that have readers look back over and over. */
const bombs = [
  ...[
    "> ",
    "- ",
    "*",
    "_",
    "**a ",
    "[",
    "![",
    "[a](",
    "<",
    "`",
    "|",
    "#",
    "&",
    "~",
    "\\",
    "1. ",
    "a\n",
    "[a]: b\n",
    "[a] ",
    "<a ",
    "<!--",
    "*a_ ",
    "  - ",
    "\t",
    "> - ",
  ].map((piece) => (size: number) => piece.repeat(size / piece.length)),
  (size: number) => `${"[".repeat(size / 2)}${"](a)".repeat(size / 8)}`,
  (size: number) =>
    Array.from({ length: Math.min(size / 50, 2000) }, (_, at) => `${"  ".repeat(at % 300)}- a`).join("\n"),
  (size: number) => `|${"a|".repeat(size / 4)}\n|${"-|".repeat(size / 4)}\n`,
  (size: number) => "EC plug ".repeat(size / 8),
  (size: number) => `${"*a **b ".repeat(size / 12)}${"** *".repeat(size / 12)}`,
];

/** The Markdown below the fields. */
export const proseTargets: readonly Target[] = [
  target({
    name: "a body of made-up Markdown",
    share: 16,
    cases: fc
      .array(
        fc.oneof(
          { weight: 5, arbitrary: fc.constantFrom(...marks) },
          { weight: 1, arbitrary: fc.constantFrom(...pieces) },
          { weight: 1, arbitrary: anyText },
        ),
        { maxLength: 30 },
      )
      .map((all) => all.join("")),
    hold: readProse,
  }),
  target({
    name: "a body of the demo, changed",
    share: 6,
    cases: fc
      .tuple(fc.constantFrom(...records.filter(({ path }) => /^(?:guides|glossary|crops|news)/.test(path))), changes)
      .map(([{ text }, all]) => changed(text.replace(/^---\n[\s\S]*?\n---\n/, ""), all)),
    hold: readProse,
  }),
  target({
    name: "a body that is long or deep",
    share: 0.1,
    cases: fc
      .tuple(fc.constantFrom(...bombs.keys()), fc.constantFrom(100, 2000, 20_000, 50_000))
      .map(([which, size]) => ({ which, size })),
    hold: ({ which, size }) => readProse(bombs[which]!(size)),
  }),
];
