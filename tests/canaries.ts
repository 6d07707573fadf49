import { VFile } from "vfile";
import { stringify } from "yaml";
import type { z } from "zod";
import type { FieldMeta } from "../generator/records/fields.ts";
import { Book, type Kind, kinds, parse } from "../generator/records/index.ts";
import { unwrap } from "../generator/records/walk.ts";

/**
 * A record of each kind with every field filled from its own schema: words where words may stand, each a canary of its
 * own that says which field it is in, and the plainest value that will do elsewhere. So a field added tomorrow is
 * watched from tomorrow on.
 */
export function canaryFiles(audience: "everyone" | "staff"): readonly VFile[] {
  const files = (Object.keys(kinds) as Kind[]).flatMap((kind) =>
    variants(kinds[kind]).map(([suffix, schema]) => {
      const id = `canary${kind}${suffix}`;
      const fields = fill(schema, `${kind}${suffix}`) as Record<string, unknown>;
      if ("audience" in fields) fields.audience = audience;
      // An element stands on a bag in one form only, and a total of nitrogen is the sum of its parts.
      if (kind === "salts") fields.analysis = { nNitrate: "7.31 %", K: "19.37 %" };
      if (kind === "trials") oneTreatment(fields);
      fields[`canaryunknown${kind}${suffix}`] = `canaryunknownvalue${kind}${suffix}`;
      const yaml = stringify(fields);
      return file(
        `${kind}/${id}.md`,
        `---\n${yaml}---\nA canaryopening${kind}${suffix} line.\n\n## Canaryheading${kind}${suffix}\n\nA canarybody${kind}${suffix} line.\n`,
      );
    }),
  );
  return [file("book.md", `---\n${stringify(fill(Book, "book"))}---\n`), ...files];
}

/** Values stand in the record or beside it, and whatever names a treatment must name one that was measured. */
function oneTreatment(fields: Record<string, unknown>): void {
  delete fields.data;
  const [treatment] = Object.values(fields.blocks as Record<string, object>).flatMap((block) => Object.keys(block));
  fields.control = treatment;
  for (const ports of Object.values(fields.places as Record<string, Record<string, unknown>>))
    for (const port of Object.keys(ports)) ports[port] = treatment;
  for (const list of ["deaths", "excluded"])
    for (const plant of fields[list] as Record<string, unknown>[]) plant.treatment = treatment;
}

/** Whether a file parses, and what stands in the way if it does not. */
export function faults(given: VFile): readonly string[] {
  const kind = given.path.split("/")[0] as Kind;
  const copy = new VFile({ path: given.path, value: String(given) });
  parse(copy, given.path === "book.md" ? Book : kinds[kind]);
  return copy.messages.filter(({ fatal }) => fatal === true).map(String);
}

function file(path: string, value: string): VFile {
  return new VFile({ path, value });
}

/** A choice of kinds gives one record for each. */
function variants(schema: z.ZodType): readonly (readonly [string, z.ZodType])[] {
  const { type, options } = schema.def as unknown as { type: string; options?: readonly z.ZodType[] };
  return type === "union" && options
    ? options.map((option, index) => [String(index), option] as const)
    : [["", schema]];
}

function fill(schema: z.ZodType, name: string): unknown {
  const { inner, meta } = unwrap(schema);
  const { type, shape, element, keyType, valueType } = inner!.def as unknown as {
    type: string;
    shape?: Readonly<Record<string, z.ZodType>>;
    element?: z.ZodType;
    keyType?: z.ZodType;
    valueType?: z.ZodType;
  };
  if (shape)
    return Object.fromEntries(Object.entries(shape).map(([key, field]) => [key, fill(field, `${name}${key}`)]));
  if (element) return [fill(element, name)];
  if (type === "record" && keyType && valueType) {
    if (name.endsWith("sources")) return { demo: "*" };
    return { [String(plainest(keyType, `${name}key`, {}))]: fill(valueType, `${name}value`) };
  }
  return plainest(schema, name, meta);
}

/** A canary where words may stand; otherwise the first plain value that the field takes. */
function plainest(schema: z.ZodType, name: string, meta: FieldMeta): unknown {
  if (meta.refers) return `canary${meta.refers}`;
  const canary = `canary${name.toLowerCase().replace(/[^a-z0-9]/g, "")}`;
  const figures = [1, 1.5, 6, 15, 50, 1.05].flatMap((value) => [
    meta.unit && meta.unit !== "pH" ? `${value} ${meta.unit}` : value,
  ]);
  const plain = [
    canary,
    ...figures,
    "2027-01-04",
    "Mar–May",
    "CAN01",
    "CAN",
    "yes",
    2020,
    3,
    "tray",
    "everyone",
    "20",
    "1S",
    "canary.csv",
  ];
  const { values, entries } = unwrap(schema).inner!.def as unknown as {
    values?: readonly unknown[];
    entries?: Readonly<Record<string, unknown>>;
  };
  const choices = [...(values ?? []), ...Object.values(entries ?? {})];
  const found = [...choices, ...plain].find((value) => schema.safeParse(value).success);
  if (found === undefined) throw new Error(`No plain value is known for ${name}; teach tests/canaries.ts one`);
  return found;
}
