import type { VFile } from "vfile";
import {
  type Document,
  isAlias,
  isCollection,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  type Scalar,
  visit,
  type YAMLError,
} from "yaml";
import { deepLine, isTooLong } from "./bounds.ts";
import { at, type Slip, tell } from "./messages.ts";
import { type PointAt, pointsIn, type Spot } from "./places.ts";
import { plainYaml } from "./plain-yaml.ts";
import { aliasSlip, blankItem, keyForm, keyTwice, tooDeep, yamlNotes } from "./yaml-slips.ts";

/** A file in its two parts. */
export interface Split {
  readonly lines: readonly string[];
  readonly yaml: string;
  readonly body: string;
  /** Lines of the file above the first line of the body. */
  readonly bodyLine: number;
}

/** The front matter between two `---` lines, and the Markdown below it; undefined once it is told why there is none. */
export function splitFrontMatter(file: VFile): Split | undefined {
  const text = String(file).replace(/^\uFEFF/, "");
  if (isTooLong(file, text, "record")) return undefined;
  const lines = text.split(/\r\n|\r|\n/);
  const unreadable = lines.findIndex((line) => line.includes("\0") || line.includes("\uFFFD"));
  if (unreadable >= 0) {
    at(file, unreadable + 1, {
      rule: "file-unreadable",
      written: file.basename ?? "",
      expected: "plain text in UTF-8",
      note: "This line holds signs that are no text. Save the file as UTF-8 text.",
    });
    return undefined;
  }
  if (lines[0]?.trimEnd() !== "---") {
    at(file, 1, {
      rule: "front-matter-missing",
      written: lines[0] ?? "",
      expected: "`---` on the first line",
      note: "A record starts with its fields between two lines of three hyphens.",
    });
    return undefined;
  }
  const close = lines.findIndex((line, index) => index > 0 && line.trimEnd() === "---");
  if (close < 0) {
    at(file, 1, {
      rule: "front-matter-open",
      written: "---",
      expected: "a second line of three hyphens below the fields",
      note: "Without it nobody can say where the fields stop and the text starts.",
    });
    return undefined;
  }
  const yaml = `${lines.slice(1, close).join("\n")}\n`;
  const body = lines.slice(close + 1).join("\n");
  if (isTooLong(file, yaml, "front matter") || isTooLong(file, body, "text")) return undefined;
  return {
    lines,
    yaml,
    body,
    bodyLine: close + 1,
  };
}

/** Front matter as plain data and where each field of it stands. */
export interface FrontMatter {
  /** Text, lists and mappings: what a text means is for its field to say. Null where nothing is written. */
  readonly data: unknown;
  /** Read when a place is asked for: most files have nothing to be told of. */
  readonly spots: () => Spot;
  readonly pointAt: PointAt;
}

/** Reads the front matter, or tells everything that makes it unreadable or double-tongued. */
export function readFrontMatter(file: VFile, { yaml, lines }: Split): FrontMatter | undefined {
  const pointAt = pointsIn(yaml);
  const plain = plainYaml(yaml);
  if (plain) return { data: plain, spots: spotsIn(yaml), pointAt };
  const found = parsed(yaml);
  const before = file.messages.length;
  const say = (offset: number, slip: Slip, length = 0, path: Path = []) => {
    const start = pointAt(Math.min(offset, yaml.length - 1));
    const most = (lines[start.line - 1]?.length ?? 0) + 1 - start.column;
    const column = start.column + Math.max(0, Math.min(length, most));
    tell(file, slip, { start, end: { ...start, column } }, path);
  };
  if (typeof found === "number") {
    at(file, found, tooDeep);
    return undefined;
  }
  const { document, openers } = found;
  const faulty = new Set<number>();
  for (const error of document.errors) {
    const { offset, note } = placed(error, openers);
    const { line } = pointAt(Math.min(offset, yaml.length - 1));
    if (faulty.has(line)) continue;
    faulty.add(line);
    say(offset, {
      rule: "yaml-syntax",
      written: lines[line - 1] ?? "",
      expected: "a field and its value, such as `name: Sweet basil`",
      note,
    });
  }
  const { contents } = document;
  if (contents !== null && !isMap(contents) && !isBlank(contents) && document.errors.length === 0) {
    say(contents.range?.[0] ?? 0, {
      rule: "type-wrong",
      written: lines[1] ?? "",
      expected: "fields and their values, such as `name: Sweet basil`",
    });
  }
  const data = dataOf(contents, undefined, [], (node, slip, path) => {
    const written = slip.rule === "yaml-deep" ? "" : (slip.written ?? "");
    const from = node.range?.[0] ?? 0;
    say(slip.rule === "yaml-alias" ? Math.max(0, yaml.lastIndexOf(written, from)) : from, slip, written.length, path);
  });
  return file.messages.slice(before).some(({ fatal }) => fatal) ? undefined : { data, spots: spotsIn(yaml), pointAt };
}

