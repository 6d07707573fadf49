import * as fs from "node:fs/promises";
import { basename, dirname, join } from "node:path";

/** What of the disk is needed to put a file; a test may give one that fails. */
export type Disk = Pick<typeof fs, "link" | "open" | "readFile" | "realpath" | "rename" | "rm" | "stat">;

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
    draft = join(dirname(place), `.${basename(place)}.${process.pid}-${++drafts}.new`);
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

/** Numbers the drafts of this run, so that no two share a name. */
let drafts = 0;

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
export function unwritable(file: string, { code, message }: NodeJS.ErrnoException): string {
  const why = reasons[code ?? ""] ?? `the disk says: ${message.split("\n")[0]}`;
  return `${file} could not be written: ${why}. Nothing was changed`;
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
  EBUSY: "another program holds it open",
  ENAMETOOLONG: "its name is too long",
};
