import type { Dirent } from "node:fs";
import * as fs from "node:fs/promises";
import { join } from "node:path";
import { VFile } from "vfile";
import { at, type Slip } from "./records/messages.ts";

/** What of the disk is needed to read a folder; a test may give one that fails. */
export type Shelves = Pick<typeof fs, "open" | "readdir" | "stat">;

/**
 * The files below some folders of `root` that are `wanted` by their names, and those of `root` itself, in the order of their
 * names. What cannot be read is among them without a text, with a sentence that says why, and is `unread`: a link, a pipe,
 * a folder called as a file is, a file that may not be read or that is gone meanwhile. Nothing waits for a pipe or a device.
 */
export async function listing(
  root: string,
  folders: readonly string[],
  wanted: (name: string) => boolean,
  disk: Shelves = fs,
): Promise<readonly VFile[]> {
  const found = await entriesIn(root, "", disk, (name, isFolder) => (isFolder ? folders.includes(name) : wanted(name)));
  for (const name of folders.filter((folder) => found.some((one) => one.name === folder && one.slip === undefined)))
    found.push(...(await below(root, name, wanted, disk)));
  const files = found.filter(({ isFolder }) => !isFolder).sort((a, b) => (a.name < b.name ? -1 : 1));
  const read: VFile[] = [];
  // Not all at once: a system has only so many files open.
  for (let next = 0; next < files.length; next += 64)
    read.push(...(await Promise.all(files.slice(next, next + 64).map((one) => fileOf(root, one, disk)))));
  return read;
}

/** Whether a file could not be read at all, which was told. */
export function isUnread(file: VFile): boolean {
  return file.data.unread === true;
}

/** Something in a folder; with a slip when it is not to be read. */
interface Found {
  readonly name: string;
  readonly isFolder?: boolean;
  readonly slip?: Slip;
}

async function below(
  root: string,
  folder: string,
  wanted: (name: string) => boolean,
  disk: Shelves,
): Promise<readonly Found[]> {
  try {
    const found = await entriesIn(root, folder, disk, (name, isFolder) => isFolder || wanted(name));
    const inner = found.filter(({ isFolder, slip }) => isFolder && !slip);
    const deeper = await Promise.all(inner.map(({ name }) => below(root, name, wanted, disk)));
    const odd = inner.filter(({ name }) => wanted(name)).map(({ name }) => ({ name, slip: aFolder(name) }));
    return [...found.filter((one) => !inner.includes(one)), ...odd, ...deeper.flat()];
  } catch (error) {
    return [{ name: folder, slip: unreadable(folder, error) }];
  }
}

async function entriesIn(
  root: string,
  folder: string,
  disk: Shelves,
  wanted: (name: string, isFolder: boolean) => boolean,
): Promise<Found[]> {
  const entries: Dirent[] = await disk.readdir(join(root, folder), { withFileTypes: true });
  const found = entries.map(async (entry): Promise<Found | undefined> => {
    const name = folder === "" ? entry.name : `${folder}/${entry.name}`;
    if (entry.isDirectory()) {
      if (wanted(name, true)) return { name, isFolder: true };
      return wanted(name, false) ? { name, slip: aFolder(name) } : undefined;
    }
    if (entry.isSymbolicLink()) {
      const toFolder = (await disk.stat(join(root, name)).catch(() => undefined))?.isDirectory() ?? false;
      return wanted(name, toFolder) || wanted(name, false) ? { name, slip: aLink(name) } : undefined;
    }
    if (!wanted(name, false)) return undefined;
    return entry.isFile() ? { name } : { name, slip: notPlain(name) };
  });
  return (await Promise.all(found)).filter((one) => one !== undefined);
}

async function fileOf(root: string, { name, slip }: Found, disk: Shelves): Promise<VFile> {
  const read = slip ?? (await textOf(join(root, name), name, disk));
  if (read instanceof Uint8Array) return new VFile({ cwd: root, path: name, value: read });
  const file = new VFile({ cwd: root, path: name, value: "", data: { unread: true } });
  at(file, 1, read);
  return file;
}

/** The bytes of a file, or why there are none. It may have become a pipe since it was listed, which is not waited for. */
async function textOf(path: string, name: string, disk: Shelves): Promise<Uint8Array | Slip> {
  try {
    const { O_RDONLY, O_NOFOLLOW = 0, O_NONBLOCK = 0 } = fs.constants;
    const handle = await disk.open(path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK);
    try {
      const found = await handle.stat();
      if (!found.isFile()) return notPlain(name);
      if (found.size > most) return tooLarge(name, found.size);
      return await handle.readFile();
    } finally {
      await handle.close();
    }
  } catch (error) {
    return unreadable(name, error);
  }
}

/** Bytes; a larger file is none that anybody wrote as a record. */
const most = 5_000_000;

function unreadable(name: string, error: unknown): Slip {
  const { code = "" } = error as NodeJS.ErrnoException;
  if (code === "ELOOP") return aLink(name);
  return slipOf(name, "a file that can be read", reasons[code] ?? `The disk says ${code || "that it cannot be read"}.`);
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: "You may not read it: ask whoever it belongs to for the right to.",
  EPERM: "You may not read it: ask whoever it belongs to for the right to.",
  ENOENT: "It was taken away while the book was read. Run the command again.",
  ENXIO: "It is a pipe or a device, from which nothing can be read. Take it out of the folder.",
};

const aLink = (name: string) =>
  slipOf(
    name,
    "a file of this folder",
    "It is a link, which may lead anywhere. Put the file itself here, or take the link away.",
  );
const aFolder = (name: string) => slipOf(name, "a file", "It is a folder. Rename it, or take it out.");
const notPlain = (name: string) =>
  slipOf(name, "a plain file", "It is a pipe or a device, which may never end. Take it out of the folder.");
const tooLarge = (name: string, size: number) =>
  slipOf(name, "a file of at most 5 MB", `It has ${(size / 1e6).toFixed(1)} MB. Is this another kind of file?`);

function slipOf(name: string, expected: string, note: string): Slip {
  return { rule: "file-unreadable", written: name.replace(/^.*\//, ""), expected, note };
}
