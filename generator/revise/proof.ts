import { isAlias, isCollection, isMap, isScalar, isSeq } from "yaml";
import type { Path, Value } from "../revise.ts";

/** What front matter says, without how it is laid out: texts, blanks, lists and mappings in their order, with their marks. */
export type Shape =
  | { readonly is: "blank" }
  | { readonly is: "alias"; readonly of: string }
  | { readonly is: "text"; readonly text: string; readonly mark: string }
  | { readonly is: "list"; readonly items: readonly Shape[]; readonly mark: string }
  | { readonly is: "map"; readonly items: readonly (readonly [key: Shape, value: Shape])[]; readonly mark: string };

export function shapeOf(node: unknown): Shape {
  if (isAlias(node)) return { is: "alias", of: node.source };
  if (isBlank(node)) return { is: "blank" };
  const mark = isScalar(node) || isCollection(node) ? `${node.anchor ?? ""} ${node.tag ?? ""}` : "";
  if (isSeq(node)) return { is: "list", items: node.items.map(shapeOf), mark };
  if (isMap(node))
    return { is: "map", items: node.items.map(({ key, value }) => [shapeOf(key), shapeOf(value)] as const), mark };
  return { is: "text", text: String(isScalar(node) ? node.value : node), mark };
}

/** Whether nothing is written: no value, `~`, `null`, or quotes with nothing in them. A record reads it so too. */
export function isBlank(node: unknown): boolean {
  if (!isScalar(node)) return node === null || node === undefined;
  const text = String(node.value ?? "").trim();
  return text === "" || (node.type === "PLAIN" && (text === "~" || text === "null"));
}

/** Whether `after` says `value` at `path`, and in all else what `before` said. */
export function differsOnlyAt(before: Shape | undefined, after: Shape, [step, ...rest]: Path, value: Value): boolean {
  if (step === undefined) return says(after, value) && (before === undefined || markOf(before) === markOf(after));
  const below = (old: Shape | undefined, now: Shape) => differsOnlyAt(old, now, rest, value);
  const fresh = before === undefined || before.is === "blank";
  if (typeof step === "number") {
    if (after.is !== "list" || !(fresh || before.is === "list") || !after.items[step]) return false;
    const old = fresh ? [] : (before as typeof after).items;
    if (after.items.length !== Math.max(old.length, step + 1)) return false;
    return after.items.every((now, index) => (index === step ? below(old[index], now) : same(old[index], now)));
  }
  if (after.is !== "map" || !(fresh || before.is === "map")) return false;
  if (!fresh && markOf(before) !== markOf(after)) return false;
  const isIt = ([key]: readonly [Shape, Shape]) => key.is === "text" && key.text === step;
  const old = fresh ? [] : (before as typeof after).items;
  const now = after.items.filter(isIt);
  if (
    now.length !== 1 ||
    !same(
      old.filter((item) => !isIt(item)),
      after.items.filter((item) => !isIt(item)),
    )
  )
    return false;
  // A field that stood keeps its place; a new one may stand anywhere.
  const place = old.findIndex(isIt);
  if (place >= 0 && after.items.findIndex(isIt) !== place) return false;
  return below(old[place]?.[1], now[0]![1]);
}

function says(shape: Shape, value: Value): boolean {
  if (typeof value === "string") return shape.is === "text" && shape.text === value;
  if (Array.isArray(value))
    return (
      shape.is === "list" &&
      shape.items.length === value.length &&
      shape.items.every((item, index) => says(item, value[index]!))
    );
  const entries = Object.entries(value);
  return (
    shape.is === "map" &&
    shape.items.length === entries.length &&
    shape.items.every(
      ([key, inner], index) => key.is === "text" && key.text === entries[index]![0] && says(inner, entries[index]![1]),
    )
  );
}

function markOf(shape: Shape): string {
  return "mark" in shape ? shape.mark.trim() : "";
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
