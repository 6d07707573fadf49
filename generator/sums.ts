import { type Sum, sum, type Take } from "./figures.ts";
import type { Library, Page, PageOf } from "./library.ts";
import { stageNames } from "./records/crop.ts";
import type { GearKind, GearOf } from "./records/gear.ts";
import { readSpan } from "./records/quantity.ts";
import { daysBetween } from "./science/calendar.ts";
import { massFraction } from "./science/chemistry.ts";

type Crop = PageOf<"crops">;

/** A piece of gear of one kind. */
export type GearPage<Kind extends GearKind> = Page<GearOf<Kind>>;

/** All pieces of gear of one kind, in the order of their ids. */
export function gearOf<Kind extends GearKind>(library: Library, kind: Kind): readonly GearPage<Kind>[] {
  return [...library.gear.values()].filter(
    ({ fields }) => fields.kind === kind,
  ) as unknown as readonly GearPage<Kind>[];
}

/** What to weigh into the tubs for a feed, from its water and its bags. Prices stay out: a book is no ledger. */
export function feedRecipe(
  library: Library,
  feed: PageOf<"feeds">,
  method: "stepwise" | "least-squares" = "stepwise",
): Sum {
  return sum(library, "feed-recipe", (take) => {
    const water = library.waters.get(feed.fields.water)!;
    const stock = take(feed, "stock");
    const scale = stock.scale === undefined ? undefined : gearOf(library, "scale").find(({ id }) => id === stock.scale);
    const { N, P, K, Ca, Mg } = take(feed, "targets");
    const { Fe: _iron, B: _boron, ...ions } = take(water, "ions");
    return {
      targets: { N, P, K, Ca, Mg },
      water: ions,
      salts: feed.fields.salts
        .map((id) => library.salts.get(id)!)
        .filter((salt) => mainElements.some((part) => (fractionsOf(salt.fields.analysis)[part] ?? 0) > 0))
        .map((salt) => saltInput(take, salt)),
      stock: {
        ratioPercent: stock.ratio,
        ratioMeans: stock.means,
        heads: stock.heads,
        tankLitres: stock.tank,
        coldestTempC: stock.coldest,
        scaleDivisionGrams: scale && take(scale, "division"),
      },
      method,
    };
  });
}

/** How much of each trace salt goes into one tub of a feed, and whether the scale can weigh it. */
export function traceWeights(library: Library, feed: PageOf<"feeds">): Sum | undefined {
  const { targets } = feed.fields;
  const wanted = traces.filter((trace) => targets[trace] !== undefined);
  const bags = new Map(
    wanted.flatMap((trace) => {
      const salt = feed.fields.salts
        .map((id) => library.salts.get(id)!)
        .find(({ fields }) => (fields.analysis[trace] ?? 0) > 0);
      return salt ? [[trace, salt] as const] : [];
    }),
  );
  if (bags.size === 0) return undefined;
  return sum(library, "trace-weights", (take) => {
    const water = library.waters.get(feed.fields.water)!;
    const { tank, ratio, scale } = take(feed, "stock");
    const gear = scale === undefined ? undefined : gearOf(library, "scale").find(({ id }) => id === scale);
    const all = take(feed, "targets");
    const { Fe, B } = take(water, "ions");
    return {
      targets: Object.fromEntries([...bags.keys()].map((trace) => [trace, all[trace]])),
      water: { Fe, B },
      fractions: Object.fromEntries(
        [...bags].map(([trace, salt]) => [trace, (take(salt, "analysis")[trace] ?? 0) / 100]),
      ),
      treatedM3: tank / (10 * ratio),
      scaleDivisionGrams: gear && take(gear, "division"),
    };
  });
}

/** Whether the crops of a line can drink from it together. */
export function lineMatch(library: Library, line: GearPage<"line">): Sum {
  return sum(library, "line-match", (take) => ({
    crops: line.fields.crops.map((id) => bands(take, library.crops.get(id)!)),
  }));
}

/** How much light a bank of lamps gives in a day, by what was measured at the ports. */
export function lampLight(library: Library, lamp: GearPage<"lamp">): Sum {
  return sum(library, "light-total", (take) => ({ ppfd: take(lamp, "readings"), hours: take(lamp, "hours") }));
}

/** What the last reading of a meter is at 25 °C, against the set-point of the first line when it reads EC. */
export function meterReading(library: Library, meter: GearPage<"meter">): Sum | undefined {
  if (meter.fields.measures !== "EC" || !meter.fields.reading) return undefined;
  const [line] = gearOf(library, "line");
  return sum(library, "ec-reading", (take) => {
    const reading = take(meter, "reading")!;
    const set = line && take(line, "ec");
    return {
      reading: reading.shows,
      scale: take(meter, "scale"),
      temperature: reading.temperature,
      compensated: take(meter, "compensated"),
      bandLow: set && set - 0.1,
      bandHigh: set && set + 0.1,
    };
  });
}

