import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { answerField, type Outcome, type Worksheet } from "../worksheets/worksheet.ts";

/** An answer as a person reads it in a terminal: cautions, answer, what was said, working, source. */
export function answerText(sheet: Worksheet, outcome: Outcome): string {
  const { refusal, notes, working } = outcome;
  const parts = [
    sheet.question,
    ...sheet.cautions.map(({ text, defer }) => `STOP  ${text}${defer ? ` (${defer})` : ""}`),
    refusal ? `REFUSED  ${refusal.why}` : "",
    refusal && Object.keys(refusal.nearest).length > 0
      ? `Nearest: ${Object.entries(refusal.nearest)
          .map(
            ([path, value]) =>
              `${answerField(sheet, path)?.label ?? path} ${isLine(value) ? lineText(sheet, path, value) : JSON.stringify(value)}`,
          )
          .join(", ")}`
      : "",
    answerBlocks(sheet, outcome.answer, refusal !== null),
    notes.map(({ level, text }) => `${level === "warn" ? "LOOK" : "Note"}  ${text}`).join("\n"),
    `Working\n${working.map((line) => `  ${line}`).join("\n")}`,
    `Source: ${sheet.source}`,
  ];
  return parts.filter((part) => part !== "").join("\n\n");
}

/** The inputs of a worksheet with units, bounds and usual values, and an example that answers. */
export function helpText(sheet: Worksheet): string {
  const schema = z.toJSONSchema(sheet.input, { io: "input", unrepresentable: "any" }) as Schema;
  const lines = inputs(schema, "");
  return [
    `${sheet.id}: ${sheet.question}`,
    `Inputs\n${table(lines)}`,
    `Answers\n${table(Object.entries(sheet.answer).map(([path, { label, unit }]) => [path, `${label}${unit ? `, ${unit}` : ""}`]))}`,
    ...sheet.cautions.map(({ text, defer }) => `STOP  ${text} (${defer})`),
    `Source: ${sheet.source}`,
    `Example: tierbook worksheet ${sheet.id} --input '${JSON.stringify(sheet.example)}'`,
  ].join("\n\n");
}

