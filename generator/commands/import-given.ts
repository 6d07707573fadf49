import { readFile, stat } from "node:fs/promises";
import { resolve } from "node:path";
import { type Kind, kinds } from "../records/index.ts";
import { singly } from "../writing/name.ts";
import { recordText, shapeOf } from "../writing/record.ts";
import { delimiters } from "../writing/table.ts";
import type { Tree } from "../writing/tree.ts";
import { Misuse, type World } from "./command.ts";
import { problemsOf } from "./import-rows.ts";
import { treeGiven } from "./new-fields.ts";
import { sentenceOf } from "./new-land.ts";

/** Fields for every row. Each is looked at once here, so that a slip in one is not told of a thousand rows. */
export function defaultsFor(
  kind: Kind,
  { set = [], source }: { readonly set?: string[]; readonly source?: string },
): Tree {
  if (source !== undefined && !("sources" in shapeOf(kinds[kind], {})))
    throw new Misuse(`Unexpected --source, for ${singly(kind)} has no figures`);
  const defaults = treeGiven(kind, {}, set);
  const faults = faultsIn(
    kind,
    defaults,
    set.map((pair) => pair.slice(0, pair.indexOf("=")).trim()),
  );
  if (faults.length > 0) throw new Misuse(faults.join(" "));
  return defaults;
}

function faultsIn(kind: Kind, tree: Tree, dotted: readonly string[]): readonly string[] {
  const text = recordText({ kind, tree, source: undefined, guided: false });
  return problemsOf(kind, text)
    .filter(
      ({ field, severity, rule }) => severity === "error" && rule !== "field-missing" && dotted.includes(field ?? ""),
    )
    .map((problem) => `--set ${problem.field}: ${sentenceOf(problem)}`);
}

/** The bytes of a table. @throws Misuse when there is no such file. */
export async function bytesOf(file: string, { cwd }: World): Promise<Uint8Array> {
  const path = resolve(cwd, file);
  // A pipe or a device may never end.
  const found = await stat(path).catch(() => undefined);
  if (found && !found.isFile()) throw new Misuse(`The file ${path} cannot be read: it is no plain file`);
  return readFile(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT") throw new Misuse(`There is no file ${path}`);
    throw new Misuse(`The file ${path} cannot be read`);
  });
}

/** What parts the columns, as it was typed. @throws Misuse for anything else. */
export function delimiterTyped(given: string | undefined): string | undefined {
  if (given === undefined) return undefined;
  const sign = given === "tab" || given === "\\t" ? "\t" : given;
  if ((delimiters as readonly string[]).includes(sign)) return sign;
  throw new Misuse(`Unexpected --delimiter ${given}, expected "," ";" or tab`);
}
