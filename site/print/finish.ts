import { safePage } from "../folder.ts";
import type { Doubt, Link } from "../links.ts";
import { hash, naming } from "../offline.ts";
import type { Page } from "../page.ts";
import { slimmed } from "../slim.ts";

/** A page as it is put into a book, and what the rest of the book must know of it. */
export interface Finished {
  readonly path: string;
  readonly html: string;
  /** What the offline worker knows the page by. */
  readonly hash: string;
  /** What the search reads of it; undefined for a page that only lists others. */
  readonly indexed: string | undefined;
  readonly places: readonly string[];
  /** Links to other pages, each once, and what is wrong. */
  readonly doubts: readonly Doubt[];
  readonly scripts: readonly string[];
}

/** A page of a book of these `files`, as the press has made it, made fit for folder, search, host and device. */
export function finished(path: string, source: string, files: ReadonlySet<string>): Finished {
  const safe = safePage(path, source, files, (page) => naming(page, path));
  const html = slimmed(safe.text);
  return {
    path,
    html,
    hash: hash(html),
    indexed: indexedOf(safe.page),
    ...shared({ places: [...safe.places], doubts: once(safe.doubts), scripts: safe.scripts }),
  };
}

/** What is held of every page until all are made. */
export type Kept = Pick<Finished, "places" | "doubts" | "scripts">;

/**
 * The same with words of its own: what was cut out of a page would keep that page in memory whole. Pages lead to the same
 * places, so each is held once.
 */
export function shared({ places, doubts, scripts }: Kept): Kept {
  return {
    places: places.map(own),
    doubts: doubts.map((doubt) => (typeof doubt === "string" ? own(doubt) : ownLink(doubt))),
    scripts: scripts.map(own),
  };
}

const texts = new Map<string, string>();

function own(text: string): string {
  const known = texts.get(text);
  if (known !== undefined) return known;
  const copy = Buffer.from(text).toString();
  texts.set(copy, copy);
  return copy;
}

const links = new Map<string, Link>();

function ownLink(link: Link): Link {
  const key = own(keyOf(link));
  const known = links.get(key) ?? { written: own(link.written), file: own(link.file), place: own(link.place) };
  links.set(key, known);
  return known;
}

/** The parts of a page that the search reads: all else only takes its time. */
function indexedOf({ source, elements }: Page): string | undefined {
  const body = elements.find(({ properties }) => properties["data-pagefind-body"] !== undefined);
  const [html] = elements;
  if (!body?.whole || !html) return undefined;
  const parts: string[] = [source.slice(html.tag.start, html.tag.end), "<body>"];
  let at = body.whole.start;
  for (const { properties, whole } of elements) {
    if (properties["data-pagefind-ignore"] === undefined || !whole || whole.start < at) continue;
    if (whole.start >= body.whole.end) break;
    parts.push(source.slice(at, whole.start));
    at = whole.end;
  }
  parts.push(source.slice(at, body.whole.end));
  return parts.join("");
}

function once(doubts: readonly Doubt[]): readonly Doubt[] {
  const seen = new Map<string, Doubt>();
  for (const doubt of doubts) seen.set(typeof doubt === "string" ? doubt : keyOf(doubt), doubt);
  return [...seen.values()];
}

function keyOf({ written, file, place }: Link): string {
  return `${written}\0${file}\0${place}`;
}
