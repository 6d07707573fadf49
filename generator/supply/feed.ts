import type { Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { massFraction } from "../science/chemistry.ts";
import { type GearPage, type Given, gearOf, type Supply } from "./supply.ts";

const mainElements = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S"] as const;
const traceElements = ["Fe", "Mn", "Zn", "B", "Cu", "Mo"] as const;

/** Waters, feeds and salts, as the questions about them want them. Prices are not read: a book is no ledger. */
export const feedSupplies: Readonly<Record<string, Supply>> = {
  "feed-recipe": {
    needs: ["feeds"],
    may: ["waters", "salts", "gear"],
    ask(take, given, library) {
      const feed = given.feeds![0]!;
      const { N, P, K, Ca, Mg } = take(feed, "targets");
      return {
        targets: { N, P, K, Ca, Mg },
        water: ionsOf(take, waterOf(given, library)),
        salts: saltsOf(given, library)
          .filter(isMain)
          .map((salt) => saltInput(take, salt)),
        stock: stockOf(take, feed, given, library),
      };
    },
  },
  "trace-weights": {
    needs: ["feeds"],
    may: ["waters", "salts"],
    ask(take, given, library) {
      const feed = given.feeds![0]!;
      const salts = saltsOf(given, library);
      const wanted = traceElements.flatMap((trace) => {
        const salt = salts.find(({ fields }) => (fields.analysis[trace] ?? 0) > 0);
        return salt && feed.fields.targets[trace] !== undefined ? [[trace, salt] as const] : [];
      });
      const targets = take(feed, "targets");
      const { tank, ratio } = take(feed, "stock");
      const { Fe, B } = take(waterOf(given, library), "ions");
      return {
        targets: Object.fromEntries(wanted.map(([trace]) => [trace, targets[trace]])),
        water: { Fe, B },
        fractions: Object.fromEntries(wanted.map(([trace, salt]) => [trace, take(salt, "analysis")[trace]! / 100])),
        treatedM3: tank / (10 * ratio),
        scaleDivisionGrams: divisionOf(take, feed, library),
      };
    },
  },
  "label-to-element": {
    needs: ["salts"],
    ask(take, { salts }) {
      const { nTotal, nNitrate, nAmmonium, nUrea, P2O5, P, K2O, K, CaO, Ca, MgO, Mg, SO3, S } = take(
        salts![0]!,
        "analysis",
      );
      return { label: { nTotal, nNitrate, nAmmonium, nUrea, P2O5, P, K2O, K, CaO, Ca, MgO, Mg, SO3, S } };
    },
  },
  "hardness-alkalinity": {
    needs: ["waters"],
    ask(take, { waters }) {
      const { Ca, Mg, HCO3 } = take(waters![0]!, "ions");
      return { calcium: Ca, magnesium: Mg, alkalinity: HCO3, alkalinityAs: HCO3 === undefined ? undefined : "HCO3" };
    },
  },
  "solution-check": {
    needs: ["waters"],
    ask: (take, { waters }) => ionsOf(take, waters![0]!),
  },
  "water-blend": {
    needs: ["waters"],
    ask(take, { waters }, library) {
      const hard = waters!.find(({ fields }) => fields.from !== "rain") ?? waters![0]!;
      const rain =
        waters!.find(({ fields }) => fields.from === "rain") ??
        [...library.waters.values()].find(({ fields }) => fields.from === "rain");
      return { mains: take(hard, "ions"), rain: rain && take(rain, "ions") };
    },
  },
  "acid-dose": {
    needs: ["waters"],
    may: ["feeds"],
    ask(take, { waters, feeds }) {
      const feed = feeds?.[0];
      const stock = feed && take(feed, "stock");
      return {
        alkalinity: take(waters![0]!, "ions.HCO3"),
        alkalinityAs: "HCO3",
        ratioPercent: stock?.ratio,
        tankLitres: stock?.tank,
        targetP: feed && take(feed, "targets.P"),
      };
    },
  },
};

/** A bag's analysis as fractions of each element by mass; oxides are turned with IUPAC weights. */
function fractionsOf(analysis: PageOf<"salts">["fields"]["analysis"]) {
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

/** Whether a salt gives a main element; trace salts are weighed on a sheet of their own. */
function isMain({ fields }: PageOf<"salts">): boolean {
  const fractions = fractionsOf(fields.analysis);
  return (
    !traceElements.some((trace) => (fields.analysis[trace] ?? 0) > 0) &&
    mainElements.some((part) => (fractions[part] ?? 0) > 0)
  );
}

function saltInput(take: Take, salt: PageOf<"salts">) {
  return {
    id: salt.id,
    fractions: fractionsOf(take(salt, "analysis")),
    tub: take(salt, "tub"),
    solubility: take(salt, "solubility"),
  };
}

function ionsOf(take: Take, water: PageOf<"waters">) {
  const { Fe: _iron, B: _boron, ...ions } = take(water, "ions");
  return ions;
}

/** The water named, or the feed's own. */
function waterOf({ waters, feeds }: Given, library: Library): PageOf<"waters"> {
  return waters?.[0] ?? library.waters.get(feeds![0]!.fields.water)!;
}

/** The salts named, or the feed's own. */
function saltsOf({ salts, feeds }: Given, library: Library): readonly PageOf<"salts">[] {
  return salts ?? feeds![0]!.fields.salts.map((id) => library.salts.get(id)!);
}

/** The feed's own stock, on the injector named, if one is: its manual says what a ratio means and how many heads it has. */
function stockOf(take: Take, feed: PageOf<"feeds">, { gear }: Given, library: Library) {
  const stock = take(feed, "stock");
  const injector = gearOf(gear ?? [], "injector")[0];
  return {
    ratioPercent: stock.ratio,
    ratioMeans: injector ? take(injector, "means") : stock.means,
    heads: injector ? Math.min(3, take(injector, "heads")) : stock.heads,
    tankLitres: stock.tank,
    coldestTempC: stock.coldest,
    scaleDivisionGrams: divisionOf(take, feed, library),
  };
}

function divisionOf(take: Take, feed: PageOf<"feeds">, library: Library): number | undefined {
  const scale: GearPage<"scale"> | undefined = gearOf(library.gear.values(), "scale").find(
    ({ id }) => id === feed.fields.stock.scale,
  );
  return scale && take(scale, "division");
}
