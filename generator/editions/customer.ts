import type { Library, PageOf } from "../library.ts";
import { stageNames } from "../records/crop.ts";
import { feeding, only, outward, plantWithin, proseOf, publishedBehind, seasons, shown } from "../shown.ts";
import { pick } from "../told.ts";
import { surenessOf } from "./sureness.ts";

/** What a customer may see. A field, figure or section that is not named here stays in the house. */
export function customerEdition(library: Library) {
  const open = shown(library);
  const prose = proseOf("customer", open);
  const crop = (page: PageOf<"crops">) => ({
    id: page.id,
    ...only(
      page.fields,
      "name",
      "also",
      "search",
      "botanical",
      "family",
      "kind",
      "code",
      "eaten",
      "uneaten",
      "lookalikes",
      "allergens",
      "pollination",
      "trouble",
      "cautions",
    ),
    feeding: feeding(page),
    light: page.fields.light?.plain,
    season: page.fields.season,
    sowing: page.fields.seed?.light,
    seasons: seasons(library, page),
    cut: page.fields.cutting?.how,
    plantWithin: plantWithin(page),
    figures: outward(
      pick(library, page, [
        "air.day",
        "air.night",
        "air.lowest",
        "seed.temperature",
        "seed.depth",
        "spacing",
        "form.spread",
      ]),
    ),
    stages: stageNames.flatMap((name) => {
      const ready = page.fields.stages[name]?.ready;
      return ready === undefined ? [] : [{ name, ready }];
    }),
    prose: prose(page),
  });
  const crops = open.crops.map(crop);
  return {
    audience: "customer" as const,
    book: only(library.book.fields, "name", "demo", "place", "contact", "edition", "latitude"),
    crops,
    guides: open.guides.map((page) => ({
      id: page.id,
      ...only(page.fields, "title", "kind", "summary", "search", "cautions"),
      prose: prose(page),
    })),
    glossary: open.glossary.map((page) => ({
      id: page.id,
      ...only(page.fields, "term", "also", "see"),
      prose: prose(page),
    })),
    news: open.news.map((page) => ({ id: page.id, ...only(page.fields, "title", "on", "pages"), prose: prose(page) })),
    sources: publishedBehind(library, crops),
    sureness: surenessOf(crops.map(({ figures }) => ({ kind: "crops", figures }))),
  };
}

export type CustomerEdition = ReturnType<typeof customerEdition>;
