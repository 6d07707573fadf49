import { z } from "zod";
import { type Slip, ticked } from "./messages.ts";
import { nearest } from "./nearest.ts";
import type { FigureUnit } from "./quantity.ts";

/** Who may read a field. What is not said is `staff`; `nobody` never leaves the records in any edition. */
export type Reader = "everyone" | "staff" | "nobody";

/** How a value is written in a file. */
export type Form = "text" | "word" | "flag" | "date" | "months" | "count" | "amount" | "span" | "measured" | "scope";

/** What the authors' reference, the page labels and the privacy scan know of a field. */
export interface FieldMeta {
  readonly label?: string;
  readonly help?: string;
  /** A whole line, as one would write it. */
  readonly example?: string;
  /** A likely value. */
  readonly like?: string;
  readonly reader?: Reader;
  readonly form?: Form;
  /** True for a figure of the trade, which must have a source. */
  readonly figure?: true;
  readonly unit?: FigureUnit;
  /** Outside it the checker asks for a second look. */
  readonly usual?: readonly [low: number, high: number];
  /** Outside it the figure is refused. */
  readonly within?: readonly [low: number, high: number];
  /** The words that will do. */
  readonly words?: readonly string[];
  /** What a text must look like, as a regular expression. */
  readonly pattern?: string;
  /** The kind of record that the value names. */
  readonly refers?: string;
  /** Of gear, the kind that is wanted. */
  readonly refersTo?: string;
  /** What must hold between the fields of a mapping. */
  readonly sense?: Sense;
}

/** Says a slip about a field below the mapping under check. */
export type Complain = (path: readonly (string | number)[], slip: Slip) => void;

/** A mapping as it was written, to tell what is not there from what could not be read. */
export type Written = Readonly<Record<string, unknown>>;

/** A rule between the fields of a mapping. It sees those that could be read, in the order of the file. */
export type Sense = (fields: never, complain: Complain, written: Written) => void;

/** What could be read of a record: any field may be absent. */
export type Readable<Value> = Value extends string | number
  ? Value
  : Value extends readonly (infer Item)[]
    ? readonly (Readable<Item> | undefined)[]
    : Value extends { readonly low: number; readonly high: number }
      ? Value
      : Value extends object
        ? { readonly [Key in keyof Value]?: Readable<Value[Key]> | undefined }
        : Value;

/** Adds a rule between fields. It runs on what could be read, so that one slip never hides another. */
export function sensible<Schema extends z.ZodType>(
  schema: Schema,
  sense: (fields: Readable<z.output<Schema>>, complain: Complain, written: Written) => void,
): Schema {
  return schema.meta({ ...schema.meta(), sense: sense as Sense });
}

export function text() {
  return z
    .string({ error: ({ input }) => asMessage({ rule: "type-wrong", written: written(input), expected: "text" }) })
    .trim()
    .meta({ form: "text" } satisfies FieldMeta);
}

/** A text of one shape only, such as a code. */
export function shaped(pattern: RegExp, expected: string, note?: string) {
  return text()
    .regex(pattern, {
      error: ({ input }) =>
        asMessage({ rule: "text-form", written: written(input), expected, ...(note ? { note } : {}) }),
    })
    .meta({ form: "text", pattern: pattern.source } satisfies FieldMeta);
}

/** `yes` or `no`; `true` and `false` do as well. */
export function flag() {
  return z
    .union([z.boolean(), z.enum(["yes", "no", "true", "false"])], {
      error: ({ input }) => asMessage({ rule: "word-unknown", written: written(input), expected: "`yes` or `no`" }),
    })
    .transform((value) => value === true || value === "yes" || value === "true")
    .meta({ form: "flag", like: "yes" } satisfies FieldMeta);
}

/** One of a few words; a near miss is named. */
export function word<const Words extends readonly [string, ...string[]]>(words: Words) {
  return z
    .enum(words, { error: ({ input }) => asMessage(unknownWord(input, words)) })
    .meta({ form: "word", words, like: words[0] } satisfies FieldMeta);
}

/** One of a few words as the key of a {@link mapping}, which need not have them all. */
export function keyWord<const Words extends readonly [string, ...string[]]>(words: Words, rule: Slip["rule"]) {
  return z
    .string()
    .transform((key, context): Words[number] =>
      words.includes(key) ? key : refuse(context, { ...unknownWord(key, words), rule }),
    )
    .meta({ words } satisfies FieldMeta);
}

/** A key of the writer's own, of one shape only. */
export function keyShaped(pattern: RegExp, expected: string) {
  return z
    .string()
    .transform((key, context): string =>
      pattern.test(key) ? key : refuse(context, { rule: "text-form", written: key, expected }),
    )
    .meta({ pattern: pattern.source } satisfies FieldMeta);
}

/** The file name of another record, without its ending; of gear, the kind of it can be said. */
export function reference(kind: string, of?: string) {
  return text().meta({ form: "text", refers: kind, ...(of ? { refersTo: of } : {}) } satisfies FieldMeta);
}

export function list<Item extends z.ZodType>(item: Item) {
  return z.array(item, {
    error: ({ input }) =>
      asMessage({ rule: "type-wrong", written: written(input), expected: "a list, such as `[leaf, flower]`" }),
  });
}

/** A mapping whose keys the writer chooses. */
export function mapping<Key extends z.core.$ZodRecordKey, Value extends z.ZodType>(key: Key, value: Value) {
  return z.record(key, value, {
    error: ({ input }) =>
      asMessage({ rule: "type-wrong", written: written(input), expected: "names and values, each on its own line" }),
  });
}

/** A mapping with these fields and no others. */
export function group<Shape extends z.core.$ZodLooseShape>(shape: Shape) {
  return z.strictObject(shape, {
    error: (issue) =>
      issue.code === "invalid_type"
        ? asMessage({
            rule: "type-wrong",
            written: written(issue.input),
            expected: `fields below it, such as ${ticked(Object.keys(shape).slice(0, 3))}`,
          })
        : undefined,
  });
}

/** Marks a field as one that customers may read. */
export function everyone<Schema extends z.ZodType>(schema: Schema): Schema {
  return schema.meta({ ...schema.meta(), reader: "everyone" });
}

/** Marks a field that never leaves the records: prices, suppliers, people. */
export function nobody<Schema extends z.ZodType>(schema: Schema): Schema {
  return schema.meta({ ...schema.meta(), reader: "nobody" });
}

/** A slip, as a zod message; {@link slipOf} reads it back. */
export function asMessage(slip: Slip): string {
  return `slip ${JSON.stringify(slip)}`;
}

/** The slip inside a zod message, or undefined when the message is zod's own. */
export function slipOf(message: string | undefined): Slip | undefined {
  return message?.startsWith("slip {") ? (JSON.parse(message.slice("slip ".length)) as Slip) : undefined;
}

/** Stops a transform with a slip. */
export function refuse(context: z.RefinementCtx, slip: Slip): never {
  context.addIssue({ code: "custom", message: asMessage(slip) });
  return z.NEVER;
}

/** A value of a file, as text for a sentence. */
export function written(value: unknown): string {
  if (Array.isArray(value)) return "[…]";
  return typeof value === "object" && value !== null ? "{…}" : String(value);
}

function unknownWord(input: unknown, words: readonly string[]): Slip {
  const near = typeof input === "string" ? nearest(input, words) : undefined;
  return {
    rule: "word-unknown",
    written: written(input),
    expected: ticked(words),
    ...(near ? { note: `Did you mean \`${near}\`?` } : {}),
  };
}
