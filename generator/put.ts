import * as fs from "node:fs/promises";
import { basename, dirname, join } from "node:path";

/** What of the disk is needed to put a file; a test may give one that fails. */
export type Disk = Pick<typeof fs, "link" | "open" | "readFile" | "realpath" | "rename" | "rm" | "stat">;

/** What of the disk is needed to put files that are made anew each time. */
export type Shelf = Pick<typeof fs, "mkdir" | "rename" | "rm" | "rmdir" | "writeFile">;

/** A file and what it is to say; `was` is what it said when it was read, undefined when it is a new one. */
export interface Putting {
  readonly file: string;
  readonly was: Uint8Array | undefined;
  readonly text: string;
}

/**
 * Puts a file on the disk whole or not at all: it is written beside its place under another name, brought safely to the disk,
 * and then renamed. Whoever pulls the plug finds the old file or the new one, never half of either.
 *
 * Gives a sentence when it cannot be: another wrote the file since it was read, there is one already, the folder may not be
 * written to, the disk is full. Nothing is changed then.
 */
export async function put(
  { file, was, text }: Putting,
  disk: Disk = fs,
): Promise<{ readonly refusal: string } | undefined> {
  let draft: string | undefined;
  try {
    // A link is followed, so that the file is changed and the link stays.
    const place = was === undefined ? file : await disk.realpath(file);
    draft = join(dirname(place), `.${basename(place)}.${process.pid}-${++numbered}.new`);
    await write(draft, text, was === undefined ? undefined : (await disk.stat(place)).mode, disk);
    if (was === undefined) await link(draft, place, disk);
    else {
      if (!(await disk.readFile(place)).equals(was))
        return { refusal: `${file} was changed since it was read. Nothing was written; do it again` };
      await disk.rename(draft, place);
    }
    await settle(dirname(place), disk);
    return undefined;
  } catch (error) {
    return { refusal: unwritable(file, error as NodeJS.ErrnoException) };
  } finally {
    if (draft !== undefined) await disk.rm(draft, { force: true }).catch(() => {});
  }
}

/** A file that is made anew each time, such as a table or a sheet of paper. */
export interface Made {
  readonly file: string;
  readonly content: string | Uint8Array;
}

/**
 * Puts files in place of those that were made the last time, with the folders that they need. All are written beside their
 * places first, and only when every one of them is there do they take the place of the old.
 *
 * Gives a sentence when that cannot be. The old files stay then, and nothing is left beside them.
 */
export async function replace(
  made: readonly Made[],
  disk: Shelf = fs,
): Promise<{ readonly refusal: string } | undefined> {
  const drafts: { readonly file: string; readonly draft: string }[] = [];
  const folders: string[] = [];
  for (const { file, content } of made) {
    const draft = join(dirname(file), `.${basename(file)}.${process.pid}-${++numbered}.new`);
    try {
      const first = await disk.mkdir(dirname(file), { recursive: true });
      if (first !== undefined) folders.push(...between(first, dirname(file)));
      drafts.push({ file, draft });
      await disk.writeFile(draft, content);
    } catch (error) {
      for (const { draft } of drafts) await disk.rm(draft, { force: true }).catch(() => {});
      for (const folder of folders.reverse()) await disk.rmdir(folder).catch(() => {});
      return { refusal: unwritable(...placeOf(file, error as NodeJS.ErrnoException)) };
    }
  }
  for (const [index, { file, draft }] of drafts.entries())
    try {
      await disk.rename(draft, file);
    } catch (error) {
      for (const { draft } of drafts.slice(index)) await disk.rm(draft, { force: true }).catch(() => {});
      const before = index === 0 ? "Nothing was changed" : "The files before it were written";
      return { refusal: `${notWritten(file, error as NodeJS.ErrnoException)}. ${before}` };
    }
  return undefined;
}

/** Of a folder that could not be made, the folder; a file in its place is no reason that names the file to be written. */
function placeOf(file: string, error: NodeJS.ErrnoException): [place: string, error: NodeJS.ErrnoException] {
  if (error.syscall !== "mkdir") return [file, error];
  return [
    dirname(file),
    error.code === "EEXIST" ? Object.assign(new Error(error.message), { code: "ENOTDIR" }) : error,
  ];
}

/** The folders from one down to another that is in it. */
function between(first: string, last: string): readonly string[] {
  const outer = dirname(last);
  return first === last || outer === last ? [last] : [...between(first, outer), last];
}

/** Numbers the drafts of this run, so that no two share a name. */
let numbered = 0;

async function write(draft: string, text: string, mode: number | undefined, disk: Disk): Promise<void> {
  const handle = await disk.open(draft, "w");
  try {
    if (mode !== undefined) await handle.chmod(mode & 0o777);
    await handle.writeFile(text);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Gives the draft its name, unless something has that name already; a disk without links is asked first. */
async function link(draft: string, place: string, disk: Disk): Promise<void> {
  try {
    await disk.link(draft, place);
  } catch (error) {
    if (!["EPERM", "ENOTSUP", "ENOSYS", "EMLINK"].includes((error as NodeJS.ErrnoException).code ?? "")) throw error;
    const taken = await disk.stat(place).then(
      () => true,
      () => false,
    );
    if (taken) throw Object.assign(new Error("taken"), { code: "EEXIST" });
    await disk.rename(draft, place);
  }
}

/** Brings the new name safely to the disk, where the system can do that. */
async function settle(folder: string, disk: Disk): Promise<void> {
  const handle = await disk.open(folder, "r").catch(() => undefined);
  await handle?.sync().catch(() => {});
  await handle?.close().catch(() => {});
}

/** Why something could not be written, in a sentence without its full stop; what the disk says where nobody knows better. */
export function notWritten(file: string, { code, message }: Pick<NodeJS.ErrnoException, "code" | "message">): string {
  const why = reasons[code ?? ""] ?? `the disk says: ${message.split("\n")[0]}`;
  return `${file} could not be written: ${why}`;
}

/** The same, where nothing was changed. */
export function unwritable(file: string, error: NodeJS.ErrnoException): string {
  return `${notWritten(file, error)}. Nothing was changed`;
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: "its folder may not be written to",
  EPERM: "its folder may not be written to",
  EROFS: "its disk may only be read",
  ENOSPC: "the disk is full",
  EDQUOT: "the room that you have on the disk is used up",
  ENOENT: "its folder is not there",
  ENOTDIR: "something on the way to it is a file and no folder",
  EEXIST: "there is a file of that name already",
  EISDIR: "there is a folder of that name",
  EFBIG: "it is larger than a file may be there",
  EBUSY: "another program holds it open",
  ENAMETOOLONG: "its name is too long",
};
