import { isMap, isScalar, parseDocument } from "yaml";
import type { Value } from "../revise.ts";
import { isBlank } from "./proof.ts";

/** A value on one line: a text as {@link scalar} has it, a list and a mapping in brackets. */
export function inline(value: Value, inFlow: boolean): string {
  if (typeof value === "string") return scalar(value, inFlow);
  if (Array.isArray(value)) return `[${value.map((item) => inline(item, true)).join(", ")}]`;
  const fields = Object.entries(value).map(([name, inner]) => `${key(name, true)}: ${inline(inner, true)}`);
  return fields.length === 0 ? "{}" : `{ ${fields.join(", ")} }`;
}

/** An item of a list on lines of its own: of a mapping a field a line. */
export function itemLines(value: Value): readonly string[] {
  if (typeof value === "string" || Array.isArray(value) || Object.keys(value).length === 0)
    return [`- ${inline(value, false)}`];
  return Object.entries(value).map(
    ([name, inner], index) => `${index === 0 ? "-" : " "} ${key(name, false)}: ${inline(inner, false)}`,
  );
}

/** A text as YAML reads it back: bare where that will do, else in double quotes. */
export function scalar(text: string, inFlow = false): string {
  return readsBack(text, inFlow ? `{ k: ${text} }` : `k: ${text}`, "value") ? text : JSON.stringify(text);
}

/** The name of a field, in quotes where it must be. */
export function key(name: string, inFlow: boolean): string {
  return readsBack(name, inFlow ? `{ ${name}: v }` : `${name}: v`, "key") ? name : JSON.stringify(name);
}

/** A text in the style that the one before it had. */
export function inStyle(text: string, style: string | undefined, inFlow: boolean): string {
  if (style === "QUOTE_DOUBLE") return JSON.stringify(text);
  // Between single quotes nothing can be escaped but the quote itself.
  if (style === "QUOTE_SINGLE" && !/[\p{Cc}\p{Cs}\u2028\u2029]/u.test(text)) return `'${text.replaceAll("'", "''")}'`;
  return scalar(text, inFlow);
}

function readsBack(text: string, yaml: string, as: "key" | "value"): boolean {
  if (/[\r\n]/.test(text)) return false;
  const { contents, errors, warnings } = parseDocument(yaml, { schema: "failsafe", prettyErrors: false });
  if (errors.length > 0 || warnings.length > 0 || !isMap(contents) || contents.items.length !== 1) return false;
  const node = contents.items[0]![as];
  return isScalar(node) && node.type === "PLAIN" && node.value === text && !node.anchor && !node.tag && !isBlank(node);
}
