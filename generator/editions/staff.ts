import { cardFigures } from "../card.ts";
import { reviewsOf } from "../closeouts/reviews.ts";
import { thumbsOf } from "../closeouts/thumbs.ts";
import { closeoutsOf, usesOf } from "../closeouts.ts";
import { changedFor } from "../design/changed.ts";
import { layoutOf, sheetRows } from "../design/layout.ts";
import { readTrial } from "../evidence.ts";
import type { Library, Page } from "../library.ts";
import type { Search } from "../plan/choose.ts";
import { stageNames } from "../records/crop.ts";
import { everything, feeding, historyOf, only, proseOf, sumsByPage } from "../shown.ts";
import { agendaOf } from "../supply/agenda.ts";
import { doingsOf } from "../supply/doings.ts";
import { fillsOf } from "../supply/fills.ts";
import { sumOf } from "../supply/index.ts";
import { picksOf } from "../supply/picks.ts";
import { bookPlan } from "../supply/planned.ts";
import { germinationCounted, usableMoved } from "../supply/raised.ts";
import { roomOf } from "../supply/room.ts";
import { seasonsOf } from "../supply/seasons.ts";
import { batchCodes, sowingWeeks } from "../supply/sowing.ts";
import { blocksOf, groupsOf } from "../supply/trials.ts";
import { suppliesOf } from "../supply/water.ts";
import { cited, figures, labelOf, provisionalOf } from "../told.ts";
import { surenessOf } from "./sureness.ts";

/**
 * What the staff may see: every record, without what belongs to nobody but its keeper; and the yard's plan, which is the best
 * there is when there is a `search`.
 */
