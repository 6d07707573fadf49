import type { z } from "zod";
import { shown } from "./input.ts";

/** A plain sentence for the reader; `warn` asks for a look before going on. */
export interface Note {
  readonly level: "ok" | "warn";
  readonly text: string;
}

/** What cannot be, by how much (a positive number in the unit compared), and the nearest thing that can. */
export interface Refusal {
  readonly why: string;
  readonly by: number | null;
  readonly nearest: Readonly<Record<string, unknown>>;
}

/** What stands before a figure that guards a dangerous or delicate act. */
export interface Caution {
  readonly text: string;
  /** Whose word decides: a label, a local rule, a licensed or trained person. */
  readonly defer: string;
}

/** The unit and label of one answer field; `""` is a count or a ratio. `digits` is how many figures people read. */
export interface AnswerField {
  readonly unit: string;
  readonly label: string;
  readonly digits?: number;
  /** True for the few figures that a person came for. */
  readonly key?: true;
  /** True for what is weighed out: nobody is shown it while the sheet is refused. */
  readonly weight?: true;
}

/** What `solve` gives: the figures, how they were reached, and what must be said. */
export interface Solved {
  readonly answer: Readonly<Record<string, unknown>>;
  readonly working: readonly string[];
  /** Notes that do not apply may be left as `false` or `undefined`. */
  readonly notes?: readonly (Note | false | undefined)[];
  readonly refusal?: Refusal | undefined;
}

/** One question of the trade with its sum. The command line, the form, the paper and the tests all read this. */
export interface Worksheet<Input = unknown> {
  readonly id: string;
  /** As a grower would ask it. */
  readonly question: string;
  /** Unit, bounds, default and help are in each field's `.meta()`; see `input.ts`. */
  readonly input: z.ZodType<Input>;
  /** By path in the answer; `*` stands for any one step, as in `gramsPerM3.*`. */
  readonly answer: Readonly<Record<string, AnswerField>>;
  readonly cautions: readonly Caution[];
  /** Author, year, equation or table; or `common practice`. */
  readonly source: string;
  /** An input that answers, for help texts and for a form's first look. */
  readonly example: z.input<z.ZodType<Input>>;
  solve(input: Input): Solved;
}

export type Verdict = "ok" | "warn" | "refuse";

/** A worksheet answered: plain JSON, the same for the command line, the page and the paper. */
export interface Outcome {
  readonly worksheet: string;
  readonly verdict: Verdict;
  readonly answer: Readonly<Record<string, unknown>>;
  /** The unit of every numeric field of the answer, by its path. */
  readonly units: Readonly<Record<string, string>>;
  readonly working: readonly string[];
  readonly notes: readonly Note[];
  readonly refusal: Refusal | null;
}

/** An input that is not well put: which field, and what was expected. */
export interface InputFault {
  /** As people write it: `crops[1].ec`. Empty when the whole input is amiss. */
  readonly field: string;
  readonly reason: string;
}

export type Result = { readonly outcome: Outcome } | { readonly faults: readonly InputFault[] };

/** Declares a worksheet: inside, `solve` is typed by the schema; outside, every worksheet is of one type. */
export function worksheet<Schema extends z.ZodType>(
  definition: Omit<Worksheet<z.output<Schema>>, "input" | "example"> & {
    readonly input: Schema;
    readonly example: z.input<Schema>;
  },
): Worksheet {
  return definition as unknown as Worksheet;
}

/** Answers one worksheet. A refusal is an outcome; only an input that is not well put has faults. */
export function run(sheet: Worksheet, input: unknown): Result {
  const parsed = sheet.input.safeParse(input);
  if (!parsed.success) return { faults: faultsOf(parsed.error, input) };
  const { answer, working, notes = [], refusal } = sheet.solve(parsed.data);
  const said = notes.filter((note): note is Note => Boolean(note));
  const warned = said.some(({ level }) => level === "warn");
  const outcome: Outcome = {
    worksheet: sheet.id,
    verdict: refusal ? "refuse" : warned ? "warn" : "ok",
    answer,
    units: unitsOf(sheet, answer),
    working,
    notes: said,
    refusal: refusal ?? null,
  };
  return { outcome };
}

