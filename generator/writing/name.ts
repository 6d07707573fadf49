import { asName } from "../records/file-name.ts";
import type { Kind } from "../records/index.ts";
import { type Tree, valueIn } from "./tree.ts";

/**
 * A name for the file of a new record, made from what the record says: that of a crop from its name, that of a lot from
 * crop and day of buying. Empty when those fields say nothing that a file name may have.
 */
export function idFor(kind: Kind, tree: Tree): string {
  const words = madeOf[kind].map((path) => valueIn(tree, [path])).filter((value) => typeof value === "string");
  // Of a source's authors the first, and only with a year: else its title says more.
  const cited = kind === "sources" && words.length === 2 ? [words[0]!.split(/[\s,]/)[0]!, words[1]!] : [];
  const title = typeof tree.title === "string" ? [tree.title] : [];
  return shortened(asName((kind === "sources" ? (cited.length > 0 ? cited : title) : words).join(" ")));
}

/** One of a kind, as a person says it: `a crop`, `an order`, `a term`. */
export function singly(kind: Kind): string {
  const word = singles[kind];
  return kind === "news"
    ? "a piece of news"
    : `${/^[aeiou]/.test(word) ? "an" : "a"} ${word}`.replace("a gear", "gear");
}

/** The word for one of a kind, which will do for the kind's own name. */
export const singles: Readonly<Record<Kind, string>> = {
  crops: "crop",
  feeds: "feed",
  salts: "salt",
  waters: "water",
  gear: "gear",
  lots: "lot",
  batches: "batch",
  orders: "order",
  trials: "trial",
  sources: "source",
  guides: "guide",
  glossary: "term",
  news: "news",
};

/** The fields that a name is made of. An order's reference is nobody's, so that no address may hold it. */
const madeOf: Readonly<Record<Kind, readonly string[]>> = {
  crops: ["name"],
  feeds: ["name"],
  salts: ["name"],
  waters: ["name"],
  gear: ["name"],
  lots: ["crop", "bought"],
  batches: ["code"],
  orders: ["crop", "kind", "from"],
  trials: ["question"],
  sources: ["author", "year"],
  guides: ["title"],
  glossary: ["term"],
  news: ["on", "title"],
};

/** At most 60 signs, cut between words. */
function shortened(name: string): string {
  if (name.length <= 60) return name;
  const cut = name.slice(0, 61);
  return cut.slice(0, Math.max(cut.lastIndexOf("-"), 1));
}
