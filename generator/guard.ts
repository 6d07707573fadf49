import type { Library, Page } from "./library.ts";
import { blocksOf, unshownIn } from "./prose.ts";
import { Book, type Kind, kinds } from "./records/index.ts";
import { remarksIn } from "./records/remarks.ts";
import { sectionReader } from "./records/sections.ts";
import { fieldNames, leaves, schemaAt } from "./records/walk.ts";

/** Something written in a record that customers may not read. */
export interface Secret {
  /** `orders/spring-basil.md`. */
  readonly record: string;
  /** The field, the heading or the file name that it is in. */
  readonly field: string;
  readonly text: string;
  /** True for what no edition may show, such as a price or a supplier: no sentence for customers may say it either. */
  readonly never: boolean;
}

/** A secret that turned up in a file for customers. */
export interface Leak extends Secret {
  readonly file: string;
}

/** A file of an edition, as text: pages, scripts, data, and what was unpacked from the search. */
export interface OutputText {
  readonly file: string;
  readonly text: string;
}

/**
 * Every private thing of a library that shows up in `outputs`. It does not trust the allow-lists: what is private is read
 * from the schemas' own words, so that a slip in the one is caught by the other. `common` is text that gives nothing
 * away, such as the words of the interface: a value made of those words alone is no secret. A value for staff that is made
 * of words of public fields is none either; a price or a supplier is, wherever it stands.
 */
export function leaks(library: Library, outputs: Iterable<OutputText>, common: Iterable<string>): readonly Leak[] {
  const { secret, open } = partsOf(library);
  const [own, shown] = [common, open].map((texts) => [...texts].map(wordsOf)) as [Words[], Words[]];
  const known = { own: new Set(own.flat()), all: new Set([...own, ...shown].flat()) };
  const candidates = secret.filter(({ text, never }) =>
    never ? telling(wordsOf(text), known.own, 2) : telling(wordsOf(text), known.all, 6),
  );
  const trie = trieOf(candidates);
  // What stands as it is among the program's own words, or for staff in a public field, gives nothing away.
  const said = new Set(own.flatMap((text) => [...hits(trie, text)]));
  for (const hit of shown.flatMap((text) => [...hits(trie, text)])) if (!hit.never) said.add(hit);
  const found = new Map<string, Leak>();
  for (const { file, text } of outputs) {
    for (const hit of hits(trie, wordsOf(text)))
      if (!said.has(hit)) found.set(`${file}\u0000${hit.record}\u0000${hit.field}`, { ...hit, file });
  }
  return [...found.values()].sort(
    (a, b) => order(a.record, b.record) || order(a.field, b.field) || order(a.file, b.file),
  );
}

/** What customers may not read of a library, and the text of what they may. */
export function partsOf(library: Library): { readonly secret: readonly Secret[]; readonly open: readonly string[] } {
  const secret: Secret[] = [];
  const open: string[] = [];
  for (const kind of Object.keys(kinds) as Kind[]) {
    for (const page of library[kind].values()) sort(kind, page as Page<unknown>, secret, open);
  }
  sort("book", library.book, secret, open);
  return { secret, open };
}

function sort(kind: Kind | "book", page: Page<unknown>, secret: Secret[], open: string[]): void {
  const record = page.file.path;
  const forEveryone = (page.raw as { audience?: unknown }).audience === "everyone";
  // A published citation may stand behind any figure that customers see.
  const mayShow = forEveryone || kind === "sources" || kind === "book";
  if (mayShow) open.push(page.id);
  else secret.push({ record, field: "its name", text: page.id, never: false });
  const schema = kind === "book" ? Book : kinds[kind];
  const seen = new Set<string>();
  for (const { path, value, reader } of leaves(schema, page.raw)) {
    const field = path.join(".");
    if (mayShow && reader === "everyone") {
      open.push(String(value));
      continue;
    }
    secret.push({ record, field, text: String(value), never: reader === "nobody" });
    // A key of the writer's own can tell as much as a value.
    for (const [depth, key] of path.entries()) {
      const above = path.slice(0, depth);
      const at = [...above, key].join(".");
      if (typeof key !== "string" || seen.has(at)) continue;
      seen.add(at);
      const around = schemaAt(schema, above, page.raw);
      if (!around || !fieldNames(around, depth === 0 ? page.raw : undefined).includes(key))
        secret.push({ record, field: at, text: key, never: false });
    }
  }
  unshown(page, secret);
  for (const section of page.sections) {
    const heading = section.heading || "its first lines";
    const texts = blocksOf(section);
    if (forEveryone && kind !== "book" && sectionReader(kind, section.heading) === "everyone") {
      open.push(section.heading, ...texts);
      continue;
    }
    if (section.heading)
      secret.push({ record, field: `the heading “${heading}”`, text: section.heading, never: false });
    for (const sentence of texts.flatMap((text) => text.split(/(?<=[.!?])\s+/)))
      secret.push({ record, field: heading, text: sentence, never: false });
  }
}

