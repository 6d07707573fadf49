import type { FieldMeta } from "../records/fields.ts";
import { type Kind, kinds } from "../records/index.ts";
import { editDistance } from "../records/nearest.ts";
import { choiceOf, fieldNames, wordOf } from "../records/walk.ts";
import { type UnitSymbol, unitNamed, units } from "../science/units.ts";
import { questionsFor } from "./questions.ts";
import { headingsOf } from "./record.ts";
import { fieldNamed, type Tree } from "./tree.ts";

/** What the cells of a column are: the name of the file, what its figures lean on, text below a heading, or a field. */
export type Target =
  | { readonly is: "id" }
  | { readonly is: "source" }
  | { readonly is: "text"; readonly heading: string }
  | { readonly is: "field"; readonly dotted: string; readonly many: boolean; readonly meta: FieldMeta };

/** A column whose meaning is known. */
export interface Column {
  readonly header: string;
  readonly target: Target;
  /** The unit that the header says, for cells that say none. */
  readonly unit: UnitSymbol | undefined;
}

/** A column that nobody may guess at: why, and what it may have meant, nearest first. */
export interface Unmapped {
  readonly header: string;
  readonly why: string;
  readonly near: readonly string[];
}

/** What the columns of a table of one kind of record may be called. */
export interface Names {
  readonly kind: Kind;
  readonly byName: ReadonlyMap<string, readonly Target[]>;
}

/** The names of a kind: paths of fields (`ec.preferred`), their labels (`EC`), headings of the text, `id`, `source`, `text`. */
export function namesFor(kind: Kind): Names {
  const byName = new Map<string, Target[]>();
  const add = (name: string, target: Target) => {
    const known = byName.get(plain(name)) ?? [];
    if (!known.some((one) => toldOf(one) === toldOf(target))) byName.set(plain(name), [...known, target]);
  };
  for (const tree of variants(kind)) {
    const shape = fieldNames(kinds[kind], tree);
    for (const { path, label, many, meta } of questionsFor(kind, tree, shape)) {
      const target: Target = { is: "field", dotted: path.join("."), many, meta };
      const short = meta.label?.replace(/\s*\(.*\)$/, "");
      for (const name of [path.join("."), label, meta.label, short]) if (name) add(name, target);
    }
    const choice = choiceOf(kinds[kind])?.discriminator;
    if (choice) add(choice, { is: "field", dotted: choice, many: false, meta: {} });
    if (shape.includes("sources")) add("source", { is: "source" });
  }
  for (const name of ["id", "file", "file name"]) add(name, { is: "id" });
  for (const name of ["text", "body"]) add(name, { is: "text", heading: "" });
  for (const heading of headingsOf(kind)) add(heading, { is: "text", heading });
  return { kind, byName };
}

/** What a column is by its header, or why that is not known. Only an exact name counts; what is near is for a person to say. */
export function columnFor(names: Names, header: string): Column | Unmapped {
  const exact = found(names, header);
  if (exact.length > 0) return settled(header, exact, undefined);
  const [name, unit] = parted(header);
  const inner = name === undefined ? [] : found(names, name);
  if (inner.length > 0) return settled(header, inner, unit);
  return { header, why: "no field goes by this name", near: nearTo(names, name ?? header) };
}

/** What a column is that a person has given a meaning: a field, `id`, `source`, `text`, or `## A heading` of the text. */
export function columnAs(names: Names, header: string, meaning: string): Column | Unmapped {
  const heading = /^#+ *(.+)$/.exec(meaning.trim())?.[1];
  if (heading !== undefined) return { header, target: { is: "text", heading }, unit: undefined };
  const targets = found(names, meaning);
  const known = targets.length > 0 ? targets : deeper(names.kind, meaning.trim());
  if (known.length === 0)
    return { header, why: `\`${meaning.trim()}\` is no field of ${names.kind}`, near: nearTo(names, meaning) };
  const [, unit] = parted(header);
  // What stands in brackets and is no unit at all belongs to the name, which counts no more.
  return settled(header, known, unit !== undefined && unitNamed(unit) ? unit : undefined);
}

/** How a target is said: the path of a field, or one of the other words. */
export function toldOf(target: Target): string {
  if (target.is === "field") return target.dotted;
  return target.is === "text" ? (target.heading === "" ? "text" : `## ${target.heading}`) : target.is;
}

/** The kinds of one kind: of gear, each that there is. */
function variants(kind: Kind): readonly Tree[] {
  const choice = choiceOf(kinds[kind]);
  return choice ? choice.options.map((one) => ({ [choice.discriminator]: wordOf(one, choice.discriminator) })) : [{}];
}

/** Fields with a name of the writer's own within, such as `trouble.aphids.sign`, which no list of names can hold. */
function deeper(kind: Kind, dotted: string): readonly Target[] {
  for (const tree of variants(kind)) {
    const field = fieldNamed(kind, dotted, tree);
    if ("path" in field) return [{ is: "field", dotted, many: field.many, meta: field.meta }];
  }
  return [];
}

/** A field by its own path is that field, though another may be labelled so. */
function found({ byName }: Names, name: string): readonly Target[] {
  const all = byName.get(plain(name)) ?? [];
  const own = all.filter((target) => plain(toldOf(target)) === plain(name));
  return own.length === 1 ? own : all;
}

function settled(header: string, targets: readonly Target[], written: string | undefined): Column | Unmapped {
  const [target, ...others] = targets;
  if (!target || others.length > 0)
    return { header, why: "more than one field goes by this name", near: targets.map(toldOf) };
  if (written === undefined) return { header, target, unit: undefined };
  const own = target.is === "field" ? target.meta.unit : undefined;
  if (own === "pH" && /^pH$/i.test(written)) return { header, target, unit: undefined };
  const unit = unitNamed(written);
  if (unit && own && own !== "pH" && units[own].quantity === units[unit].quantity) return { header, target, unit };
  const has = own && own !== "pH" ? `is in ${own}` : "has no unit";
  return { header, why: `\`${written}\` is no unit of \`${toldOf(target)}\`, which ${has}`, near: [toldOf(target)] };
}

/** A header as a name and the unit in brackets behind it. */
function parted(header: string): readonly [name: string | undefined, unit: string | undefined] {
  const [, name, unit] = /^(.*\S)\s*[([]([^()[\]]*)[)\]]$/.exec(header.trim()) ?? [];
  return [name, unit?.trim()];
}

/** The three names that are nearest, those first that share a word with it. */
function nearTo({ byName }: Names, header: string): readonly string[] {
  const wanted = plain(header);
  const words = wanted.split(" ").filter((word) => word.length > 3);
  const ranked = [...byName].flatMap(([name, targets]) => {
    const shared = words.some((word) => name.split(" ").includes(word));
    const far = editDistance(wanted, name) / Math.max(wanted.length, name.length, 1);
    return shared || far <= 0.4 ? targets.map((target) => ({ told: toldOf(target), far: shared ? far / 2 : far })) : [];
  });
  return [...new Set(ranked.sort((a, b) => a.far - b.far).map(({ told }) => told))].slice(0, 3);
}

/** A name without capitals, accents, points and dashes. */
function plain(name: string): string {
  return name
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}
