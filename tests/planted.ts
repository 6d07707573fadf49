import { VFile } from "vfile";
import { parse as readYaml, stringify } from "yaml";
import type { z } from "zod";
import type { Reader } from "../generator/records/fields.ts";
import { type Kind, kinds } from "../generator/records/index.ts";
import { unwrap } from "../generator/records/walk.ts";

/** A book with a canary in every private place of every record, and the canaries with where they sit. */
export interface Planted {
  readonly files: readonly VFile[];
  readonly canaries: readonly { readonly word: string; readonly record: string; readonly field: string }[];
}

/**
 * Puts a word of its own into every field of a sound book that customers may not read and that takes words, and adds a
 * field and a heading that no schema knows. The book stays sound, so that it can be printed and the print searched.
 */
export function plant(files: readonly VFile[]): Planted {
  const canaries: { word: string; record: string; field: string }[] = [];
  const planted = files.map((file) => {
    if (file.path === "book.md") return file;
    const kind = file.path.split("/")[0] as Kind;
    if (file.path.endsWith(".csv")) {
      const word = `canary${canaries.length}qz`;
      const planted = String(file).replace(/,(died|excluded),.*$/m, `,$1,${word}`);
      if (planted.includes(word)) canaries.push({ word, record: file.path, field: "reason" });
      return new VFile({ path: file.path, value: planted });
    }
    const [, yaml = "", body = ""] = /^---\n([\s\S]*?)\n---\n([\s\S]*)$/.exec(String(file)) ?? [];
    const fields = readYaml(yaml) as Record<string, unknown>;
    const canary = (field: string): string => {
      const word = `canary${canaries.length}qz`;
      canaries.push({ word, record: file.path, field });
      return word;
    };
    // A published citation may stand behind any figure that customers see.
    const open = fields.audience === "everyone" || kind === "sources";
    fill(kinds[kind], fields, [], open ? "staff" : "nobody", !open, canary);
    fields.markup = canary("markup");
    const heading = canary("a heading");
    const text = `${body.trimEnd()}\n\n## Known to ${heading} only\n\nThis ${canary("a body")} stays in the house.\n`;
    return new VFile({ path: file.path, value: `---\n${stringify(fields, { lineWidth: 0 })}---\n${text}` });
  });
  return { files: planted, canaries };
}

function fill(
  schema: z.ZodType,
  fields: Record<string, unknown>,
  path: readonly string[],
  above: Reader,
  closed: boolean,
  canary: (field: string) => string,
): void {
  const { shape } = unwrap(schema, fields).inner!.def as unknown as { shape?: Readonly<Record<string, z.ZodType>> };
  for (const [key, field] of Object.entries(shape ?? {})) {
    const value = fields[key];
    const { inner, meta } = unwrap(field, value);
    const reader = meta.reader ?? above;
    const type = (inner!.def as { type: string }).type;
    if (type === "object" && typeof value === "object" && value !== null) {
      fill(field, value as Record<string, unknown>, [...path, key], reader, closed, canary);
    } else if ((closed || reader !== "everyone") && takesWords(field) && !meta.refers && !fixed.has(key)) {
      const word = canary([...path, key].join("."));
      // The numbers of towers stand in their name.
      fields[key] = type === "array" ? [word] : key === "name" && value !== undefined ? `${value} ${word}` : word;
    }
  }
}

/** Fields whose words mean something to the checker: changing them would make the book unsound. */
const fixed = new Set(["code", "reference", "amount", "sources", "formula", "control", "figure", "repeats"]);

/** Whether a field takes any word, or a list of any words. */
function takesWords(schema: z.ZodType): boolean {
  return schema.safeParse("canary000qz").success || schema.safeParse(["canary000qz"]).success;
}
