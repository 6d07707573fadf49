import { execFile } from "node:child_process";
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { brotliCompressSync } from "node:zlib";
import type { Element, ElementContent, Root } from "hast";
import { toString as textOf } from "hast-util-to-string";
import rehypeParse from "rehype-parse";
import { unified } from "unified";
import { bench, describe } from "vitest";
import { openBrowser } from "../../generator/browser.ts";
import { main } from "../../generator/cli.ts";
import { filesOf } from "../../site/folder.ts";
import { slimmed } from "../../site/slim.ts";
import { cropWeights, limits, type Weight, weigher } from "../weight.ts";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const editions = ["staff", "customer"] as const;
const basil = "crops/basil-sweet.html";

/** Which tags of a page become a line of Markdown, and how it begins. */
const marks: Readonly<Record<string, string>> = {
  h2: "## ",
  h3: "### ",
  h4: "#### ",
  p: "",
  li: "- ",
  dt: "",
  dd: "",
  tr: "- ",
  caption: "### ",
  figcaption: "",
};

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css",
  ".js": "text/javascript",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
  ".woff2": "font/woff2",
};

/**
 * What crop pages weigh, beside a page of a general documentation theme with the same text, which is no more than headings,
 * paragraphs and lists: it has none of the drawings, and its search is not counted either.
 */
const book = await mkdtemp(join(tmpdir(), "tierbook-weight-"));
const theme = here("../../node_modules/.cache/weight-theme");
const said: string[] = [];
const world = { cwd: book, out: (text: string) => void said.push(text), err: (text: string) => void said.push(text) };
if ((await main(["build", "--content", here("../../content"), "--out", book], world)) !== 0)
  throw new Error(said.join("\n"));

const lines: string[] = [`limits: first ${limits.first} B, next ${limits.next} B; Brotli, fonts as they are`];
for (const edition of editions) {
  const root = join(book, edition);
  const weights = await cropWeights(root);
  const heaviest = weights.at(-1)!;
  const chosen = [
    ["lightest", weights[0]!],
    ["median", weights[Math.floor(weights.length / 2)]!],
    ["heaviest", heaviest],
  ] as const;
  for (const [name, weight] of chosen)
    lines.push(
      `${edition}, ${name} of ${weights.length}, ${weight.page}: ${against(weight, "first")}; ${against(weight, "next")}`,
    );
  const shared = [...heaviest.parts].filter(([file]) => file !== heaviest.page);
  lines.push(`${edition}, with every page: ${shared.map(([file, bytes]) => `${shortName(file)} ${bytes}`).join(", ")}`);
  const weigh = weigher(root);
  const files = await filesOf(root);
  const search = ["pack/box.js", "pack/search.js"];
  for (const file of [...search, ...files.filter((file) => /^_astro\/SheetScript.*\.js$/.test(file))])
    lines.push(`${edition}, only when used: ${shortName(file)} ${await weigh(file)} B`);
}

const page = await readFile(join(book, "staff", basil), "utf8");
await plainTheme(theme, page);
const browser = await openBrowser();
const ours = await sentFor(join(book, "staff"), basil);
const theirs = await sentFor(join(theme, "dist"), "basil/index.html");
await browser.close();
lines.push(
  `${basil} of staff in a browser: ${ours.bytes} B in ${ours.requests} answers; the same text in a documentation theme: ${theirs.bytes} B in ${theirs.requests}; ratio ${(ours.bytes / theirs.bytes).toFixed(2)}`,
  `of which fonts: ours ${ours.fonts} B, the theme ${theirs.fonts} B; without them ${((ours.bytes - ours.fonts) / (theirs.bytes - theirs.fonts)).toFixed(2)}`,
);
console.log(lines.join("\n"));
await rm(book, { recursive: true, force: true });
await rm(theme, { recursive: true, force: true });

describe("one crop page", () => {
  bench("made slim", () => void slimmed(page), { time: 300 });
});

function against(weight: Weight, what: "first" | "next"): string {
  return `${what} ${weight[what]} B, ${(weight[what] / limits[what]).toFixed(2)} of the limit`;
}

