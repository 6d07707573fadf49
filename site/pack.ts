import { mkdir, readFile, rm, writeFile } from "node:fs/promises";
import { join, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
import { build, transform } from "esbuild";
import { close, createIndex, type IndexFile } from "pagefind";
import { filesOf } from "./folder.ts";
import type { Name } from "./search/rank.ts";

/** A page as the search reads it. */
export interface Indexed {
  readonly path: string;
  readonly html: string;
}

/** Writes `pack/` into a built site: the search of its pages. @throws Error if no page has words to search */
export async function packSearch(root: string): Promise<void> {
  const pages: Indexed[] = [];
  for (const path of await filesOf(root))
    if (path.endsWith(".html") && path !== "404.html")
      pages.push({ path, html: await readFile(join(root, path), "utf8") });
  const files = await searchOf(pages);
  await rm(join(root, "pack"), { recursive: true, force: true });
  await mkdir(join(root, "pack"));
  for (const [path, text] of files) await writeFile(join(root, path), text);
}

/**
 * The files of `pack/` by their paths: `search.js` with the engine and what every search needs, and one small script for
 * each part of the index; and `box.js`, which lists results under a form. All are classic scripts, and those with data hand
 * it over in an event on their own `<script>`, so the same files work from a folder and served, and nothing global is made.
 * @throws Error if no page has words to search
 */
export async function searchOf(pages: Iterable<Indexed>): Promise<ReadonlyMap<string, string>> {
  const files = new Map((await indexOf(pages)).map(({ path, content }) => [path, content]));
  const entry: Entry = JSON.parse(text(files.get("pagefind-entry.json")!));
  const languages = Object.values(entry.languages);
  if (languages.length === 0)
    throw new Error(`Unexpected site without words, expected a page with \`data-pagefind-body\` on its text`);
  const needed = [
    "pagefind-entry.json",
    ...languages.flatMap(({ hash, wasm }) => [`pagefind.${hash}.pf_meta`, `wasm.${wasm ?? "unknown"}.pagefind`]),
  ];
  const core = {
    files: Object.fromEntries([...new Set(needed)].map((path) => [path, base64(files.get(path)!)])),
    names: namesOf(files),
  };

  const engine = await engineOf(text(files.get("pagefind.js")!));
  const parts = [...files].filter(([path]) => /^(index|fragment|filter)\//.test(path));
  return new Map([
    ["pack/search.js", `${hand}{"engine":${engine},"core":${JSON.stringify(core)}${over}`],
    [`pack/${box}`, await boxScript()],
    ...parts.map(
      ([path, content]) => [`pack/${posix.basename(path)}.js`, `${hand}"${base64(content)}"${end}`] as const,
    ),
  ]);
}

/** All text of a built pack, unpacked: for each script of it, what can be read in it. */
export async function packedTexts(root: string): Promise<{ file: string; text: string }[]> {
  const texts: { file: string; text: string }[] = [];
  for (const path of await filesOf(join(root, "pack"))) {
    const file = `pack/${path}`;
    const script = await readFile(join(root, file), "utf8");
    if (path === "search.js") {
      const core: Core = JSON.parse(script.slice(script.lastIndexOf(',"core":') + 8, -over.length));
      for (const content of Object.values(core.files)) texts.push({ file, text: unpacked(content) });
      texts.push({ file, text: JSON.stringify(core.names) });
    } else if (path === box) {
      texts.push({ file, text: script });
    } else {
      texts.push({ file, text: unpacked(script.slice(hand.length + 1, -end.length - 1)) });
    }
  }
  return texts;
}

const box = "box.js";
const hand = 'document.currentScript.dispatchEvent(new CustomEvent("pack",{detail:';
const end = "}));\n";
const over = `}${end}`;

interface Entry {
  readonly languages: Readonly<Record<string, { readonly hash: string; readonly wasm?: string }>>;
}

interface Core {
  readonly files: Readonly<Record<string, string>>;
  readonly names: readonly Name[];
}

interface Fragment {
  readonly url: string;
  readonly meta: Readonly<Record<string, string>>;
}

/** Pages go in one by one and in order, so that the same site gives the same index. */
async function indexOf(pages: Iterable<Indexed>): Promise<readonly IndexFile[]> {
  try {
    const { index, errors } = await createIndex({ keepIndexUrl: true });
    if (!index) throw new Error(errors.join("\n"));
    for (const { path, html } of pages) {
      const added = await index.addHTMLFile({ url: `/${path}`, content: html });
      if (added.errors.length > 0) throw new Error(`${path}: ${added.errors.join("; ")}`);
    }
    const { files } = await index.getFiles();
    return files.sort((a, b) => (a.path < b.path ? -1 : 1));
  } finally {
    await close();
  }
}

/** What lists the results under a form, as one classic script. */
async function boxScript(): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL("search/box.ts", import.meta.url))],
    bundle: true,
    format: "iife",
    target: "es2020",
    charset: "utf8",
    minify: true,
    legalComments: "none",
    write: false,
    logLevel: "silent",
    tsconfigRaw: "{}",
  });
  return outputFiles[0]!.text;
}

/** The engine as a function of the `fetch` and the `Worker` it is to use. */
async function engineOf(module: string): Promise<string> {
  const { code } = await transform(module, {
    format: "iife",
    globalName: "engine",
    target: "es2020",
    minify: true,
    legalComments: "none",
    define: { "import.meta.url": "undefined" },
    logLevel: "silent",
  });
  return `function(fetch,Worker){${code.trim()}return engine}`;
}

/** What each page is called, under the name of its part of the index. */
function namesOf(files: ReadonlyMap<string, Uint8Array>): readonly Name[] {
  const names: Name[] = [];
  for (const [path, content] of files) {
    if (!path.startsWith("fragment/")) continue;
    const { url, meta }: Fragment = JSON.parse(withoutMark(text(gunzipSync(content))));
    const others = (meta.names ?? "").split(";").map((name) => name.trim());
    names.push({
      id: posix.basename(path, ".pf_fragment"),
      url: url.replace(/^\//, ""),
      title: meta.title ?? "",
      kind: meta.kind ?? "",
      code: meta.code ?? "",
      names: others.filter((name) => name !== ""),
      ...(meta.asked ? { asked: meta.asked } : {}),
    });
  }
  return names.sort((a, b) => (a.url < b.url ? -1 : 1));
}

const mark = "pagefind_dcd";
const withoutMark = (content: string): string => (content.startsWith(mark) ? content.slice(mark.length) : content);
const text = (content: Uint8Array): string => Buffer.from(content).toString("utf8");
const base64 = (content: Uint8Array): string => Buffer.from(content).toString("base64");

function unpacked(content: string): string {
  const bytes = Buffer.from(content, "base64");
  return withoutMark(text(bytes[0] === 0x1f && bytes[1] === 0x8b ? gunzipSync(bytes) : bytes));
}
