import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { cp, mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { filesOf } from "../site/folder.ts";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The smallest book that is printed in both editions, as two books that differ in a sentence. */
export async function twoSmallBooks(folder: string): Promise<readonly [string, string]> {
  const books = [join(folder, "first"), join(folder, "second")] as const;
  for (const [index, book] of books.entries()) {
    await mkdir(book, { recursive: true });
    await cp(here("small"), book, { recursive: true });
    const crop = join(book, "crops/parsley.md");
    const text = await readFile(crop, "utf8");
    await writeFile(
      crop,
      text.replace("then steady for months", `then steady for ${index === 0 ? "months" : "a year"}`),
    );
  }
  return books;
}

/** A build as a process of its own: how it ended, or that it was killed `after` so many milliseconds, alone or with all it began. */
export function building(
  content: string,
  out: string,
  {
    after,
    whole = true,
    env = {},
  }: { readonly after?: number; readonly whole?: boolean; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<{ readonly code: number | null; readonly said: string }> {
  const child = spawn(
    process.execPath,
    [here("../generator/tierbook.js"), "build", "--content", content, "--out", out],
    {
      detached: true,
      env: { ...process.env, ...env },
    },
  );
  let said = "";
  child.stdout.on("data", (chunk) => (said += chunk));
  child.stderr.on("data", (chunk) => (said += chunk));
  const timer =
    after === undefined
      ? undefined
      : setTimeout(() => {
          try {
            process.kill(whole ? -child.pid! : child.pid!, "SIGKILL");
          } catch {
            // It was done before.
          }
        }, after);
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("exit", (code) => {
      clearTimeout(timer);
      done({ code, said });
    });
  });
}

/** One number for all files of an edition, names and bytes; undefined when there is none. */
export async function editionDigest(folder: string): Promise<string | undefined> {
  if (!(await readdir(folder).catch(() => undefined))) return undefined;
  const hash = createHash("sha256");
  for (const path of await filesOf(folder))
    hash
      .update(path)
      .update("\0")
      .update(await readFile(join(folder, path)));
  return hash.digest("hex");
}

export interface Survived {
  readonly killed: number;
  /** Ended before they could be killed. */
  readonly finished: number;
  /** Killed between taking the old edition away and putting the new one in its place; mended by the next command. */
  readonly between: number;
}

/**
 * Kills builds of one book over another at moments drawn from a seed, every second one with its children left alive. After each,
 * every edition must be the whole old one or the whole new one; the build after the last must be right and leave nothing beside
 * the editions. @throws Error naming the kill after which that was not so
 */
export async function surviveKills(kills: number, seed: number, folder: string): Promise<Survived> {
  const [first, second] = await twoSmallBooks(folder);
  const [out, wanted] = [join(folder, "out"), join(folder, "wanted")];
  const good = new Set<string>();
  for (const book of [first, second]) {
    await mustBuild(book, wanted);
    for (const edition of editions) good.add((await editionDigest(join(wanted, edition)))!);
  }
  const began = performance.now();
  await mustBuild(first, out);
  const usual = performance.now() - began;
  let state = seed;
  const draw = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
  let [finished, between] = [0, 0];
  for (let kill = 0; kill < kills; kill++) {
    const after = Math.round(draw() * usual);
    const { code } = await building(kill % 2 === 0 ? second! : first!, out, { after, whole: kill % 4 < 2 });
    if (code === 0) finished++;
    for (const edition of editions) {
      const digest = await editionDigest(join(out, edition));
      if (digest === undefined) between++;
      else if (!good.has(digest))
        throw new Error(`kill ${kill} after ${after} ms, seed ${seed}: ${edition} is neither book`);
    }
  }
  await mustBuild(second!, out);
  for (const edition of editions)
    if ((await editionDigest(join(out, edition))) !== (await editionDigest(join(wanted, edition))))
      throw new Error(`The build after ${kills} kills, seed ${seed}, is not right: ${edition}`);
  const left = (await readdir(out)).filter((name) => !editions.includes(name));
  if (left.length > 0) throw new Error(`The build after ${kills} kills left ${left.join(", ")}`);
  return { killed: kills - finished, finished, between };
}

const editions: readonly string[] = ["staff", "customer"];

async function mustBuild(content: string, out: string): Promise<void> {
  const { code, said } = await building(content, out);
  if (code !== 0) throw new Error(said);
}
