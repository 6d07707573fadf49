import { readFile } from "node:fs/promises";
import { join, posix } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";
import { filesOf } from "../site/folder.ts";
import { readPage } from "../site/page.ts";

/** The most that a crop page may weigh [bytes]: all that a first visit asks for, and the page alone on the next. */
export const limits = { first: 40_000, next: 12_000 } as const;

/** What a page asks for as it opens, by file [bytes]: as a host sends it, text with Brotli, fonts as they are. */
export interface Weight {
  readonly page: string;
  readonly parts: ReadonlyMap<string, number>;
  /** Everything, on a first visit. */
  readonly first: number;
  /** The page alone, when the rest is kept already. */
  readonly next: number;
}

/** The weight of every crop page of a printed edition, the lightest first. */
export async function cropWeights(root: string): Promise<readonly Weight[]> {
  const weigh = weigher(root);
  const pages = (await filesOf(root)).filter((file) => file.startsWith("crops/") && file.endsWith(".html"));
  const found = await Promise.all(pages.map((page) => weightOf(root, page, weigh)));
  return found.toSorted((a, b) => a.first - b.first || (a.page < b.page ? -1 : 1));
}

/** The weight of one file of a printed edition [bytes]. */
export function weigher(root: string): (file: string) => Promise<number> {
  const known = new Map<string, Promise<number>>();
  const weigh = async (file: string) => packed(await readFile(join(root, file)), file);
  return (file) => {
    const found = known.get(file) ?? weigh(file);
    known.set(file, found);
    return found;
  };
}

/** Bytes as a host sends them. */
export function packed(content: Uint8Array, file: string): number {
  if (/\.(woff2|png|jpg|webp|avif)$/.test(file)) return content.length;
  return brotliCompressSync(content, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }).length;
}

async function weightOf(root: string, page: string, weigh: (file: string) => Promise<number>): Promise<Weight> {
  const asked = [page];
  for (const { tagName, properties } of readPage(await readFile(join(root, page), "utf8")).elements) {
    if (tagName === "script" || tagName === "img") asked.push(String(properties.src ?? ""));
    if (tagName === "link") asked.push(String(properties.href ?? ""));
  }
  const files = new Set(asked.filter((address) => address !== "").map((address) => under(page, address)));
  for (const file of [...files].filter((file) => file.endsWith(".css")))
    for (const [, address = ""] of (await readFile(join(root, file), "utf8")).matchAll(/url\(["']?([^)"'#]+)["']?\)/g))
      if (!address.startsWith("data:")) files.add(under(file, address));
  const parts = new Map<string, number>();
  for (const file of files) parts.set(file, await weigh(file));
  return { page, parts, next: parts.get(page)!, first: [...parts.values()].reduce((sum, bytes) => sum + bytes, 0) };
}

/** The file that an address in another file means; the page itself stays as it is named. */
function under(file: string, address: string): string {
  return address === file ? file : posix.join(posix.dirname(file), address.replace(/[?#].*/, ""));
}
