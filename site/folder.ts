import { readdir, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { join, posix, sep } from "node:path";
import { fileURLToPath } from "node:url";
import type { AstroIntegration } from "astro";
import { build } from "esbuild";
import rehypeParse from "rehype-parse";
import { unified } from "unified";
import { refusedByPolicy } from "./policy.ts";
import { nearest } from "./search/near.ts";

/** Makes the built site safe to open from a plain folder, and to serve at any address. Stands first. */
export function folder(): AstroIntegration {
  return {
    name: "folder",
    hooks: { "astro:build:done": ({ dir }) => makeFolderSafe(fileURLToPath(dir)) },
  };
}

/**
 * Rewrites a built site in place: every address becomes a relative one that names a file, every module script a classic
 * deferred one. Bytes that need no change keep their place. What a folder cannot serve is taken out: `crossorigin`, and
 * preloads of fonts and modules. `404.html` keeps its addresses, as it answers at any depth.
 * @throws Error naming each page and each link that leads nowhere, or what its policy would leave undone
 */
export async function makeFolderSafe(folder: string): Promise<void> {
  const root = await realpath(folder);
  const files = await filesOf(root);
  const pages = new Map<string, Page>();
  for (const file of files.filter((file) => file.endsWith(".html")))
    pages.set(file, readPage(await readFile(join(root, file), "utf8")));
  const site: Site = { files: new Set(files), pages, problems: [] };

  const scripts = new Set<string>();
  const written = new Map<string, string>();
  for (const [path, page] of pages) written.set(path, rewritePage(path, page, site, scripts));
  for (const file of files.filter((file) => file.endsWith(".css"))) {
    const css = await readFile(join(root, file), "utf8");
    written.set(file, rewriteCss(css, file, site));
  }
  if (site.problems.length > 0) throw new Error(site.problems.join("\n"));

  const { bundles, inputs } = await bundleScripts(root, [...scripts].sort());
  for (const [file, text] of [...written, ...bundles]) await writeFile(join(root, file), text);
  // What only went into a bundle is not needed beside it, and neither is a script of the builder's that no page asks for.
  const unasked = files.filter((file) => /^_astro\/.*\.js$/.test(file));
  for (const file of new Set([...inputs, ...unasked])) if (!bundles.has(file)) await rm(join(root, file));
}

/** Every file below a folder, as paths with forward slashes, in one order everywhere. */
export async function filesOf(root: string): Promise<readonly string[]> {
  const entries = await readdir(root, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(join(root, sep).length).split(sep).join("/"))
    .sort((a, b) => (a < b ? -1 : 1));
}

/** A page as text, and its elements with the place of each tag and attribute in that text. */
export interface Page {
  readonly source: string;
  readonly elements: readonly Element[];
}

export function readPage(source: string): Page {
  const elements: Element[] = [];
  const gather = (node: Node): void => {
    if (node.type === "element") {
      elements.push(node);
      if (node.content) gather(node.content);
    }
    if ("children" in node) for (const child of node.children) gather(child);
  };
  gather(parser.parse(source));
  return { source, elements };
}

/** One change to a text: what stands from `start` to `end` becomes `text`. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

export function edited(source: string, edits: readonly Edit[]): string {
  let result = "";
  let done = 0;
  for (const { start, end, text } of [...edits].sort((a, b) => a.start - b.start)) {
    result += source.slice(done, start) + text;
    done = end;
  }
  return result + source.slice(done);
}

/** The way from one file of the site to another, as an address. */
export function relative(from: string, to: string): string {
  const way = posix.relative(posix.dirname(from), to);
  const address = encodeURI(way).replace(/[?#]/g, encodeURIComponent);
  return /^[^/]*:/.test(address) ? `./${address}` : address;
}

const parser = unified().use(rehypeParse, { verbose: true });
type Root = ReturnType<typeof parser.parse>;
type Node = Root | Root["children"][number];
type Element = Extract<Node, { type: "element" }>;

interface Site {
  readonly files: ReadonlySet<string>;
  readonly pages: ReadonlyMap<string, Page>;
  readonly problems: string[];
}

const addressed = ["href", "src", "action", "formAction", "poster", "xLinkHref"];
const lists = ["srcSet", "imageSrcSet"];

function rewritePage(path: string, page: Page, site: Site, scripts: Set<string>): string {
  const edits: Edit[] = [];
  const stays = path === "404.html";
  for (const refused of refusedByPolicy(page))
    site.problems.push(`${path}: ${refused}; the policy of the page lets nothing inline work`);
  for (const element of page.elements) {
    const { tagName, properties } = element;
    const of = (name: string): string | undefined => {
      const value = properties[name];
      return typeof value === "string" ? value : undefined;
    };
    const replace = (name: string, change: (value: string) => string): void => {
      const value = of(name);
      const place = span(element.data?.position?.properties?.[name]);
      if (value === undefined || place === undefined) return;
      const text = change(value);
      if (text === value || stays) return;
      const [attribute] = page.source.slice(place.start, place.end).split("=", 1);
      edits.push({ ...place, text: `${attribute}="${text.replaceAll("&", "&amp;").replaceAll('"', "&quot;")}"` });
    };
    const drop = (name: string): void => {
      const place = span(element.data?.position?.properties?.[name]);
      if (place && properties[name] !== undefined) edits.push({ start: place.start - 1, end: place.end, text: "" });
    };

    if (tagName === "link" && uselessFromFolder(properties)) {
      const place = span(element.position);
      if (place) edits.push({ ...place, text: "" });
      continue;
    }
    const names = tagName === "object" ? [...addressed, "data"] : addressed;
    const local = names.some((name) => of(name) !== undefined && !isElsewhere(of(name)!));
    for (const name of names) replace(name, (value) => resolved(value, path, site));
    for (const name of lists) replace(name, (value) => rewriteList(value, path, site));
    replace("style", (value) => rewriteCss(value, path, site));
    if (tagName === "meta" && String(properties.httpEquiv).toLowerCase() === "refresh")
      replace("content", (value) =>
        value.replace(/(url\s*=\s*)(.+)$/i, (_, head: string, to: string) => head + resolved(to, path, site)),
      );
    if (local) drop("crossOrigin");

    const [child] = element.children;
    const inner = child?.type === "text" ? span(child.position) : undefined;
    if (tagName === "style" && child?.type === "text" && inner) {
      const text = rewriteCss(child.value, path, site);
      if (text !== child.value) edits.push({ ...inner, text });
    }
    if (tagName === "script" && String(properties.type).toLowerCase() === "module") {
      const source = of("src");
      const place = span(element.data?.position?.properties?.type);
      if (source !== undefined && place && !isElsewhere(source)) {
        const file = fileAt(source, path, site.files);
        if (file !== undefined) scripts.add(file);
        edits.push({ ...place, text: properties.async || properties.defer ? "" : "defer" });
      } else if (child?.type === "text" && /\bimport\b/.test(child.value)) {
        site.problems.push(
          `${path}: Unexpected \`import\` in an inline script, expected \`<script>\` with its code in a file; a page opened from a folder may not import one`,
        );
      }
    }
  }
  return edited(page.source, edits);
}

/** A browser refuses these from a folder, and each refusal is an error in its console. */
function uselessFromFolder(properties: Element["properties"]): boolean {
  const rel = [properties.rel].flat().map(String);
  return rel.includes("modulepreload") || (rel.includes("preload") && properties.as === "font");
}

function rewriteList(value: string, path: string, site: Site): string {
  if (value.includes("data:")) return value;
  return value.replace(
    /(^\s*|,\s*)([^\s,]\S*?)(?=\s|,|$)/g,
    (_, before: string, link: string) => before + resolved(link, path, site),
  );
}

/** Comments and strings are matched so that what looks like an address in them is left alone. */
const cssAddress =
  /\/\*[\s\S]*?\*\/|(@import\s+)?(?:url\(\s*(?:"([^"]*)"|'([^']*)'|([^"')\s]+))\s*\)|"((?:[^"\\]|\\[\s\S])*)"|'((?:[^'\\]|\\[\s\S])*)')/gi;

function rewriteCss(css: string, path: string, site: Site): string {
  return css.replace(cssAddress, (whole, ...groups: (string | undefined)[]) => {
    const [imported, double, single, bare, string, other] = groups;
    const link = double ?? single ?? bare ?? (imported ? (string ?? other) : undefined);
    if (!link) return whole;
    const address = resolved(link, path, site);
    return address === link ? whole : whole.replace(link, () => address);
  });
}

/** The same link as a relative address of a file; a problem is noted if there is no such file, or no such place in it. */
function resolved(link: string, path: string, site: Site): string {
  if (isElsewhere(link)) return link;
  const [address = "", rest = ""] = link.split(/(?=[?#])(.*)/s, 2);
  const file = address === "" ? path : fileAt(address, path, site.files);
  if (file === undefined) {
    const [near] = nearest(address.split("/").at(-1) ?? "", [...site.files], nameOf, 1);
    const hint = near === undefined ? "" : `, such as \`/${near}\``;
    site.problems.push(`${path}: Unexpected link \`${link}\`, expected a page or file of the book${hint}`);
    return link;
  }
  const place = decoded(rest.split("#")[1] ?? "");
  const target = site.pages.get(file);
  if (target && place && place !== "top" && !/^:~:|=/.test(place) && !idsOf(target).has(place)) {
    const [near] = nearest(place, [...idsOf(target)], (id) => [id], 1);
    const hint = near === undefined ? "but it has none" : `such as \`#${near}\``;
    site.problems.push(`${path}: Unexpected link \`${link}\`, expected a place on \`${file}\`, ${hint}`);
  }
  return address === "" ? link : relative(path, file) + rest;
}

const nameOf = (file: string): readonly string[] => [posix.basename(file).replace(/\.html$/, "")];

function fileAt(address: string, from: string, files: ReadonlySet<string>): string | undefined {
  const [clean = ""] = decoded(address).split(/[?#]/);
  const path = posix.normalize(clean.startsWith("/") ? clean.slice(1) : posix.join(posix.dirname(from), clean));
  const bare = path === "." || path === "./" ? "" : path.replace(/\/$/, "");
  const page = bare === "" ? ["index.html"] : [`${bare}.html`, `${bare}/index.html`];
  return [...(path.endsWith("/") ? [] : [bare]), ...page].find((file) => files.has(file));
}

function isElsewhere(link: string): boolean {
  return /^([a-z][a-z0-9+.-]*:|\/\/)/i.test(link) || link === "";
}

function decoded(address: string): string {
  try {
    return decodeURIComponent(address);
  } catch {
    return address;
  }
}

const ids = new WeakMap<Page, ReadonlySet<string>>();

function idsOf(page: Page): ReadonlySet<string> {
  const known =
    ids.get(page) ??
    new Set(
      page.elements.flatMap(({ properties: { id, name } }) => [id, name].filter((value) => typeof value === "string")),
    );
  ids.set(page, known);
  return known;
}

function span(position: { start: { offset?: number | undefined }; end: { offset?: number | undefined } } | undefined) {
  const [start, end] = [position?.start.offset, position?.end.offset];
  return start === undefined || end === undefined ? undefined : { start, end };
}

/** Each script with all that it imports, in one file under its own name. */
async function bundleScripts(root: string, scripts: readonly string[]) {
  const bundles = new Map<string, string>();
  const inputs = new Set<string>();
  for (const script of scripts) {
    const { outputFiles, metafile } = await build({
      absWorkingDir: root,
      entryPoints: [script],
      bundle: true,
      format: "iife",
      target: "es2020",
      charset: "utf8",
      minify: true,
      write: false,
      metafile: true,
      logLevel: "silent",
      tsconfigRaw: "{}",
      define: { "import.meta.url": "addressOfScript" },
    });
    const code = outputFiles[0]!.text;
    const head = [
      code.includes("addressOfScript") ? "const addressOfScript=document.currentScript.src;" : "",
      // The schemas' library would else try to make code out of text, which the policy of every page refuses and reports.
      code.includes("__zod_globalConfig") ? "globalThis.__zod_globalConfig={jitless:true};" : "",
    ].join("");
    bundles.set(script, head ? `{${head}${code}}\n` : code);
    for (const input of Object.keys(metafile.inputs)) inputs.add(input);
  }
  return { bundles, inputs };
}
