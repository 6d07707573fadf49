import type { ParseArgsOptionsConfig } from "node:util";
import { type Kind, kinds, type Path } from "../records/index.ts";
import { nearest } from "../records/nearest.ts";
import { choiceOf, fieldNames } from "../records/walk.ts";
import { singles } from "../writing/name.ts";
import { type Found, fieldNamed, items, type Tree, valueIn, withValue } from "../writing/tree.ts";
import { Misuse } from "./command.ts";

/** A kind of record by its folder or by the word for one of it. @throws Misuse when there is none, or when it is made otherwise. */
export function kindTyped(typed: string | undefined, verb: "new" | "import"): Kind {
  const words = Object.entries(singles).flatMap(([kind, word]) => [[kind, kind] as const, [word, kind] as const]);
  const kind = words.find(([word]) => word === typed?.toLowerCase())?.[1] as Kind | undefined;
  if (kind === "batches")
    throw new Misuse("A batch has its own deed, which makes its code: tierbook batch new CROP --lot LOT --cells N");
  if (kind === "trials")
    throw new Misuse("A trial has its own deed, which plans its blocks and draws its places: tierbook trial new");
  if (kind) return kind;
  const all = Object.values(singles)
    .filter((word) => word !== "batch" && word !== "trial")
    .join(", ");
  if (typed === undefined || typed.startsWith("-"))
    throw new Misuse(`Say first what is ${verb === "new" ? "to be written" : "in the table"}: ${all}`);
  const near = nearest(
    typed,
    words.map(([word]) => word),
  );
  throw new Misuse(`Unexpected ${typed}, expected ${near ?? `one of ${all}`}`);
}

/** An option for every field of a kind that stands at the top of a record. */
export function fieldOptions(kind: Kind): ParseArgsOptionsConfig {
  const names = namesOf(kind).filter((name) => name !== "sources");
  return Object.fromEntries(names.map((name) => [name, { type: "string", multiple: true }]));
}

/** What options and `--set` say of a record. @throws Misuse for a field that the kind does not have or that is said twice. */
export function treeGiven(kind: Kind, given: Readonly<Record<string, unknown>>, set: readonly string[]): Tree {
  const names = namesOf(kind);
  const single = names.flatMap((name) => {
    const said = given[name] as readonly string[] | undefined;
    return said === undefined ? [] : [{ option: `--${name}`, dotted: name, said }];
  });
  const deep = set.map((pair) => {
    const at = pair.indexOf("=");
    if (at < 1)
      throw new Misuse(`Unexpected --set ${pair}, expected PATH=VALUE, such as --set ec.preferred="1–1.6 mS/cm"`);
    return { option: `--set ${pair.slice(0, at)}`, dotted: pair.slice(0, at).trim(), said: [pair.slice(at + 1)] };
  });
  // The word that settles which fields there are comes before them.
  const choice = choiceOf(kinds[kind])?.discriminator;
  const all = [...single, ...deep].sort((a, b) => Number(b.dotted === choice) - Number(a.dotted === choice));
  let tree: Tree = {};
  for (const { option, dotted, said } of all) {
    if (said.every((text) => text.trim() === "")) continue;
    const field = fieldOf(kind, option, dotted, tree);
    const before = valueIn(tree, field.path);
    if (!field.many && (before !== undefined || said.length > 1)) throw new Misuse(`${option} is said twice`);
    tree = withValue(
      tree,
      field.path,
      field.many ? [...((before ?? []) as string[]), ...listed(said)] : said[0]!.trim(),
    );
  }
  return tree;
}

/** How a field is said on the command line: `--name`, or `--set stages.tray.days=`. */
export function optionFor(path: Path): string {
  return path.length === 1 ? `--${path[0]}` : `--set ${path.join(".")}=`;
}

function fieldOf(kind: Kind, option: string, dotted: string, tree: Tree): Found {
  const field = fieldNamed(kind, dotted, tree);
  if ("path" in field) return field;
  const how =
    field.expected.startsWith("one of its parts") && !option.startsWith("--set") ? ", by --set PATH=VALUE" : "";
  throw new Misuse(`Unexpected ${option}, expected ${field.expected}${how}`);
}

/** One option is parted into items; of several, each is an item as it stands, commas and all. */
function listed(said: readonly string[]): readonly string[] {
  return said.length === 1 ? items(said[0]!) : said.map((text) => text.trim()).filter((text) => text !== "");
}

function namesOf(kind: Kind): readonly string[] {
  const schemas = choiceOf(kinds[kind])?.options ?? [kinds[kind]];
  return [...new Set(schemas.flatMap((schema) => fieldNames(schema)))];
}