function shortName(file: string): string {
  return file.replace(/^_astro\//, "").replace(/\.astro_astro_type_script_index_(\d+)_lang/, "-$1");
}

/** Prints one page of a documentation theme with the words of a page of ours. */
async function plainTheme(folder: string, html: string): Promise<void> {
  await rm(folder, { recursive: true, force: true });
  await mkdir(join(folder, "src/content/docs"), { recursive: true });
  await writeFile(
    join(folder, "astro.config.mjs"),
    'import starlight from "@astrojs/starlight";\nexport default { integrations: [starlight({ title: "Book" })] };\n',
  );
  await writeFile(
    join(folder, "src/content.config.ts"),
    'import { docsLoader } from "@astrojs/starlight/loaders";\nimport { docsSchema } from "@astrojs/starlight/schema";\nimport { defineCollection } from "astro:content";\nexport const collections = { docs: defineCollection({ loader: docsLoader(), schema: docsSchema() }) };\n',
  );
  await writeFile(join(folder, "src/content/docs/basil.md"), `---\ntitle: Sweet basil\n---\n\n${markdownOf(html)}\n`);
  const astro = here("../../node_modules/astro/bin/astro.mjs");
  await promisify(execFile)(process.execPath, [astro, "build", "--root", folder], {
    cwd: folder,
    env: { ...process.env, ASTRO_TELEMETRY_DISABLED: "1" },
  });
}

/** The words of a page's card as plain Markdown. */
function markdownOf(html: string): string {
  const tree = unified().use(rehypeParse).parse(html);
  const found: string[] = [];
  const gather = (node: Root | ElementContent): void => {
    if (node.type !== "element" && node.type !== "root") return;
    const mark = node.type === "element" ? marks[node.tagName] : undefined;
    if (mark !== undefined) {
      const text = textOf(node).replace(/\s+/g, " ").trim();
      if (text !== "") found.push(mark + text.replace(/[\\`*_{}[\]<>#|~&]/g, "\\$&"));
      return;
    }
    for (const child of node.children) if (child.type !== "doctype") gather(child);
  };
  const card = elementsOf(tree).find(({ tagName }) => tagName === "main")!;
  gather(card);
  return found.join("\n\n");
}

function elementsOf(node: Root | ElementContent): readonly Element[] {
  if (node.type !== "element" && node.type !== "root") return [];
  const own = node.type === "element" ? [node] : [];
  return [...own, ...node.children.flatMap((child) => (child.type === "doctype" ? [] : elementsOf(child)))];
}

interface Sent {
  readonly bytes: number;
  readonly fonts: number;
  readonly requests: number;
}

/** Bytes of the typefaces that are written into a style sheet. */
function writtenIn(content: Buffer, type: string): number {
  if (type !== "text/css") return 0;
  const found = content.toString().matchAll(/url\(["']?data:font\/woff2;base64,([A-Za-z0-9+/=]+)/g);
  return [...found].reduce((sum, [, text = ""]) => sum + Buffer.from(text, "base64").length, 0);
}

/** What a host sends until a page rests in a browser that has never been there [bytes of bodies]. */
async function sentFor(root: string, path: string): Promise<Sent> {
  let [bytes, fonts, requests] = [0, 0, 0];
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url ?? "/", "http://localhost");
    const file = decodeURIComponent(pathname.slice(1));
    const content = await readFile(join(root, file)).catch(() => undefined);
    if (!content) return void response.writeHead(404).end();
    const type = types[extname(file)] ?? "application/octet-stream";
    const isFont = type.startsWith("font/");
    const body = isFont ? content : brotliCompressSync(content);
    bytes += body.length;
    fonts += isFont ? body.length : writtenIn(content, type);
    requests += 1;
    response.writeHead(200, { "content-type": type, ...(isFont ? {} : { "content-encoding": "br" }) });
    response.end(body);
  });
  await new Promise<void>((resolve) => server.listen(0, "localhost", resolve));
  const { port } = server.address() as AddressInfo;
  const context = await browser.newContext({ serviceWorkers: "block" });
  const tab = await context.newPage();
  await tab.goto(`http://localhost:${port}/${path}`, { waitUntil: "networkidle" });
  await context.close();
  server.closeAllConnections();
  server.close();
  return { bytes, fonts, requests };
}
