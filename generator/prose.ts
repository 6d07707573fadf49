import type { Heading, PhrasingContent, Root, RootContent } from "mdast";
import { gfmTableFromMarkdown } from "mdast-util-gfm-table";
import { gfmTaskListItemFromMarkdown } from "mdast-util-gfm-task-list-item";
import { toString as plainText } from "mdast-util-to-string";
import { gfmTable } from "micromark-extension-gfm-table";
import { gfmTaskListItem } from "micromark-extension-gfm-task-list-item";
import rehypeSanitize, { defaultSchema } from "rehype-sanitize";
import rehypeStringify from "rehype-stringify";
import remarkParse from "remark-parse";
import remarkRehype from "remark-rehype";
import { type Processor, unified } from "unified";
import { SKIP, visit } from "unist-util-visit";
import { bounded } from "./prose-bounds.ts";

/** A part of a record's body: what stands below one `##` heading, or before the first. */
export interface Section {
  /** The heading's words; empty for what stands before the first. */
  readonly heading: string;
  /** The line of the body that the heading is on, counted from 1. */
  readonly line: number;
  readonly tree: Root;
  /** The line of the body where it is nested deeper than anybody reads; what is deeper still is left out of the tree. */
  readonly deep?: number;
  /** The line of the body where a paragraph begins that has more signs than words; it is left out of the tree. */
  readonly dense?: number;
}

/** A link of the prose to another record, `crops/basil`, with its place in the body. */
export interface ProseLink {
  readonly target: string;
  readonly line: number;
  readonly column: number;
}

/** A record's Markdown by its `##` headings, in their order. Tables and tick lists are read; HTML is not. */
export function sections(body: string): readonly Section[] {
  const { body: shallow, deep: cut, dense } = bounded(body);
  const root = reader.parse(shallow) as Root;
  const found: { heading: string; line: number; tree: Root; deep?: number; dense?: number }[] = [];
  let current: (typeof found)[number] | undefined;
  for (const node of root.children) {
    const deep = cutDeep(node);
    if (node.type === "heading" && (node as Heading).depth <= 2) {
      current = {
        heading: plainText(node),
        line: node.position?.start.line ?? 1,
        tree: { type: "root", children: [] },
      };
      found.push(current);
    } else {
      if (!current) {
        current = { heading: "", line: node.position?.start.line ?? 1, tree: { type: "root", children: [] } };
        found.push(current);
      }
      current.tree.children.push(node as RootContent);
    }
    if (deep !== undefined) current.deep ??= deep;
  }
  const around = (line: number) => {
    if (found.length === 0) found.push({ heading: "", line: 1, tree: { type: "root", children: [] } });
    return found.findLast((section) => section.line <= line) ?? found[0]!;
  };
  for (const line of cut) around(line).deep ??= line;
  for (const line of dense) around(line).dense ??= line;
  return found;
}

/** The words of the glossary, to be found in prose. */
export interface Terms {
  readonly pattern: RegExp;
  readonly addresses: ReadonlyMap<string, string>;
}