export function staffEdition(library: Library, search?: Search) {
  const all = everything(library);
  const prose = proseOf("staff", all);
  const plan = bookPlan(library, search);
  const doings = doingsOf(library, plan);
  const closeouts = closeoutsOf(library, usesOf(library, plan));
  let room: ReturnType<typeof roomOf> | undefined;
  const sums = sumsByPage(library);
  const sumsOf = (page: Page<unknown>) => sums.get(`${page.kind}/${page.id}`) ?? [];
  const linesOf = Map.groupBy(
    all.gear.flatMap(({ id, fields }) => (fields.kind === "line" ? fields.crops.map((crop) => ({ id, crop })) : [])),
    ({ crop }) => crop,
  );
  const batchesOf = Map.groupBy(
    all.batches.filter(({ fields }) => fields.closed === undefined),
    ({ fields }) => fields.crop,
  );
  return {
    audience: "staff" as const,
    book: only(
      library.book.fields,
      "name",
      "demo",
      "place",
      "contact",
      "edition",
      "latitude",
      "sow",
      "post",
      "holidays",
    ),
    crops: all.crops.map((page) => ({
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
        "audience",
        "status",
        "reviewed",
        "eaten",
        "uneaten",
        "lookalikes",
        "allergens",
        "pollination",
        "trouble",
        "cautions",
      ),
      history: historyOf(page),
      feeding: feeding(page),
      light: page.fields.light?.plain,
      response: page.fields.light?.response,
      season: page.fields.season,
      sowing: page.fields.seed?.light,
      before: page.fields.seed?.before,
      cut: only(page.fields.cutting ?? {}, "style", "how", "yield"),
      habit: only(page.fields.form ?? {}, "habit", "support"),
      tower: page.fields.tower && only(page.fields.tower, "zone", "why"),
      handling: page.fields.keeping?.how,
      figures: figures(library, page),
      provisional: provisionalOf(page),
      card: cardFigures(page, figures(library, page)),
      elsewhere: (page.fields.elsewhere ?? []).map(({ figure, from, ...said }) => ({
        ...said,
        label: labelOf(page, figure),
        cited: cited(library, from),
      })),
      findings: (page.fields.findings ?? []).map(({ from, ...found }) => ({ ...found, cited: cited(library, from) })),
      stages: stageNames.flatMap((name) => {
        const stage = page.fields.stages[name];
        return stage ? [{ name, ...only(stage, "days", "summer", "winter", "ready") }] : [];
      }),
      lines: [...new Set(linesOf.get(page.id)?.map(({ id }) => id))],
      batches: (batchesOf.get(page.id) ?? []).map(({ id, fields }) => ({
        id,
        ...only(fields, "code", "sown", "cells", "moves"),
      })),
      prose: prose(page),
    })),
    feeds: all.feeds.map((page) => ({
      id: page.id,
      ...only(page.fields, "name", "version", "for", "approved", "supersedes", "salts", "water", "stock"),
      history: historyOf(page),
      figures: figures(library, page),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    salts: all.salts.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "name",
        "formula",
        "tub",
        "hazard",
        "place",
        "opened",
        "stock",
        "counted",
        "lead",
        "reorder",
      ),
      figures: figures(library, page),
      prose: prose(page),
    })),
    waters: all.waters.map((page) => ({
      id: page.id,
      ...only(page.fields, "name", "from", "sampled", "method", "microbes", "due", "safe"),
      figures: figures(library, page),
      prose: prose(page),
    })),
    gear: all.gear.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "name", "place", "isolate", "serviced", "due"),
      crops: page.fields.kind === "line" ? page.fields.crops : [],
      feed: page.fields.kind === "line" ? page.fields.feed : undefined,
      wilt: "wilt" in page.fields ? page.fields.wilt : undefined,
      cells: page.fields.kind === "tray" ? page.fields.cells : undefined,
      tiers: page.fields.kind === "tower" ? page.fields.tiers : undefined,
      faces: page.fields.kind === "tower" ? page.fields.faces : undefined,
      planting: page.fields.kind === "tower" ? sumOf(library, "tower-layout", { gear: [page] }) : undefined,
      figures: figures(library, page),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    lots: all.lots.map((page) => ({
      id: page.id,
      ...only(page.fields, "crop", "cultivar", "bought", "packed", "treated", "treatment", "food", "tests", "store"),
      // What the yard's own trays show of it, beside its tests.
      cameUp: germinationCounted(library, page.id, library.book.fields.edition),
      usable: usableMoved(library, { lot: page.id }, library.book.fields.edition),
      prose: prose(page),
    })),
    batches: all.batches.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "code",
        "crop",
        "lot",
        "order",
        "sown",
        "cells",
        "seeds",
        "tray",
        "counted",
        "moves",
        "losses",
        "cuts",
        "closed",
      ),
      codes: batchCodes(library, page),
      prose: prose(page),
    })),
    orders: all.orders.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "crop", "amount", "from", "to", "days", "lot"),
      sums: sumsOf(page),
      prose: prose(page),
    })),
    trials: all.trials.map((page) => ({
      id: page.id,
      ...only(
        page.fields,
        "question",
        "crop",
        "worthwhile",
        "measure",
        "figure",
        "control",
        "repeats",
        "through",
        "isolated",
        "started",
        "stop",
        "spread",
        "places",
        "drawn",
        "data",
        "deaths",
        "excluded",
        "incidents",
        "spoilt",
        "decision",
      ),
      blocks: page.fields.blocks && blocksOf(page.fields),
      pairs: page.fields.blocks && sumOf(library, "paired-blocks", { trials: [page] }),
      groups: groupsOf(library, page),
      reading: readTrial(library, page.id),
      layout: layoutOf(library, page),
      rows: sheetRows(page),
      changed: changedFor(library, page),
      prose: prose(page),
    })),
    guides: all.guides.map((page) => ({
      id: page.id,
      ...only(page.fields, "title", "audience", "kind", "order", "summary", "search", "cautions", "reviewed"),
      history: historyOf(page),
      prose: prose(page),
    })),
    glossary: all.glossary.map((page) => ({
      id: page.id,
      ...only(page.fields, "term", "also", "audience", "see"),
      prose: prose(page),
    })),
    news: all.news.map((page) => ({
      id: page.id,
      ...only(page.fields, "title", "on", "pages", "audience"),
      prose: prose(page),
    })),
    sources: all.sources.map((page) => ({
      id: page.id,
      ...only(page.fields, "kind", "title", "author", "year", "locator", "read", "trial", "on", "place"),
      text: cited(library, page.id).text,
    })),
    plan,
    doings,
    agenda: agendaOf(library, plan, doings),
    // It takes its time, and no page of a crop asks for it.
    get room() {
      room ??= roomOf(library, plan);
      return room;
    },
    picks: picksOf(library, plan, doings),
    weeks: sowingWeeks(plan),
    seasons: seasonsOf(library),
    supplies: suppliesOf(library, plan),
    fills: fillsOf(library),
    closeouts,
    reviews: reviewsOf(library),
    thumbs: thumbsOf(library, closeouts.crops),
    sureness: surenessOf(
      (["crops", "feeds", "salts", "waters", "gear"] as const).flatMap((kind) =>
        all[kind].map((page) => ({ kind, figures: figures(library, page as Page<unknown>) })),
      ),
    ),
  };
}

export type StaffEdition = ReturnType<typeof staffEdition>;
