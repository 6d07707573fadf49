import { readFileSync } from "node:fs";

/** A figure of chemistry that someone else printed, with where. Inputs and figures have the shape of their source. */
export interface Printed {
  readonly id: string;
  readonly title: string;
  /** The title with its citation and how it is known, for the report. */
  readonly cited: string;
  readonly inputs: Loose;
  readonly expected: Loose;
  readonly units: string;
  readonly tolerance: string;
  readonly citation: string;
  readonly known: string;
}

// biome-ignore lint/suspicious/noExplicitAny: rows of one topic differ in shape; the test that reads a row says what it is
type Loose = any;

/** One topic's figures; `left` names those that no test has asked for, so that none is there for show. */
export function printed(topic: string) {
  const url = new URL(`published/${topic}.json`, import.meta.url);
  const rows = (JSON.parse(readFileSync(url, "utf8")) as readonly Omit<Printed, "cited">[]).map(
    (row): Printed => ({ ...row, cited: `${row.title} (${row.citation}; ${row.known})` }),
  );
  const left = new Set(rows.map(({ id }) => id));
  const asked = (found: readonly Printed[], wanted: string): readonly Printed[] => {
    if (found.length === 0) throw new Error(`Nothing printed under ${wanted} in ${topic}`);
    for (const { id } of found) left.delete(id);
    return found;
  };
  return {
    left,
    /** Those whose id starts so. */
    of: (start: string): readonly Printed[] =>
      asked(
        rows.filter(({ id }) => id.startsWith(start)),
        start,
      ),
    row: (id: string): Printed =>
      asked(
        rows.filter((row) => row.id === id),
        id,
      )[0]!,
  };
}

/** Half of the last digit that `figure` shows, for figures whose last digit is not 0: 0.005 for 1.23. */
export function halfDigit(figure: number): number {
  const places = /\.(\d+)$/.exec(String(figure))?.[1]?.length ?? 0;
  return 0.5 * 10 ** -places * (1 + 1e-9);
}
