import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { rmSync } from "node:fs";
import { cp, mkdir, mkdtemp, readdir, readFile, rename, rm, stat, symlink, utimes, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { constants, homedir, tmpdir } from "node:os";
import { basename, dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { notWritten } from "./put.ts";
import { isAlive } from "./swap.ts";

/** The folder of the program itself, where its site is. */
export const home = fileURLToPath(new URL("..", import.meta.url));

/** The site built as a program that prints pages. */
export interface Press {
  /** Below it `server/entry.mjs`, which prints pages, and `client/`, the files that go with them. */
  readonly folder: string;
  /** One number for all that the program is: the same one prints the same pages. */
  readonly program: string;
}

/** Why something could not be made. */
export interface Failed {
  readonly trouble: string;
  /** Whether it was the disk's doing; the trouble is one sentence then, without its full stop. */
  readonly disk: boolean;
}

/**
 * The press of this program, from the last time it was wanted or made now; or what the site builder said when it failed.
 * `fresh` makes it anew. Where the folder has no room for it, it is made in one that is used once.
 */
export async function pressOf(scraps: string, fresh = false): Promise<Press | Failed> {
  const program = await programDigest();
  const folder = join(scraps, `press-${program.slice(0, 16)}`);
  if (fresh || !(await isSound(folder))) {
    const failed = await make(folder, scraps).catch((error: NodeJS.ErrnoException) => {
      if (error.syscall === undefined) throw error;
      return { trouble: notWritten(scraps, error), disk: true };
    });
    if (failed?.disk && scraps !== (await once)) return pressOf(await usedOnce(), fresh);
    if (failed) return failed;
  }
  const now = new Date();
  // What has gone out of use only takes room.
  await utimes(folder, now, now).catch(() => {});
  await forget(scraps, "press-", 3).catch(() => {});
  return { folder, program };
}

/** The disk's word for what stopped a program, where its log has it, as a word or as the number of this system. */
function diskCode(log: string): string | undefined {
  const number = Number(/\(os error (\d+)\)/.exec(log)?.[1]);
  const words = [...log.matchAll(/\bE[A-Z]{3,}\b/g)].map(([word]) => word);
  return ofDisks.find((code) => words.includes(code) || constants.errno[code] === number);
}

const ofDisks = ["ENOSPC", "EDQUOT", "EROFS", "EACCES", "EPERM", "EFBIG"] as const;

/**
 * Where the program keeps what it would otherwise make again: beside itself, or in the user's own folder where its own is
 * read-only or full. Never near a book, which may be handed on. Where there is neither, a folder that is used once.
 */
export async function scrapsFolder(): Promise<string> {
  for (const folder of [join(home, "node_modules/.cache/tierbook"), join(homedir(), ".cache/tierbook")]) {
    try {
      await mkdir(folder, { recursive: true });
      const probe = await mkdtemp(join(folder, `probe-${process.pid}-`));
      await rm(probe, { recursive: true });
      return folder;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (!["EACCES", "EPERM", "EROFS", "ENOTDIR", "ENOENT", "ENOSPC", "EDQUOT"].includes(code ?? "")) throw error;
    }
  }
  return usedOnce();
}

/** A folder for this run alone, which is taken away when it ends. @throws Error when there is no room for one */
function usedOnce(): Promise<string> {
  once ??= mkdtemp(join(tmpdir(), "tierbook-scraps-")).then((folder) => {
    process.once("exit", () => rmSync(folder, { recursive: true, force: true }));
    return folder;
  });
  return once;
}

let once: Promise<string> | undefined;

/** Of what is kept under names that begin alike, takes away all but the newest. */
export async function forget(scraps: string, start: string, but: number): Promise<void> {
  const names = (await readdir(scraps)).filter((name) => name.startsWith(start) && !name.includes("."));
  const aged = await Promise.all(
    names.map(async (name) => ({ name, at: (await stat(join(scraps, name)).catch(() => undefined))?.mtimeMs ?? 0 })),
  );
  const old = aged.sort((a, b) => b.at - a.at || (a.name < b.name ? -1 : 1)).slice(but);
  for (const { name } of old) await rm(join(scraps, name), { recursive: true, force: true });
}

/** The program's own words: whatever stands in its source gives nothing away. */
export async function ownWords(): Promise<readonly string[]> {
  const paths = (await sources()).filter((path) => /\.(ts|astro|css)$/.test(path));
  return Promise.all(paths.map((path) => readFile(path, "utf8")));
}

/** Every file below a folder, in one order everywhere; a folder inside it with a dot before its name is left out, not itself. */
export async function filesOf(folder: string): Promise<readonly string[]> {
  const entries = await readdir(resolve(folder), { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile() && (entry.parentPath === resolve(folder) || !isHidden(entry.parentPath)))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

function isHidden(folder: string): boolean {
  return basename(folder).startsWith(".");
}

async function sources(): Promise<readonly string[]> {
  return (await Promise.all(["site", "generator"].map((name) => filesOf(join(home, name))))).flat();
}

async function programDigest(): Promise<string> {
  const hash = createHash("sha256").update(process.version);
  const paths = [...(await sources()), ...["astro.config.mjs", "package-lock.json"].map((name) => join(home, name))];
  for (const path of paths) hash.update(`\0${relative(home, path)}\0`).update(await readFile(path));
  return hash.digest("hex");
}

/** Builds the site in a root of its own, so that two at once share nothing; what the builder said when it failed. */
async function make(folder: string, scraps: string): Promise<Failed | undefined> {
  await clearScraps(scraps);
  const root = await mkdtemp(join(scraps, `making.${process.pid}.`));
  try {
    const made = join(root, "press");
    const isElsewhere = relative(home, root).startsWith("..");
    const said = await (isElsewhere ? runBuilder(await copyIn(root), made, root) : runBuilder(root, made, home));
    if (said !== undefined) {
      const code = diskCode(said);
      return code === undefined
        ? { trouble: said, disk: false }
        : { trouble: notWritten(scraps, { code, message: said }), disk: true };
    }
    await writeFile(join(made, sums), JSON.stringify(await sumsOf(made)));
    // A sound one may be in use by another build, and is never taken from under it.
    if (await isSound(folder)) return undefined;
    await rm(folder, { recursive: true, force: true });
    await rename(made, folder).catch(async (error) => {
      if (!(await isSound(folder))) throw error;
    });
    return undefined;
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

/**
 * Copies the program into a folder that is elsewhere, as the site builder looks for packages from its root upwards, and takes
 * a file of another place for one of its root's. Gives a root that has the program where it is from a root in its own scraps,
 * since files are named after the way there.
 */
async function copyIn(root: string): Promise<string> {
  for (const name of ["site", "generator", "astro.config.mjs", "package.json", ".tsconfig.strict.json"])
    await cp(join(home, name), join(root, name), { recursive: true });
  await symlink(join(home, "node_modules"), join(root, "node_modules"), "junction");
  const deep = join(root, "making/for/this/once");
  await mkdir(deep, { recursive: true });
  return deep;
}

function runBuilder(root: string, out: string, program: string): Promise<string | undefined> {
  const needed = ["PATH", "HOME", "TMPDIR", "TEMP", "SystemRoot"];
  const kept = Object.fromEntries(Object.entries(process.env).filter(([name]) => needed.includes(name)));
  const astro = join(dirname(createRequire(import.meta.url).resolve("astro/package.json")), "bin/astro.mjs");
  const child = spawn(
    process.execPath,
    [astro, "build", "--root", root, "--config", relative(root, join(program, "astro.config.mjs"))],
    {
      cwd: root,
      // Nothing else of what surrounds a command may change what is built, as every other command prints with it.
      env: { ...kept, NODE_ENV: "production", ASTRO_TELEMETRY_DISABLED: "1", TIERBOOK_PRESS: out },
    },
  );
  const said: string[] = [];
  child.stdout.on("data", (chunk) => said.push(String(chunk)));
  child.stderr.on("data", (chunk) => said.push(String(chunk)));
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code) => done(code === 0 ? undefined : said.join("").trimEnd()));
  });
}

/** Takes away what builds that died have left. */
async function clearScraps(scraps: string): Promise<void> {
  for (const name of await readdir(scraps)) {
    const maker = /^(?:making\.|probe-|last\.)(\d+)\b/.exec(name)?.[1];
    if (maker !== undefined && !isAlive(Number(maker))) await rm(join(scraps, name), { recursive: true, force: true });
  }
}

const sums = "sums.json";

/** Whether a press is there and every file of it is what it was when it was made. */
async function isSound(folder: string): Promise<boolean> {
  try {
    const wanted: unknown = JSON.parse(await readFile(join(folder, sums), "utf8"));
    return JSON.stringify(wanted) === JSON.stringify(await sumsOf(folder));
  } catch {
    return false;
  }
}

async function sumsOf(folder: string): Promise<Readonly<Record<string, string>>> {
  const paths = (await filesOf(folder)).filter((path) => basename(path) !== sums);
  const found = paths.map(async (path) => {
    const sum = createHash("sha256").update(await readFile(path));
    return [relative(folder, path), sum.digest("hex")] as const;
  });
  return Object.fromEntries(await Promise.all(found));
}
