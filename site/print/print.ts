import { mkdirSync, writeFileSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { setImmediate } from "node:timers/promises";
import { pathToFileURL } from "node:url";
import type { Edition } from "../../generator/editions.ts";
import { filesOf } from "../folder.ts";
import { problemsOf } from "../links.ts";
import { type Book, keepOffline } from "../offline.ts";
import { searchOf } from "../pack.ts";
import type * as Press from "../press/entry.ts";
import { type Finished, finished, shared } from "./finish.ts";
import { digest, digestOf, type Last, type Packed, packed, unpacked } from "./last.ts";

/** What is to be printed, and from what. */
export interface Printing {
  readonly edition: Edition;
  /** The folder of the press: `server/entry.mjs` and `client/`. */
  readonly press: string;
  /** One number for the program. */
  readonly program: string;
  /** An empty folder, or one that is not there yet. */
  readonly out: string;
  /** The last printing of this book by this program. */
  readonly last: Last | undefined;
}

/** What a printing gives the next one, and how much of it was made anew. */
export interface Printed {
  readonly last: Last;
  /** Pages made, of all pages. */
  readonly made: number;
  readonly pages: number;
  readonly search: "made" | "kept";
}

/**
 * Prints an edition into a folder. The pages of a crop whose data is what it was when they were printed last are taken from
 * there; so is the search when no text of it has changed.
 * @throws Error naming each link that leads nowhere, or the page that could not be made
 */
export async function print({ edition, press, program, out, last }: Printing): Promise<Printed> {
  const book = (await import(pathToFileURL(join(press, "server/entry.mjs")).href)) as typeof Press;
  const client = join(press, "client");
  const assets = await filesOf(client);
  const frame = book.frameOf(edition);
  const framed = digestOf(program, frame.data);
  book.open(frame.edition);
  const addresses = await book.addresses();
  const files = new Set([...assets, ...addresses.map(fileOf)]);
  const pages: Noted[] = [];
  const packs = new Map<string, Packed>();
  let made = 0;
  const write = writer(out);
  // A page goes to the disk at once: of a large book not all can be held.
  const add = async (page: Finished): Promise<Finished> => {
    const { html, indexed, ...noted } = page;
    await write(page.path, html);
    pages.push({ ...noted, indexed: indexed === undefined ? undefined : Buffer.from(indexed) });
    return page;
  };
  const make = async (address: string): Promise<Finished> => {
    made++;
    return add(finished(fileOf(address), await book.page(address), files));
  };
  const kept = async (packed: Packed | undefined, from: string): Promise<boolean> => {
    if (packed?.from !== from) return false;
    const found = unpacked<readonly Finished[]>(packed);
    if (!found.every((page) => leadsAsBefore(page, files))) return false;
    for (const page of found) await add({ ...page, ...shared(page) });
    return true;
  };

  const printed = async (of: string, from: string, edition: Edition, addresses: readonly string[]): Promise<void> => {
    const before = last?.pages.get(of);
    if (before && (await kept(before, from))) return void packs.set(of, before);
    book.open(edition);
    const anew: Finished[] = [];
    for (const address of addresses) anew.push(await make(address));
    packs.set(of, packed(from, anew));
  };
  const owned = new Map<string, string[]>();
  for (const address of addresses) {
    const crop = book.cropOf(address);
    if (crop === undefined) await printed(address, framed, frame.edition, [address]);
    else owned.set(crop, [...(owned.get(crop) ?? []), address]);
  }
  const ownOf = book.ownEditions(edition);
  for (const [crop, addresses] of owned) {
    const own = ownOf(crop);
    await printed(`crop ${crop}`, digest(program, JSON.stringify(own.data), ...addresses), own.edition, addresses);
  }

  const inOrder = pages.sort((a, b) => (a.path < b.path ? -1 : 1));
  const places = new Map(inOrder.map(({ path, places }) => [path, new Set(places)]));
  const problems = inOrder.flatMap(({ path, doubts }) => problemsOf(path, doubts, (file) => places.get(file)));
  if (problems.length > 0) throw new Error(problems.join("\n"));
  const asked = new Set(inOrder.flatMap(({ scripts }) => scripts));
  const search = await searchFor(inOrder, program, last);
  for (const [path, text] of search.files) await write(path, text);
  for (const file of assets)
    if (!/^_astro\/.*\.js$/.test(file) || asked.has(file)) await write(file, await readFile(join(client, file)));
  await keepOffline(out, named, new Map(inOrder.map(({ path, hash }) => [path, hash])));
  return {
    last: { program, pages: packs, search: search.packed },
    made,
    pages: inOrder.length,
    search: search.kept ? "kept" : "made",
  };
}

/** The file of the page at an address. */
export function fileOf(address: string): string {
  return `${address.slice(1) || "index"}.html`;
}

/** How the book shows itself where it is installed. The pictures are in `site/public/`; a maskable one may be cut to any shape. */
const named: Book = {
  name: "Tierbook",
  shortName: "Tierbook",
  language: "en-GB",
  colour: "#dde2da",
  icons: [
    { src: "mark.svg", sizes: "any", type: "image/svg+xml", purpose: "any" },
    { src: "icon-192.png", sizes: "192x192", type: "image/png", purpose: "any" },
    { src: "icon-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
  ],
};

/** What is held of a page once it is on the disk. */
type Noted = Omit<Finished, "html" | "indexed"> & { readonly indexed: Buffer | undefined };

/**
 * Writes files below a folder, and the folders that they need: at once, which takes half the work. In between the process hears
 * whether the one that waits for it is still there.
 */
function writer(out: string): (path: string, content: string | Uint8Array) => Promise<void> {
  const there = new Set<string>();
  return async (path, content) => {
    const file = join(out, path);
    const folder = dirname(file);
    if (!there.has(folder)) mkdirSync(folder, { recursive: true });
    there.add(folder);
    writeFileSync(file, content);
    await setImmediate();
  };
}

/** Whether every file that a page leads to is still there. */
function leadsAsBefore({ doubts }: Pick<Finished, "doubts">, files: ReadonlySet<string>): boolean {
  return doubts.every((doubt) => typeof doubt !== "string" && files.has(doubt.file));
}

/** The search of the pages, made anew only when it would read something else than the last time. */
async function searchFor(pages: readonly Noted[], program: string, last: Last | undefined) {
  const read = pages.flatMap(({ path, indexed }) => (indexed === undefined ? [] : [{ path, indexed }]));
  const from = digest(program, ...read.flatMap(({ path, indexed }) => [path, indexed]));
  if (last?.search?.from === from)
    return { files: unpacked<ReadonlyMap<string, string>>(last.search), packed: last.search, kept: true };
  const files = await searchOf(texts(read));
  return { files, packed: packed(from, files), kept: false };
}

function* texts(pages: readonly { readonly path: string; readonly indexed: Buffer }[]) {
  for (const { path, indexed } of pages) yield { path, html: indexed.toString() };
}
