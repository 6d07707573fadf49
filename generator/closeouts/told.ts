import { list, number, quantity, span } from "../format.ts";
import type { Library } from "../library.ts";
import type { StageName } from "../records/crop.ts";
import type { Losses } from "./losses.ts";
import type { Measure, What } from "./measures.ts";
import type { Suggestion } from "./suggest.ts";
import { enoughForMean } from "./summaries.ts";

/** A measure in words, for a page and for the command line. */
export interface SaidMeasure {
  readonly label: string;
  /** What closed batches show, with how many they are. */
  readonly here: string;
  /** What open ones have behind them; empty when there are none. */
  readonly open: string;
  readonly verdict: string;
}

export function toldMeasure(measure: Measure): SaidMeasure {
  const { values, n, over, under } = measure;
  const open = values.filter(({ closed }) => !closed);
  const outside = over.length + under.length;
  const verdict = measure.verdict === "inside" && outside > 0 ? "whole" : measure.verdict;
  return {
    label: labelOf(measure),
    here: n === 0 ? "no closed batch" : `${shown(measure)}; ${batches(n)}`,
    open:
      open.length === 0
        ? ""
        : `Batches still open: ${listed(
            open.map(({ value }) => value),
            measure.unit,
          )}${withOpen(measure)}`,
    verdict:
      outside === 0 || (outside === n && verdict !== "few")
        ? verdicts[verdict]
        : `${verdicts[verdict]}; ${outside} of ${n} outside`,
  };
}

export function labelOf({ what, stage }: Pick<Measure, "what" | "stage">): string {
  return stage === undefined ? labels[what] : stageLabels[stage];
}

const labels: Readonly<Record<What, string>> = {
  germinated: "Came up, of seeds sown",
  filled: "Cells with a shoot",
  fit: "Fit to use, of those up",
  stage: "Stage",
  "planting-to-cut": "From planting to the first cut",
  "sowing-to-cut": "From sowing to the first cut",
  cut: "A port gives at one cut",
  plant: "A plant gives in all",
  batch: "A batch gives in all",
  week: "A batch gives a week",
  regrowth: "Between two cuts",
  window: "Cut for",
};

const stageLabels: Readonly<Record<StageName, string>> = {
  germination: "In germination",
  tray: "On the flood tray",
  mister: "On the mister",
  hardening: "Hardening off",
  tower: "On the tower until it is cut",
};

const verdicts: Readonly<Record<Measure["verdict"] | "whole", string>> = {
  inside: "inside",
  whole: "inside as a whole",
  over: "above what it says",
  under: "below what it says",
  unproven: "not proven",
  few: "too few to say",
  unsaid: "not in the record",
};

/** What closed batches show: every value of fewer than five, the middle and the ends of more. */
function shown({ values, n, middle, low, high, mean, unit, counted }: Measure): string {
  if (counted) {
    const share = `${quantity(middle!, unit, 3)}, ${percents(low!, high!)}`;
    return `${number(counted.part, 7)} of ${number(counted.whole, 7)} is ${share}`;
  }
  const closed = values.filter((one) => one.closed).map(({ value }) => value);
  if (n < enoughForMean) {
    const middling = n > 1 ? `, median ${number(middle!, 3)}` : "";
    return `${listed(closed, unit)}${middling}`;
  }
  const ends = span({ low: rounded(low!), high: rounded(high!) }, unit);
  return `median ${number(middle!, 3)}, ${ends}, mean ${number(mean!, 3)}`;
}

function withOpen({ withOpen }: Measure): string {
  const { mean, n } = (withOpen?.outcome.answer ?? {}) as Readonly<Record<string, number>>;
  return mean === undefined || n === undefined ? "" : `; with them mean ${number(mean, 3)} of ${n}`;
}

