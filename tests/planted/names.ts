import type { VFile } from "vfile";
import { parse as readYaml } from "yaml";
import type { z } from "zod";
import type { Kind } from "../../generator/records/index.ts";
import { leaves } from "../../generator/records/walk.ts";
import type { Plant } from "../planted.ts";

/** New ids of records by `kind/id`, and those of the tables beside trials by `trials/name.csv`. */
export type Names = ReadonlyMap<string, string>;

/** A canary as the name of every record that customers must not know of. */
export function secretNames(files: readonly VFile[], planting: (record: string) => Plant): Names {
  const names = new Map<string, string>();
  for (const file of files) {
    const [kind = "", name = ""] = file.path.split("/");
    if (file.path === "book.md" || isOpen(kind, file)) continue;
    const canary = planting(file.path)("the name of a record", "its name");
    if (name.endsWith(".csv")) names.set(file.path, `${canary}.csv`);
    else names.set(file.path.replace(/\.md$/, ""), canary);
  }
  return names;
}

function isOpen(kind: string, file: VFile): boolean {
  if (file.path.endsWith(".csv")) return false;
  const [, yaml = ""] = /^---\n([\s\S]*?)\n---\n/.exec(String(file)) ?? [];
  const fields = readYaml(yaml) as Readonly<Record<string, unknown>>;
  return fields.audience === "everyone" || (kind === "sources" && fields.kind === "published");
}

/** The new names put in place of the old ones, wherever a record can speak of another. */
export const renamed = {
  path(path: string, names: Names): string {
    const [kind = "", file = ""] = path.split("/");
    const table = names.get(path);
    if (table !== undefined) return `${kind}/${table}`;
    const id = names.get(path.replace(/\.md$/, ""));
    return id === undefined ? path : `${kind}/${id}${file.slice(file.lastIndexOf("."))}`;
  },

  /** Changes the fields in place: references, sources by their keys, what a figure is `from`, the table of a trial. */
  fields(schema: z.ZodType, fields: Record<string, unknown>, names: Names): void {
    for (const { path, value, meta } of leaves(schema, fields)) {
      const key = path.at(-1);
      const kindsMeant: readonly (Kind | "sources")[] = meta.refers
        ? [meta.refers as Kind]
        : key === "from"
          ? ["trials", "sources"]
          : [];
      const id = kindsMeant.map((kind) => names.get(`${kind}/${value}`)).find((name) => name !== undefined);
      if (id !== undefined) put(fields, path, id);
    }
    if (typeof fields.data === "string") fields.data = names.get(`trials/${fields.data}`) ?? fields.data;
    if (typeof fields.sources === "object" && fields.sources !== null)
      fields.sources = Object.fromEntries(
        Object.entries(fields.sources).map(([name, covered]) => [
          names.get(`trials/${name}`) ?? names.get(`sources/${name}`) ?? name,
          covered,
        ]),
      );
  },

  /** Links such as `[mixing](guides/mixing-stock)`. */
  prose(text: string, names: Names): string {
    return text.replace(
      /(\]\(\.{0,2}\/?)([a-z]+)\/([a-z0-9-]+)/g,
      (whole, before: string, kind: string, id: string) => {
        const name = names.get(`${kind}/${id}`);
        return name === undefined ? whole : `${before}${kind}/${name}`;
      },
    );
  },
};

function put(fields: Record<string, unknown>, path: readonly (string | number)[], value: unknown): void {
  let at: unknown = fields;
  for (const step of path.slice(0, -1)) at = (at as Record<string | number, unknown>)[step];
  (at as Record<string | number, unknown>)[path.at(-1)!] = value;
}
