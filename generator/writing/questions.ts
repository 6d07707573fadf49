import type { z } from "zod";
import { type FieldMeta, slipOf } from "../records/fields.ts";
import { type Kind, kinds, type Path } from "../records/index.ts";
import { choiceOf, isOptional, partsOf, unwrap, wordOf } from "../records/walk.ts";
import { isGroup, type Tree } from "./tree.ts";

/** One field of a record, as a person is asked for it. */
export interface Question {
  readonly path: readonly string[];
  readonly label: string;
  /** Whether the record cannot do without it. */
  readonly required: boolean;
  /** Whether several may be given. */
  readonly many: boolean;
  readonly meta: FieldMeta;
  /** What an answer looks like. */
  readonly example: string | undefined;
}

/**
 * What a record of a kind must still be asked for, in the order of the schema: the fields that it cannot do without, those
 * among them that a part of it calls for once that part is begun, the parts of a mapping that must be there but of which
 * none must, and whatever `also` names. Which fields those are depends on what `tree` says already.
 */
export function questionsFor(kind: Kind, tree: Tree, also: readonly string[] = []): readonly Question[] {
  const schema: z.ZodType = kinds[kind];
  const choice = choiceOf(schema);
  if (choice && tree[choice.discriminator] === undefined) {
    const words = choice.options.map((option) => wordOf(option, choice.discriminator));
    const meta: FieldMeta = { form: "word", words };
    return [{ path: [choice.discriminator], label: "Kind", required: true, many: false, meta, example: words[0] }];
  }
  const asked = (path: Path) => also.some((name) => isAround(name, path) || isAround(path.join("."), name.split(".")));
  return [...walk(schema, tree, { path: [], labels: [], required: true, asked })];
}

/** A single field as a question; its labels are those of the mappings around it. */
export function questionAt(kind: Kind, path: readonly string[], tree: Tree): Question | undefined {
  return questionsFor(kind, tree, [path.join(".")]).find((question) => question.path.join(".") === path.join("."));
}

/** What a value of a field looks like: what its schema says of it, or the example of the sentence that refuses a blank. */
export function exampleOf(schema: z.ZodType | undefined, { example, like }: FieldMeta): string | undefined {
  if (example !== undefined || like !== undefined) return example?.replace(/^\w+:\s*/, "") ?? like;
  const refused = schema?.safeParse("").error?.issues.map(({ message }) => slipOf(message)?.expected ?? "") ?? [];
  return refused.map((expected) => /`([^`]+)`/.exec(expected)?.[1]).find((found) => found !== undefined);
}

interface Place {
  readonly path: readonly string[];
  readonly labels: readonly string[];
  readonly required: boolean;
  readonly asked: (path: Path) => boolean;
}

function* walk(schema: z.ZodType, value: unknown, place: Place): Generator<Question> {
  const { inner, meta } = unwrap(schema, value);
  if (!inner) return;
  const { shape, value: common, element } = partsOf(inner);
  const { path, labels, required } = place;
  const inside = path.length > 0 && meta.label ? [...labels, meta.label] : labels;
  if (shape) {
    // Where something must stand but nothing in particular, the first field of each part is offered.
    const open = path.length > 0 && required && Object.values(shape).every(isOptional);
    for (const [name, field] of Object.entries(shape))
      yield* below(field, (value as Tree | undefined)?.[name], {
        ...place,
        path: [...path, name],
        labels: inside,
        offered: open,
      });
  } else if (!common && !(element && isGroup(element)) && wordOfLiteral(inner) === undefined) {
    const item = element ? unwrap(element) : { inner, meta: {} };
    const all = { ...item.meta, ...meta };
    yield {
      path,
      label: told([...labels, meta.label ?? path.at(-1) ?? ""]),
      required,
      many: element !== undefined,
      meta: all,
      example: exampleOf(item.inner, all),
    };
  }
}

function* below(
  field: z.ZodType,
  value: unknown,
  place: Omit<Place, "required"> & { readonly offered: boolean },
): Generator<Question> {
  if (place.path.length === 1 && place.path[0] === "sources") return;
  const required = !isOptional(field);
  if (required || value !== undefined || place.asked(place.path)) {
    yield* walk(field, value, { ...place, required });
    return;
  }
  if (!place.offered) return;
  const [first] = [...walk(field, value, { ...place, required: false, asked: () => true })];
  if (first) yield { ...first, required: false };
}

/** Whether the field `name` is the field at `path`, or a mapping around it. */
function isAround(name: string, path: Path): boolean {
  const whole = path.join(".");
  return whole === name || whole.startsWith(`${name}.`);
}

function told(labels: readonly string[]): string {
  return labels
    .map((label, index) =>
      index === 0 || !/^[A-Z][a-z]{2}/.test(label) ? label : label[0]!.toLowerCase() + label.slice(1),
    )
    .join(", ");
}

function wordOfLiteral(schema: z.ZodType): unknown {
  const { type, values } = schema.def as unknown as { readonly type: string; readonly values?: readonly unknown[] };
  return type === "literal" ? values?.[0] : undefined;
}
