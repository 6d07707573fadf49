import { readFileSync } from "node:fs";
import { expect } from "vitest";

/** A value that someone else printed, with where. Inputs and expected values differ by row. */
export interface Published<Inputs, Expected> {
  readonly id: string;
  readonly title: string;
  readonly inputs: Inputs;
  readonly expected: Expected;
  /** Digits printed after the point, of all values or by name. */
  readonly decimals?: number | Readonly<Record<string, number>>;
  readonly units: string;
  /** What the printed source can bear, in its own words. */
  readonly tolerance: string;
  readonly citation: string;
  readonly known: string;
  readonly note?: string;
}

/** A file of published values; `left` names those that no test has asked for, so that none is there for show. */
export function published(name: string) {
  const url = new URL(`published/${name}.json`, import.meta.url);
  const rows = JSON.parse(readFileSync(url, "utf8")) as readonly Published<never, never>[];
  const left = new Set(rows.map(({ id }) => id));
  const starting = <Inputs, Expected>(prefix: string): readonly Published<Inputs, Expected>[] => {
    const found = rows.filter(({ id }) => id.startsWith(prefix));
    if (found.length === 0) throw new Error(`There is no published value ${prefix} in ${name}`);
    for (const { id } of found) left.delete(id);
    return found as readonly Published<Inputs, Expected>[];
  };
  return {
    left,
    /** The rows whose id starts so. */
    rows: starting,
    /** The same, each after a title with its citation, for the name of a test. */
    titled<Inputs, Expected>(prefix: string): (readonly [title: string, row: Published<Inputs, Expected>])[] {
      return starting<Inputs, Expected>(prefix).map((row) => [`${row.title} (${row.citation}; ${row.known})`, row]);
    },
    row<Inputs, Expected>(id: string): Published<Inputs, Expected> {
      const found = rows.find((row) => row.id === id);
      if (!found) throw new Error(`There is no published value ${id} in ${name}`);
      left.delete(id);
      return found as Published<Inputs, Expected>;
    },
  };
}

/** Asks for agreement to half of the last printed digit. */
export function agrees(actual: number, printed: number, decimals: Published<never, never>["decimals"]): void {
  if (typeof decimals !== "number") throw new Error("Unexpected no number of decimals, expected how many were printed");
  expect(Math.abs(actual - printed), `${actual} against ${printed}`).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-9);
}

/** Asks for agreement to a share of the printed value, where the source says so. */
export function agreesTo(share: number, actual: number, printed: number): void {
  expect(Math.abs(actual / printed - 1), `${actual} against ${printed}`).toBeLessThanOrEqual(share);
}
