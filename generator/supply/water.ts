import { asked, type Lean, type Sum, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import type { PlaceUse, Plan } from "../plan/plan.ts";
import { toldLine } from "../plan/told-supplies.ts";
import type { Basis } from "../provenance.ts";
import { addDays, isoWeek, type PlainDate } from "../science/calendar.ts";
import { dosingRatio } from "../science/tubs.ts";
import type { In } from "../science/units.ts";
import type { Caution } from "../worksheets/worksheet.ts";
import { sumOf } from "./index.ts";
import { type YardPlan, yardOf } from "./plan.ts";
import { basisOf, type SaltSupply, saltsOf, sevens, type TubSupply, total, tubOf } from "./stock.ts";
import { type GearPage, gearOf } from "./supply.ts";

/** What the plan drinks and eats: water of each line, stock in each tub, and every salt with the day to order it. */
export interface Supplies {
  readonly today: PlainDate;
  readonly until: PlainDate;
  readonly lines: readonly LineWater[];
  readonly tubs: readonly TubSupply[];
  readonly salts: readonly SaltSupply[];
}

/** A line's feed, by the ports that the plan has planted on it. Benches and misters are not counted. */
export interface LineWater {
  readonly line: string;
  readonly name: string;
  readonly feed: string;
  readonly ports: number;
  /** Drunk with every port planted; undefined where no record says. */
  readonly full: In<"L/day"> | undefined;
  /** Whether that is the line's own figure or the sum of its towers'. */
  readonly by: "line" | "towers" | undefined;
  /** Each day of the plan. */
  readonly litres: readonly In<"L/day">[] | undefined;
  /** How much of the feed is one tub's stock. */
  readonly stockPercent: In<"%">;
  readonly weeks: readonly WeekOfFeed[];
  /** Sentences on the parts of the recipe that were refused: their salts have no weights. */
  readonly refused: readonly string[];
  readonly cautions: readonly Caution[];
  readonly basis: Basis;
  readonly said: string;
}

/** Seven days from a day on. */
export interface WeekOfFeed {
  readonly from: PlainDate;
  readonly week: string;
  /** Mean of the ports in use. */
  readonly ports: number;
  readonly litres: In<"L">;
  /** Of each tub. */
  readonly stock: In<"L">;
  /** Of each salt, by its id; only of what was not refused. */
  readonly grams: Readonly<Record<string, In<"g">>>;
}

/**
 * Water, stock and salts for a plan. Water follows the ports in use; what no record says stays undefined and is never 0. Salts
 * count as used on the day on which plants drink them, though a mix takes some weeks of them off the shelf at once.
 */
export function suppliesOf(library: Library, plan: Pick<Plan, "today" | "until" | "places">): Supplies {
  const { leans } = yardOf(library);
  const read = gearOf(library.gear.values(), "line").map((line) => {
    const use = plan.places.find(({ place }) => place === line.id);
    return lineOf(library, line, use, plan.today, leans);
  });
  const lines = read.map(({ water }) => water);
  return {
    today: plan.today,
    until: plan.until,
    lines,
    tubs: gearOf(library.gear.values(), "tub").flatMap((tub) => tubOf(library, tub, lines, plan.today)),
    salts: saltsOf(library, read, plan.today),
  };
}

/** A line with what its sentence does not say. */
export interface ReadLine {
  readonly water: LineWater;
  readonly from: readonly Lean[];
  /** Grams in a m³ of feed, of each salt of the feed that was not refused. */
  readonly recipe: ReadonlyMap<string, In<"g/m³">>;
  readonly salts: readonly string[];
}

function lineOf(
  library: Library,
  line: GearPage<"line">,
  use: PlaceUse | undefined,
  today: PlainDate,
  leans: YardPlan["leans"],
): ReadLine {
  const feed = library.feeds.get(line.fields.feed)!;
  const recipe = recipeOf(library, feed);
  let drinks: Pick<LineWater, "full" | "by"> = { full: undefined, by: undefined };
  let stockPercent: In<"%"> = 0;
  const { from: taken } = asked(library, (take) => {
    drinks = drunk(take, library, line);
    stockPercent = 100 * ratioOf(take, library, line, feed);
    return {};
  });
  const ports = use?.room ?? 0;
  const litres =
    drinks.full === undefined || use === undefined || ports === 0
      ? undefined
      : use.taken.map((taken) => (drinks.full! * taken) / ports);
  const from = [...taken, ...recipe.from, ...line.fields.crops.flatMap((crop) => leans.get(crop) ?? [])];
  const water: Omit<LineWater, "said"> = {
    line: line.id,
    name: line.fields.name,
    feed: feed.id,
    ports,
    ...drinks,
    litres,
    stockPercent,
    weeks: litres === undefined ? [] : weeksOf(litres, use!.taken, stockPercent, recipe.grams, today),
    refused: recipe.refused,
    cautions: recipe.cautions,
    basis: basisOf(from),
  };
  return {
    water: { ...water, said: toldLine({ ...water, said: "" }) },
    from,
    recipe: recipe.grams,
    salts: feed.fields.salts,
  };
}

/** What a whole line drinks: its own figure where it has one, else what all its towers drink. */
function drunk(take: Take, library: Library, line: GearPage<"line">): Pick<LineWater, "full" | "by"> {
  const own = take(line, "litres");
  if (own !== undefined) return { full: own, by: "line" };
  const towers = gearOf(library.gear.values(), "tower").filter(({ fields }) => fields.line === line.id);
  const each = towers.map((tower) => {
    const one = take(tower, "drinks");
    return one === undefined ? Number.NaN : one * (take(tower, "count") ?? 1);
  });
  const full = each.reduce((sum, one) => sum + one, 0);
  return towers.length > 0 && Number.isFinite(full) ? { full, by: "towers" } : { full: undefined, by: undefined };
}

/** One head's share of the feed at the ratio of its record, as the line's injector means it. */
function ratioOf(take: Take, library: Library, line: GearPage<"line">, feed: PageOf<"feeds">): number {
  const stock = take(feed, "stock");
  const injector = gearOf(library.gear.values(), "injector").find(({ id }) => id === line.fields.injector);
  return dosingRatio({
    percent: stock.ratio,
    means: injector ? take(injector, "means") : stock.means,
    heads: injector ? Math.min(3, take(injector, "heads")) : stock.heads,
  });
}

/** Grams in a m³ of a feed; a part of the recipe that is refused gives none, and says why. */
function recipeOf(library: Library, feed: PageOf<"feeds">) {
  const grams = new Map<string, In<"g/m³">>();
  const main = sumOf(library, "feed-recipe", { feeds: [feed] });
  if (!main.outcome.refusal) {
    const { chosen } = main.outcome.answer;
    const made = (main.outcome.answer[String(chosen)] as { gramsPerM3: Readonly<Record<string, number>> }).gramsPerM3;
    for (const [salt, amount] of Object.entries(made)) grams.set(salt, amount);
  }
  const traceOf = (trace: Trace) =>
    feed.fields.targets[trace] === undefined
      ? undefined
      : feed.fields.salts.find((id) => (library.salts.get(id)?.fields.analysis[trace] ?? 0) > 0);
  const sums: Sum[] = [main];
  if (traces.some((trace) => traceOf(trace) !== undefined)) {
    const small = sumOf(library, "trace-weights", { feeds: [feed] });
    sums.push(small);
    const cubic = small.input.treatedM3 as number;
    const weighed = (small.outcome.refusal ? {} : small.outcome.answer.grams) as Partial<Record<Trace, number>>;
    for (const trace of traces) {
      const salt = traceOf(trace);
      if (salt !== undefined && weighed[trace] !== undefined)
        grams.set(salt, (grams.get(salt) ?? 0) + weighed[trace] / cubic);
    }
  }
  return {
    grams,
    from: sums.flatMap(({ from }) => from),
    refused: sums.flatMap(({ outcome }) => (outcome.refusal ? [outcome.refusal.why] : [])),
    cautions: main.cautions,
  };
}

const traces = ["Fe", "Mn", "Zn", "B", "Cu", "Mo"] as const;
type Trace = (typeof traces)[number];

function weeksOf(
  litres: readonly number[],
  ports: readonly number[],
  stockPercent: In<"%">,
  recipe: ReadonlyMap<string, number>,
  today: PlainDate,
): readonly WeekOfFeed[] {
  return sevens(litres).map((drunk, index) => {
    const from = addDays(today, 7 * index);
    const taken = ports.slice(7 * index, 7 * index + 7);
    return {
      from,
      week: isoWeek(from),
      ports: total(taken) / taken.length,
      litres: drunk,
      stock: (drunk * stockPercent) / 100,
      grams: Object.fromEntries([...recipe].map(([salt, perCubic]) => [salt, (drunk / 1000) * perCubic])),
    };
  });
}
