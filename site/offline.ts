import { createHash } from "node:crypto";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { AstroIntegration } from "astro";
import { edited, filesOf, readPage, relative } from "./folder.ts";

/** What the book is called where a device lists what it keeps. */
export interface Book {
  readonly name: string;
  readonly shortName: string;
  readonly language: string;
  /** Pictures of it in the built site, from its root. */
  readonly icons: readonly { readonly src: string; readonly sizes: string; readonly type: string }[];
}

/** Lets a served book be kept on a device and read there without a signal. Stands last. */
export function offline(book: Book): AstroIntegration {
  return {
    name: "offline",
    hooks: { "astro:build:done": ({ dir }) => keepOffline(fileURLToPath(dir), book) },
  };
}

/**
 * Writes `sw.js`, which keeps every file of the site, `offline.js`, which starts it over http and does nothing from a
 * folder, and `manifest.webmanifest`; and names `offline.js` in the head of every page. A new edition fetches only the
 * files that have changed.
 */
export async function keepOffline(root: string, book: Book): Promise<void> {
  await writeFile(join(root, "offline.js"), starter);
  await writeFile(join(root, "manifest.webmanifest"), `${JSON.stringify(manifest(book), undefined, 2)}\n`);
  const hashes: Record<string, string> = {};
  for (const path of await filesOf(root)) {
    if (path === "sw.js") continue;
    if (path.endsWith(".html")) await nameStarter(root, path);
    const content = await readFile(join(root, path));
    hashes[path] = createHash("sha256").update(content).digest("base64url").slice(0, 16);
  }
  await writeFile(join(root, "sw.js"), `const files = ${JSON.stringify(hashes, undefined, 1)};\n${worker}`);
}

async function nameStarter(root: string, path: string): Promise<void> {
  const { source, elements } = readPage(await readFile(join(root, path), "utf8"));
  const address = path === "404.html" ? "/offline.js" : relative(path, "offline.js");
  if (elements.some(({ tagName, properties }) => tagName === "script" && properties.src === address)) return;
  const head = elements.find(({ tagName }) => tagName === "head");
  const start = head?.data?.position?.closing?.start.offset;
  if (start === undefined) throw new Error(`${path}: Unexpected page without \`</head>\`, expected one to write in`);
  const text = `<script defer src="${address}"></script>`;
  await writeFile(join(root, path), edited(source, [{ start, end: start, text }]));
}

function manifest({ name, shortName, language, icons }: Book): object {
  return {
    name,
    short_name: shortName,
    lang: language,
    start_url: "./index.html",
    scope: "./",
    display: "standalone",
    icons,
  };
}

const starter = `{
  const here = document.currentScript.src;
  if (location.protocol.startsWith("http")) {
    const link = document.createElement("link");
    link.rel = "manifest";
    link.href = new URL("manifest.webmanifest", here).href;
    document.head.append(link);
    navigator.serviceWorker?.register(new URL("sw.js", here)).catch(() => {});
  }
}
`;

/** Each file is kept under its address and its hash, so an edition never answers with a file of another. */
const worker = `const root = registration.scope;
const addressOf = (path) => root + encodeURI(path).replace(/[?#]/g, encodeURIComponent);
const kept = (path) => new URL(addressOf(path) + "?" + files[path]).href;
const wanted = new Set(Object.keys(files).map(kept));

const fetchAll = async () => {
  const cache = await caches.open(root);
  const had = new Set((await cache.keys()).map(({ url }) => url));
  const missing = Object.keys(files).filter((path) => !had.has(kept(path)));
  const keep = async () => {
    for (let path = missing.pop(); path !== undefined; path = missing.pop()) {
      const answer = await fetch(addressOf(path), { cache: "reload" });
      if (!answer.ok) throw new Error(path + " answered " + answer.status);
      const type = answer.headers.get("content-type") ?? "application/octet-stream";
      await cache.put(kept(path), new Response(await answer.blob(), { headers: { "content-type": type } }));
    }
  };
  await Promise.all([keep(), keep(), keep(), keep(), keep(), keep()]);
  await skipWaiting();
};

const dropOld = async () => {
  const cache = await caches.open(root);
  const stale = (await cache.keys()).filter(({ url }) => !wanted.has(url));
  await Promise.all(stale.map((request) => cache.delete(request)));
  await clients.claim();
};

const answer = async (request) => {
  const path = decodeURI(new URL(request.url).pathname.slice(new URL(root).pathname.length)).replace(/\\/$/, "");
  const name = [path, path + ".html", (path && path + "/") + "index.html"].find((name) => Object.hasOwn(files, name));
  const cached = name === undefined ? undefined : await (await caches.open(root)).match(kept(name));
  return cached ?? fetch(request);
};

addEventListener("install", (event) => event.waitUntil(fetchAll()));
addEventListener("activate", (event) => event.waitUntil(dropOld()));
addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && event.request.url.startsWith(root)) event.respondWith(answer(event.request));
});
`;
