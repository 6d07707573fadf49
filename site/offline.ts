import { createHash } from "node:crypto";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { filesOf } from "./folder.ts";
import { relative } from "./links.ts";
import { type Edit, edited, type Page, readPage } from "./page.ts";

/** What the book is called where a device lists what it keeps. */
export interface Book {
  readonly name: string;
  readonly shortName: string;
  readonly language: string;
  /** Pictures of it in the built site, from its root. */
  readonly icons: readonly {
    readonly src: string;
    readonly sizes: string;
    readonly type: string;
    readonly purpose?: "any" | "maskable";
  }[];
  /** Around the book while it opens, as in a style sheet. */
  readonly colour?: string;
}

/**
 * Lets a served book be kept on a device and read there without a signal. Writes `sw.js`, which keeps every file of the site,
 * `offline.js`, which starts it over http and does nothing from a folder, and `manifest.webmanifest`; and names `offline.js` in
 * the head of every page. A new edition fetches only the files that have changed. What the front page says of itself, its
 * title, its description and the edition in `data-edition`, is what a device calls the book. `known` are hashes of files that
 * need not be read again.
 */
export async function keepOffline(
  root: string,
  book: Book,
  known: ReadonlyMap<string, string> = new Map(),
): Promise<void> {
  const front = await frontPage(root);
  await writeFile(join(root, "offline.js"), starter);
  await writeFile(join(root, "manifest.webmanifest"), `${JSON.stringify(manifest(book, front), undefined, 2)}\n`);
  const hashes: Record<string, string> = {};
  for (const path of await filesOf(root)) {
    if (path === "sw.js") continue;
    if (path.endsWith(".html") && !known.has(path)) await nameStarter(root, path);
    hashes[path] = known.get(path) ?? hash(await readFile(join(root, path)));
  }
  const edition = { id: hash(JSON.stringify(hashes)), date: front.date };
  const data = `const edition = ${JSON.stringify(edition)};\nconst files = ${JSON.stringify(hashes, undefined, 1)};\n`;
  await writeFile(join(root, "sw.js"), data + worker);
}

/** What a worker knows a file by: the first 96 bits of its SHA-256. */
export function hash(content: Buffer | string): string {
  return createHash("sha256").update(content).digest("base64url").slice(0, 16);
}

/** What the front page says of the book; blank where it says nothing. */
interface Front {
  readonly title: string;
  readonly description: string;
  /** The day of the edition, `2027-04-12`. */
  readonly date: string;
  readonly edition: string;
}

async function frontPage(root: string): Promise<Front> {
  const { elements } = readPage(await readFile(join(root, "index.html"), "utf8").catch(() => ""));
  const title = elements.find(({ tagName }) => tagName === "title")?.text;
  const meta = elements.find(({ tagName, properties }) => tagName === "meta" && properties.name === "description");
  const said = elements.find(({ properties }) => properties["data-edition"] !== undefined)?.properties;
  return {
    title: title?.value ?? "",
    description: meta?.properties.content ?? "",
    date: said?.["data-edition"] ?? "",
    edition: said?.["data-edition-name"] ?? "",
  };
}

async function nameStarter(root: string, path: string): Promise<void> {
  const page = readPage(await readFile(join(root, path), "utf8"));
  const edits = naming(page, path);
  if (edits.length > 0) await writeFile(join(root, path), edited(page.source, edits));
}

/** Names `offline.js` in the head of a page that does not name it. @throws Error if it has no head to write in */
export function naming({ elements }: Page, path: string): readonly Edit[] {
  const address = path === "404.html" ? "/offline.js" : relative(path, "offline.js");
  if (elements.some(({ tagName, properties }) => tagName === "script" && properties.src === address)) return [];
  const head = elements.find(({ tagName }) => tagName === "head");
  const start = head?.closing?.start;
  if (start === undefined) throw new Error(`${path}: Unexpected page without \`</head>\`, expected one to write in`);
  return [{ start, end: start, text: `<script defer src="${address}"></script>` }];
}

