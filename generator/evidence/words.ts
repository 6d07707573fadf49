import { list, number, quantity, shortDate } from "../format.ts";
import type { Finding } from "../science/evidence.ts";

/** What an interval of the difference says. */
export const findings: Readonly<Record<Finding, string>> = {
  "better enough": "Better, by enough to matter",
  "better, size not settled": "Better; size not settled",
  "cannot tell": "Can't tell yet",
  "not better by enough": "Not better by enough to matter",
  same: "Close enough to call the same",
  worse: "Worse",
};

/** The reading in words where there is no interval to go by. */
export const unsettled = {
  refused: "No answer",
  running: "Not to be read yet",
  few: "Too few to call",
  flat: "Can't tell yet",
  none: "Nothing was measured",
  many: "Not compared",
} as const;

/** Why a run is no good blocked run. Each is a whole sentence. */
export const faults = {
  running: (stop: string) => `It runs until ${shortDate(stop)}, and a trial is not read before the day that was set.`,
  unmeasured: "Nothing is measured yet.",
  waiting: (plants: number) =>
    `${plants === 1 ? "1 plant is" : `${plants} plants are`} not measured yet, and a trial is read as a whole. Write a figure, \`died\` or \`excluded\` for each.`,
  worthwhile:
    "Its worthwhile difference does not begin with a number, above nought, such as `1.5 flowers a week` or `20 %`.",
  treatments: (names: readonly string[]) =>
    names.length < 2
      ? `It has one treatment, ${list(names)}: there is nothing to compare it with.`
      : `It has ${names.length} treatments, ${list(names)}: a comparison is of two. Ask about two at a time.`,
  alone: "No block holds both treatments, so that the blocks and the treatments cannot be told apart.",
  gone: (block: string, treatment: string) =>
    `Nothing of ${treatment} is left to measure in ${block}: the block drops out, and what remains flatters ${treatment}.`,
  lacking: (block: string, treatment: string) => `${block} never had ${treatment}: it is no block of this comparison.`,
  few: (blocks: number) => `It has ${blocks} ${blocks === 1 ? "block" : "blocks"}: it takes 4 or more.`,
  many: (blocks: number) => `It has ${blocks} blocks, and the comparison takes 20 at most.`,
  flat: "Every block shows the same difference: there is no spread to reckon an interval from.",
  spoilt: (why: string) => `It is spoilt: ${sentence(why)}`,
  season: (season: string, other: string) =>
    `It was grown in ${other}, and the figure is that of ${season}: the one does not stand in for the other.`,
} as const;

/** Why a trial cannot answer its question, and what could. */
export const refusals = {
  feed: ({ isolated, needed, towers }: { isolated: number; needed: number; towers: string }) =>
    `What comes through the feed reaches every plant of a tower alike, and every tower of its line: ${towers}. Plants in one base are one answer, however many there are. It takes ${needed} towers, each fed apart, and there ${isolated === 1 ? "was" : "were"} ${isolated}.`,
  shared: (blocks: readonly string[]) =>
    `${list(blocks)} had both treatments in one base: what was poured in for the one was drunk by the other.`,
  unpaired: (towers: string) =>
    `No two of the towers are a pair: ${towers}. Without pairs, what the towers differ in counts as the treatment.`,
  alone: (towers: string) =>
    `The treatments stand apart: ${towers}. What the blocks differ in, the treatments differ in too: that is n = 1 of each, however many plants there are.`,
  one: (block: string) =>
    `There is one block, ${block}: one pair is n = 1. It shows what happened once, not what will.`,
  towersOf: (treatment: string, blocks: readonly string[], plants: number) =>
    `${list(blocks)} had ${treatment}, ${plants} plants`,
  offerFeed: ({ towers, a, b }: { towers: number; a: string; b: string }) =>
    `Take ${towers} towers off the line and feed each from its own bucket: ${towers / 2} pairs of neighbours, and a coin for each pair says which of the two has ${a} and which ${b}, so that ${towers / 2} have each, by lot. Write each pair as one block. The tower is counted, not the plant.`,
  offerPlant: ({ blocks, a, b }: { blocks: number; a: string; b: string }) =>
    `Take ${blocks} towers as blocks, and in each 3 plants of ${a} and 3 of ${b} in ports that match, tier by tier; a coin for each pair says which side is whose. That is ${3 * blocks} plants of each, and one spare of each that is not moved in.`,
} as const;