/** Finds the places of all fields, once, by reading the same text in the same way again. */
function spotsIn(yaml: string): () => Spot {
  let found: Spot | undefined;
  return () => {
    if (found) return found;
    found = { inner: new Map() };
    const again = parsed(yaml);
    if (typeof again !== "number") dataOf(again.document.contents, found, [], () => {});
    return found;
  };
}

interface Parsed {
  readonly document: Document.Parsed;
  /** Where quotes and brackets open, when there are errors. */
  readonly openers: readonly number[];
}

/** The tree of the YAML, every scalar as its text; the line of the file where it is nested past the reader's depth. */
function parsed(yaml: string): Parsed | number {
  const deep = deepLine(yaml);
  if (deep !== undefined) return deep;
  try {
    const document = parseDocument(yaml, { schema: "failsafe", uniqueKeys: false, prettyErrors: false });
    const openers: number[] = [];
    if (document.errors.length > 0)
      visit(document, {
        Node(_key, node) {
          const opens = isCollection(node) ? node.flow : isScalar(node) && node.type?.startsWith("QUOTE");
          if (opens && node.range) openers.push(node.range[0]);
        },
      });
    return { document, openers };
  } catch (error) {
    if (error instanceof RangeError) return 2;
    throw error;
  }
}

/** Where an error of the YAML is and what to do; a quote or bracket that is never closed is told where it opens. */
function placed(
  { code, message, pos }: YAMLError,
  openers: readonly number[],
): { readonly offset: number; readonly note: string } {
  const opener = /closing|flow (?:map|sequence)/i.test(message)
    ? openers.findLast((offset) => offset <= pos[0])
    : undefined;
  if (opener !== undefined) return { offset: opener, note: "The quote or bracket that opens here is never closed." };
  return { offset: pos[0], note: yamlNotes[code] ?? `${message.split("\n")[0]?.replace(/[.:]?$/, "")}.` };
}

type Path = readonly (string | number)[];
type SayNode = (node: Node, slip: Slip, path: Path) => void;

/** The data of a node. Notes in `spot` where each field stands, and tells what a record may not use. */
function dataOf(node: unknown, spot: Spot | undefined, path: Path, say: SayNode): unknown {
  if (isAlias(node) || isMarked(node)) say(node, aliasSlip(node), path);
  if (isCollection(node) && path.length > 12) {
    say(node, tooDeep, path.slice(0, 1));
    return null;
  }
  if (isMap(node)) return mappingOf(node.items as Pair<Node | null, Node | null>[], node, spot, path, say);
  if (isSeq(node)) return listOf(node.items as (Node | null)[], node, spot, path, say);
  return isScalar(node) && !isBlank(node) ? String(node.value) : null;
}

function mappingOf(
  pairs: readonly Pair<Node | null, Node | null>[],
  node: Node,
  spot: Spot | undefined,
  path: Path,
  say: SayNode,
): unknown {
  const entries = new Map<string, unknown>();
  for (const { key, value } of pairs) {
    if (!isScalar(key) || isBlank(key) || key.value === "__proto__") {
      say(key ?? node, keyForm(key), path);
      continue;
    }
    const name = String(key.value);
    const below = [...path, name];
    if (entries.has(name)) say(key, { ...keyTwice, written: name }, below);
    if (isMarked(key)) say(key, aliasSlip(key), below);
    const inner: Spot | undefined = spot && { key: rangeOf(key), value: rangeOf(value), inner: new Map() };
    if (spot && inner) spot.inner.set(name, inner);
    entries.set(name, dataOf(value, inner, below, say));
  }
  return Object.fromEntries(entries);
}

function listOf(
  items: readonly (Node | null)[],
  node: Node,
  spot: Spot | undefined,
  path: Path,
  say: SayNode,
): unknown {
  const kept: unknown[] = [];
  for (const item of items) {
    if (isBlank(item)) {
      say(item ?? node, blankItem, path);
      continue;
    }
    const inner: Spot | undefined = spot && { value: rangeOf(item), inner: new Map() };
    if (spot && inner) spot.inner.set(kept.length, inner);
    kept.push(dataOf(item, inner, [...path, kept.length], say));
  }
  return kept;
}

/** Whether nothing is written: no value, `~`, `null`, or quotes with nothing in them. */
function isBlank(node: unknown): boolean {
  if (!isScalar(node)) return node === null || node === undefined;
  const text = String((node as Scalar).value ?? "").trim();
  return text === "" || (node.type === "PLAIN" && (text === "~" || text === "null"));
}

function rangeOf(node: unknown): readonly [number, number] {
  const range = (node as { readonly range?: readonly number[] | null } | null)?.range;
  return [range?.[0] ?? 0, range?.[1] ?? 0];
}

/** Whether an anchor or a tag stands before a value. */
function isMarked(node: unknown): node is Node {
  return (isScalar(node) || isCollection(node)) && Boolean(node.anchor || node.tag);
}