/** Where plants were lost and why, a line each. */
export function toldLosses({ stages, reasons, cells, told, silent, unexplained }: Losses): readonly string[] {
  const byStage = stages.map(({ stage, lost, of, sum }) => {
    const { lowA, highA } = sum.outcome.answer as Readonly<Record<string, number>>;
    const share = `${quantity((100 * lost) / of, "%", 2)}, ${percents(100 - highA!, 100 - lowA!)}`;
    return `${stageLabels[stage]}: ${number(lost, 7)} of ${number(of, 7)}, ${share}.`;
  });
  const why = reasons.map(({ reason, plants }) => `${reason.replaceAll("-", " ")} ${number(plants, 7)}`);
  return [
    ...byStage,
    ...(told === 0 ? [] : [`Why, of ${number(cells, 7)} cells: ${why.length === 0 ? "none lost" : list(why)}.`]),
    ...(unexplained === 0 ? [] : [`${number(unexplained, 7)} or more have no reason on record.`]),
    ...(silent === 0 ? [] : [`${batches(silent)} without reasons: not recorded, which is not none.`]),
  ];
}

/** The reason for a suggestion, in a sentence or two. */
export function toldSuggestion(library: Library, { kind, crop, uses, about, closed }: Suggestion): string {
  const name = library.crops.get(crop)!.fields.name;
  const lean = uses === 0 ? "" : ` The plan leans on it for ${uses === 1 ? "1 order" : `${uses} orders`}.`;
  if (!about) {
    const none =
      closed === 0 ? "no closed batch shows" : `only ${batches(closed, "closed ")} ${closed === 1 ? "shows" : "show"}`;
    return `${name}: ${none} what the record says, and the plan leans on it for ${uses === 1 ? "1 order" : `${uses} orders`}.`;
  }
  const { measure, half, record, side } = about;
  const what = [name, half, lowered(labelOf(measure))].filter((part) => part !== undefined).join(", ");
  const figure = `the record’s ${record.text} (${record.basis.replaceAll("-", " ")})`;
  const n = measure.n;
  const closedValues = listedOrEnds(measure);
  if (kind === "review")
    return `${what}: ${about.batches.length} of ${batches(n, "closed ")} ${beyond(measure, side!)} ${figure}: ${closedValues}.${record.floor ? " Look at the lots before you look at the standard." : ""}${lean}`;
  if (kind === "wider") {
    const out = measure.values.filter(({ batch }) => about.batches.includes(batch)).map(({ value }) => value);
    const who = n === 1 ? "the only closed batch" : `${about.batches.length} of ${batches(n, "closed ")}`;
    return `${what}: ${who}, ${listed(out, measure.unit)}, ${about.batches.length === 1 ? "is" : "are"} outside ${figure}.${lean}`;
  }
  if (kind === "narrower")
    return `${what}: all ${batches(n, "closed ")} lie within ${closedValues}, less than half of ${figure}.${lean}`;
  return `${what}: ${batches(n, "closed ")} give ${closedValues}, too far apart to plan on.${lean}`;
}

function beyond({ unit, what }: Measure, side: "over" | "under"): string {
  if (unit === "%") return side === "over" ? "stand above" : "stand below";
  if (unit === "days" && what !== "window") return side === "over" ? "took longer than" : "took less than";
  return side === "over" ? "are above" : "are below";
}

function listedOrEnds({ values, n, low, high, unit }: Measure): string {
  const closed = values.filter((one) => one.closed).map(({ value }) => value);
  return n < enoughForMean ? listed(closed, unit) : span({ low: rounded(low!), high: rounded(high!) }, unit);
}

function listed(values: readonly number[], unit: string): string {
  const figures = values.map((value) => number(value, 3));
  const last = quantity(values.at(-1)!, unit, 3);
  return list([...figures.slice(0, -1), last]);
}

/** To three figures, or to the whole, so that both ends of a range are printed alike. */
function rounded(value: number): number {
  return Math.abs(value) >= 100 ? Math.round(value) : Number(value.toPrecision(3));
}

function batches(count: number, of = ""): string {
  return `${count} ${of}${count === 1 ? "batch" : "batches"}`;
}

/** The ends of an interval to the whole per cent: no finer than a bench count can tell. */
function percents(low: number, high: number): string {
  return span({ low: Math.round(low), high: Math.round(high) }, "%");
}

function lowered(label: string): string {
  return `${label[0]!.toLowerCase()}${label.slice(1)}`;
}
