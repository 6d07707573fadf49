import type { z } from "zod";
import { describeKind } from "../records/describe.ts";
import type { FieldMeta } from "../records/fields.ts";
import { type Kind, kinds, type Path } from "../records/index.ts";
import { nearest } from "../records/nearest.ts";
import { partsOf, unwrap } from "../records/walk.ts";
import type { Value } from "../revise.ts";

/** What a record is to say, by the names of its fields: text, lists and mappings, as a file would have them. */
export type Tree = { readonly [name: string]: Value };

/** A field that can hold one value, or a list of them. */
export interface Found {
  readonly path: Path;
  readonly meta: FieldMeta;
  /** Whether it is a list, so that several may be given. */
  readonly many: boolean;
}

/** A field by its dotted path, or what would do instead as the end of a sentence. */
export function fieldNamed(kind: Kind, dotted: string, tree: Tree = {}): Found | { readonly expected: string } {
  const steps = dotted.split(".");
  if (steps[0] === "sources") return { expected: "--source NAME" };
  const path: (string | number)[] = [];
  let schema: z.ZodType = kinds[kind];
  let value: unknown = tree;
  while (true) {
    const { inner } = unwrap(schema, value);
    const { shape, value: common, element } = inner ? partsOf(inner) : {};
    const grouped = element !== undefined && isGroup(element);
    if (!shape && !common && !grouped)
      return steps.length === 0 ? leaf(path, schema, element) : { expected: path.join(".") };
    if (steps.length === 0) return { expected: parts(shape, dotted) };
    const step = steps.shift()!;
    const next = shape ? (Object.hasOwn(shape, step) ? shape[step] : undefined) : (common ?? element);
    if (next === undefined || step === "" || (grouped && !/^\d{1,3}$/.test(step))) return unknown(kind, dotted);
    // A note's name is the path of a figure: whatever follows is one name, points and all.
    const name = common && !isGroup(common) ? [step, ...steps.splice(0)].join(".") : step;
    path.push(grouped ? Number(name) : name);
    value = (value as Readonly<Record<string, unknown>> | undefined)?.[name];
    schema = next;
  }
}

/** Every field of a kind that holds a value or a list of values, by its dotted path; those with names of the writer's own are not among them. */
export function fieldPaths(kind: Kind): readonly string[] {
  const all = describeKind(kind).map(({ path }) => path.replace(/\[\]$/, ""));
  return [...new Set(all)].filter((path) => !/[<[]/.test(path));
}

/** The tree with a value at a path; what stands around it stays. */
export function withValue(tree: Tree, path: Path, value: Value): Tree {
  return put(tree, path, value) as Tree;
}

/** The tree without what it says at a path, and without mappings that are empty then. */
export function withoutValue(tree: Tree, [step, ...rest]: Path): Tree {
  if (typeof step !== "string" || tree[step] === undefined) return tree;
  const { [step]: inner, ...others } = tree;
  if (rest.length === 0 || typeof inner !== "object" || Array.isArray(inner)) return others;
  const left = withoutValue(inner as Tree, rest);
  return Object.keys(left).length === 0 ? others : { ...tree, [step]: left };
}

/** What a tree says at a path, or undefined. */
export function valueIn(tree: Tree, path: Path): Value | undefined {
  return path.reduce<unknown>(
    (inner, step) => (inner as Readonly<Record<string | number, unknown>> | undefined)?.[step],
    tree,
  ) as Value | undefined;
}

/**
 * A typed text as the items of a list: parted at semicolons, bars and line ends where there are any, else at commas.
 * So `African violet, which is no violet; monkshood` is two.
 */
export function items(text: string): readonly string[] {
  const parted = /[;|\r\n]/.test(text) ? text.split(/[;|\r\n]+/) : text.split(",");
  return parted.map((item) => item.trim()).filter((item) => item !== "");
}

/** Whether a schema has fields or items below it, so that it is not one value and no list of values. */
export function isGroup(schema: z.ZodType): boolean {
  const { shape, value, element } = partsOf(unwrap(schema).inner ?? schema);
  return shape !== undefined || value !== undefined || (element !== undefined && isGroup(element));
}

function put(around: Value | undefined, [step, ...rest]: Path, value: Value): Value {
  if (step === undefined) return value;
  if (typeof step === "number") {
    const list = Array.isArray(around) ? [...(around as readonly Value[])] : [];
    // A list has no gaps: what is set past its end becomes its next item.
    const place = Math.min(step, list.length);
    list[place] = put(list[place], rest, value);
    return list;
  }
  const fields = typeof around === "object" && !Array.isArray(around) ? (around as Tree) : {};
  return { ...fields, [step]: put(fields[step], rest, value) };
}

function leaf(path: Path, schema: z.ZodType, element: z.ZodType | undefined): Found {
  const { meta } = unwrap(schema);
  return { path, meta: element ? { ...unwrap(element).meta, ...meta } : meta, many: element !== undefined };
}

function unknown(kind: Kind, dotted: string): { readonly expected: string } {
  const near = nearest(dotted, fieldPaths(kind));
  return { expected: near === undefined ? `a field of ${kind}` : near };
}

function parts(shape: Readonly<Record<string, z.ZodType>> | undefined, dotted: string): string {
  const names = shape ? Object.keys(shape).map((name) => `${dotted}.${name}`) : [`${dotted}.NAME`];
  return `one of its parts: ${names.join(", ")}`;
}
