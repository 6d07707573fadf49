import {
  type Document,
  isAlias,
  isCollection,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  visit,
  type YAMLMap,
  type YAMLSeq,
} from "yaml";
import type { Change, Order, Path, Value } from "../revise.ts";
import type { Front } from "./front.ts";
import { isBlank } from "./proof.ts";
import { inline, inStyle, itemLines, key } from "./words.ts";

/** A stretch of the front matter and what is put in its place. */
export interface Splice {
  readonly from: number;
  readonly to: number;
  readonly put: string;
}

export type Refusal = { readonly refusal: string };

/** What must be put where so that a field says a value, or why that cannot be. */
export function spliceOf(front: Front, { path, value, was, insert, lines }: Change, order: Order): Splice | Refusal {
  const { document } = front;
  if (path.length === 0) return { refusal: "Nothing says which field is to be changed" };
  if (!isMap(document.contents)) return { refusal: "The file has no fields yet. Write the first by hand" };
  const used = aliasesIn(document);
  let node: unknown = document.contents;
  let inFlow = false;
  for (const [index, step] of path.entries()) {
    const here = path.slice(0, index);
    const held = heldBack(node, used, here);
    if (held) return held;
    inFlow ||= isCollection(node) && node.flow === true;
    const rest = path.slice(index);
    if (isBlank(node)) return was === undefined ? filled(front, node, nest(rest, value), inFlow) : changed(path, was);
    if (insert && rest.length === 1 && isSeq(node) && typeof step === "number" && step < node.items.length)
      return inserted(front, node, step, value, inFlow);
    const next = isMap(node) || isSeq(node) ? childOf(node, step) : undefined;
    if (next) {
      node = next.node;
      continue;
    }
    if (was !== undefined) return changed(path, was);
    if (isMap(node) && typeof step === "string")
      return added(front, node, { path: rest, value, lines }, order(here), inFlow);
    if (isSeq(node) && step === node.items.length)
      return appended(front, node, nest(rest.slice(1), value), inFlow, lines);
    return { refusal: `\`${here.join(".")}\` does not hold a field \`${step}\`, and none can be put there` };
  }
  const held = heldBack(node, used, path);
  if (held) return held;
  if (isBlank(node)) return was === undefined ? filled(front, node, value, inFlow) : changed(path, was);
  return replaced(node, path, value, was, inFlow);
}

/** The node at a path, or undefined. */
export function lookUp(document: Document.Parsed, path: Path): unknown {
  return path.reduce<unknown>(
    (node, step) => (isMap(node) || isSeq(node) ? childOf(node, step)?.node : undefined),
    document.contents,
  );
}

export function childOf(node: YAMLMap | YAMLSeq, step: string | number): { readonly node: unknown } | undefined {
  if (isSeq(node)) return typeof step === "number" && step in node.items ? { node: node.items[step] } : undefined;
  const pair = node.items.find(({ key }) => isScalar(key) && String(key.value) === String(step));
  return pair && { node: pair.value };
}

/** Why a value may not be changed although it stands here: somewhere else the same is said by its name. */
export function heldBack(node: unknown, used: ReadonlySet<string>, path: Path): Refusal | undefined {
  const name = `\`${path.join(".")}\``;
  if (isAlias(node))
    return {
      refusal: `${name} is \`*${node.source}\`, which says again what stands elsewhere. Write the value itself there first`,
    };
  const anchor = isScalar(node) || isCollection(node) ? node.anchor : undefined;
  if (anchor === undefined || !used.has(anchor)) return undefined;
  return {
    refusal: `${name} is named \`&${anchor}\` and said again elsewhere, which would change with it. Write the value itself there first`,
  };
}

export function aliasesIn(document: Document.Parsed): ReadonlySet<string> {
  const found = new Set<string>();
  visit(document, { Alias: (_key, { source }) => void found.add(source) });
  return found;
}

export function changed(path: Path, was: string, now?: string): Refusal {
  return {
    refusal: `\`${path.join(".")}\` says ${now === undefined ? "nothing" : `\`${now}\``} and not \`${was}\`: it was changed meanwhile. Look at it once more`,
  };
}

