import { cp, mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { small } from "../fuzz/book.ts";
import { type Cell, openCell } from "./cell.ts";

/** A folder with a disk of its own in it, which may be full or only be read. */
export interface Yard {
  readonly folder: string;
  readonly cell: Cell;
  /** Leaves so many KB on the disk; without a number as many as are ever wanted. */
  leave(free?: number): void;
  /** Lets the disk only be read. */
  lock(): void;
  close(): Promise<void>;
}

/** Opens a yard: `book`, the smallest book that is printed; `records`, one with a record of every kind; `disk`. */
export async function openYard(): Promise<Yard> {
  const folder = await mkdtemp(join(tmpdir(), "tierbook-faults-"));
  for (const name of ["disk", "home", "tmp"]) await mkdir(join(folder, name));
  await cp(fileURLToPath(new URL("../small", import.meta.url)), join(folder, "book"), { recursive: true });
  for (const { path, text } of small) {
    await mkdir(dirname(join(folder, "records", path)), { recursive: true });
    await writeFile(join(folder, "records", path), text);
  }
  const cell = await openCell();
  const disk = join(folder, "disk");
  const sized = (size: string) => cell.sh(`mount -o remount,rw,size=${size} ${disk}`);
  cell.sh(`mount -t tmpfs -o size=64m tmpfs ${disk}`);
  return {
    folder,
    cell,
    leave(free) {
      const used = Number(cell.sh(`df -k ${disk} | tail -1 | awk '{ print $3 }'`));
      sized(free === undefined ? "64m" : `${Math.max(used + free, 4)}k`);
    },
    lock: () => void cell.sh(`mount -o remount,ro ${disk}`),
    async close() {
      await cell.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** What is amiss with what was said of a disk: it is to be one line with the place and the reason, and nothing of the program. */
export function amiss({ code, err }: { code: number | string; err: string }, place: string, why: string): string[] {
  const faults: string[] = [];
  if (code !== 3) faults.push(`exit code ${code}`);
  if (err.trim().split("\n").length !== 1) faults.push("more than one line");
  if (!err.includes(place)) faults.push(`does not name ${place}`);
  if (!err.includes(why)) faults.push(`does not say ${why}`);
  if (/\bE[A-Z]{4,}\b|\bat .*:\d+:\d+|Error\b|slip of the program/.test(err)) faults.push("tells of the program");
  return faults.map((fault) => `${fault}: ${err}`);
}
