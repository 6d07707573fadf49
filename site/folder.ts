import { readdir, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { join, sep } from "node:path";
import { type Doubt, fileAt, isElsewhere, problemsOf, type Resolver, resolver } from "./links.ts";
import { type Edit, type Element, edited, type Page, readPage } from "./page.ts";
import { refusedByPolicy } from "./policy.ts";
import { bundled } from "./scripts.ts";

/**
 * Rewrites a built site in place, so that it is safe to open from a plain folder and to serve at any address: every address
 * becomes a relative one that names a file, every module script a classic deferred one. Bytes that need no change keep their
 * place. What a folder cannot serve is taken out: `crossorigin`, and preloads of fonts and modules. `404.html` keeps its
 * addresses, as it answers at any depth.
 * @throws Error naming each page and each link that leads nowhere, or what its policy would leave undone
 */
export async function makeFolderSafe(folder: string): Promise<void> {
  const root = await realpath(folder);
  const files = await filesOf(root);
  const known = new Set(files);
  const safe = new Map<string, SafePage>();
  for (const file of files.filter((file) => file.endsWith(".html")))
    safe.set(file, safePage(file, await readFile(join(root, file), "utf8"), known));
  const styles = new Map<string, SafeStyle>();
  for (const file of files.filter((file) => file.endsWith(".css")))
    styles.set(file, safeStyle(file, await readFile(join(root, file), "utf8"), known));
  const all = [...safe, ...styles];
  const problems = all.flatMap(([path, { doubts }]) => problemsOf(path, doubts, (file) => safe.get(file)?.places));
  if (problems.length > 0) throw new Error(problems.join("\n"));

  const scripts = new Set([...safe.values()].flatMap(({ scripts }) => scripts));
  const { bundles, inputs } = await bundled(root, [...scripts].sort());
  for (const [file, { text }] of all) await writeFile(join(root, file), text);
  for (const [file, text] of bundles) await writeFile(join(root, file), text);
  // What only went into a bundle is not needed beside it, and neither is a script of the builder's that no page asks for.
  const unasked = files.filter((file) => /^_astro\/.*\.js$/.test(file));
  for (const file of new Set([...inputs, ...unasked])) if (!bundles.has(file)) await rm(join(root, file));
}

/** Every file below a folder, as paths with forward slashes, in one order everywhere. */
export async function filesOf(root: string): Promise<readonly string[]> {
  const entries = await readdir(root, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(root.length + 1)
        .split(sep)
        .join("/"),
    )
    .sort((a, b) => (a < b ? -1 : 1));
}

/** A style sheet whose addresses are relative, and what is to be asked of them yet. */
export interface SafeStyle {
  readonly text: string;
  readonly doubts: readonly Doubt[];
}

/** A page that is safe in a folder. */
export interface SafePage extends SafeStyle {
  /** The page as it was. */
  readonly page: Page;
  /** What a link can name on it. */
  readonly places: ReadonlySet<string>;
  /** The script files that it starts. */
  readonly scripts: readonly string[];
}

/** One page of a site of these `files`, rewritten; `more` is changed on the way, where nothing else is. */
export function safePage(
  path: string,
  source: string,
  files: ReadonlySet<string>,
  more: (page: Page) => readonly Edit[] = () => [],
): SafePage {
  const page = readPage(source);
  const resolve = resolver(path, files);
  const scripts: string[] = [];
  for (const refused of refusedByPolicy(page))
    resolve.doubts.push(`${path}: ${refused}; the policy of the page lets nothing inline work`);
  const edits: Edit[] = [];
  const places = new Set<string>();
  for (const element of page.elements) {
    const { id, name } = element.properties;
    if (id !== undefined) places.add(id);
    if (name !== undefined) places.add(name);
    if (mayChange(element)) edits.push(...editsOf(element, page, path, files, resolve, scripts));
  }
  return { page, text: edited(source, [...edits, ...more(page)]), doubts: resolve.doubts, places, scripts };
}

export function safeStyle(path: string, css: string, files: ReadonlySet<string>): SafeStyle {
  const resolve = resolver(path, files);
  return { text: safeCss(css, resolve), doubts: resolve.doubts };
}

const addressed = ["href", "src", "action", "formaction", "poster", "xlink:href"];
const lists = ["srcset", "imagesrcset"];

/** Whether anything of an element could be rewritten: of most there is nothing. */
function mayChange({ tagName, properties }: Element): boolean {
  if (whole.has(tagName)) return true;
  for (const name in properties) if (rewritten.has(name)) return true;
  return false;
}

const whole: ReadonlySet<string> = new Set(["link", "meta", "object", "script", "style"]);
const rewritten: ReadonlySet<string> = new Set([...addressed, ...lists, "style", "crossorigin"]);

function editsOf(
  { tagName, properties, places, whole, text: inner }: Element,
  { source }: Page,
  path: string,
  files: ReadonlySet<string>,
  resolve: Resolver,
  scripts: string[],
): readonly Edit[] {
  if (tagName === "link" && uselessFromFolder(properties)) return whole ? [{ ...whole, text: "" }] : [];
  const edits: Edit[] = [];
  const replace = (name: string, change: (value: string) => string): void => {
    const [value, place] = [properties[name], places[name]];
    if (value === undefined || place === undefined) return;
    const text = change(value);
    if (text === value || path === "404.html") return;
    const [attribute] = source.slice(place.start, place.end).split("=", 1);
    edits.push({ ...place, text: `${attribute}="${text.replaceAll("&", "&amp;").replaceAll('"', "&quot;")}"` });
  };
  const names = tagName === "object" ? [...addressed, "data"] : addressed;
  for (const name of names) replace(name, resolve);
  for (const name of lists) replace(name, (value) => safeList(value, resolve));
  replace("style", (value) => safeCss(value, resolve));
  if (tagName === "meta" && properties["http-equiv"]?.toLowerCase() === "refresh")
    replace("content", (value) =>
      value.replace(/(url\s*=\s*)(.+)$/i, (_, head: string, to: string) => head + resolve(to)),
    );
  const crossing = places.crossorigin;
  if (crossing && names.some((name) => properties[name] !== undefined && !isElsewhere(properties[name])))
    edits.push({ start: crossing.start - 1, end: crossing.end, text: "" });
  if (tagName === "style" && inner) {
    const text = safeCss(inner.value, resolve);
    if (text !== inner.value) edits.push({ start: inner.start, end: inner.end, text });
  }
  const [type, script] = [places.type, properties.src];
  if (tagName !== "script" || properties.type?.toLowerCase() !== "module") return edits;
  if (script !== undefined && type && !isElsewhere(script)) {
    const file = fileAt(script, path, files);
    if (file !== undefined) scripts.push(file);
    const waits = properties.async !== undefined || properties.defer !== undefined;
    edits.push({ ...type, text: waits ? "" : "defer" });
  } else if (inner && /\bimport\b/.test(inner.value))
    resolve.doubts.push(
      `${path}: Unexpected \`import\` in an inline script, expected \`<script>\` with its code in a file; a page opened from a folder may not import one`,
    );
  return edits;
}

/** A browser refuses these from a folder, and each refusal is an error in its console. */
function uselessFromFolder({ rel = "", as }: Element["properties"]): boolean {
  const words = rel.split(/\s+/);
  return words.includes("modulepreload") || (words.includes("preload") && as === "font");
}

function safeList(value: string, resolve: Resolver): string {
  if (value.includes("data:")) return value;
  return value.replace(
    /(^\s*|,\s*)([^\s,]\S*?)(?=\s|,|$)/g,
    (_, before: string, link: string) => before + resolve(link),
  );
}

/** Comments and strings are matched so that what looks like an address in them is left alone. */
const cssAddress =
  /\/\*[\s\S]*?\*\/|(@import\s+)?(?:url\(\s*(?:"([^"]*)"|'([^']*)'|([^"')\s]+))\s*\)|"((?:[^"\\]|\\[\s\S])*)"|'((?:[^'\\]|\\[\s\S])*)')/gi;

function safeCss(css: string, resolve: Resolver): string {
  return css.replace(cssAddress, (whole, ...groups: (string | undefined)[]) => {
    const [imported, double, single, bare, string, other] = groups;
    const link = double ?? single ?? bare ?? (imported ? (string ?? other) : undefined);
    if (!link) return whole;
    const address = resolve(link);
    return address === link ? whole : whole.replace(link, () => address);
  });
}
