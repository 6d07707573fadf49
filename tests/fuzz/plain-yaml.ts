import fc from "fast-check";
import { isAlias, isCollection, isScalar, parseDocument, visit } from "yaml";
import { plainYaml } from "../../generator/records/plain-yaml.ts";
import { records } from "./book.ts";
import { hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, changed, changes } from "./text.ts";

/** What the library of YAML makes of a text that a record may hold: undefined where it has an error, a blank, an anchor or a tag. */
export function byLibrary(yaml: string): unknown {
  const document = parseDocument(yaml, { schema: "failsafe", prettyErrors: false });
  let sound = document.errors.length === 0;
  visit(document, {
    Node(_key, node) {
      if (isAlias(node) || ((isScalar(node) || isCollection(node)) && (node.anchor || node.tag))) sound = false;
      if (isScalar(node) && node.type === "PLAIN" && /^\s*(?:~|null)?\s*$/.test(String(node.value))) sound = false;
      if (isScalar(node) && String(node.value ?? "").trim() === "") sound = false;
    },
    Pair(_key, { value }) {
      if (value === null) sound = false;
    },
  });
  return sound ? document.toJS() : undefined;
}

/** Whether the quick reader gives what the library gives, or leaves the text to it. */
export function readsAlike(yaml: string): void {
  const quick = plainYaml(yaml);
  if (quick === undefined) return;
  const slow = byLibrary(yaml);
  hold(
    JSON.stringify(quick) === JSON.stringify(slow),
    `the quick reader of ${JSON.stringify(yaml)} gives ${JSON.stringify(quick)}, the library ${JSON.stringify(slow)}`,
  );
}

/** The fields of every record of the demo book. */
export const fronts: readonly string[] = records.flatMap(({ text }) => /^---\n([\s\S]*?\n)---\n/.exec(text)?.[1] ?? []);

type Node = string | readonly Node[] | ReadonlyMap<string, Node>;

const key = fc.oneof(
  { weight: 20, arbitrary: fc.constantFrom("a", "b", "c", "too small", "1N", "10", "2.5", "a-b", "x y z") },
  { weight: 1, arbitrary: fc.constantFrom("null", "__proto__", "é", "- d", '"q"') },
);
const text = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.constantFrom("x", "x y", "-3", "-.5", "1.2–1.8 mS/cm", '"*"', "'it'", '"a, b: c"', "'# x'"),
  },
  {
    weight: 8,
    arbitrary: fc.constantFrom("x#y", "http://a.b/c", "a,b", "x]", "d'e", "2027-03-22", "10:30", "a -b", "é  f"),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom("", "~", "null", "'it''s'", '"a\\n"', "- 3", "a: b", "a:", "&a b", "*a", "|", "?"),
  },
  { weight: 1, arbitrary: anyText },
);
const nodes = fc.letrec<{ node: Node }>((tie) => ({
  node: fc.oneof(
    { maxDepth: 4, withCrossShrink: true },
    text,
    fc.array(tie("node"), { maxLength: 3 }),
    fc.array(fc.tuple(key, tie("node")), { maxLength: 3 }).map((all) => new Map(all)),
  ),
})).node;

/** Fields written down in one of the ways that there are; `style` says which, sign by sign. */
function lines(node: Node, indent: string, style: Iterator<number, number>): string {
  const [draw, isMapping] = [style.next().value, !Array.isArray(node)];
  if (typeof node === "string") return ` ${node}`;
  const entries = isMapping ? [...(node as ReadonlyMap<string, Node>)] : (node as readonly Node[]).entries();
  const all = [...entries].map(([name, value]) => [String(name), value] as const);
  if (draw % 4 === 0 || all.length === 0) {
    const inner = all.map(([name, value]) => `${isMapping ? `${name}:` : ""}${flow(value, style)}`);
    const [open, close] = isMapping ? "{}" : "[]";
    return ` ${open}${inner.join(draw % 8 === 0 ? `,\n${indent} ` : ",")} ${close}`;
  }
  const further = `${indent}${["  ", " ", "    ", isMapping ? "  " : ""][style.next().value % 4]}`;
  const remark = ["", "", "", " # remark", "\n# remark", "\n"][style.next().value % 6];
  return all
    .map(([name, value]) => {
      const below = lines(value, isMapping ? further : `${further}  `, style);
      // A mapping in a list begins on the line of its hyphen.
      if (!isMapping) return `${remark}\n${further}-${below.replace(/^\n */, " ")}`;
      return `${remark}\n${further}${name}:${below}`;
    })
    .join("");
}

function flow(node: Node, style: Iterator<number, number>): string {
  const blank = " ".repeat(1 + (style.next().value % 2));
  if (typeof node === "string") return blank + node;
  if (node instanceof Map)
    return `${blank}{ ${[...node].map(([name, value]) => `${name}:${flow(value, style)}`).join(", ")} }`;
  return `${blank}[${(node as readonly Node[]).map((item) => flow(item, style)).join(",")}]`;
}

const made = fc
  .tuple(
    fc.array(fc.tuple(key, nodes), { minLength: 1, maxLength: 5 }),
    fc.infiniteStream(fc.nat(23)),
    fc.oneof({ weight: 2, arbitrary: fc.constant([]) }, { weight: 1, arbitrary: changes }),
  )
  .map(([all, style, after]) => {
    const text = all.map(([name, node]) => `${name}:${lines(node, "", style)}`).join("\n");
    return changed(`${text}\n`, after);
  });

/** The quick reader of front matter beside the library. */
export const plainYamlTargets: readonly Target[] = [
  target({
    name: "the fields of a record of the demo, changed, read in two ways",
    share: 12,
    cases: fc.tuple(fc.constantFrom(...fronts), changes).map(([front, all]) => changed(front, all)),
    hold: readsAlike,
  }),
  target({ name: "made-up fields, read in two ways", share: 12, cases: made, hold: readsAlike }),
];