function replaced(node: unknown, path: Path, value: Value, was: string | undefined, inFlow: boolean): Splice | Refusal {
  const name = `\`${path.join(".")}\``;
  if (!isScalar(node)) return { refusal: `${name} holds fields of its own or a list, not one value` };
  if (typeof value !== "string")
    return { refusal: `${name} says \`${node.value}\`, where fields or a list should be put` };
  if (was !== undefined && String(node.value) !== was) return changed(path, was, String(node.value));
  if (node.type?.startsWith("BLOCK")) return { refusal: `${name} goes over several lines. Change it by hand` };
  const [from, to] = node.range!;
  return String(node.value) === value
    ? { from, to: from, put: "" }
    : { from, to, put: inStyle(value, node.type, inFlow) };
}

/** Puts a value where a field has none. */
function filled({ yaml }: Front, node: unknown, value: Value, inFlow: boolean): Splice | Refusal {
  const range = (node as Node | null)?.range;
  if (!range) return { refusal: "The field has no colon behind its name. Change it by hand" };
  const [from, to] = range;
  const before = /\s/.test(yaml[from - 1] ?? "") ? "" : " ";
  const after = /[\s,}\]]/.test(yaml[to] ?? "\n") ? "" : " ";
  return { from, to, put: `${before}${inline(value, inFlow)}${after}` };
}

/** A value with names around it, the outermost first. */
function nest(path: Path, value: Value): Value {
  return path.reduceRight<Value>((inner, step) => (typeof step === "number" ? [inner] : { [step]: inner }), value);
}

function added(
  front: Front,
  map: YAMLMap,
  { path, value, lines: apart }: Pick<Change, "path" | "value"> & { readonly lines: true | undefined },
  order: readonly string[] | undefined,
  inFlow: boolean,
): Splice | Refusal {
  const [name, ...rest] = path as readonly [string, ...(string | number)[]];
  const items = map.items as Pair<Node, Node | null>[];
  const before = placeFor(name, items, order);
  if (inFlow) {
    const field = `${key(name, true)}: ${inline(nest(rest, value), true)}`;
    return intoBrackets(map, before ?? 0, field);
  }
  const indent = indentOf(map);
  const deeper = stepOf(front.document);
  const named = rest.findIndex((step) => typeof step === "number");
  const names = named < 0 ? rest : rest.slice(0, named);
  const last = named < 0 ? value : nest(rest.slice(named), value);
  const lines = [name, ...(names as readonly string[])].map(
    (step, depth) => `${" ".repeat(indent + depth * deeper)}${key(step, false)}:`,
  );
  if (apart && Array.isArray(last)) {
    const under = " ".repeat(indent + (lines.length - 1) * deeper + 2);
    lines.push(...last.flatMap(itemLines).map((line) => `${under}${line}`));
  } else lines.push(`${lines.pop()} ${inline(last, false)}`);
  const first = before === undefined ? startOfLine(front, items[0]!) : undefined;
  return newLines(front, first ?? endOf(items[before ?? 0]!), first !== undefined, lines);
}

function appended(front: Front, list: YAMLSeq, value: Value, inFlow: boolean, apart?: true): Splice | Refusal {
  const last = list.items.length - 1;
  if (inFlow || list.flow) return intoBrackets(list, last, inline(value, true));
  const item = apart ? itemLines(value) : [`- ${inline(value, false)}`];
  const indent = " ".repeat(indentOf(list));
  return newLines(
    front,
    endOf(list.items[last] as Node),
    false,
    item.map((line) => `${indent}${line}`),
  );
}

/** Puts an item before one that stands in a list. */
function inserted(front: Front, list: YAMLSeq, place: number, value: Value, inFlow: boolean): Splice | Refusal {
  const item = inline(value, inFlow || list.flow === true);
  if (inFlow || list.flow) {
    if (place > 0) return intoBrackets(list, place - 1, item);
    const from = startOf(list, 0);
    return { from, to: from, put: `${item}, ` };
  }
  const start = lineBefore(front, startOf(list, place));
  if (start === undefined) return { refusal: "The first item stands behind something else. Change it by hand" };
  return newLines(front, start, true, [`${" ".repeat(indentOf(list))}- ${item}`]);
}

