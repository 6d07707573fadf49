import { quantity } from "../generator/format.ts";
import type { Figures, Sum } from "./figures.ts";
import { answerAt } from "./sums.ts";

/** What to weigh into one tub, in the order in which it goes in. */
export interface Tub {
  readonly letter: string;
  readonly salts: readonly { readonly id: string; readonly weigh: string }[];
}

/** The tubs of a recipe that holds; none when it was refused, so that nobody can weigh by it. */
export function tubsOf(sum: Sum): readonly Tub[] {
  if (sum.outcome.refusal) return [];
  return Object.entries(record(answerAt(sum, "tubs"))).flatMap(([letter, salts]) => {
    const weights = Object.entries(record(salts)).filter(([, grams]) => typeof grams === "number" && grams > 0);
    const order = answerAt(sum, `order.${letter}`);
    const place = (id: string) => (Array.isArray(order) ? order.indexOf(id) : -1);
    const inOrder = weights.toSorted(([a], [b]) => place(a) - place(b));
    if (inOrder.length === 0) return [];
    return [{ letter, salts: inOrder.map(([id, grams]) => ({ id, weigh: quantity(grams as number, "g", 6) })) }];
  });
}

/** What each way of working gives of an element, and how far that is off. */
export interface Given {
  readonly element: string;
  readonly wanted: string;
  readonly ways: readonly {
    readonly way: string;
    readonly text: string;
    readonly off: string;
    readonly grade: string;
  }[];
}

export const ways = ["stepwise", "leastSquares"] as const;

/** Both ways of working side by side, by element. */
export function bothWays(sum: Sum, figures: Figures): readonly Given[] {
  return Object.values(figures)
    .filter(({ path }) => path.startsWith("targets.") && answerAt(sum, `stepwise.grade.${path.slice(8)}`) !== undefined)
    .map(({ path, label, text }) => ({
      element: label,
      wanted: text,
      ways: ways.map((way) => {
        const of = (what: string) => answerAt(sum, `${way}.${what}.${path.slice(8)}`);
        const off = of("missPercent");
        return {
          way,
          text: typeof of("delivered") === "number" ? quantity(of("delivered") as number, "mg/L", 3) : "",
          off: typeof off === "number" && Math.abs(off) >= 0.5 ? `${off > 0 ? "+" : ""}${quantity(off, "%", 2)}` : "",
          grade: String(of("grade") ?? ""),
        };
      }),
    }));
}

function record(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};
}
