import { distance, fold } from "./near.ts";

/** What a page is called. */
export interface Name {
  /** The name of its part of the index. */
  readonly id: string;
  /** Its address, from the root of the book. */
  readonly url: string;
  readonly title: string;
  /** What kind of page it is, such as `crop`; empty if not said. */
  readonly kind: string;
  /** A code that stands for it alone, such as a tray's; empty if it has none. */
  readonly code: string;
  /** Other names it goes by. */
  readonly names: readonly string[];
}

/** A page that the index found, and how well it fits. */
export interface Found {
  readonly id: string;
  readonly score: number;
}

/**
 * The pages for a query, best first: an exact code; then a title or other name that is the query, begins with it, has
 * all its words, or has it inside, and among equals a crop before a symptom before a job; if no name does, those that
 * are one slip away; then what the index found in the text, by its score, a symptom and a job a little raised.
 */
export function ranked(query: string, names: readonly Name[], found: readonly Found[]): readonly Name[] {
  const scores = new Map(found.map(({ id, score }) => [id, score]));
  const placed = names.map((name) => {
    return { name, place: placeOf(query, name), score: (scores.get(name.id) ?? 0) * (raised[name.kind] ?? 1) };
  });
  const slipped = placed.every(({ place }) => place >= near);
  return placed
    .map((page) => (page.place === near && !slipped ? { ...page, place: unnamed } : page))
    .filter(({ place, score }) => place < unnamed || score > 0)
    .sort(
      (a, b) =>
        a.place - b.place || (a.place < unnamed ? kindOrder(a.name) - kindOrder(b.name) : 0) || b.score - a.score,
    )
    .map(({ name }) => name);
}

const order = ["crop", "symptom", "job"];
const raised: Readonly<Record<string, number>> = { symptom: 2, job: 1.5 };
const near = 5;
const unnamed = 6;

function kindOrder({ kind }: Name): number {
  const place = order.indexOf(kind);
  return place < 0 ? order.length : place;
}

/** 0 its code, 1 its name, 2 the beginning of its name, 3 all words, 4 a part of a word, 5 one slip away, 6 none of these. */
function placeOf(query: string, { title, code, names }: Name): number {
  const written = fold(query);
  if (written === "") return unnamed;
  if (code !== "" && fold(code).replaceAll(" ", "") === written.replaceAll(" ", "")) return 0;
  const singular = singulars(written);
  return Math.min(
    ...[title, ...names, ...(code === "" ? [] : [code])].map((name) => {
      const folded = fold(name);
      if (folded === written || singulars(folded) === singular) return 1;
      if (folded.startsWith(written)) return 2;
      const words = folded.split(" ");
      if (singular.split(" ").every((word) => words.some((other) => other.startsWith(word)))) return 3;
      if (written.length >= 3 && folded.includes(written)) return 4;
      return written.length >= 5 && [folded, ...words].some((form) => distance(form, written) === 1) ? near : unnamed;
    }),
  );
}

/** Each word without the ending of its plural; rough, and the same on both sides. */
function singulars(folded: string): string {
  return folded
    .split(" ")
    .map((word) =>
      word.length > 4 ? word.replace(/(ies|ie|y)$/, "i").replace(/(?<=[sxzh]|o)es$|(?<=[^s])s$/, "") : word,
    )
    .join(" ");
}