export function ok(text: string): Note {
  return { level: "ok", text };
}

export function warn(text: string): Note {
  return { level: "warn", text };
}

/** The answer field at `path`, where `*` in a declared path stands for any one step. */
export function answerField(sheet: Worksheet, path: string): AnswerField | undefined {
  const exact = sheet.answer[path];
  if (exact) return exact;
  const steps = path.split(".");
  return patternsOf(sheet).find(({ wanted, covers }) => {
    if (wanted.length < steps.length) return covers.test(path);
    return wanted.length === steps.length && wanted.every((step, index) => step === "*" || step === steps[index]);
  })?.field;
}

/** Every number in `value` with its dotted path, in reading order. */
export function* numbersIn(value: unknown, path = ""): Generator<readonly [path: string, value: number]> {
  if (typeof value === "number") yield [path, value];
  if (typeof value !== "object" || value === null) return;
  for (const [key, inner] of Object.entries(value)) yield* numbersIn(inner, path === "" ? key : `${path}.${key}`);
}

interface Pattern {
  readonly wanted: readonly string[];
  /** Fits a path in which a name has dots of its own, as in `addGrams.nitrate 15.5`. */
  readonly covers: RegExp;
  readonly field: AnswerField;
}

/** The declared paths with a `*`, taken apart once for each sheet: every figure of an answer is looked up by them. */
function patternsOf(sheet: Worksheet): readonly Pattern[] {
  const known = patterns.get(sheet);
  if (known) return known;
  const found = Object.entries(sheet.answer)
    .filter(([path]) => path.includes("*"))
    .map(([path, field]) => ({
      wanted: path.split("."),
      covers: new RegExp(`^${path.replaceAll(".", "\\.").replaceAll("*", ".+")}$`),
      field,
    }));
  patterns.set(sheet, found);
  return found;
}

const patterns = new WeakMap<Worksheet, readonly Pattern[]>();

function unitsOf(sheet: Worksheet, answer: object): Record<string, string> {
  const found: Record<string, string> = {};
  for (const [path] of numbersIn(answer)) {
    const field = answerField(sheet, path);
    if (!field) throw new Error(`The worksheet ${sheet.id} answers ${path} without saying its unit`);
    found[path] = field.unit;
  }
  return found;
}

function faultsOf(error: z.ZodError, input: unknown): readonly InputFault[] {
  return error.issues.flatMap((issue) => {
    const at = issue.path;
    if (issue.code === "unrecognized_keys") {
      return issue.keys.map((key) => ({
        field: fieldName([...at, key]),
        reason: "there is no such input here",
      }));
    }
    return [
      {
        field: fieldName(at),
        reason: /^(?:Invalid|Too)\b/.test(issue.message) ? plainly(issue, input) : issue.message,
      },
    ];
  });
}

/** What an input of another form than was wanted has in its place, where no field says it. */
function plainly(issue: z.core.$ZodIssue, input: unknown): string {
  const found = issue.path.reduce<unknown>(
    (value, step) => (value as Readonly<Record<PropertyKey, unknown>> | null | undefined)?.[step],
    input,
  );
  const form = issue.code === "invalid_type" ? (forms[issue.expected] ?? "another value") : undefined;
  if (form) return `Unexpected ${shown(found)}, expected ${form}`;
  if (issue.code === "too_small") return `Unexpected ${shown(found)}, expected at least ${issue.minimum} in it`;
  if (issue.code === "too_big") return `Unexpected ${shown(found)}, expected at most ${issue.maximum} in it`;
  return `Unexpected ${shown(found)}, expected another value`;
}

const forms: Readonly<Record<string, string>> = {
  object: 'an object, such as { "name": value }',
  record: 'an object, such as { "name": value }',
  array: "a list",
  tuple: "a list",
  string: "text",
  number: "a number",
  boolean: "true or false",
};

function fieldName(path: readonly PropertyKey[]): string {
  return path.reduce<string>((name, step) => {
    if (typeof step === "number") return `${name}[${step}]`;
    return name === "" ? String(step) : `${name}.${String(step)}`;
  }, "");
}
