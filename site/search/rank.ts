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
  /** Its figures that may be asked for by name, as the site's `askedFigures` writes them. */
  readonly asked?: string;
}

/** One figure of a page: what it is about, and what is said of it. */
export interface AskedFigure {
  readonly about: string;
  readonly label: string;
  /** With its unit. */
  readonly text: string;
  /** The letter of its basis. */
  readonly basis: string;
  /** The name of its place on the page; empty for the top. */
  readonly place: string;
}

/** How people ask for a figure after a name. */
export interface Asking {
  /** The ways to ask, by what the figure is about. */
  readonly asked: Readonly<Record<string, readonly string[]>>;
  /** Small words that say nothing beside it. */
  readonly fillers: readonly string[];
}

/** What a query such as `basil ec` asks: the name without the question, and what the figure is about. */
export interface Question {
  readonly name: string;
  readonly about: readonly string[];
}

/** The question in a query; undefined if it asks for no figure, or of nothing. The longest way to ask is taken. */
export function questionIn(query: string, { asked, fillers }: Asking): Question | undefined {
  const written = ` ${fold(query)} `;
  const ways = Object.entries(asked).flatMap(([about, ways]) => ways.map((way) => ({ about, way: fold(way) })));
  const [best] = ways.filter(({ way }) => written.includes(` ${way} `)).sort((a, b) => b.way.length - a.way.length);
  if (!best) return undefined;
  const rest = written.replace(` ${best.way} `, " ").split(" ");
  const name = rest.filter((word) => word !== "" && !fillers.includes(word)).join(" ");
  return name === ""
    ? undefined
    : { name, about: ways.filter(({ way }) => way === best.way).map(({ about }) => about) };
}

/** The figures that a question asks for, of a page that it names; none of any other. */
export function answersOf(page: Name, { name, about }: Question): readonly AskedFigure[] {
  if (placeOf(name, page) >= unnamed) return [];
  return (page.asked ?? "").split("~").flatMap((line) => {
    const [of = "", label = "", text = "", basis = "", place = ""] = line.split("|");
    return about.includes(of) ? [{ about: of, label, text, basis, place }] : [];
  });
}

/** A page that the index found, and how well it fits. */
export interface Found {
  readonly id: string;
  readonly score: number;
}

/**
 * The pages for a query, best first: an exact code; then a title that is the query, another name that is, a name that
 * begins with it, has all its words, or has it inside, and among equals the emergency card before a crop before a micro
 * herb before a symptom before a job, and of those alike the one whose name has least besides; if no name does, those that are one slip away; then what the index found in the text, by its score, a
 * symptom and a job a little raised and the long list of trade words lowered: a part of one of its many names is no more than
 * text. A page that has the figure asked for in the
 * query is placed by the name that the question leaves.
 */
export function ranked(
  query: string,
  names: readonly Name[],
  found: readonly Found[],
  question?: Question,
): readonly Name[] {
  const scores = new Map(found.map(({ id, score }) => [id, score]));
  const placed = names.map((name) => {
    const [whole, besides] = fitOf(query, name);
    const named = question && answersOf(name, question).length > 0 ? placeOf(question.name, name) : unnamed;
    const score = (scores.get(name.id) ?? 0) * (raised[name.kind] ?? 1);
    const inPart = name.kind === "words" && whole > 3 && whole < near && score > 0;
    return { name, place: Math.min(inPart ? unnamed : whole, named), besides, score };
  });
  const slipped = placed.every(({ place }) => place >= near);
  return placed
    .map((page) => (page.place === near && !slipped ? { ...page, place: unnamed } : page))
    .filter(({ place, score }) => place < unnamed || score > 0)
    .sort(
      (a, b) =>
        a.place - b.place ||
        (a.place < unnamed ? kindOrder(a.name) - kindOrder(b.name) || a.besides - b.besides : 0) ||
        b.score - a.score,
    )
    .map(({ name }) => name);
}

const order = ["emergency", "crop", "micro", "symptom", "job"];
const raised: Readonly<Record<string, number>> = { emergency: 2, symptom: 2, job: 1.5, words: 0.3 };
const near = 6;
const unnamed = 7;

function kindOrder({ kind }: Name): number {
  const place = order.indexOf(kind);
  return place < 0 ? order.length : place;
}

/** 0 its code, 1 its title, 2 a name, 3 the beginning of one, 4 all words, 5 a part of a word, 6 one slip away, 7 none. */
function placeOf(query: string, name: Name): number {
  return fitOf(query, name)[0];
}

/** The best place of any of a page's names, and how many letters the shortest name there has besides what was typed. */
function fitOf(query: string, { title, code, names }: Name): readonly [place: number, besides: number] {
  const written = fold(query);
  if (written === "") return [unnamed, 0];
  if (code !== "" && fold(code).replaceAll(" ", "") === written.replaceAll(" ", "")) return [0, 0];
  const singular = singulars(written);
  const fits = [title, ...names, ...(code === "" ? [] : [code])].map((name, index) => {
    const folded = fold(name);
    const place = ((): number => {
      if (folded === written || singulars(folded) === singular) return index === 0 ? 1 : 2;
      if (folded.startsWith(written)) return 3;
      const words = folded.split(" ");
      if (singular.split(" ").every((word) => words.some((other) => other.startsWith(word)))) return 4;
      if (written.length >= 3 && folded.includes(written)) return 5;
      return written.length >= 5 && [folded, ...words].some((form) => distance(form, written) === 1) ? near : unnamed;
    })();
    return [place, folded.length - written.length] as const;
  });
  return fits.reduce((best, fit) => (fit[0] < best[0] || (fit[0] === best[0] && fit[1] < best[1]) ? fit : best));
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
