import type * as fs from "node:fs/promises";
import { dirname, join } from "node:path";
import { VFile } from "vfile";
import type { Library } from "../library.ts";
import { check, type Loaded, read } from "../node.ts";
import { type Disk, put } from "../put.ts";
import { type Problem, problems, report } from "./check.ts";
import type { World } from "./command.ts";
import { contentFolder } from "./options.ts";

/** What of the disk is needed to add records to a book. */
export type Shelf = Disk & Pick<typeof fs, "mkdir" | "rmdir">;

/** A book to which records are to be added. */
export interface Book {
  readonly folder: string;
  readonly files: readonly VFile[];
  readonly library: Library;
}

/** A record that is not yet on the disk. */
export interface Fresh {
  /** Below the folder of records, `crops/basil-sweet.md`. */
  readonly path: string;
  readonly text: string;
}

/** Reads the book; undefined when the checker stops it, which is told. */
export async function bookAt(content: string, world: World): Promise<Book | undefined> {
  const folder = await contentFolder(content, world);
  const { library, files } = check(await read(folder));
  if (library) return { folder, files, library };
  world.err(report(files));
  world.err("Nothing was written: mend what stops the book first.");
  return undefined;
}

/** The book as it would be with these records beside its own; `only` looks at those files of it alone, for speed. */
export function checkedWith(
  { files, folder }: Book,
  fresh: readonly Fresh[],
  only: (path: string) => boolean = () => true,
): Loaded {
  const own = files.filter(({ path }) => only(path));
  return check([
    ...own.map(({ cwd, path, value }) => new VFile({ cwd, path, value })),
    ...fresh.map(({ path, text }) => new VFile({ cwd: folder, path, value: text })),
  ]);
}

/** What the checker says of one file. */
export function saidOf(files: readonly VFile[], path: string): readonly Problem[] {
  return problems(files.filter((file) => file.path === path));
}

/** Whether the book has a file of that name, whatever its capitals. */
export function isTaken({ files }: Book, path: string): boolean {
  return files.some((file) => file.path.toLowerCase() === path.toLowerCase());
}

/** Puts a new record on the disk, with the folder of its kind when that is not there yet. */
export async function putFresh(
  book: Book,
  { path, text }: Fresh,
  disk: Shelf,
): Promise<{ readonly refusal: string } | undefined> {
  const file = join(book.folder, path);
  // Where this fails, putting the file fails as well, and says why.
  await disk.mkdir(dirname(file), { recursive: true }).catch(() => {});
  const failed = await put({ file, was: undefined, text }, disk);
  if (failed) await clearFresh(book, path, disk);
  return failed;
}

/** Takes away the folder of a record that was not put there after all, when the book had no such folder. */
export async function clearFresh({ folder, files }: Book, path: string, disk: Shelf): Promise<void> {
  const kind = dirname(path);
  // A folder that is not empty stays by itself.
  if (!files.some((file) => dirname(file.path) === kind)) await disk.rmdir(join(folder, kind)).catch(() => {});
}

/** A sentence of the checker with its note, as one text that ends with a stop. */
export function sentenceOf({ message, note }: Pick<Problem, "message" | "note">): string {
  const stopped = (text: string) => (/[.?!]$/.test(text) ? text : `${text}.`);
  return note === null ? stopped(message) : `${stopped(message)} ${stopped(note)}`;
}
