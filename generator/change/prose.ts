import type { PageOf } from "../library.ts";
import { words } from "../prose.ts";
import { kinds } from "../records/index.ts";
import { leaves } from "../records/walk.ts";

/** Where a crop's record says a figure in words, beside the figure itself: paths of fields, and headings of its text. */
export function wordsSaying(page: PageOf<"crops">, figure: string): readonly string[] {
  // A range is known by its numbers alone; one number is everywhere, and only counts with its unit.
  const numbers = /^[\d.]+\s*[–-]\s*[\d.]+/.exec(figure)?.[0];
  const wanted = plain(numbers ?? figure);
  if (wanted.length < 3) return [];
  const has = (text: string) => new RegExp(`(?<![\\d.])${literal(wanted)}(?![\\d.]?\\d)`, "u").test(plain(text));
  const fields = [...leaves(kinds.crops, page.raw)].filter(
    ({ path, value, meta }) => !meta.figure && !besides.has(String(path[0])) && typeof value === "string" && has(value),
  );
  return [
    ...fields.map(({ path }) => `\`${path.join(".")}\``),
    ...page.sections.filter((section) => has(words(section))).map(({ heading }) => `“${heading || "its first lines"}”`),
  ];
}

const besides: ReadonlySet<string> = new Set(["history", "provisional", "sources", "elsewhere"]);

/** Text with one kind of dash and of space. */
function plain(text: string): string {
  return text
    .replace(/[–—‒―‐‑−]/gu, "-")
    .replace(/(?<=\d) to (?=\d)/gu, "-")
    .replace(/\s*-\s*/gu, "-")
    .replace(/\s+/gu, " ")
    .trim();
}

function literal(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
}
