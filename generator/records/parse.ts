import type { VFile } from "vfile";
import type { z } from "zod";
import { type FieldMeta, type Readable, slipOf, written } from "./fields.ts";
import { readFrontMatter, splitFrontMatter } from "./front-matter.ts";
import { type Slip, ticked } from "./messages.ts";
import { nearest } from "./nearest.ts";
import { type Say, sayAt } from "./places.ts";
import { type Path, readable } from "./readable.ts";
import { choiceOf, schemaAt, unnamed, unwrap, wordOf } from "./walk.ts";

/** A record read from a file: plain data with the file's own names and nesting. */
export interface Entry<Fields = Readonly<Record<string, unknown>>> {
  /** The file's name without its ending. */
  readonly id: string;
  readonly fields: Fields;
  /** The Markdown below the front matter. */
  readonly body: string;
  /** The front matter as it was written, all of it text, before units are turned; blanks left out. */
  readonly raw: Readonly<Record<string, unknown>>;
  /** Says a problem at the line and column of a field of this file. */
  readonly say: Say;
  /** The file that it was read from; its messages are the checker's. */
  readonly file: VFile;
  /** Lines of the file above the first line of the body. */
  readonly bodyLine: number;
}

/** A record as far as it can be read, for the rules between records; `whole` when nothing stops it. */
export interface Reading<Fields> extends Entry<Readable<Fields>> {
  readonly schema: z.ZodType;
  readonly whole: Entry<Fields> | undefined;
}

/**
 * Reads one file against its schema. Every problem becomes a message of the file, each at its line and column,
 * all in one pass. Gives the entry when nothing stops it, and undefined when an error does.
 */
export function parse<Schema extends z.ZodType>(file: VFile, schema: Schema): Entry<z.output<Schema>> | undefined {
  return read(file, schema)?.whole;
}

/** Puts what stands in a file beside a record into its front matter, and says what is wrong there in that file. */
export type Join = (raw: Entry["raw"], say: Say) => Pick<Entry, "raw" | "say">;

/**
 * The same, and gives what can be read when an error stops the rest; undefined when there are no fields at all. What
 * `join` puts in is checked as if it had been written in the record.
 */
export function read<Schema extends z.ZodType>(
  file: VFile,
  schema: Schema,
  join: Join = (raw, say) => ({ raw, say }),
): Reading<z.output<Schema>> | undefined {
  const split = splitFrontMatter(file);
  const front = split && readFrontMatter(file, split);
  if (!front) return undefined;
  const blanks: Path[] = [];
  const { raw, say } = join(
    (withoutBlanks(front.data, [], blanks) ?? {}) as Entry["raw"],
    sayAt(file, front.spots, front.pointAt),
  );
  const { kind, data } = settled(schema, raw, say);
  const told = new Set<string>();
  const known = withoutUnnamed(kind, data, say, told);
  const result = kind.safeParse(known);
  if (result.error) sayIssues(result.error.issues, kind, known, say, told);
  sayBlanks(blanks, told, say);
  const fields = readable(kind, known, {
    leaf: (path, value, text, meta) => sayUnusual(path, value, text, meta, say),
    group: (path, values, text, { sense }) =>
      sense?.(values as never, (below, slip) => say([...path, ...below], slip), text),
    list: (path, items, item) => sayRepeats(path, items, item, say),
  });
  const entry = { id: file.stem ?? "", body: split.body, raw, say, file, bodyLine: split.bodyLine };
  const stopped = !result.success || file.messages.some(({ fatal }) => fatal === true);
  return {
    ...entry,
    schema,
    fields: fields as Readable<z.output<Schema>>,
    whole: stopped ? undefined : { ...entry, fields: result.data as z.output<Schema> },
  };
}

/** Blank is "not recorded": it is left out, never read as nought. */
function withoutBlanks(value: unknown, path: Path, blanks: Path[]): unknown {
  if (Array.isArray(value)) return value.map((item, index) => withoutBlanks(item, [...path, index], blanks));
  if (typeof value !== "object" || value === null) return value;
  const kept = Object.entries(value).flatMap(([key, item]) => {
    if (item !== null) return [[key, withoutBlanks(item, [...path, key], blanks)] as const];
    blanks.push([...path, key]);
    return [];
  });
  return Object.fromEntries(kept);
}

/** A blank that a record cannot do without was told as missing. */
function sayBlanks(blanks: readonly Path[], told: ReadonlySet<string>, say: Say): void {
  for (const path of blanks) {
    if (told.has(JSON.stringify(path))) continue;
    say(path, {
      rule: "field-blank",
      written: `${path.at(-1)}:`,
      expected: "a value, or no such line",
      note: "Blank means not recorded. It is never read as nought.",
      on: "key",
    });
  }
}

