import { VFile } from "vfile";
import { parse as readYaml, stringify } from "yaml";
import type { z } from "zod";
import { check } from "../../generator/node.ts";
import { Book, type Kind, kinds } from "../../generator/records/index.ts";
import { isOptional, partsOf, unwrap } from "../../generator/records/walk.ts";
import { hostile, mark, prose, values } from "./values.ts";

/** A book with a hostile value wherever it may have words, and those values with where they stand. */
export interface Planted {
  readonly files: readonly VFile[];
  readonly planted: readonly { readonly value: string; readonly record: string }[];
}

/**
 * Puts hostile values into every field of a sound book that takes words, names of the writer's own among them, adds those
 * that are left out, and hostile Markdown below every heading. What the checker then stops gets its own words back, field by
 * field, so that the book stays one that is printed.
 */
export function plantHostile(given: readonly VFile[]): Planted {
  const own = new Map<string, Set<string>>();
  while (true) {
    const made = given.map((file) => planted(file, own.get(file.path) ?? new Set()));
    const { library, files } = check(made.map(({ path, text }) => new VFile({ path, value: text })));
    if (library)
      return {
        files: made.map(({ path, text }) => new VFile({ path, value: text })),
        planted: made.flatMap(({ path, all }) => all.map((value) => ({ value, record: path }))),
      };
    let back = 0;
    for (const file of files)
      for (const message of file.messages.filter(({ fatal }) => fatal === true)) {
        const { field = "" } = message as { field?: string };
        const kept = own.get(file.path) ?? new Set();
        const [first = ""] = field.split(".");
        const step = first === "" || fixed.has(first) ? "*" : first;
        if (kept.has(step)) continue;
        own.set(file.path, kept.add(step));
        back++;
      }
    if (back === 0)
      throw new Error(
        files
          .flatMap(({ messages }) => messages.filter(({ fatal }) => fatal === true).map((one) => `${one} ${one.note}`))
          .join("\n"),
      );
  }
}

/** A file with hostile values, but for its fields that keep their own words; `*` keeps all of them. */
function planted(file: VFile, own: ReadonlySet<string>): { path: string; text: string; all: readonly string[] } {
  if (file.path.endsWith(".csv")) return { path: file.path, text: hostileTable(String(file)), all: [] };
  const [, yaml = "", body = ""] = /^---\n([\s\S]*?)\n---\n([\s\S]*)$/.exec(String(file)) ?? [];
  if (own.has("*") || yaml === "") return { path: file.path, text: String(file), all: [] };
  const schema = file.path === "book.md" ? Book : kinds[file.path.split("/")[0] as Kind];
  const { next, all } = values(file.path);
  const read = readYaml(yaml, { schema: "failsafe" }) as Readonly<Record<string, unknown>>;
  const fields = (file.path.startsWith("trials/") ? renamed(read) : read) as typeof read;
  const shape = partsOf(unwrap(schema, fields).inner!).shape ?? {};
  // A name that a path speaks of keeps its own word.
  const named = (name: string) => yaml.includes(`.${name}`);
  const filled = Object.fromEntries(
    Object.entries(shape).flatMap(([key, field]) => {
      const value = own.has(key) || fixed.has(key) ? fields[key] : fill(field, fields[key], { next, named });
      // Towers are called by the numbers in the name of their record.
      if (file.path.startsWith("gear/") && key === "name") return [[key, `${fields[key]} ${next()}`]];
      return value === undefined ? [] : [[key, value]];
    }),
  );
  // In the order of the file first, since some rules go by it.
  const ordered = Object.fromEntries(
    Object.keys({ ...fields, ...filled }).map((key) => [key, filled[key] ?? fields[key]]),
  );
  const text = body.replace(/(^## .*$)/gm, `$1\n${prose.replaceAll("$", "$$$$")}`);
  return { path: file.path, text: `---\n${stringify(ordered, { lineWidth: 0 })}---\n${prose}\n${text}`, all };
}

/** Fields whose words are names of something else. */
const fixed = new Set([
  ...["code", "amount", "sources", "formula", "data", "borrowed", "provisional", "history"],
  ...["control", "places", "blocks", "deaths", "excluded", "treatments"],
]);

/** What the treatments of the demo's trials are called instead. */
const treatments: Readonly<Record<string, string>> = {
  A: `<img src=x onerror="window.${mark}=1">kindA`,
  B: `=1+1|kindB"><script>window.${mark}=1</script>`,
  plain: `+kindplain\u202e\u001b[31m`,
  extra: "@kindextra</svg>{{1}}",
};

/** A trial whose treatments have hostile names, wherever they stand. */
function renamed(value: unknown): unknown {
  if (typeof value === "string") return Object.hasOwn(treatments, value) ? treatments[value] : value;
  if (Array.isArray(value)) return value.map(renamed);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [renamed(key) as string, renamed(inner)]));
}

/** A table of measurements with those names, and a hostile reason beside each loss. */
function hostileTable(text: string): string {
  const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`;
  return text
    .split("\n")
    .map((line, index) => {
      const [block, treatment, port, value, reason] = line.split(",");
      if (index === 0 || reason === undefined) return line;
      const why = reason === "" ? "" : hostile[index % hostile.length]!(`hq${index}z`).replaceAll(/\s+/g, " ");
      return [block, quoted(String(renamed(treatment))), port, value, why && quoted(why)].join(",");
    })
    .join("\n");
}

interface Making {
  readonly next: () => string;
  readonly named: (name: string) => boolean;
}

function fill(schema: z.ZodType, value: unknown, making: Making): unknown {
  const { next, named } = making;
  const { inner, meta } = unwrap(schema, value);
  if (!inner || meta.refers) return value;
  const { shape, key, value: common, element } = partsOf(inner);
  if (shape) {
    if (typeof value !== "object" || value === null) return value;
    const fields = value as Readonly<Record<string, unknown>>;
    const entries = Object.keys({ ...fields, ...shape }).flatMap((name) => {
      const field = shape[name];
      const found = field && !fixed.has(name) ? fill(field, fields[name], making) : fields[name];
      return found === undefined ? [] : [[name, found] as const];
    });
    return Object.fromEntries(entries);
  }
  if (common && key) {
    if (typeof value !== "object" || value === null) return value;
    const free = key.safeParse("hq0z <b>").success;
    return Object.fromEntries(
      Object.entries(value).map(([name, item]) => [free && !named(name) ? next() : name, fill(common, item, making)]),
    );
  }
  if (element) {
    if (Array.isArray(value)) return value.map((item) => fill(element, item, making));
    return value === undefined && takesWords(element) && isOptional(schema) ? [next()] : value;
  }
  if (!takesWords(inner)) return value;
  return value === undefined && !isOptional(schema) ? value : next();
}

/** Whether a field takes any word. */
function takesWords(schema: z.ZodType): boolean {
  const { inner, meta } = unwrap(schema);
  return meta.refers === undefined && inner?.safeParse("hq0z <b>=1").success === true;
}
