import { spawn } from "node:child_process";
import { mkdir, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { basename, dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { type Leak, leaks, type OutputText } from "./guard.ts";
import type { Library } from "./library.ts";
import { unwritable } from "./put.ts";
import type { Audience } from "./shown.ts";
import { draftOf, isAlive, swapIn } from "./swap.ts";
import { textsIn } from "./texts.ts";

/** The folder of the program itself, where its site is. */
const home = fileURLToPath(new URL("..", import.meta.url));

/** What came of printing one edition: its folder, or why the last good one was left in place. */
export type Printed =
  | { readonly edition: Audience; readonly folder: string }
  | { readonly edition: Audience; readonly leaks: readonly Leak[] }
  | { readonly edition: Audience; readonly trouble: string };

/**
 * Prints one edition into `out`, as a folder named after it. It is made beside and put in place only when it is whole and,
 * for customers, when nothing private is in it; until then the last good edition stays.
 */
export async function printEdition(
  edition: Audience,
  { content, out, library }: { readonly content: string; readonly out: string; readonly library: Library },
): Promise<Printed> {
  const folder = join(out, edition);
  const draft = draftOf(out, edition);
  await mkdir(out, { recursive: true });
  await rm(draft, { recursive: true, force: true });
  try {
    const log = await runSite(edition, content, draft);
    if (log !== undefined) return { edition, trouble: diskTrouble(log, out) ?? log };
    if (edition === "customer") {
      const found = leaks(library, await outputTexts(draft), await ownWords());
      if (found.length > 0) return { edition, leaks: found };
    }
    await swapIn(folder, draft);
    return { edition, folder };
  } finally {
    await rm(draft, { recursive: true, force: true });
  }
}

/** All text that can be got out of the files of a folder. */
export async function outputTexts(folder: string): Promise<readonly OutputText[]> {
  const texts: OutputText[] = [];
  for (const path of await filesOf(folder))
    texts.push(...textsIn(relative(folder, path).split(sep).join("/"), await readFile(path)));
  return texts;
}

/** The site builder in a process and a root of its own, so that two at once share nothing; what it said when it failed. */
async function runSite(edition: Audience, content: string, draft: string): Promise<string | undefined> {
  const astro = join(dirname(createRequire(import.meta.url).resolve("astro/package.json")), "bin/astro.mjs");
  const scraps = join(home, "node_modules/.cache");
  await mkdir(scraps, { recursive: true });
  await clearScraps(scraps);
  const root = await mkdtemp(join(scraps, `printing-${process.pid}-${edition}-`));
  const child = spawn(
    process.execPath,
    [astro, "build", "--root", root, "--config", relative(root, join(home, "astro.config.mjs"))],
    {
      cwd: root,
      env: {
        ...process.env,
        NODE_ENV: "production",
        ASTRO_TELEMETRY_DISABLED: "1",
        TIERBOOK_AUDIENCE: edition,
        TIERBOOK_CONTENT: content,
        TIERBOOK_OUT: draft,
      },
    },
  );
  const said: string[] = [];
  child.stdout.on("data", (chunk) => said.push(String(chunk)));
  child.stderr.on("data", (chunk) => said.push(String(chunk)));
  try {
    return await new Promise((done, fail) => {
      child.on("error", fail);
      child.on("close", (code) => done(code === 0 ? undefined : said.join("").trimEnd()));
    });
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

/** Takes away the roots of builds that died. */
async function clearScraps(scraps: string): Promise<void> {
  for (const name of await readdir(scraps)) {
    const maker = /^printing-(\d+)-/.exec(name)?.[1];
    if (maker !== undefined && !isAlive(Number(maker))) await rm(join(scraps, name), { recursive: true, force: true });
  }
}

/** What the disk would not do, where that is what stopped the site builder. */
function diskTrouble(log: string, out: string): string | undefined {
  const code = /\b(ENOSPC|EDQUOT|EROFS|EACCES|EPERM)\b/.exec(log)?.[1];
  return code === undefined ? undefined : `${unwritable(out, Object.assign(new Error(code), { code }))}.`;
}

/** The program's own words: whatever stands in its source gives nothing away. */
export async function ownWords(): Promise<readonly string[]> {
  const folders = ["site", "generator"].map((name) => join(home, name));
  const paths = (await Promise.all(folders.map(filesOf))).flat().filter((path) => /\.(ts|astro|css)$/.test(path));
  return Promise.all(paths.map((path) => readFile(path, "utf8")));
}

/** Every file below a folder, in one order everywhere. */
export async function filesOf(folder: string): Promise<readonly string[]> {
  const entries = await readdir(resolve(folder), { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile() && !basename(entry.parentPath).startsWith("."))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}
