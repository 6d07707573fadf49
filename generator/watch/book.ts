import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { VFile } from "vfile";
import { type Edition, editionFor } from "../editions.ts";
import { check, type Known, read } from "../node.ts";
import { loadSearch } from "../search.ts";
import type { Audience } from "../shown.ts";

/** The site as a program that prints pages, as far as it is asked here: `site/press/entry.ts`. */
interface Site {
  open(edition: Edition): void;
  page(address: string): Promise<string>;
  addresses(): Promise<readonly string[]>;
  ownAddresses(): readonly string[];
  cropOf(address: string): string | undefined;
  frameOf(edition: Edition): { readonly edition: Edition };
  ownEditions(edition: Edition): (crop: string) => { readonly edition: Edition };
}

/** What came of looking at the records again. */
export interface Look {
  /** Records that are new or say something else, and those that are gone. */
  readonly changed: readonly string[];
  /** Files with something that stops a build; while there are any, the pages stay what they were. */
  readonly wrong: readonly VFile[];
}

/** A book that is held in memory, so that after one changed record no other is read again. */
export interface LiveBook {
  look(): Promise<Look>;
  /** The page at an address, `/crops/basil-sweet`; undefined when the book has none there, or there is no good book yet. */
  page(address: string): Promise<string | undefined>;
}

/** Opens the book of a folder for an audience, printed by the press in another folder. */
export async function liveBook(content: string, audience: Audience, press: string): Promise<LiveBook> {
  const site = (await import(pathToFileURL(join(press, "server/entry.mjs")).href)) as Site;
  const search = audience === "staff" ? await loadSearch() : undefined;
  const known: Known = new WeakMap();
  let files: ReadonlyMap<string, VFile> = new Map();
  let printer: ((address: string) => Promise<string | undefined>) | undefined;
  // One page after another, as they are all printed by the same press.
  let busy: Promise<unknown> = Promise.resolve();
  return {
    async look() {
      const before = files;
      const now = (await read(content)).map((file) => {
        const old = before.get(file.path);
        // What stands beside a trial may have changed without it: trials are always read again.
        return old && !file.path.startsWith("trials/") && sameText(old, file) ? old : file;
      });
      files = new Map(now.map((file) => [file.path, file]));
      const changed = [
        ...now.filter((file) => !before.has(file.path) || !sameText(before.get(file.path)!, file)),
        ...[...before.values()].filter(({ path }) => !files.has(path)),
      ].map(({ path }) => path);
      const checked = check(now, known);
      if (checked.library) printer = printerOf(site, editionFor(checked.library, audience, search));
      const wrong = checked.files.filter(({ messages }) => messages.some(({ fatal }) => fatal === true));
      return { changed: changed.sort(), wrong };
    },
    page(address) {
      const print = async () => printer?.(address);
      const page = busy.then(print, print);
      busy = page.catch(() => {});
      return page;
    },
  };
}

/** Prints the pages of one edition, each from what it may know and no more, as a build does. */
function printerOf(site: Site, edition: Edition): (address: string) => Promise<string | undefined> {
  const crops = new Set(edition.crops.map(({ id }) => id));
  let there: ReadonlySet<string> | undefined;
  let frame: Edition | undefined;
  let ownOf: ReturnType<Site["ownEditions"]> | undefined;
  return async (address) => {
    const crop = site.cropOf(address);
    if (crop !== undefined) {
      if (!crops.has(crop)) return undefined;
      ownOf ??= site.ownEditions(edition);
      site.open(ownOf(crop).edition);
      return site.ownAddresses().includes(address) ? site.page(address) : undefined;
    }
    frame ??= site.frameOf(edition).edition;
    site.open(frame);
    there ??= new Set(await site.addresses());
    return there.has(address) ? site.page(address) : undefined;
  };
}

function sameText(a: VFile, b: VFile): boolean {
  const [before, now] = [a.value, b.value];
  if (typeof before === "string" || typeof now === "string") return before === now;
  return Buffer.compare(before ?? new Uint8Array(), now ?? new Uint8Array()) === 0 && a.data.unread === b.data.unread;
}