/** When to sow for an order, and which batches in hand would do. Today is the day of the edition. */
export function sowFor(library: Library, order: PageOf<"orders">): Sum | undefined {
  const crop = library.crops.get(order.fields.crop)!;
  const upTo = order.fields.kind === "plug" ? ["germination", "tray", "mister", "hardening"] : stageNames;
  if (!stageNames.some((name) => upTo.includes(name) && crop.fields.stages[name])) return undefined;
  const { book } = library;
  return sum(library, "sow-date", (take) => {
    const stages = take(crop, "stages");
    return {
      need: take(order, "from"),
      stages: stageNames.flatMap((name) => {
        const stage = upTo.includes(name) ? stages[name] : undefined;
        const days = stage?.days ?? stage?.summer;
        return days ? [{ name, days: Math.round(days.high) }] : [];
      }),
      sowDays: take(book, "sow"),
      bufferDays: take(book, "buffer"),
      today: take(book, "edition"),
      batches: [...library.batches.values()]
        .filter(
          ({ fields }) => fields.crop === crop.id && fields.closed === undefined && fields.sown <= book.fields.edition,
        )
        .map((batch) => ({
          code: take(batch, "code"),
          ageDays: daysBetween(take(batch, "sown"), book.fields.edition),
        })),
    };
  });
}

/** How many cells to sow for an order of plugs, from the lot's own tests. */
export function cellsFor(library: Library, order: PageOf<"orders">): Sum | undefined {
  const lot = order.fields.lot === undefined ? undefined : library.lots.get(order.fields.lot);
  const need = readSpan(order.fields.amount.replace(/\s*(plugs|pots|plants)$/i, ""), "");
  const tests = Object.values(lot?.fields.tests ?? {});
  const sown = tests.reduce((all, test) => all + test.sown, 0);
  if (order.fields.kind !== "plug" || !lot || "slip" in need || sown === 0) return undefined;
  const [tray] = gearOf(library, "tray");
  return sum(library, "cells-to-sow", (take) => {
    const counts = Object.values(take(lot, "tests") ?? {});
    return {
      need: need.value.low,
      germinationPercent: (100 * counts.reduce((all, test) => all + test.up, 0)) / sown,
      usablePercent: take(lot, "usable") ?? take(library.crops.get(lot.fields.crop)!, "seed.usable"),
      cellsPerTray: tray && take(tray, "cells"),
    };
  });
}

/** Every sum of the book with the page it stands on, for `explain` and for the pages. */
export function* allSums(library: Library): Generator<readonly [page: string, Sum]> {
  for (const feed of library.feeds.values()) {
    yield [`feeds/${feed.id}`, feedRecipe(library, feed)];
    const trace = traceWeights(library, feed);
    if (trace) yield [`feeds/${feed.id}`, trace];
  }
  for (const line of gearOf(library, "line")) yield [`gear/${line.id}`, lineMatch(library, line)];
  for (const lamp of gearOf(library, "lamp")) yield [`gear/${lamp.id}`, lampLight(library, lamp)];
  for (const meter of gearOf(library, "meter")) {
    const reading = meterReading(library, meter);
    if (reading) yield [`gear/${meter.id}`, reading];
  }
  for (const order of library.orders.values()) {
    for (const one of [sowFor(library, order), cellsFor(library, order)]) if (one) yield [`orders/${order.id}`, one];
  }
}

const mainElements = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S"] as const;
const traces = ["Fe", "Mn", "Zn", "B", "Cu", "Mo"] as const;

type Analysis = PageOf<"salts">["fields"]["analysis"];

/** A bag's analysis as fractions of each element by mass; oxides are turned with IUPAC weights. */
export function fractionsOf(
  analysis: Analysis,
): Readonly<Record<(typeof mainElements)[number] | "Na" | "Cl" | "Fe", number | undefined>> {
  const of = (element: number | undefined, oxide?: number, share = 1) => {
    const percent = element ?? (oxide === undefined ? undefined : oxide * share);
    return percent === undefined ? undefined : percent / 100;
  };
  return {
    NO3N: of(analysis.nNitrate),
    NH4N: of(analysis.nAmmonium),
    P: of(analysis.P, analysis.P2O5, massFraction("P2O5", "P")),
    K: of(analysis.K, analysis.K2O, massFraction("K2O", "K")),
    Ca: of(analysis.Ca, analysis.CaO, massFraction("CaO", "Ca")),
    Mg: of(analysis.Mg, analysis.MgO, massFraction("MgO", "Mg")),
    S: of(analysis.S, analysis.SO3, massFraction("SO3", "S")),
    Na: of(analysis.Na),
    Cl: of(analysis.Cl),
    Fe: of(analysis.Fe),
  };
}

function saltInput(take: Take, salt: PageOf<"salts">): Readonly<Record<string, unknown>> {
  return {
    id: salt.id,
    fractions: fractionsOf(take(salt, "analysis")),
    tub: take(salt, "tub"),
    solubility: take(salt, "solubility"),
  };
}

function bands(take: Take, crop: Crop): Readonly<Record<string, unknown>> {
  const pair = (band: { readonly low: number; readonly high: number } | undefined) => band && [band.low, band.high];
  const ec = take(crop, "ec");
  const ph = take(crop, "ph");
  return {
    id: crop.id,
    ec: pair(ec?.preferred),
    ph: pair(ph?.preferred),
    ecTolerated: pair(ec?.tolerated),
    phTolerated: pair(ph?.tolerated),
  };
}
