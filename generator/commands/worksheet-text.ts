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
      ? `Nearest: ${rows(sheet, refusal.nearest, "")
          .map(([label, text]) => `${label} ${text}`)
          .join(", ")}`
      : "",
    table(rows(sheet, outcome.answer, "")),
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

function rows(sheet: Worksheet, value: unknown, path: string): [string, string][] {
  const field = path === "" ? undefined : answerField(sheet, path);
  const label = field?.label ?? path;
  if (value === null || value === undefined) return [[label, "—"]];
  if (typeof value === "number")
    return [[labelled(label, path, sheet), field ? quantity(value, field.unit, field.digits ?? 4) : number(value)]];
  if (typeof value === "string" || typeof value === "boolean")
    return [[label, value === true ? "yes" : value === false ? "no" : value]];
  if (Array.isArray(value) && value.every((item) => typeof item === "string"))
    return [[label, value.length > 0 ? list(value) : "none"]];
  return Object.entries(value).flatMap(([key, inner]) => rows(sheet, inner, path === "" ? key : `${path}.${key}`));
}

/** A field under a `*` is told apart by its own step: `Weigh, calcium-nitrate`. */
function labelled(label: string, path: string, sheet: Worksheet): string {
  return sheet.answer[path] || label === path ? label : `${label}, ${path.split(".").at(-1)}`;
}

function table(lines: readonly (readonly [string, string])[]): string {
  const width = Math.min(40, Math.max(0, ...lines.map(([label]) => label.length)));
  return lines.map(([label, text]) => `  ${label.padEnd(width)}  ${text}`).join("\n");
}
