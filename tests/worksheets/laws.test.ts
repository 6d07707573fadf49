import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { numbersIn, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { type Field, fieldsOf, inputsOf } from "./inputs.ts";

const ids = [
  ...["light-total", "lamp-plan", "day-length", "growing-days", "air-dryness", "room-load", "house-heat"],
  ...["sow-date", "calendar-date", "month-shift", "port-calendar", "germination-test", "cells-to-sow", "micro-pots"],
  ...["ports-for-order", "dispatch-day", "use-by", "unit-cost", "group-summary", "paired-blocks", "two-shares"],
  ...["trial-size", "pool-record", "safe-yield", "label-code", "dilution"],
];

describe.each(ids)("%s", (id) => {
  const sheet = worksheets.get(id)!;

  it("answers its own example, with a unit for each number, working, and no refusal", () => {
    const result = run(sheet, sheet.example);
    if (!("outcome" in result)) throw new Error(JSON.stringify(result.faults));
    const { answer, units, working, verdict } = result.outcome;
    expect(verdict).not.toBe("refuse");
    expect(working.length).toBeGreaterThan(0);
    for (const [path] of numbersIn(answer)) expect(units).toHaveProperty([path]);
    // What is declared and what is answered are the same fields.
    const declared = new Set(Object.keys(sheet.answer).map((path) => path.split(".")[0]));
    expect(new Set(Object.keys(answer))).toEqual(declared);
  });

  it("gives finite figures or names the field, whatever is asked within its bounds", () => {
    let answered = 0;
    const settle = settled[id] ?? ((input: Made) => input);
    const inputs = inputsOf(fieldsOf(sheet)).map((input) => settle(input as Made));
    fc.assert(
      fc.property(inputs, (input) => {
        const result = run(sheet, input);
        if ("faults" in result) {
          expect(result.faults.length).toBeGreaterThan(0);
          for (const { field } of result.faults) expect(field).not.toBe("");
          return;
        }
        answered++;
        const { outcome } = result;
        expect(strays(outcome)).toEqual([]);
        const said = [...outcome.working, ...outcome.notes.map(({ text }) => text), outcome.refusal?.why ?? ""];
        expect(said.join("\n")).not.toMatch(/NaN|Infinity|undefined|\[object/);
        if (outcome.refusal) {
          const { by } = outcome.refusal;
          expect(by === null || by >= 0).toBe(true);
        }
        for (const { text } of outcome.notes) expect(text).not.toBe("");
      }),
      { numRuns: 150, seed: 1 },
    );
    expect(answered).toBeGreaterThan(20);
  });

  it("is the same the second time", () => {
    expect(run(sheet, sheet.example)).toEqual(run(sheet, structuredClone(sheet.example)));
  });

  it.each(bounds(sheet))("says $field when it is $value", ({ input, field }) => {
    const result = run(sheet, input);
    if (!("faults" in result)) throw new Error(`Unexpected an answer: ${JSON.stringify(result.outcome)}`);
    expect(result.faults.map((fault) => fault.field)).toContain(field);
  });

  it("says a key that it does not know, a word for a number, and what is missing", () => {
    const strange = run(sheet, { ...(sheet.example as object), stranger: 1 });
    expect("faults" in strange && strange.faults.map(({ field }) => field)).toContain("stranger");
    for (const field of fieldsOf(sheet).required ?? []) {
      const without = Object.fromEntries(Object.entries(sheet.example as object).filter(([key]) => key !== field));
      const result = run(sheet, without);
      expect("faults" in result && result.faults.map((fault) => fault.field)).toContain(field);
    }
  });
});

/** Where a value is not plain JSON: undefined, not a number, infinite. */
function strays(value: unknown, path = ""): readonly string[] {
  if (value === null || typeof value === "string" || typeof value === "boolean") return [];
  if (typeof value === "number") return Number.isFinite(value) ? [] : [path];
  if (typeof value !== "object") return [path];
  return Object.entries(value).flatMap(([key, inner]) => strays(inner, `${path}.${key}`));
}

/** An input as it was made up, field by field. */
// biome-ignore lint/suspicious/noExplicitAny: one marked seam, for inputs of every shape
type Made = any;

/** What fields ask of each other, put right, so that not all that is made up is turned away. */
const settled: Readonly<Record<string, (input: Made) => unknown>> = {
  "light-total": ({ lux, ...input }) => (input.ppfd ? input : { ...input, ppfd: undefined, lux: lux ?? [1, 2] }),
  "lamp-plan": ({ lamps, lampWatts, ...input }) => (lamps && lampWatts ? { ...input, lamps, lampWatts } : input),
  "house-heat": ({ cropM2, litresPerM2Day, ...input }) => ({
    ...input,
    cropM2,
    litresPerM2Day: cropM2 && (litresPerM2Day ?? 1),
  }),
  "growing-days": ({ dliReference, dliNow, heatSum, meanTemp, baseTemp, ...input }) => ({
    ...input,
    baseDays: input.baseDays ?? 30,
    ...(dliNow ? { dliNow, dliReference: dliReference ?? 14 } : {}),
    ...(heatSum ? { heatSum, meanTemp: meanTemp ?? 17, baseTemp: baseTemp ?? 4 } : {}),
  }),
  "port-calendar": ({ batches, cutWindowDays, batchesWanted, ...input }) => ({
    ...input,
    batches: batches.map(({ from, to, ...batch }: Made) => ({
      ...batch,
      from: from < to ? from : to,
      to: from < to ? to : from,
    })),
  }),
  "dispatch-day": ({ lowestC, highestC, ...input }) => ({
    ...input,
    ...ordered("lowestC", lowestC, "highestC", highestC),
  }),
  "use-by": ({ holdLowC, holdHighC, ...input }) => ({
    ...input,
    ...ordered("holdLowC", holdLowC, "holdHighC", holdHighC),
  }),
  "germination-test": ({ tests, ...input }) => ({
    ...input,
    tests: tests.map(({ up, sown }: Made) => ({ up: Math.min(up, sown), sown })),
  }),
  "paired-blocks": ({ a, b, ...input }) => ({
    ...input,
    a,
    b: a.map((value: number, index: number) => b[index] ?? value / 2),
  }),
  "two-shares": ({ a, b, ...input }) => ({ ...input, a: lessGood(a), b: b && lessGood(b) }),
  "pool-record": (input) => ({ ...input, old: widened(input.old), new: widened(input.new) }),
  "label-code": ({ code, crop, sown, tray, check, ...input }) =>
    crop
      ? { ...input, crop: crop.replaceAll("-", "X"), sown: sown ?? "2028-02-29", tray: tray ?? 0 }
      : check
        ? { ...input, check }
        : { ...input, code },
};

function ordered(low: string, first: number | null | undefined, high: string, second: number | null | undefined) {
  if (typeof first !== "number" || typeof second !== "number") return {};
  return { [low]: Math.min(first, second), [high]: Math.max(first, second) };
}

function lessGood({ good, total }: Made) {
  return { good: Math.min(good, total), total };
}

function widened({ mean, n, low, high }: Made) {
  return { mean, n, low: Math.min(low ?? mean, mean), high: Math.max(high ?? mean, mean) };
}

/** The example with one number just beyond each end of its bounds, at every number that the example or its fields have. */
function bounds(sheet: Worksheet): { input: unknown; field: string; value: number | string }[] {
  const fields = fieldsOf(sheet);
  const found: { input: unknown; field: string; value: number | string }[] = [];
  const walk = (field: Field, name: string, put: (value: unknown) => unknown, now: unknown) => {
    const inner = field.anyOf?.find(({ type }) => type !== "null") ?? field;
    if (inner.type === "number" || inner.type === "integer") {
      for (const value of beyond(inner)) found.push({ input: put(value), field: name, value });
    }
    for (const [key, next] of Object.entries(inner.properties ?? {})) {
      const held = (now ?? {}) as Record<string, unknown>;
      walk(next, name === "" ? key : `${name}.${key}`, (value) => put({ ...held, [key]: value }), held[key]);
    }
    if (inner.items && Array.isArray(now) && now.length > 0) {
      walk(inner.items, `${name}[0]`, (value) => put([value, ...now.slice(1)]), now[0]);
    }
  };
  walk(fields, "", (value) => value, sheet.example);
  return found;
}

function beyond({ type, minimum, maximum, exclusiveMinimum, exclusiveMaximum }: Field): (number | string)[] {
  const low = minimum === undefined ? exclusiveMinimum : minimum - (type === "integer" ? 1 : 1e-6);
  const high = maximum === undefined ? exclusiveMaximum : maximum + (type === "integer" ? 1 : 1e-6);
  const ends = [low, high].filter((end) => end !== undefined && Math.abs(end) < 1e15);
  return [
    ...ends,
    ...(type === "integer" ? [(minimum ?? 0) + 0.5] : []),
    Number.NaN,
    Number.POSITIVE_INFINITY,
    "many",
  ] as (number | string)[];
}
