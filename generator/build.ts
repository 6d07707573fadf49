import { spawn } from "node:child_process";
import { mkdir, mkdtemp, readdir, readFile, rename, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { basename, dirname, extname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync, inflateRawSync } from "node:zlib";
import { type Leak, leaks, type OutputText } from "./guard.ts";
import type { Library } from "./library.ts";
import type { Audience } from "./shown.ts";

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
  const draft = join(out, `.${edition}-${process.pid}`);
  await mkdir(out, { recursive: true });
  await rm(draft, { recursive: true, force: true });
  try {
    const log = await runSite(edition, content, draft);
    if (log !== undefined) return { edition, trouble: log };
    if (edition === "customer") {
      const found = leaks(library, await outputTexts(draft), await ownWords());
      if (found.length > 0) return { edition, leaks: found };
    }
    await replace(folder, draft);
    return { edition, folder };
  } finally {
    await rm(draft, { recursive: true, force: true });
  }
}

/** Every file of a folder as text; base64 runs inside scripts, such as the search pack, are unpacked as well. */
export async function outputTexts(folder: string): Promise<readonly OutputText[]> {
  const texts: OutputText[] = [];
  for (const path of await filesOf(folder)) {
    const file = relative(folder, path).split(sep).join("/");
    const bytes = await readFile(path);
    if (binary.has(extname(path))) {
      texts.push({ file, text: unpacked(bytes) });
      continue;
    }
    const text = bytes.toString("utf8");
    texts.push({ file, text: plain(text, extname(path)) });
    for (const [packed = ""] of text.matchAll(/[A-Za-z0-9+/]{64,}={0,2}/g))
      texts.push({ file, text: unpacked(Buffer.from(packed, "base64")) });
  }
  return texts;
}

/** The site builder in a process and a root of its own, so that two at once share nothing; what it said when it failed. */
async function runSite(edition: Audience, content: string, draft: string): Promise<string | undefined> {
  const astro = join(dirname(createRequire(import.meta.url).resolve("astro/package.json")), "bin/astro.mjs");
  const scraps = join(home, "node_modules/.cache");
  await mkdir(scraps, { recursive: true });
  const root = await mkdtemp(join(scraps, `printing-${edition}-`));
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

/** Puts a finished folder in place of an older one, which is taken away only once the new one stands. */
async function replace(folder: string, finished: string): Promise<void> {
  const old = `${finished}-old`;
  await rm(old, { recursive: true, force: true });
  await rename(folder, old).catch((error: NodeJS.ErrnoException) => {
    if (error.code !== "ENOENT") throw error;
  });
  await rename(finished, folder);
  await rm(old, { recursive: true, force: true });
}

/** The program's own words: whatever stands in its source gives nothing away. */
async function ownWords(): Promise<readonly string[]> {
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

const binary = new Set([
  ".woff2",
  ".png",
  ".jpg",
  ".ico",
  ".wasm",
  ".gz",
  ".pf_meta",
  ".pf_index",
  ".pf_fragment",
  ".pagefind",
]);

/** The text inside bytes that may be compressed. */
function unpacked(bytes: Buffer): string {
  for (const open of [gunzipSync, inflateRawSync]) {
    try {
      return open(bytes).toString("utf8");
    } catch {
      // Not compressed in this way.
    }
  }
  return bytes.toString("utf8");
}

/** Text without what a browser would undo: entities in pages, escapes in scripts. Drawing co-ordinates are left out. */
function plain(text: string, ending: string): string {
  if (ending === ".html" || ending === ".svg" || ending === ".xml") {
    const bare = text.replace(/ (?:d|points|viewBox|transform|x|y|x1|x2|y1|y2|cx|cy|r|width|height)="[^"]*"/g, " ");
    const decoded = bare
      .replace(/&#x([0-9a-f]+);/gi, (_, hex: string) => String.fromCodePoint(Number.parseInt(hex, 16)))
      .replace(/&#(\d+);/g, (_, code: string) => String.fromCodePoint(Number(code)))
      .replace(/&(amp|lt|gt|quot|apos|nbsp);/g, (_, name: string) => entities[name] ?? " ");
    return `${decoded}\n${decoded.replace(/<[^>]*>/g, "")}\n${decoded.replace(/<[^>]*>/g, " ")}`;
  }
  return text.replace(/\\u\{?([0-9a-f]{4,6})\}?/gi, (_, hex: string) =>
    String.fromCodePoint(Math.min(Number.parseInt(hex, 16), 0x10ffff)),
  );
}

const entities: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'", nbsp: " " };