/** As much of JSON Schema as the inputs use. */
interface Schema {
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly enum?: readonly unknown[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly default?: unknown;
  readonly label?: string;
  readonly unit?: string;
  readonly help?: string;
  readonly format?: string;
}

function inputs(schema: Schema, at: string): [string, string][] {
  const own = unwrapped(schema);
  return Object.entries(own.properties ?? {}).flatMap(([name, field]) => {
    const path = at === "" ? name : `${at}.${name}`;
    const inner = unwrapped(field);
    const optional = !own.required?.includes(name);
    const deeper = inner.properties
      ? inputs(inner, path)
      : inner.items && unwrapped(inner.items).properties
        ? inputs(inner.items, `${path}[]`)
        : [];
    return [
      [
        path,
        `${about({ ...inner, ...field })}${optional && field.default === undefined && inner.default === undefined ? "; may be left out" : ""}`,
      ] as [string, string],
      ...deeper,
    ];
  });
}

function unwrapped(schema: Schema): Schema {
  const inner = schema.anyOf?.find(({ type }) => type !== "null");
  return inner ? { ...unwrapped(inner), ...(schema.default === undefined ? {} : { default: schema.default }) } : schema;
}

function about({ label, unit, type, enum: words, help, format, default: usual, ...bounds }: Schema): string {
  const range = [
    bounds.minimum !== undefined && bounds.minimum > Number.MIN_SAFE_INTEGER ? `${bounds.minimum} or more` : "",
    bounds.exclusiveMinimum !== undefined ? `above ${bounds.exclusiveMinimum}` : "",
    bounds.maximum !== undefined && bounds.maximum < Number.MAX_SAFE_INTEGER ? `${bounds.maximum} or less` : "",
    bounds.exclusiveMaximum !== undefined ? `below ${bounds.exclusiveMaximum}` : "",
  ].filter((part) => part !== "");
  const kind = words ? list(words.map(String), "or") : (format ?? type ?? "");
  return [label, unit, kind, ...range, usual === undefined ? "" : `usually ${JSON.stringify(usual)}`, help]
    .filter((part) => part !== undefined && part !== "")
    .join("; ");
}

/** An answer in blocks: its plain lines first, then each group of figures under its own title. Weights of a refused sheet are left out. */
function answerBlocks(sheet: Worksheet, answer: Readonly<Record<string, unknown>>, refused: boolean): string {
  const shown = (path: string) => !(refused && answerField(sheet, path)?.weight);
  const plain = Object.entries(answer).filter(([, value]) => isLine(value));
  const groups = Object.entries(answer).filter(([, value]) => !isLine(value));
  return [
    table(
      plain
        .filter(([path]) => shown(path))
        .map(([path, value]) => [answerField(sheet, path)?.label ?? path, lineText(sheet, path, value)]),
    ),
    ...groups.map(([path, value]) => {
      const lines = linesOf(value, path).filter(([line]) => shown(line));
      const title = titleOf(sheet, path, lines);
      const said = lines.map(([line, inner]) => {
        const label = lineLabel(sheet, line);
        return [
          label.startsWith(`${title}, `) ? label.slice(title.length + 2) : label,
          lineText(sheet, line, inner),
        ] as const;
      });
      return lines.length === 0 ? "" : `${title}\n${table(said)}`;
    }),
  ]
    .filter((block) => block !== "")
    .join("\n\n");
}

/** Whether a value is one line: a figure, a word, nothing, or a list of words. */
function isLine(value: unknown): boolean {
  return (
    typeof value !== "object" ||
    value === null ||
    (Array.isArray(value) && value.every((item) => typeof item === "string" || typeof item === "number"))
  );
}

function linesOf(value: unknown, path: string): readonly (readonly [path: string, value: unknown])[] {
  if (isLine(value)) return [[path, value]];
  // People count from one.
  const inside = Array.isArray(value)
    ? value.map((inner, index) => [index + 1, inner])
    : Object.entries(value as object);
  return inside.flatMap(([key, inner]) => linesOf(inner, `${path}.${key}`));
}

/** A group of one kind of figure is called by that figure; a group of several by its own name, in words. */
function titleOf(sheet: Worksheet, path: string, lines: readonly (readonly [string, unknown])[]): string {
  const labels = new Set(lines.map(([line]) => answerField(sheet, line)?.label));
  const [only] = labels;
  if (labels.size === 1 && only !== undefined) return only;
  const words = path.replace(/([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`);
  return `${words[0]!.toUpperCase()}${words.slice(1)}`;
}

/** A line of a group: what it is, and which one. */
function lineLabel(sheet: Worksheet, path: string): string {
  const steps = path.split(".").slice(1);
  const label = answerField(sheet, path)?.label;
  const which = steps.filter((step) => !(step in fieldSteps(sheet)));
  return [label, which.join(" ")].filter((part) => part !== undefined && part !== "").join(", ");
}

/** The steps that the sheet's own paths name, so that what is left is a salt, a tier or an element. */
function fieldSteps(sheet: Worksheet): Readonly<Record<string, true>> {
  return Object.fromEntries(
    Object.keys(sheet.answer).flatMap((path) =>
      path
        .split(".")
        .filter((step) => step !== "*")
        .map((step) => [step, true as const]),
    ),
  );
}

function lineText(sheet: Worksheet, path: string, value: unknown): string {
  const field = answerField(sheet, path);
  if (value === null || value === undefined) return "—";
  if (typeof value === "number") return field ? quantity(value, field.unit, field.digits ?? 4) : number(value);
  if (Array.isArray(value)) return value.length > 0 ? list(value.map(String)) : "none";
  return value === true ? "yes" : value === false ? "no" : String(value);
}

function table(lines: readonly (readonly [string, string])[]): string {
  const width = Math.max(0, ...lines.map(([label]) => label.length));
  return lines.map(([label, text]) => `  ${label.padEnd(width)}  ${text}`).join("\n");
}
