import fc from "fast-check";
import { answerText } from "../../generator/commands/worksheet-text.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { answerField, numbersIn, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { fieldsOf, inputsOf } from "../worksheets/inputs.ts";
import { expectPlainWords, frozen, hold, strays } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText } from "./text.ts";

/** An input that is no input: any JSON, or a good one with something in it changed. */
export function oddInputs(sheet: Worksheet): fc.Arbitrary<unknown> {
  const good = fc.oneof(inputsOf(fieldsOf(sheet)), fc.constant(sheet.example));
  return fc.oneof(
    { weight: 6, arbitrary: inputsOf(fieldsOf(sheet)) },
    {
      weight: 5,
      arbitrary: fc
        .tuple(good, fc.array(fc.tuple(fc.nat(), odd), { minLength: 1, maxLength: 3 }))
        .map(([input, all]) => all.reduce((now, [at, value]) => withChange(now, at, value), input)),
    },
    { weight: 1, arbitrary: fc.jsonValue({ maxDepth: 3 }) },
    {
      weight: 1,
      arbitrary: fc.dictionary(fc.constantFrom(...Object.keys(fieldsOf(sheet).properties ?? { a: 1 })), odd),
    },
  );
}

/** Values that no field expects, or only just. */
const odd: fc.Arbitrary<unknown> = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    "",
    " ",
    "0",
    [],
    {},
    [[]],
    true,
    0,
    -0,
    -1,
    5e-324,
    -1e-9,
    1e-9,
    1e12,
    1e15,
    1.7976931348623157e308,
    -1e308,
    9007199254740992,
    "NaN",
    "__proto__",
    "1,5",
    "2027-02-30",
    "9999-12-31",
    "1600-01-01",
  ),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.integer({ min: -5, max: 500 }),
  anyText,
  fc.constant({ __proto__: null, constructor: 1, toString: 2 }),
  fc.array(fc.integer({ min: -3, max: 9 }), { maxLength: 4 }),
);

/** An input in which the value at some place is another; places are counted round. */
function withChange(input: unknown, at: number, value: unknown): unknown {
  const places: (readonly string[])[] = [];
  const walk = (inner: unknown, path: readonly string[]): void => {
    places.push(path);
    if (typeof inner === "object" && inner !== null)
      for (const [key, next] of Object.entries(inner)) walk(next, [...path, key]);
  };
  walk(input, []);
  const put = (inner: unknown, [key, ...rest]: readonly string[]): unknown => {
    if (key === undefined) return value;
    if (Array.isArray(inner)) return inner.map((item, index) => (String(index) === key ? put(item, rest) : item));
    return { ...(inner as object), [key]: put((inner as Readonly<Record<string, unknown>>)[key], rest) };
  };
  return put(input, places[at % places.length]!);
}

/** Units of which there can be no less than none; a difference of two is not in them. */
const masses = new Set(["g", "kg", "mg", "g/m³", "mL", "L"]);

/** Answers an input twice, and asks that every figure is one and every refusal has its sentence. */
export function answerWell(sheet: Worksheet, input: unknown): void {
  const text = JSON.stringify(input) ?? "";
  const first = run(sheet, frozen(structuredClone(input)));
  hold(JSON.stringify(first) === JSON.stringify(run(sheet, structuredClone(input))), "answered in two ways");
  if ("faults" in first) {
    hold(first.faults.length > 0, "turned away without a word");
    for (const { field, reason } of first.faults) {
      hold(reason.trim() !== "" && reason.length < 600, `no sentence for ${field}`);
      expectPlainWords(reason, text);
    }
    return;
  }
  const { outcome } = first;
  hold(strays(outcome).length === 0, `no JSON at ${strays(outcome).join(", ")}`);
  for (const [path, value] of numbersIn(outcome.answer)) {
    const field = answerField(sheet, path)!;
    hold(value >= 0 || !(field.weight || masses.has(field.unit)), `${path} is ${value} ${field.unit}`);
  }
  if (outcome.refusal) {
    const { why, by } = outcome.refusal;
    hold(/\S \S/.test(why), "refused without a sentence");
    hold(by === null || by >= 0, `refused by ${by}`);
    expectPlainWords(JSON.stringify(outcome.refusal), text);
  }
  for (const note of outcome.notes) hold(note.text.trim() !== "", "an empty note");
  hold(
    outcome.working.every((line) => line.trim() !== ""),
    "an empty line of working",
  );
  expectPlainWords(answerText(sheet, outcome), text);
}

/** Every worksheet, asked with JSON. */
export const worksheetTargets: readonly Target[] = [...worksheets.values()].map((sheet) =>
  target({
    name: `worksheet ${sheet.id}`,
    share: 1.4,
    cases: oddInputs(sheet),
    hold: (input) => answerWell(sheet, input),
  }),
);
