import { expect } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { run } from "../../generator/worksheets/worksheet.ts";

/** What is asked, what must be said, and figures worked out by hand. */
export interface Asked {
  readonly of: string;
  readonly input: object;
  readonly verdict: "ok" | "warn" | "refuse";
  readonly says?: readonly string[];
  readonly answer?: Readonly<Record<string, unknown>>;
  readonly by?: number | null;
  readonly nearest?: Readonly<Record<string, unknown>>;
}

/** The same, each after its worksheet and its input, for the name of a test. */
export function titled(asked: readonly Asked[]) {
  return asked.map((each) => [each.of, JSON.stringify(each.input), each] as const);
}

/** Asks for the verdict, the words and the figures, to four decimals. */
export function answers(wanted: Asked): void {
  const sheet = worksheets.get(wanted.of);
  const result = sheet && run(sheet, wanted.input);
  if (!result || !("outcome" in result)) throw new Error(JSON.stringify(result));
  const { verdict, answer, notes, refusal } = result.outcome;
  const said = [...notes.map(({ text }) => text), refusal?.why ?? ""].join("\n").toLowerCase();
  expect(verdict, said).toBe(wanted.verdict);
  for (const phrase of wanted.says ?? []) expect(said).toContain(phrase.toLowerCase());
  for (const [field, value] of Object.entries(wanted.answer ?? {})) same(field, answer[field], value);
  if (wanted.by !== undefined) same("by", refusal?.by, wanted.by);
  if (wanted.nearest) {
    expect(Object.keys(refusal?.nearest ?? {})).toEqual(Object.keys(wanted.nearest));
    for (const [field, value] of Object.entries(wanted.nearest)) same(field, refusal?.nearest[field], value);
  }
}

/** Asks for a fault at `field`. */
export function amiss(id: string, input: object, field: string): void {
  const sheet = worksheets.get(id);
  const result = sheet && run(sheet, input);
  expect(result && "faults" in result && result.faults.map((fault) => fault.field)).toContain(field);
}

function same(field: string, actual: unknown, wanted: unknown): void {
  if (typeof wanted !== "number") expect(actual, field).toEqual(wanted);
  else expect(actual, field).toBeCloseTo(wanted, wanted === 0 ? 9 : 4);
}
