import { posix } from "node:path";
import { nearest } from "./search/near.ts";

/** A link as it was written, resolved: the file of the site that it means, and the place on that page, if any. */
export interface Link {
  readonly written: string;
  readonly file: string;
  readonly place: string;
}

/** What is wrong with a page, or a link of it whose place is yet to be looked for on the page that it leads to. */
export type Doubt = string | Link;

/** Resolves the links of one file of a site, and notes each, and what is wrong with it. */
export interface Resolver {
  (link: string): string;
  readonly doubts: Doubt[];
}

export function resolver(path: string, files: ReadonlySet<string>): Resolver {
  const doubts: Doubt[] = [];
  const known = new Map<string, string | undefined>();
  const resolve = (link: string): string => {
    if (isElsewhere(link)) return link;
    const [address = "", rest = ""] = link.split(/(?=[?#])(.*)/s, 2);
    if (address !== "" && !known.has(address)) known.set(address, fileAt(address, path, files));
    const file = address === "" ? path : known.get(address);
    if (file === undefined) {
      const [near] = nearest(address.split("/").at(-1) ?? "", [...files], nameOf, 1);
      const hint = near === undefined ? "" : `, such as \`/${near}\``;
      doubts.push(`${path}: Unexpected link \`${link}\`, expected a page or file of the book${hint}`);
      return link;
    }
    const place = decoded(rest.split("#")[1] ?? "");
    doubts.push({ written: link, file, place: place === "top" || /^:~:|=/.test(place) ? "" : place });
    return address === "" ? link : relative(path, file) + rest;
  };
  return Object.assign(resolve, { doubts });
}

/** What is left of the doubts of a page, once it is known which places every page has. */
export function problemsOf(
  path: string,
  doubts: readonly Doubt[],
  placesOf: (file: string) => ReadonlySet<string> | undefined,
): readonly string[] {
  return doubts.flatMap((doubt) => {
    if (typeof doubt === "string") return [doubt];
    const { written, file, place } = doubt;
    const places = place === "" ? undefined : placesOf(file);
    if (!places || places.has(place)) return [];
    const [near] = nearest(place, [...places], (id) => [id], 1);
    const hint = near === undefined ? "but it has none" : `such as \`#${near}\``;
    return [`${path}: Unexpected link \`${written}\`, expected a place on \`${file}\`, ${hint}`];
  });
}

/** The way from one file of the site to another, as an address. */
export function relative(from: string, to: string): string {
  const way = posix.relative(posix.dirname(from), to);
  const address = encodeURI(way).replace(/[?#]/g, encodeURIComponent);
  return /^[^/]*:/.test(address) ? `./${address}` : address;
}

/** The file that an address means on a page at `from`; undefined when the site has none. */
export function fileAt(address: string, from: string, files: ReadonlySet<string>): string | undefined {
  const [clean = ""] = decoded(address).split(/[?#]/);
  const path = posix.normalize(clean.startsWith("/") ? clean.slice(1) : posix.join(posix.dirname(from), clean));
  const bare = path === "." || path === "./" ? "" : path.replace(/\/$/, "");
  const page = bare === "" ? ["index.html"] : [`${bare}.html`, `${bare}/index.html`];
  return [...(path.endsWith("/") ? [] : [bare]), ...page].find((file) => files.has(file));
}

export function isElsewhere(link: string): boolean {
  return /^([a-z][a-z0-9+.-]*:|\/\/)/i.test(link) || link === "";
}

const nameOf = (file: string): readonly string[] => [posix.basename(file).replace(/\.html$/, "")];

function decoded(address: string): string {
  try {
    return decodeURIComponent(address);
  } catch {
    return address;
  }
}
