import { type Sum, sum, type Take } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import type { Supply } from "./supply.ts";

type Value = number | "died";

/** Trials, as the questions about what their plants showed want them. */
export const trialSupplies: Readonly<Record<string, Supply>> = {
  "paired-blocks": {
    needs: ["trials"],
    ask(take, { trials }) {
      const trial = trials![0]!;
      const [first, second] = treatmentsOf(take, trial);
      const { a, b } = pairsOf(Object.values(take(trial, "blocks") ?? {}), first ?? "", second ?? "");
      return {
        a,
        b,
        worthwhile: worthwhileOf(take(trial, "worthwhile"), b),
        through: take(trial, "through"),
        isolatedTowers: take(trial, "isolated"),
      };
    },
  },
  "group-summary": {
    needs: ["trials"],
    ask(take, { trials }) {
      const trial = trials![0]!;
      const [first] = treatmentsOf(take, trial);
      return {
        values: Object.values(take(trial, "blocks") ?? {}).flatMap((block) => valuesOf(block[first ?? ""] ?? [])),
      };
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
export function groupsOf(library: Library, trial: PageOf<"trials">): readonly Group[] {
  return Object.entries(trial.fields.blocks ?? {}).flatMap(([block, treatments]) =>
    Object.keys(treatments).map((treatment) => ({
      block,
      treatment,
      summary: sum(library, "group-summary", (take) => ({
        values: valuesOf(take(trial, "blocks")?.[block]?.[treatment] ?? []),
      })),
    })),
  );
}

/** The names of what was compared, in the order in which they were first written. */
function treatmentsOf(take: Take, trial: PageOf<"trials">): readonly string[] {
  return [...new Set(Object.values(take(trial, "blocks") ?? {}).flatMap((block) => Object.keys(block)))];
}

/** Values as the worksheets take them: a plant that died is a blank. */
function valuesOf(values: readonly Value[]): readonly (number | null)[] {
  return values.map((value) => (value === "died" ? null : value));
}

/**
 * A block's mean of each of two treatments, side by side, for the blocks that hold both. Where none does, each block
 * is one value of the treatment that it holds: a pair of wholes, which the worksheet knows to be one.
 */
function pairsOf(blocks: readonly Readonly<Record<string, readonly Value[]>>[], first: string, second: string) {
  const both = blocks.filter((block) => first in block && second in block);
  const of = (treatment: string) =>
    (both.length > 0 ? both : blocks).flatMap((block) => mean(block[treatment] ?? []) ?? []);
  const [a, b] = [of(first), of(second)];
  const pairs = Math.min(a.length, b.length);
  return { a: a.slice(0, pairs), b: b.slice(0, pairs) };
}

function mean(values: readonly Value[]): number | undefined {
  const measured = values.filter((value) => value !== "died");
  return measured.length === 0 ? undefined : measured.reduce((sum, value) => sum + value, 0) / measured.length;
}

/** The number that a worthwhile difference begins with; a share in per cent is of the mean of the second treatment. */
function worthwhileOf(words: string, b: readonly number[]): number | undefined {
  const match = /^(\d+(?:\.\d+)?)\s*(%?)/.exec(words.trim());
  if (!match) return undefined;
  const value = Number(match[1]);
  return match[2] === "%" ? (value / 100) * (mean(b) ?? Number.NaN) : value;
}
