import type { VFile } from "vfile";
import { parseDocument } from "yaml";
import type { z } from "zod";
import { type FieldMeta, slipOf, written } from "./fields.ts";
import { places, sayYamlFaults, splitFrontMatter } from "./front-matter.ts";
import { type Say, type Slip, sayAt } from "./messages.ts";
import { nearest } from "./nearest.ts";
import { leaves, schemaAt, unnamed, unwrap } from "./walk.ts";

/** Keys and list positions from the top of a record. */
export type Path = readonly (string | number)[];

/** A record read from a file: plain data with the file's own names and nesting. */
export interface Entry<Fields = Readonly<Record<string, unknown>>> {
  /** The file's name without its ending. */
  readonly id: string;
  readonly fields: Fields;
  /** The Markdown below the front matter. */
  readonly body: string;
  /** The front matter as it was written, before units are turned; blanks left out. */
  readonly raw: Readonly<Record<string, unknown>>;
  /** Says a problem at the line and column of a field of this file. */
  readonly say: Say;
  /** The file that it was read from; its messages are the checker's. */
  readonly file: VFile;
  /** Lines of the file above the first line of the body. */
  readonly bodyLine: number;
}

/**
 * Reads one file against its schema. Every problem becomes a message of the file, each at its line and column,
 * all in one pass. Gives the entry when nothing stops it, and undefined when an error does.
 */
export function parse<Schema extends z.ZodType>(file: VFile, schema: Schema): Entry<z.output<Schema>> | undefined {
  const split = splitFrontMatter(file);
  if (!split) return undefined;
  const { counter, ...options } = places();
  const document = parseDocument(split.yaml, options);
  const say = sayAt(file, document, counter);
  if (!sayYamlFaults(file, document, counter)) return undefined;
  const raw = withoutBlanks(document.toJS({ maxAliasCount: 0 }) ?? {}, [], say);
  if (typeof raw !== "object" || raw === null || Array.isArray(raw)) {
    say([], { rule: "type-wrong", written: written(raw), expected: "a mapping of fields" });
    return undefined;
  }
  const known = withoutUnnamed(schema, raw, say);
  sayUnusual(schema, known, say);
  const result = schema.safeParse(known);
  if (!result.success) for (const issue of result.error.issues) sayIssue(issue, schema, known, say);
  if (!result.success || file.messages.some(({ fatal }) => fatal === true)) return undefined;
  const id = file.stem ?? "";
  return { id, fields: result.data, body: split.body, raw: raw as Entry["raw"], say, file, bodyLine: split.bodyLine };
}

/** Blank is "not recorded": the key is told and left out, never read as nought. */
function withoutBlanks(value: unknown, path: Path, say: Say): unknown {
  if (Array.isArray(value)) {
    return value
      .filter((item, index) => {
        if (item === null)
          say([...path, index], {
            rule: "field-blank",
            written: "-",
            expected: "a value, or no such line",
            note: "Blank means not recorded.",
          });
        return item !== null;
      })
      .map((item, index) => withoutBlanks(item, [...path, index], say));
  }
  if (typeof value !== "object" || value === null) return value;
  const kept: Record<string, unknown> = {};
  for (const [key, item] of Object.entries(value)) {
    if (item === null)
      say([...path, key], {
        rule: "field-blank",
        written: `${key}:`,
        expected: "a value, or no such line",
        note: "Blank means not recorded. It is never read as nought.",
      });
    else kept[key] = withoutBlanks(item, [...path, key], say);
  }
  return kept;
}

/** Tells every field that no schema names, and gives the rest. A near miss is an error: a figure would be lost unseen. */
function withoutUnnamed(schema: z.ZodType, data: unknown, say: Say): unknown {
  const dropped = new Set<string>();
  for (const { path, known } of unnamed(schema, data)) {
    const key = String(path.at(-1));
    const near = nearest(key, known);
    dropped.add(JSON.stringify(path));
    if (near) say(path, { rule: "field-misspelt", written: key, expected: `\`${near}\`` });
    else
      say(path, {
        rule: "field-unknown",
        written: key,
        expected: `one of ${known.map((name) => `\`${name}\``).join(", ")}`,
        note: "It stays in the house: nothing reads it and no edition shows it.",
      });
  }
  return dropped.size === 0 ? data : without(data, [], dropped);
}

function without(value: unknown, path: Path, dropped: ReadonlySet<string>): unknown {
  if (Array.isArray(value)) return value.map((item, index) => without(item, [...path, index], dropped));
  if (typeof value !== "object" || value === null) return value;
  const kept = Object.entries(value).filter(([key]) => !dropped.has(JSON.stringify([...path, key])));
  return Object.fromEntries(kept.map(([key, item]) => [key, without(item, [...path, key], dropped)]));
}

/** Asks for a second look at figures that can be right but seldom are. */
function sayUnusual(schema: z.ZodType, data: unknown, say: Say): void {
  for (const { path, value, meta, schema: leaf } of leaves(schema, data)) {
    if (!meta.usual || !leaf) continue;
    const read = leaf.safeParse(value);
    if (!read.success) continue;
    const [low, high] = meta.usual;
    const ends =
      typeof read.data === "number" ? [read.data] : Object.values(read.data as Readonly<Record<string, number>>);
    if (ends.every((end) => end >= low && end <= high)) continue;
    say(path, {
      rule: "value-unusual",
      written: String(value),
      expected: `${low} to ${high}${unitText(meta)}`,
      note: "It may be right. Look once more at the figure and its unit.",
    });
  }
}

function sayIssue(issue: z.core.$ZodIssue, schema: z.ZodType, data: unknown, say: Say): void {
  const path = issue.path.filter((step) => typeof step !== "symbol") as Path;
  const value = path.reduce<unknown>(
    (inner, step) => (inner as Readonly<Record<string | number, unknown>> | undefined)?.[step],
    data,
  );
  if (value === undefined && issue.code !== "custom") say(path, missing(schema, path, data));
  else
    say(
      path,
      slipOf(issue.message) ??
        ofUnion(issue) ?? { rule: "type-wrong", written: written(value), expected: issue.message },
    );
}

/** A union of text and number, or of kinds, reports what its options said; the first of ours is the one to tell. */
function ofUnion(issue: z.core.$ZodIssue): Slip | undefined {
  if (issue.code !== "invalid_union") return undefined;
  for (const inner of issue.errors.flat()) {
    const slip = slipOf(inner.message);
    if (slip) return slip;
  }
  return undefined;
}

function missing(schema: z.ZodType, path: Path, data: unknown): Slip {
  const key = path.at(-1);
  const { meta } = unwrap(schemaAt(schema, path, data));
  return {
    rule: "field-missing",
    expected: `\`${String(key)}\`${meta.example ? `, such as \`${meta.example}\`` : ""}`,
    ...(meta.help ? { note: meta.help } : {}),
  };
}

function unitText({ unit }: FieldMeta): string {
  return unit && unit !== "pH" ? ` ${unit}` : "";
}