/** Without an `id`: a book is known by its address, so that two editions on one host are two books. */
function manifest({ name, shortName, language, icons, colour }: Book, { title, description, edition }: Front): object {
  return {
    name: [title || name, edition].filter((part) => part !== "").join(", "),
    short_name: shortName,
    ...(description === "" ? {} : { description }),
    lang: language,
    start_url: "./index.html",
    scope: "./",
    display: "standalone",
    ...(colour === undefined ? {} : { theme_color: colour, background_color: colour }),
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

/**
 * Each edition has a cache of its own, each file in it under its address and its hash; what has not changed is taken over from
 * the one before. A fetched edition waits until a reader asks for it or until no page of the book is open. Pages that are open
 * when another one asks go on being answered from the edition that they came from, which is dropped with the last of them.
 */
const worker = `const root = registration.scope;
const named = "book " + root + " ";
const own = named + edition.id;
const note = root + "?pages";
const addressOf = (path) => root + encodeURI(path).replace(/[?#]/g, encodeURIComponent);
const kept = (path) => addressOf(path) + "?" + files[path];
const others = async () => (await caches.keys()).filter((name) => name.startsWith(named) && name !== own);

const hashOf = async (bytes) => {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return btoa(String.fromCharCode(...digest)).replace(/[+]/g, "-").replace(/[/]/g, "_").slice(0, 16);
};

const fetchAll = async () => {
  const cache = await caches.open(own);
  await cache.delete(note);
  const had = new Set((await cache.keys()).map(({ url }) => url));
  const before = await Promise.all((await others()).map((name) => caches.open(name)));
  const missing = Object.keys(files).filter((path) => !had.has(new URL(kept(path)).href));
  const same = async (path) => {
    for (const older of before) {
      const found = await older.match(kept(path));
      if (found) return found;
    }
  };
  const fetched = async (path) => {
    const answer = await fetch(addressOf(path), { cache: "reload" });
    if (!answer.ok) throw new Error(path + " answered " + answer.status);
    const bytes = await answer.arrayBuffer();
    if ((await hashOf(bytes)) !== files[path]) throw new Error(path + " is of another edition");
    const type = answer.headers.get("content-type") ?? "application/octet-stream";
    return new Response(bytes, { headers: { "content-type": type } });
  };
  const keep = async () => {
    for (let path = missing.pop(); path !== undefined; path = missing.pop())
      await cache.put(kept(path), (await same(path)) ?? (await fetched(path)));
  };
  await Promise.all([keep(), keep(), keep(), keep(), keep(), keep()]);
};

const open = async () => (await clients.matchAll({ type: "window", includeUncontrolled: true })).map(({ id }) => id);

/** Which open pages are of which earlier edition, and how many editions have been shown until now. */
let noted;
const pages = async () => (noted ??= (await caches.open(own)).match(note).then((found) => found?.json()));
const write = async (what) => {
  noted = Promise.resolve(what);
  await (await caches.open(own)).put(note, new Response(JSON.stringify(what)));
};

const takeOver = async () => {
  let last;
  for (const name of await others()) {
    const found = await (await caches.open(name)).match(note);
    const what = found && (await found.json());
    if (what && (!last || what.shown > last.shown)) last = { ...what, name };
  }
  const of = {};
  if (last) for (const id of await open()) of[id] = last.of[id] ?? last.name;
  await write({ shown: (last?.shown ?? 0) + 1, of });
  await tidy();
  await clients.claim();
};

/** Drops every edition of which no page is open; none that is still waiting. */
const tidy = async () => {
  const { shown, of } = await pages();
  const ids = new Set(await open());
  const left = Object.fromEntries(Object.entries(of).filter(([id]) => ids.has(id)));
  const used = new Set(Object.values(left));
  for (const name of await others()) {
    const waits = (await (await caches.open(name)).match(note)) === undefined;
    if (!used.has(name) && !(waits && (registration.waiting || registration.installing))) await caches.delete(name);
  }
  await write({ shown, of: left });
};

/** While there are pages of an earlier edition, each request asks whether they are still open; one question at a time. */
let tidying = false;
const tidyLeft = async () => {
  const what = await pages();
  if (tidying || !what || Object.keys(what.of).length === 0) return;
  tidying = true;
  await tidy().finally(() => (tidying = false));
};

const answer = async ({ request, clientId }) => {
  const path = decodeURI(new URL(request.url).pathname.slice(new URL(root).pathname.length)).replace(/\\/$/, "");
  const names = [path, path + ".html", (path && path + "/") + "index.html"];
  const earlier = request.mode === "navigate" ? undefined : (await pages())?.of[clientId];
  if (earlier !== undefined) {
    const found = await (await caches.open(earlier)).match(addressOf(path), { ignoreSearch: true });
    if (found) return found;
  }
  const name = names.find((name) => Object.hasOwn(files, name));
  const cached = name === undefined ? undefined : await (await caches.open(own)).match(kept(name));
  return cached ?? fetch(request);
};

addEventListener("install", (event) => event.waitUntil(fetchAll()));
addEventListener("activate", (event) => event.waitUntil(takeOver()));
addEventListener("message", (event) => {
  if (event.data === "edition") event.ports[0].postMessage(edition);
  if (event.data === "show") event.waitUntil(skipWaiting());
});
addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(root)) return;
  event.respondWith(answer(event));
  event.waitUntil(tidyLeft());
});
`;
