import { readFile } from "node:fs/promises";
import { dirname, extname, join, relative, sep } from "node:path";
import { zipSync } from "fflate";
import type { Element, Root } from "hast";
import { toString as plainText } from "hast-util-to-string";
import rehypeParse from "rehype-parse";
import rehypeStringify from "rehype-stringify";
import { unified } from "unified";
import { SKIP, visit } from "unist-util-visit";

/**
 * Files as one zip, below a folder of its own so that unpacking makes no mess. Paths are relative, with `/`. Every file
 * has the oldest day that a zip can hold, so that the same book gives the same bytes.
 */
export function zipped(files: ReadonlyMap<string, Uint8Array>, folder: string): Uint8Array {
  const sorted = [...files].sort(([a], [b]) => (a < b ? -1 : 1));
  return zipSync(Object.fromEntries(sorted.map(([path, bytes]) => [`${folder}/${path}`, bytes])), {
    mtime: new Date(1980, 0, 1),
    level: 9,
  });
}

/**
 * A page of a printed edition as one file that needs no other: its styles and typeface are inside, its scripts and its
 * ways to other pages are not. It opens from a message on a telephone. @throws Error for a style that is not there
 */
export async function alone(page: string): Promise<string> {
  const tree = reader.parse(await readFile(page, "utf8")) as Root;
  const styles: { readonly link: Element; readonly href: string }[] = [];
  visit(tree, "element", (element, index, parent) => {
    const { tagName, properties } = element;
    const isStyle = tagName === "link" && String(properties.rel) === "stylesheet";
    if (isStyle) styles.push({ link: element, href: String(properties.href) });
    else if (tagName === "meta" && String(properties.httpEquiv) === "Content-Security-Policy")
      properties.content = policy;
    else if (parent && index !== undefined && (tagName === "script" || tagName === "link" || tagName === "nav")) {
      parent.children.splice(index, 1);
      return [SKIP, index];
    } else if (tagName === "a" && isElsewhere(String(properties.href ?? ""))) {
      element.tagName = "span";
      element.properties = {};
      element.children = [{ type: "text", value: plainText(element) }];
    }
    return undefined;
  });
  for (const { link, href } of styles) {
    link.tagName = "style";
    link.properties = {};
    link.children = [{ type: "text", value: await withFonts(join(dirname(page), href)) }];
  }
  return writer.stringify(tree);
}

/** Nothing may be asked of any other place: what the page needs is in it. */
const policy =
  "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'";

const reader = unified().use(rehypeParse);
const writer = unified().use(rehypeStringify);

/** Whether an address leads out of the page itself; a place on it, a telephone or a letter does not. */
function isElsewhere(address: string): boolean {
  return !/^(#|tel:|mailto:)/.test(address);
}

/** A style sheet with the files that it names written into it. */
async function withFonts(file: string): Promise<string> {
  const css = await readFile(file, "utf8");
  const addresses = [...new Set([...css.matchAll(/url\(["']?([^"')]+)["']?\)/g)].map(([, address]) => address!))];
  const inside = await Promise.all(
    addresses.map(async (address) => {
      if (/^(data:|#)/.test(address)) return [address, address] as const;
      const bytes = await readFile(join(dirname(file), address));
      return [
        address,
        `data:${types[extname(address)] ?? "application/octet-stream"};base64,${bytes.toString("base64")}`,
      ] as const;
    }),
  );
  const data = new Map(inside);
  return css.replace(/url\(["']?([^"')]+)["']?\)/g, (_, address: string) => `url(${data.get(address)})`);
}

const types: Readonly<Record<string, string>> = {
  ".woff2": "font/woff2",
  ".svg": "image/svg+xml",
  ".png": "image/png",
};

/** A path below a folder, with `/` on every system. */
export function below(folder: string, path: string): string {
  return relative(folder, path).split(sep).join("/");
}
