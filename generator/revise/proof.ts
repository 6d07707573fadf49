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

/** Whether `after` has `value` put into a list at `path`, before what stood there, and in all else says what `before` said. */
export function insertedAt(before: Shape, after: Shape, path: Path, value: Value): boolean {
  return within(before, after, path, (old, now, place) => {
    if (now.is !== "list" || typeof place !== "number") return false;
    const items = old.is === "list" ? old.items : [];
    const put = now.items[place];
    return put !== undefined && says(put, value) && same(items, now.items.toSpliced(place, 1));
  });
}

/** Whether what stood at `path` is gone in `after`, and all else says what it said. What it was the last of may be blank. */
export function removedAt(before: Shape, after: Shape, path: Path): boolean {
  return within(before, after, path, (old, now, step) => {
    if (old.is !== "list" && old.is !== "map") return false;
    const place = old.is === "list" ? Number(step) : old.items.findIndex(([key]) => isNamed(key, step));
    if (!(place in old.items)) return false;
    const left = old.items.toSpliced(place, 1);
    return now.is === "blank" ? left.length === 0 : now.is === old.is && same(left, now.items);
  });
}

/** Whether all is the same but for what is in the list or mapping that the last step is a part of, and `check` holds of that. */
function within(
  before: Shape,
  after: Shape,
  path: Path,
  check: (old: Shape, now: Shape, step: string | number) => boolean,
): boolean {
  const [step, ...rest] = path;
  if (step === undefined) return false;
  if (rest.length === 0)
    return (after.is === "blank" || markOf(before) === markOf(after)) && check(before, after, step);
  if (before.is === "list") {
    if (after.is !== "list" || markOf(before) !== markOf(after) || after.items.length !== before.items.length)
      return false;
    return before.items.every((old, place) =>
      place === step ? within(old, after.items[place]!, rest, check) : same(old, after.items[place]),
    );
  }
  if (before.is !== "map" || after.is !== "map" || markOf(before) !== markOf(after)) return false;
  if (after.items.length !== before.items.length) return false;
  return before.items.every(([key, old], place) => {
    const [keyNow, now] = after.items[place]!;
    return same(key, keyNow) && (isNamed(key, step) ? within(old, now, rest, check) : same(old, now));
  });
}

function isNamed(key: Shape, step: string | number): boolean {
  return key.is === "text" && key.text === String(step);
}

/** Whether a node says a value, however it is laid out. */
export function says(shape: Shape, value: Value): boolean {
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
