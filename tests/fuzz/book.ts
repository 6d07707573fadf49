import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { kindNames } from "../../generator/library.ts";
import { check, type Loaded } from "../../generator/node.ts";
import type { Kind } from "../../generator/records/index.ts";

/** The folder of the demo book. */
export const demo = fileURLToPath(new URL("../../content", import.meta.url));

/** A file of a book before it is read. */
export interface Written {
  readonly path: string;
  readonly text: string;
}

/** Every record of the demo book, `book.md` among them, and its tables of measurements. */
export const records: readonly Written[] = filesIn(demo);

/** A record of the demo book by its path. @throws Error when there is none */
export function record(path: string): Written {
  const found = records.find((one) => one.path === path);
  if (!found) throw new Error(`The demo book has no ${path}`);
  return found;
}

/** A small book that stands by itself, the base of the checker's cases. */
export const small: readonly Written[] = filesIn(fileURLToPath(new URL("../content/base", import.meta.url)));

/** Files checked as a book. */
export function checked(files: readonly Written[]): Loaded {
  return check(files.map(({ path, text }) => new VFile({ path, value: text })));
}

function filesIn(folder: string): readonly Written[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter(
      (path) => path === "book.md" || (/\.(?:md|csv)$/.test(path) && kindNames.includes(path.split("/")[0] as Kind)),
    )
    .sort()
    .map((path) => ({ path, text: readFileSync(`${folder}/${path}`, "utf8") }));
}
