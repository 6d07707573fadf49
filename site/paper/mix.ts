import type { StaffEdition } from "../../generator/editions.ts";
import { shortDate } from "../../generator/format.ts";
import type { MixFeed } from "../forms/mix.ts";
import { nameOf } from "../names.ts";
import { words } from "../words.ts";

type Feed = StaffEdition["feeds"][number];
type Salt = StaffEdition["salts"][number];

/** A feed with all that its paper says of it, so that the page can also be worked out anew in a browser. */
export function mixFeed(feed: Feed, { salts, gear, fills, book }: StaffEdition): MixFeed {
  const { mix } = words.paper;
  const filled = (sheet: string) => fills[sheet]?.find(({ record }) => record === `feeds/${feed.id}`)?.input;
  const { basis } = feed.sums.find(({ worksheet }) => worksheet === "feed-recipe")!;
  const traces = feed.sums.some(({ worksheet }) => worksheet === "trace-weights") ? filled("trace-weights") : undefined;
  return {
    id: feed.id,
    name: feed.name,
    version: feed.version,
    water: nameOf(feed.water),
    recipe: filled("feed-recipe")!,
    ...(traces ? { traces } : {}),
    traceSalts: Object.fromEntries(
      ["Fe", "Mn", "Zn", "B", "Cu", "Mo"].flatMap((trace) => {
        const salt = salts.find((one) => feed.salts.includes(one.id) && brings(one, trace));
        return salt ? [[trace, salt.id]] : [];
      }),
    ),
    bags: Object.fromEntries(
      salts
        .filter(({ id }) => feed.salts.includes(id))
        .map((salt) => [
          salt.id,
          { name: salt.name, tub: salt.tub, hazard: salt.hazard, ...(brings(salt, "Fe") ? { iron: true } : {}) },
        ]),
    ),
    division: gear.find(({ id }) => id === feed.stock.scale)?.figures.division?.low,
    foot: {
      edition: words.paper.edition(shortDate(book.edition)),
      said: [
        feed.supersedes ? mix.replaces(feed.supersedes) : words.paper.replaces,
        mix.approved(shortDate(feed.approved)),
      ].join(" "),
      demo: book.demo ? words.paper.demo : "",
    },
    basis: { letter: words.basis[basis].letter, word: words.basis[basis].word },
  };
}

function brings({ figures }: Salt, trace: string): boolean {
  return (figures[`analysis.${trace}`]?.low ?? 0) > 0;
}
