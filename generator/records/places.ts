import type { VFile } from "vfile";
import { type Place, type Slip, tell } from "./messages.ts";

/** Says a slip at a field of a file. An empty path is the front matter as a whole. */
export type Say = (path: readonly (string | number)[], slip: Slip) => void;

/** Where a field stands in the front matter, as offsets, with the fields inside it. */
export interface Spot {
  readonly key?: readonly [from: number, to: number];
  readonly value?: readonly [from: number, to: number];
  readonly inner: Map<string | number, Spot>;
}

/** The line and column of an offset of the front matter, which starts on line 2, below its fence. */
export type PointAt = (offset: number) => Place["start"];

/** Finds lines by their starts. (The reader's own count of lines goes astray where YAML is amiss.) */
export function pointsIn(yaml: string): PointAt {
  const starts = [0];
  for (let next = yaml.indexOf("\n"); next >= 0; next = yaml.indexOf("\n", next + 1)) starts.push(next + 1);
  return (offset) => {
    const line = lastStart(starts, offset);
    return { line: line + 2, column: offset - starts[line]! + 1 };
  };
}

/** Which of the offsets at which lines start is the last that is not after this one, counted from 0. */
export function lastStart(starts: readonly number[], offset: number): number {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (starts[middle]! <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** A teller of problems for one file. */
export function sayAt(file: VFile, top: () => Spot, pointAt: PointAt): Say {
  return (path, slip) => tell(file, slip, placeOf(top(), pointAt, path, slip.on === "key"), path);
}

/**
 * The place of a field: its value where that is on one line, else its key; the closest field around it when it is
 * missing, or the head of the front matter.
 */
function placeOf(top: Spot, pointAt: PointAt, path: readonly (string | number)[], onKey: boolean): Place {
  let spot = top;
  for (const [index, step] of path.entries()) {
    const inner = spot.inner.get(step);
    if (!inner) return onLine(pointAt, spot.key) ?? closest(top, pointAt, path.slice(0, index));
    spot = inner;
  }
  const value = onKey ? undefined : onLine(pointAt, spot.value);
  return value ?? onLine(pointAt, spot.key) ?? onLine(pointAt, spot.value) ?? closest(top, pointAt, path.slice(0, -1));
}

/** The key of the nearest field around, such as the name of a list whose item has no key of its own. */
function closest(top: Spot, pointAt: PointAt, path: readonly (string | number)[]): Place {
  let found: Spot | undefined;
  let spot: Spot | undefined = top;
  for (const step of path) {
    spot = spot?.inner.get(step);
    if (spot?.key) found = spot;
  }
  return onLine(pointAt, found?.key) ?? { start: { line: 2, column: 1 }, end: { line: 2, column: 1 } };
}

/** A stretch as lines and columns, or undefined when it is empty or goes over several lines. */
function onLine(pointAt: PointAt, range: readonly [number, number] | undefined): Place | undefined {
  if (!range || range[1] <= range[0]) return undefined;
  const start = pointAt(range[0]);
  const end = pointAt(range[1]);
  return end.line === start.line ? { start, end } : undefined;
}
