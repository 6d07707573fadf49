import type { z } from "zod";
import type { FieldMeta } from "../records/fields.ts";
import type { Kind } from "../records/index.ts";
import { isOptional, partsOf, unwrap } from "../records/walk.ts";
import { inline } from "../revise/words.ts";
import type { Value } from "../revise.ts";
import { singly } from "./name.ts";
import { exampleOf } from "./questions.ts";
import { isGroup } from "./tree.ts";

/**
 * A line for each field of a kind that a record does not use, as a comment: name, an example, and what it is. Without the
 * `#` at its start it is a field like any other. A field of which no example would be safe to leave as it is, such as a
 * text or a yes, stands blank.
 */
export function furtherLines(
  kind: Kind,
  shape: Readonly<Record<string, z.ZodType>>,
  used: readonly string[],
): readonly string[] {
  const left = Object.entries(shape).filter(([name, field]) => isOptional(field) && !used.includes(name));
  if (left.length === 0) return [];
  return [
    `## What else ${singly(kind)} may say: take the # away and write what is so.`,
    ...left.map(([name, field]) => `# ${name}:${valueFor(field, Object.keys(shape)[0]!)}  # ${aboutOf(name, field)}`),
  ];
}

function valueFor(field: z.ZodType, firstName: string): string {
  const { inner, meta } = unwrap(field);
  if (meta.example !== undefined) return ` ${meta.example.replace(/^\w+:\s*/, "")}`;
  const plain = inner && !isGroup(inner) && !partsOf(inner).element;
  if (plain && (meta.form === "text" || meta.form === "word" || meta.form === "flag")) return "";
  return ` ${inline(sample(field, firstName), false)}`;
}

/** A value that the field would take: its own example, `…` for text, and of a mapping what it cannot do without. */
function sample(field: z.ZodType, firstName: string): Value {
  const { inner, meta } = unwrap(field);
  const { shape, key, value, element } = partsOf(inner ?? field);
  if (element) return [sample(element, firstName)];
  if (key && value) {
    // Notes and borrowed figures go by the path of a field that stands in the record.
    const names = [exampleOf(unwrap(key).inner, unwrap(key).meta), unwrap(key).meta.words?.[0], "name", firstName];
    const name = names.find((candidate) => candidate !== undefined && key.safeParse(candidate).success);
    return { [name ?? firstName]: sample(value, firstName) };
  }
  if (shape) {
    const parts = Object.entries(shape);
    const needed = parts.filter(([, part]) => !isOptional(part));
    const shown = needed.length > 0 ? needed : parts.slice(0, 1);
    return Object.fromEntries(shown.map(([name, part]) => [name, sample(part, firstName)]));
  }
  return exampleOf(inner, meta) ?? "…";
}

function aboutOf(name: string, field: z.ZodType): string {
  const { inner, meta } = unwrap(field);
  const { shape, value, element } = partsOf(inner ?? field);
  const item = element ?? value;
  const below = item ? unwrap(item) : { inner: undefined, meta: {} as FieldMeta };
  const parts = shape ?? (below.inner ? partsOf(below.inner).shape : undefined) ?? {};
  const all = { ...below.meta, ...meta };
  const shown = Object.entries(parts).filter(([, part]) => !isOptional(part));
  const first = shown.length > 0 ? shown : Object.entries(parts).slice(0, 1);
  const labels = first.map(([part, schema]) => unwrap(schema).meta.label ?? part);
  const further = Object.keys(parts).filter((part) => !first.some(([known]) => known === part));
  return [
    all.label ?? (labels.length > 0 ? labels.join(", ") : name),
    all.unit && all.unit !== "pH" ? `in ${all.unit}` : undefined,
    all.words ? `${all.words.join(", ")}` : all.form === "flag" ? "yes, no" : undefined,
    all.refers ? `the name of a file of ${all.refers}/` : undefined,
    further.length > 0 ? `also ${further.join(", ")}` : undefined,
  ]
    .filter((part) => part !== undefined)
    .join("; ")
    .concat(all.help ? `. ${all.help.replace(/\s+/g, " ")}` : "");
}