/** A finder of terms and their other spellings; the longest name wins, whatever its case. Undefined when there are none. */
export function termsOf(
  entries: Iterable<{ readonly names: readonly string[]; readonly address: string }>,
): Terms | undefined {
  const addresses = new Map<string, string>();
  for (const { names, address } of entries) for (const name of names) addresses.set(name.toLowerCase(), address);
  if (addresses.size === 0) return undefined;
  const longest = [...addresses.keys()].sort((a, b) => b.length - a.length || (a < b ? -1 : 1));
  const literal = longest.map((name) => name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  return { pattern: new RegExp(`(?<![\\p{L}\\p{N}-])(?:${literal.join("|")})(?![\\p{L}\\p{N}-])`, "giu"), addresses };
}

/**
 * A section as safe HTML. HTML in the source is left out; addresses other than http, https, mailto and our own are too.
 * The first use of each term is linked to its meaning; `linked` remembers which have been, over the sections of a page.
 */
export function html(
  { tree }: Pick<Section, "tree">,
  address: (target: string) => string | undefined,
  terms?: Terms,
  linked: Set<string> = new Set(),
): string {
  const copy = structuredClone(tree);
  if (terms) linkTerms(copy, terms, linked);
  // A box to tick by pencil: a page keeps no ticks, so it is no control.
  visit(copy, "listItem", (item) => {
    if (typeof item.checked !== "boolean") return;
    item.checked = null;
    item.data = { hProperties: { className: ["tick"] } };
  });
  // A page fetches nothing: of a picture its words are shown.
  visit(copy, ["image", "imageReference"], (node, index, parent) => {
    const text = { type: "text", value: (node as { alt?: string | null }).alt ?? "" } as const;
    if (parent && index !== undefined) (parent as Root).children.splice(index, 1, text);
  });
  visit(copy, "link", (node, index, parent) => {
    const own = ownTarget(node.url);
    if (own === undefined) return;
    const url = address(own);
    if (url !== undefined) node.url = url;
    else if (parent && index !== undefined) parent.children.splice(index, 1, ...(node.children as never[]));
  });
  return writer.stringify(writer.runSync(copy) as never);
}

/** What is read in a section's tree, once: a tree does not change, and while a book is watched each rule asks again and again. */
function once<Found>(read: (tree: Root) => Found): (section: Pick<Section, "tree">) => Found {
  const known = new WeakMap<Root, { readonly found: Found }>();
  return ({ tree }) => {
    const before = known.get(tree);
    if (before) return before.found;
    const found = read(tree);
    known.set(tree, { found });
    return found;
  };
}

/** A section as plain words, for counting and for search. HTML is none, as no page shows it. */
export function words(section: Pick<Section, "tree">): string {
  return blocksOf(section).join(" ");
}

/** The plain words of each paragraph, item, cell and line of a section by itself. */
export const blocksOf = once((tree): readonly string[] => {
  const found: string[] = [];
  visit(tree, ["paragraph", "heading", "tableCell", "code"], (node) => {
    found.push(plainText(node, { includeHtml: false }).replace(/\s+/g, " ").trim());
  });
  return found.filter((text) => text !== "");
});

/** What a section holds and no page shows: HTML, remarks in it among them, and addresses that nothing of it leads to. */
export function unshownIn({ tree }: Pick<Section, "tree">): readonly string[] {
  const found: string[] = [];
  const used = new Set<string>();
  visit(tree, ["linkReference", "imageReference"], (node) => {
    used.add((node as { identifier?: string }).identifier ?? "");
  });
  visit(tree, (node) => {
    if (node.type === "html") found.push(node.value);
    if (node.type === "definition" && !used.has(node.identifier))
      found.push(node.label ?? node.identifier, node.url, node.title ?? "");
  });
  return found.filter((text) => text !== "");
}

/** Every link of a section to another record. */
export function links({ tree }: Pick<Section, "tree">): readonly ProseLink[] {
  const found: ProseLink[] = [];
  visit(tree, "link", ({ url, position }) => {
    const target = ownTarget(url);
    if (target !== undefined)
      found.push({ target, line: position?.start.line ?? 1, column: position?.start.column ?? 1 });
  });
  return found;
}

/** Takes away what is nested deeper than twenty lists or quotes in one another; gives the line where that begins. */
function cutDeep(top: RootContent): number | undefined {
  const open: [node: { children?: unknown[]; position?: RootContent["position"] }, depth: number][] = [[top, 0]];
  let line: number | undefined;
  for (let next = open.pop(); next; next = open.pop()) {
    const [node, depth] = next;
    if (!node.children) continue;
    if (depth < 40) for (const child of node.children) open.push([child as RootContent, depth + 1]);
    else {
      line = Math.min(line ?? Number.POSITIVE_INFINITY, node.position?.start.line ?? 1);
      node.children = [];
    }
  }
  return line;
}

/** Something written in a section, and its place in the body. */
export interface Written {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** The places in a section where HTML was written, which no page shows. */
export const htmlIn = once((tree): readonly Written[] => {
  const found: Written[] = [];
  visit(tree, "html", ({ value, position }) => {
    if (/^<!--[\s\S]*-->$/.test(value)) return;
    found.push({ text: value, line: position?.start.line ?? 1, column: position?.start.column ?? 1 });
  });
  return found;
});

/** The places in a section where a picture was written, which no page shows. */
export const picturesIn = once((tree): readonly Written[] => {
  const found: Written[] = [];
  visit(tree, ["image", "imageReference"], (node) => {
    const { alt, url, position } = node as { alt?: string | null; url?: string; position?: RootContent["position"] };
    const text = `![${alt ?? ""}]${url === undefined ? "" : `(${url})`}`;
    found.push({ text, line: position?.start.line ?? 1, column: position?.start.column ?? 1 });
  });
  return found;
});

/** Every address that a section leads to or names, with how much of its line it takes; 0 where it goes over several. */
export const addressesIn = once((tree): readonly (Written & { readonly length: number })[] => {
  const found: (Written & { readonly length: number })[] = [];
  visit(tree, ["link", "definition"], (node) => {
    const { url, position } = node as { readonly url: string; readonly position?: RootContent["position"] };
    const { line, column } = position?.start ?? { line: 1, column: 1 };
    found.push({
      text: url,
      line,
      column,
      length: position?.end.line === line ? position.end.column - column : 0,
    });
  });
  return found;
});

function linkTerms(tree: Root, { pattern, addresses }: Terms, linked: Set<string>): void {
  visit(tree, (node, index, parent) => {
    if (node.type === "link" || node.type === "heading" || node.type === "inlineCode") return SKIP;
    if (node.type !== "text" || !parent || index === undefined) return undefined;
    const pieces: PhrasingContent[] = [];
    let from = 0;
    for (const match of node.value.matchAll(pattern)) {
      const url = addresses.get(match[0].toLowerCase());
      if (url === undefined || linked.has(url)) continue;
      linked.add(url);
      pieces.push({ type: "text", value: node.value.slice(from, match.index) });
      pieces.push({ type: "link", url, children: [{ type: "text", value: match[0] }] });
      from = match.index + match[0].length;
    }
    if (pieces.length === 0) return undefined;
    pieces.push({ type: "text", value: node.value.slice(from) });
    parent.children.splice(index, 1, ...(pieces as never[]));
    return index + pieces.length;
  });
}

/** `crops/basil`, for a link such as `crops/basil` or `crops/basil.md`; undefined for an address outside the book. */
function ownTarget(url: string): string | undefined {
  const match = /^\.{0,2}\/?([a-z]+\/[^/#?:]+?)(?:\.md)?$/.exec(url);
  return match?.[1];
}

const reader = unified()
  .use(remarkParse)
  .use(function extend(this: Processor) {
    const data = this.data() as { micromarkExtensions?: unknown[]; fromMarkdownExtensions?: unknown[] };
    data.micromarkExtensions = [gfmTable(), gfmTaskListItem()];
    data.fromMarkdownExtensions = [gfmTableFromMarkdown(), gfmTaskListItemFromMarkdown()];
  });

// Marked as pure, so that a browser which only checks prose is not sent what writes it.
const writer = /* @__PURE__ */ unified()
  .use(remarkRehype)
  .use(rehypeSanitize, {
    ...defaultSchema,
    clobberPrefix: "",
    attributes: { ...defaultSchema.attributes, li: [["className", "tick"]] },
  })
  .use(rehypeStringify);
