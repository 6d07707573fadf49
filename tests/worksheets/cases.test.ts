import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { numbersIn, run } from "../../generator/worksheets/worksheet.ts";

/** What a case asks of one value: an exact value, or a number within a tolerance. */
interface Wanted {
  readonly value?: unknown;
  readonly tol?: number;
  readonly rel?: number;
  readonly min?: number;
  readonly max?: number;
  readonly unordered?: boolean;
}

interface Case {
  readonly id: string;
  readonly worksheet: string;
  readonly input: unknown;
  readonly why: string;
  readonly expect: {
    readonly verdict: "ok" | "warn" | "refuse" | "invalid";
    readonly answer?: Readonly<Record<string, Wanted>>;
    readonly nearest?: Readonly<Record<string, Wanted>>;
    readonly by?: Wanted;
    readonly mustMention?: readonly string[];
  };
}

const cases = JSON.parse(readFileSync(new URL("cases.json", import.meta.url), "utf8")) as Case[];

describe.each([...new Set(cases.map(({ worksheet }) => worksheet))])("%s", (id) => {
  const sheet = worksheets.get(id);
  it("is in the table of worksheets", () => expect(sheet).toBeDefined());
  if (!sheet) return;

  it.each(cases.filter(({ worksheet }) => worksheet === id))("$id: $why", ({ input, expect: wanted }) => {
    const result = run(sheet, input);
    if ("faults" in result) {
      expect(wanted.verdict, JSON.stringify(result.faults)).toBe("invalid");
      const said = result.faults
        .map(({ field, reason }) => `${field}: ${reason}`)
        .join("\n")
        .toLowerCase();
      for (const phrase of wanted.mustMention ?? []) expect(said).toContain(phrase.toLowerCase());
      return;
    }
    const { verdict, answer, notes, refusal, units, working } = result.outcome;
    expect(verdict).toBe(wanted.verdict);
    for (const [path, want] of Object.entries(wanted.answer ?? {})) check(path, at(answer, path), want);
    for (const [path, want] of Object.entries(wanted.nearest ?? {})) check(path, at(refusal?.nearest, path), want);
    if (wanted.by) check("by", refusal?.by, wanted.by);
    const said = [...notes.map(({ text }) => text), refusal?.why ?? ""].join("\n").toLowerCase();
    for (const phrase of wanted.mustMention ?? []) expect(said).toContain(phrase.toLowerCase());
    for (const [path] of numbersIn(answer)) expect(units, `unit of ${path}`).toHaveProperty([path]);
    expect(working.length).toBeGreaterThan(0);
  });
});

/** The value at a dotted path; salts and crops may have dots of their own, so the longest key wins. */
function at(value: unknown, path: string): unknown {
  if (path === "") return value;
  if (typeof value !== "object" || value === null) return undefined;
  const record = value as Readonly<Record<string, unknown>>;
  const key = Object.keys(record)
    .filter((name) => path === name || path.startsWith(`${name}.`))
    .sort((a, b) => b.length - a.length)[0];
  return key === undefined ? undefined : at(record[key], path.slice(key.length + 1));
}

function check(path: string, actual: unknown, want: Wanted): void {
  if (want.min !== undefined) expect(actual, path).toBeGreaterThanOrEqual(want.min);
  if (want.max !== undefined) expect(actual, path).toBeLessThanOrEqual(want.max);
  if (want.tol !== undefined || want.rel !== undefined) {
    const value = want.value as number;
    const allowed = want.tol ?? Math.abs(value) * (want.rel ?? 0);
    expect(typeof actual, path).toBe("number");
    expect(Math.abs((actual as number) - value), `${path}: ${actual} against ${value}`).toBeLessThanOrEqual(
      allowed + 1e-12,
    );
  } else if ("value" in want) {
    const given = actual ?? null;
    if (want.unordered && Array.isArray(given))
      expect([...given].sort(), path).toEqual([...(want.value as unknown[])].sort());
    else expect(given, path).toEqual(want.value);
  }
}
