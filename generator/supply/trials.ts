import { type Sum, sum, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { treatmentsIn } from "../records/trial.ts";
import type { Supply } from "./supply.ts";

export type Value = number | "died";
type Page = PageOf<"trials">;

/** Trials, as the questions about what their plants showed want them. Of several runs, the last is the one that asks. */
export const trialSupplies: Readonly<Record<string, Supply>> = {
  "paired-blocks": {
    needs: ["trials"],
    ask(take, { trials }) {
      const runs = trials!;
      const trial = runs.at(-1)!;
      const [first = "", second = ""] = treatmentsOf(trial);
      const pairs = runs.flatMap((run) => pairsOf(takeBlocks(take, run), first, second));
      return {
        a: pairs.map(({ a }) => a),
        b: pairs.map(({ b }) => b),
        worthwhile: worthwhileOf(
          take(trial, "worthwhile"),
          pairs.map(({ b }) => b),
        ),
        through: take(trial, "through"),
        isolatedTowers: isolatedIn(runs.map((run) => take(run, "isolated"))),
      };
    },
  },
  "group-summary": {
    needs: ["trials"],
    ask(take, { trials }) {
      const trial = trials![0]!;
      return plantsOf(take, trial, treatmentsOf(trial)[0] ?? "");
    },
  },
  "two-shares": {
    needs: ["trials"],
    ask(take, { trials }) {
      const [first = "", second = ""] = treatmentsOf(trials!.at(-1)!);
      return { a: aliveIn(take, trials!, first), b: aliveIn(take, trials!, second) };
    },
  },
};

/** What the plants of one block and treatment showed. */
export interface Group {
  readonly block: string;
  readonly treatment: string;
  readonly summary: Sum;
}

/** Every block's treatments, each summed up by itself; none when nothing was measured. */
export function groupsOf(library: Library, trial: Page): readonly Group[] {
  return Object.entries(blocksOf(trial.fields)).flatMap(([block, treatments]) =>
    Object.keys(treatments).map((treatment) => ({
      block,
      treatment,
      summary: sum(library, "group-summary", (take) => plantsOf(take, trial, treatment, block)),
    })),
  );
}

/** All plants of one treatment of a trial, summed up. */
export function treatmentSum(library: Library, trial: Page, treatment: string): Sum {
  return sum(library, "group-summary", (take) => plantsOf(take, trial, treatment));
}

/** How many plants of one treatment of a trial are alive, of those that count. */
export function aliveSum(library: Library, trial: Page, treatment: string): Sum {
  return sum(library, "two-shares", (take) => ({ a: aliveIn(take, [trial], treatment) }));
}

/** The names of what was compared, in the order in which they were first written, the control last. */
export function treatmentsOf({ fields }: Page): readonly string[] {
  const names = treatmentsIn(fields);
  const { control } = fields;
  return control !== undefined && names.includes(control)
    ? [...names.filter((name) => name !== control), control]
    : names;
}

/** Every value by block and treatment, with those that died and are counted apart put in as `died`. */
export function blocksOf({
  blocks = {},
  deaths = [],
}: Pick<Page["fields"], "blocks" | "deaths">): Readonly<Record<string, Readonly<Record<string, readonly Value[]>>>> {
  const all: Record<string, Record<string, readonly Value[]>> = Object.fromEntries(
    Object.entries(blocks).map(([block, treatments]) => [block, { ...treatments }]),
  );
  for (const { block, treatment, plants } of deaths) {
    const treatments = all[block] ?? {};
    treatments[treatment] = [...(treatments[treatment] ?? []), ...Array<"died">(plants).fill("died")];
    all[block] = treatments;
  }
  return all;
}

/** The values of one treatment, of one block or of all, that are numbers. */
export function measuredOf(trial: Page, treatment: string, block?: string): readonly number[] {
  return Object.entries(blocksOf(trial.fields)).flatMap(([name, treatments]) =>
    block === undefined || name === block ? numbersIn(treatments[treatment] ?? []) : [],
  );
}

/** The mean of one treatment in each block where something of it was measured. */
export function blockMeans(trial: Page, treatment: string): readonly number[] {
  return Object.values(blocksOf(trial.fields)).flatMap((treatments) => mean(treatments[treatment] ?? []) ?? []);
}

/** Values as the worksheet takes them: a plant that died is a blank, one that is left out stands with its reason. */
function plantsOf(take: Take, trial: Page, treatment: string, block?: string) {
  const values = Object.entries(takeBlocks(take, trial)).flatMap(([name, treatments]) =>
    block === undefined || name === block ? (treatments[treatment] ?? []) : [],
  );
  const excluded = (take(trial, "excluded") ?? []).filter(
    (plant) => plant.treatment === treatment && (block === undefined || plant.block === block),
  );
  return {
    values: values.map((value) => (value === "died" ? null : value)),
    excluded: excluded.map(({ value, reason }) => ({ ...(typeof value === "number" ? { value } : {}), reason })),
  };
}

/** Plants that are alive, of those that count: one that is left out is neither. */
function aliveIn(take: Take, runs: readonly Page[], treatment: string): { good: number; total: number } {
  const values = runs.flatMap((run) =>
    Object.values(takeBlocks(take, run)).flatMap((treatments) => treatments[treatment] ?? []),
  );
  return { good: numbersIn(values).length, total: values.length };
}

function takeBlocks(take: Take, trial: Page) {
  return blocksOf({ blocks: take(trial, "blocks"), deaths: take(trial, "deaths") });
}

/**
 * A block's mean of each of two treatments, side by side, for the blocks that hold both. Where none does, all that one
 * treatment had is one value, and all that the other had: a pair of wholes, which the worksheet knows to be one.
 */
function pairsOf(
  blocks: ReturnType<typeof blocksOf>,
  first: string,
  second: string,
): readonly { readonly a: number; readonly b: number }[] {
  const pairs = Object.values(blocks).flatMap((block) => {
    const [a, b] = [mean(block[first] ?? []), mean(block[second] ?? [])];
    return a === undefined || b === undefined ? [] : [{ a, b }];
  });
  if (pairs.length > 0) return pairs;
  const whole = (treatment: string) =>
    mean(Object.values(blocks).flatMap((block) => mean(block[treatment] ?? []) ?? []));
  const [a, b] = [whole(first), whole(second)];
  return a === undefined || b === undefined ? [] : [{ a, b }];
}

/** Towers fed apart in all runs; undefined when no run says. */
function isolatedIn(runs: readonly (number | undefined)[]): number | undefined {
  const said = runs.filter((count) => count !== undefined);
  return said.length === 0 ? undefined : said.reduce((sum, count) => sum + count, 0);
}

function numbersIn(values: readonly Value[]): readonly number[] {
  return values.filter((value) => value !== "died");
}

function mean(values: readonly Value[]): number | undefined {
  const measured = numbersIn(values);
  return measured.length === 0 ? undefined : measured.reduce((sum, value) => sum + value, 0) / measured.length;
}

/** The number that a worthwhile difference begins with; a share in per cent is of the mean of the second treatment. */
function worthwhileOf(words: string, b: readonly number[]): number | undefined {
  const match = /^(\d+(?:\.\d+)?)\s*(%?)/.exec(words.trim());
  if (!match) return undefined;
  const value = Number(match[1]);
  return match[2] === "%" ? (value / 100) * (mean(b) ?? Number.NaN) : value;
}