/** After which of the fields a new one stands: the closest that comes before it, else the last; undefined for before all. */
function placeFor(name: string, items: readonly Pair<Node, Node | null>[], order: readonly string[] | undefined) {
  const place = order?.indexOf(name) ?? -1;
  if (!order || place < 0) return items.length - 1;
  const places = items.map(({ key }) => order.indexOf(String((key as { readonly value?: unknown }).value)));
  const closest = Math.max(-1, ...places.filter((other) => other < place));
  return closest < 0 ? undefined : places.lastIndexOf(closest);
}

/** Puts an item into a list or a mapping in brackets, after one that stands there; a comma behind the last stays the last. */
function intoBrackets(around: YAMLMap | YAMLSeq, after: number, item: string): Splice | Refusal {
  const [from] = around.range!;
  if (around.items.length === 0) {
    const close = (around.range![1] ?? from) - 1;
    const gap = close === from + 1 ? " " : "";
    return isMap(around)
      ? { from: from + 1, to: from + 1, put: ` ${item}${gap}` }
      : { from: from + 1, to: from + 1, put: item };
  }
  const end = endOf(around.items[after] as Node | Pair<Node, Node | null>);
  return { from: end, to: end, put: `, ${item}` };
}

/** Puts lines below the one that a place is on, or above it; they end as that line does. */
function newLines(front: Front, place: number, above: boolean, lines: readonly string[]): Splice {
  const { yaml } = front;
  const next = yaml.indexOf("\n", place);
  const from = above || yaml[place - 1] === "\n" ? place : next < 0 ? yaml.length : next + 1;
  const end = front.endAt(above ? from : Math.max(0, from - 1));
  return { from, to: from, put: lines.map((line) => `${line}${end}`).join("") };
}

/** Where the last sign of a field or a value stands. */
export function endOf(item: Node | Pair<Node, Node | null> | null): number {
  if (item === null) return 0;
  if ("key" in item) {
    const key = item.key?.range?.[1] ?? 0;
    return item.value === null ? key : Math.max(key, endOf(item.value));
  }
  const last = isCollection(item) && !item.flow ? (item.items.at(-1) as Node | Pair<Node, Node | null>) : undefined;
  return last ? endOf(last) : (item.range?.[1] ?? 0);
}

/** Where the first sign of an item stands: the hyphen of a list's, the mark before a value, or the name of a field. */
export function startOf(around: YAMLMap | YAMLSeq, place: number): number {
  const token = around.srcToken;
  const items =
    token && "items" in token ? token.items.filter(({ key, value, sep }) => key || value || sep?.length) : [];
  const marks = items.length === around.items.length ? items[place]!.start : [];
  const mark = marks.find(({ type }) => ["seq-item-ind", "explicit-key-ind", "anchor", "tag"].includes(type));
  if (mark) return mark.offset;
  const item = around.items[place] as Node | Pair<Node, Node | null>;
  return ("key" in item ? item.key?.range?.[0] : item.range?.[0]) ?? 0;
}

/** The start of the line on which a field begins, when nothing else stands before it there. */
function startOfLine(front: Front, { key }: Pair<Node, Node | null>): number | undefined {
  return lineBefore(front, key.range![0]);
}

/** The start of the line that a place is on, when nothing stands before it there. */
export function lineBefore({ yaml }: Front, from: number): number | undefined {
  const start = yaml.lastIndexOf("\n", from - 1) + 1;
  return yaml.slice(start, from).trim() === "" ? start : undefined;
}

function indentOf(around: YAMLMap | YAMLSeq): number {
  const token = around.srcToken;
  return token && "indent" in token ? token.indent : 0;
}

/** How much deeper the fields of a field stand in this record; 2 where none do. */
function stepOf(document: Document.Parsed): number {
  const top = indentOf(document.contents as unknown as YAMLMap);
  const depths: number[] = [];
  for (const { value } of (document.contents as unknown as YAMLMap).items)
    if (isMap(value) && !value.flow) depths.push(indentOf(value) - top);
  return Math.min(...depths.filter((depth) => depth > 0), depths.some((depth) => depth > 0) ? 99 : 2);
}