/** The lines of a reading. */
export const lines = {
  losses: (parts: readonly string[]) => `Losses: ${parts.join("; ")}.`,
  lost: (name: string, { died, of }: Counted, interval: { low: number; high: number } | undefined) =>
    `${name} ${died} of ${of}${interval ? `, ${number(interval.low, 2)} to ${quantity(interval.high, "%", 2)}` : ""}`,
  alike: (p: number) => `chance of such a difference, were they alike, ${number(p, 2)}`,
  size: ({ a, b, mean, percent }: { a: string; b: string; mean: number; percent: number | undefined }) =>
    mean === 0
      ? `${a} and ${b} have the same mean`
      : `${a} is ${number(Math.abs(mean), 3)} ${mean > 0 ? "above" : "below"} ${b}${percent === undefined ? "" : `, ${number(Math.abs(percent), 2)} % of it`}`,
  interval: (low: number, high: number) => `; 95 % interval of the difference ${number(low, 3)} to ${number(high, 3)}`,
  blocks: (blocks: number, runs: number) =>
    ` (${blocks} ${blocks === 1 ? "block" : "blocks"}${runs > 1 ? ` of ${runs} runs` : ""}).`,
  words: (a: string, b: string, words: string, worthwhile: string) =>
    `In words, ${a} against ${b}: ${words}. Worthwhile was set at ${sentence(worthwhile)}`,
  wordsTogether: (words: string) => `In words: ${words}.`,
  unproven: "That is not the same as no difference.",
  together: (earlier: readonly string[]) => `With ${list(earlier)}, as one: `,
  left: (name: string, reasons: readonly string[]) => `Left out of ${name}: ${reasons.join("; ")}.`,
  died: (name: string, reasons: readonly string[]) => `Died of ${name}: ${reasons.join("; ")}.`,
  incident: (text: string) => `What went wrong: ${sentence(text)}`,
} as const;

/** Why a result goes no further than it does. */
export const because = {
  one: "It is one run. A record changes after two that agree, each sown on another date.",
  unlike: (run: string, what: string) => `${run} cannot be put together with it: it ${what}.`,
  bad: (run: string, fault: string) => `${run} does not count as a run. ${fault}`,
  treatments: (names: readonly string[]) => `compared ${list(names)}`,
  figure: (path: string) => `speaks of \`${path}\``,
  through: "reached the plants another way",
  apart: (parts: readonly string[]) => `The runs do not agree: ${parts.join("; ")}.`,
  more: (run: string, treatment: string) => `in ${run} ${treatment} had more`,
  none: (run: string) => `in ${run} both had the same`,
  zero: (low: number, high: number) =>
    `Between ${number(low, 3)} and ${number(high, 3)}, the difference may be nought.`,
  short: (mean: number, worthwhile: number) =>
    `A difference of ${number(Math.abs(mean), 3)} does not reach the ${number(worthwhile, 3)} that would be worthwhile.`,
  many: (blocks: number) => `Together they have ${blocks} blocks, and the comparison takes 20 at most.`,
  harm: (better: string, lost: number, other: string, less: number, p: number | undefined) =>
    `${better} lost ${number(lost, 2)} % and ${other} ${number(less, 2)} %${p === undefined ? "" : ` (chance of that, were they alike, ${number(p, 2)})`}: a kind that gives more from each survivor is no gain when more of it die.`,
  unsigned: "Nobody has signed for its edible parts.",
  normal: (blocks: number) =>
    `With ${blocks} blocks the interval leans on a normal shape of the differences: provisional by rule.`,
  figureless: "It names no `figure` of the crop, so that there is nothing to change in the record.",
} as const;

export interface Counted {
  readonly died: number;
  readonly of: number;
}

/** A text as a sentence, with a full stop at its end. */
function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}