/** Of a choice of kinds, the one that is meant, so that the rest is checked even when the word is not right. */
function settled(
  schema: z.ZodType,
  data: Entry["raw"],
  say: Say,
): { readonly kind: z.ZodType; readonly data: Entry["raw"] } {
  const choice = choiceOf(schema);
  const kind = choice && unwrap(schema, data).inner;
  if (!kind) return { kind: schema, data };
  const { discriminator, options } = choice;
  const meant = wordOf(kind, discriminator);
  const found = data[discriminator];
  if (found === meant) return { kind, data };
  const words = options.map((option) => wordOf(option, discriminator));
  const near = typeof found === "string" && nearest(found, words) === meant;
  say([discriminator], {
    ...(found === undefined ? {} : { written: written(found) }),
    rule: found === undefined ? "field-missing" : "word-unknown",
    expected: found === undefined ? `\`${discriminator}\`, which is ${ticked(words)}` : ticked(words),
    note: near
      ? `Did you mean \`${meant}\`?`
      : `By its fields it looks like ${/^[aeiou]/.test(meant) ? "an" : "a"} ${meant}, and is checked as one.`,
  });
  return { kind, data: { ...data, [discriminator]: meant } };
}

/**
 * Tells every field that no schema names, and gives the rest. A near miss is an error: a figure would be lost unseen.
 * What it was meant to be counts as told, so that it is not missed as well.
 */
function withoutUnnamed(schema: z.ZodType, data: unknown, say: Say, told: Set<string>): unknown {
  const dropped = new Set<string>();
  for (const { path, known } of unnamed(schema, data)) {
    const key = String(path.at(-1));
    const near = nearest(key, known);
    dropped.add(JSON.stringify(path));
    if (near) told.add(JSON.stringify([...path.slice(0, -1), near]));
    if (near)
      say(path, {
        rule: "field-misspelt",
        written: key,
        expected: `\`${near}\``,
        note: "As it stands, nothing reads this line.",
        on: "key",
      });
    else
      say(path, {
        rule: "field-unknown",
        written: key,
        expected: path.length > 1 ? `a field of \`${path.slice(0, -1).join(".")}\`` : "a field of this kind of record",
        note: `Nothing reads it and no edition shows it. ${known.length > 12 ? "" : `Known here: ${ticked(known, "and")}.`}`.trim(),
        on: "key",
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

/** Asks for a second look at a figure that can be right but seldom is. */
function sayUnusual(path: Path, read: unknown, text: unknown, { usual, unit }: FieldMeta, say: Say): void {
  if (!usual) return;
  const ends = typeof read === "number" ? [read] : Object.values(read as Readonly<Record<string, number>>);
  if (ends.every((end) => end >= usual[0] && end <= usual[1])) return;
  say(path, {
    rule: "value-unusual",
    written: String(text),
    expected: `${usual[0]} to ${usual[1]}${unit && unit !== "pH" ? ` ${unit}` : ""}`,
    note: "It may be right. Look once more at the figure and its unit.",
  });
}

function sayRepeats(path: Path, items: readonly unknown[], item: FieldMeta, say: Say): void {
  if (item.form !== "text" && item.form !== "word") return;
  const seen = new Set<string>();
  for (const [index, value] of items.entries()) {
    if (typeof value !== "string") continue;
    const name = value.trim().toLowerCase();
    if (seen.has(name))
      say([...path, index], {
        rule: "list-repeats",
        written: value,
        expected: "each once",
        note: "Take it out, or write what was meant.",
      });
    seen.add(name);
  }
}

/** Tells what zod found, but for what is told already; notes the paths of what is missing. */
function sayIssues(
  issues: readonly z.core.$ZodIssue[],
  schema: z.ZodType,
  data: unknown,
  say: Say,
  told: Set<string>,
): void {
  for (const issue of issues) {
    const path = issue.path.filter((step) => typeof step !== "symbol") as Path;
    const value = path.reduce<unknown>(
      (inner, step) => (inner as Readonly<Record<string | number, unknown>> | undefined)?.[step],
      data,
    );
    if (value === undefined) {
      if (!told.has(JSON.stringify(path))) say(path, missing(schema, path, data));
      told.add(JSON.stringify(path));
    } else if (issue.code === "invalid_key") {
      say(path, { ...slipIn(issue.issues, String(path.at(-1))), on: "key" });
    } else {
      say(path, slipIn([issue], written(value)));
    }
  }
}

/** The slip that a field gave, the first of its choices where it has several. */
function slipIn(issues: readonly z.core.$ZodIssue[], value: string): Slip {
  const all = issues.flatMap((issue) => (issue.code === "invalid_union" ? [issue, ...issue.errors.flat()] : [issue]));
  const slip = all.map(({ message }) => slipOf(message)).find((found) => found !== undefined);
  return slip ?? { rule: "type-wrong", written: value, expected: all.at(-1)?.message ?? "another value" };
}

function missing(schema: z.ZodType, path: Path, data: unknown): Slip {
  const { meta } = unwrap(schemaAt(schema, path, data));
  const key = String(path.at(-1));
  const label = meta.label && /^.[A-Z]/.test(meta.label) ? meta.label : meta.label?.toLowerCase();
  const like = meta.example ?? (meta.like === undefined ? undefined : `${key}: ${meta.like}`);
  return {
    rule: "field-missing",
    expected: `\`${key}\`${label && label !== key ? ` (${label})` : ""}${like ? `, such as \`${like}\`` : ""}`,
    ...(meta.help ? { note: meta.help } : {}),
  };
}

export type { Path };
