import type { z } from "zod";
import { type Kind, kinds } from "../records/index.ts";
import { sectionRules } from "../records/sections.ts";
import { isOptional, partsOf, unwrap } from "../records/walk.ts";
import { inline, key } from "../revise/words.ts";
import type { Value } from "../revise.ts";
import { furtherLines } from "./further.ts";
import type { Tree } from "./tree.ts";

/** A record before it is a text. */
export interface Writing {
  readonly kind: Kind;
  readonly tree: Tree;
  /** What its figures lean on, all of them: a word of the language or a record of `sources/`. From memory where none is said. */
  readonly source: string | undefined;
  /** Text below its headings; `""` is what stands before the first. */
  readonly sections?: ReadonlyMap<string, string>;
  /** Whether the fields that are not used and the headings of the kind stand in it too, for whoever goes on by hand. */
  readonly guided: boolean;
}

/**
 * The text of a record's file. Its fields stand in the order of the schema; when it is guided, those that it cannot do
 * without come first, and below them a line for each other field, as a comment. A mapping that must be there is written
 * even when nothing is known of it.
 */
export function recordText(writing: Writing): string {
  const { kind, tree, source, guided } = writing;
  const shape = shapeOf(kinds[kind], tree);
  const names = Object.keys(shape).filter((name) => name !== "sources");
  const first = guided ? names.filter((name) => !isOptional(shape[name]!)) : names;
  const ordered = [...first, ...names.filter((name) => !first.includes(name))];
  const fields = ordered.flatMap((name) => {
    const value = tree[name] ?? emptyFor(shape[name]!);
    return value === undefined ? [] : linesOf(name, value, shape[name]!, "");
  });
  // Where none are asked for, such as in a guide, none are written unless one is said.
  const leans = shape.sources !== undefined && (source !== undefined || !isOptional(shape.sources));
  const further = guided
    ? furtherLines(kind, shape, leans ? [...Object.keys(tree), "sources"] : Object.keys(tree))
    : [];
  return [
    "---",
    ...fields,
    ...(further.length > 0 ? ["", ...further, ""] : []),
    ...(leans ? ["sources:", `  ${key(source ?? "memory", false)}: "*"`] : []),
    "---",
    ...bodyOf(writing),
    "",
  ].join("\n");
}

/** The headings of a kind, in their order; none where any heading will do. */
export function headingsOf(kind: Kind): readonly string[] {
  return Object.keys(sectionRules[kind] ?? {}).filter((heading) => heading !== "");
}

/** The fields of a kind by name; a kind that is several is settled by what the record says. */
export function shapeOf(schema: z.ZodType, tree: Tree): Readonly<Record<string, z.ZodType>> {
  const { inner } = unwrap(schema, tree);
  return (inner && partsOf(inner).shape) ?? {};
}

/** A mapping that must be there is written even without parts, so that the checker can ask for each that is missing. */
function emptyFor(field: z.ZodType): Value | undefined {
  return !isOptional(field) && partsOf(unwrap(field).inner ?? field).shape ? {} : undefined;
}

function linesOf(name: string, value: Value, schema: z.ZodType, indent: string): readonly string[] {
  const head = `${indent}${key(name, false)}:`;
  if (Array.isArray(value)) {
    const line = `${head} ${inline(value, false)}`;
    if (line.length <= 120 && !value.some((item) => typeof item !== "string")) return [line];
    return [head, ...(value as readonly Value[]).map((item) => `${indent}  - ${inline(item, false)}`)];
  }
  if (typeof value === "string" || Object.keys(value).length === 0) return [`${head} ${inline(value, false)}`];
  const { shape, value: common } = partsOf(unwrap(schema, value).inner ?? schema);
  const known = Object.keys(shape ?? {});
  const ordered = Object.entries(value).sort(([a], [b]) => known.indexOf(a) - known.indexOf(b));
  return [
    head,
    ...ordered.flatMap(([below, item]) => linesOf(below, item, shape?.[below] ?? common ?? schema, `${indent}  `)),
  ];
}

function bodyOf({ kind, sections = new Map(), guided }: Writing): readonly string[] {
  const said = (heading: string) => sections.get(heading)?.trim() ?? "";
  const headings = headingsOf(kind).filter((heading) => guided || said(heading) !== "");
  return [
    ...(said("") === "" ? [] : ["", said("")]),
    ...headings.flatMap((heading) => ["", `## ${heading}`, ...(said(heading) === "" ? [] : ["", said(heading)])]),
  ];
}