/** What stands in a record for whoever writes it: remarks between its fields and in its text. */
function unshown({ file, sections }: Page<unknown>, secret: Secret[]): void {
  const record = file.path;
  for (const text of remarksIn(file)) secret.push({ record, field: "a remark", text, never: false });
  for (const section of sections)
    for (const text of unshownIn(section))
      secret.push({ record, field: `a remark below “${section.heading || "its first lines"}”`, text, never: false });
}

/**
 * Whether finding these words would tell anything: a word that nothing public has, or `enough` words in a row. A number
 * tells less than a word, as pages and search are full of numbers: with its unit it takes three digits, alone five.
 */
function telling(found: Words, known: ReadonlySet<string>, enough: number): boolean {
  const letters = found.join("");
  const rare = found.some((word) => !known.has(word));
  const digits = letters.match(/\d/g)?.length ?? 0;
  if (!/\p{L}/u.test(letters)) return rare && digits >= 5;
  if (/^\d/.test(found[0] ?? "")) return rare && digits >= 3;
  return letters.length >= 5 && (rare || found.length >= enough);
}

/** Words as they are compared: letters and digits only, without case, so that markup and spacing hide nothing. */
export function wordsOf(text: string): Words {
  const folded = text.normalize("NFKC").toLowerCase();
  const found: string[] = [];
  let start = -1;
  for (let at = 0; at < folded.length; at++) {
    const unit = folded.charCodeAt(at);
    // A letter of two units is rare enough to be left to the slow way.
    if (unit >= 0xd800 && unit < 0xe000) return folded.match(/[\p{L}\p{N}]+/gu) ?? [];
    if (isOfWord(unit)) {
      if (start < 0) start = at;
    } else if (start >= 0) {
      found.push(folded.slice(start, at));
      start = -1;
    }
  }
  if (start >= 0) found.push(folded.slice(start));
  return found;
}

/** Whether a letter or a digit: every page is read letter by letter, so each is looked up once. */
function isOfWord(unit: number): boolean {
  const known = ofWord[unit];
  if (known) return known === 1;
  const found = /[\p{L}\p{N}]/u.test(String.fromCharCode(unit));
  ofWord[unit] = found ? 1 : 2;
  return found;
}

const ofWord = new Uint8Array(0x10000);

type Words = readonly string[];

interface Trie {
  readonly next: Map<string, Trie>;
  readonly ends: Secret[];
}

function trieOf(secrets: readonly Secret[]): Trie {
  const root: Trie = { next: new Map(), ends: [] };
  for (const secret of secrets) {
    let node = root;
    for (const word of wordsOf(secret.text)) {
      const inner: Trie = node.next.get(word) ?? { next: new Map(), ends: [] };
      node.next.set(word, inner);
      node = inner;
    }
    node.ends.push(secret);
  }
  return root;
}

function* hits(root: Trie, text: readonly string[]): Generator<Secret> {
  for (let start = 0; start < text.length; start++) {
    let node = root.next.get(text[start]!);
    for (let at = start + 1; node; at++) {
      yield* node.ends;
      const word = text[at];
      node = word === undefined ? undefined : node.next.get(word);
    }
  }
}

function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
