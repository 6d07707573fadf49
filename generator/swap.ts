import { renameSync } from "node:fs";
import { mkdir, open, readdir, readFile, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout } from "node:timers/promises";

/** A folder to print into that is this process's own until it is let go. */
export interface Held {
  release(): Promise<void>;
}

/**
 * Takes a folder to print into, so that two at once do not mix; undefined when another living process of this machine has it.
 * What one that died left behind is taken over and cleared: half-made editions are thrown away, and a good edition that was
 * moved aside and never followed by the next is put back.
 */
export async function hold(out: string): Promise<Held | undefined> {
  await mkdir(out, { recursive: true });
  const lock = join(out, lockName);
  for (let empty = 0; ; ) {
    const handle = await open(lock, "wx").catch((error: NodeJS.ErrnoException) => {
      if (error.code !== "EEXIST") throw error;
    });
    if (handle) {
      held.add(lock);
      const release = async (): Promise<void> => {
        held.delete(lock);
        await rm(lock, { force: true });
      };
      try {
        await handle.writeFile(`${process.pid}\n`).finally(() => handle.close());
        await clear(out);
      } catch (error) {
        await release().catch(() => {});
        throw error;
      }
      return { release };
    }
    const holder = Number((await readFile(lock, "utf8").catch(() => "")).trim());
    // Another may have made it this instant and not yet said who it is.
    if (holder === 0 && empty++ < 5) await setTimeout(20);
    else if (held.has(lock) || (holder > 0 && holder !== process.pid && isAlive(holder))) return undefined;
    else await rm(lock, { force: true });
  }
}

/** Where an edition is made before it is put in place. */
export function draftOf(out: string, edition: string): string {
  return join(out, `.${edition}-${process.pid}`);
}

/**
 * Puts a finished folder in place of an older one, which is taken away only once the new one stands. Both are renamed without
 * anything between; what dies in that instant is mended by the next {@link hold}. @throws Error when the disk will not have
 * it; the older one stands then.
 */
export async function swapIn(folder: string, finished: string): Promise<void> {
  const old = `${finished}${aside}`;
  await rm(old, { recursive: true, force: true });
  let moved = true;
  try {
    renameSync(folder, old);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
    moved = false;
  }
  try {
    renameSync(finished, folder);
  } catch (error) {
    if (moved) renameSync(old, folder);
    throw error;
  }
  // What cannot be taken away now is by the next that holds the folder.
  await rm(old, { recursive: true, force: true }).catch(() => {});
}

/** The locks that this process itself holds. */
const held = new Set<string>();

const lockName = ".printing";
const aside = "-old";
const leftover = /^\.(staff|customer)-\d+(-old)?$/;

async function clear(out: string): Promise<void> {
  const names = new Set(await readdir(out));
  for (const name of [...names].sort()) {
    const [, edition, old] = leftover.exec(name) ?? [];
    if (edition === undefined) continue;
    if (old !== undefined && !names.has(edition)) {
      await rename(join(out, name), join(out, edition));
      names.add(edition);
    } else await rm(join(out, name), { recursive: true, force: true });
  }
}

/** Whether a process of this machine still runs. */
export function isAlive(process_: number): boolean {
  try {
    process.kill(process_, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
