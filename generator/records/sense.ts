import type { PlainDate } from "../science/calendar.ts";
import type { Span } from "../science/units.ts";
import type { Complain } from "./fields.ts";

type Path = readonly (string | number)[];

/** Asks that a tolerated band holds the preferred one. */
export function contained(
  { preferred, tolerated }: { readonly preferred?: Span | undefined; readonly tolerated?: Span | undefined },
  complain: Complain,
): void {
  if (!preferred || !tolerated) return;
  if (tolerated.low <= preferred.low && tolerated.high >= preferred.high) return;
  complain(["tolerated"], {
    rule: "band-outside",
    written: `${tolerated.low}–${tolerated.high}`,
    expected: `a band around the preferred ${preferred.low}–${preferred.high}`,
    note: "A plant tolerates at least what it prefers.",
  });
}

/** Two figures of which the first must not be the larger, each by its path. */
export type Pair = readonly [lower: string, low: number | undefined, upper: string, high: number | undefined];

/** Asks of each pair of figures that the one that must be the smaller is. */
export function ascending(pairs: readonly Pair[], complain: Complain): void {
  for (const [lower, low, upper, high] of pairs) {
    if (low === undefined || high === undefined || low <= high) continue;
    complain(lower.split("."), {
      rule: "figures-crossed",
      written: String(low),
      expected: `at most the ${high} of \`${upper}\``,
      note: "One of the two is mistyped, or they are swapped.",
    });
  }
}

/** A day of a record, where it stands, and whether it is the name of its field. */
export interface Day {
  readonly path: Path;
  readonly day: PlainDate | undefined;
  readonly on?: "key";
}

/** Asks that one day is not before another. */
export function notBefore(earlier: Day, later: Day, complain: Complain): void {
  if (earlier.day === undefined || later.day === undefined || later.day >= earlier.day) return;
  complain(later.path, {
    rule: "date-order",
    written: later.day,
    expected: `${earlier.day} or later`,
    note: `It cannot be before \`${earlier.path.join(".")}\`.`,
    ...(later.on ? { on: later.on } : {}),
  });
}

/** Asks for names in their only order, as many of them as there are. */
export function inOrder(names: readonly string[], all: readonly string[], note: string, complain: Complain): void {
  const order = all.filter((name) => names.includes(name));
  const wrong = names.find((name, index) => name !== order[index]);
  if (wrong === undefined) return;
  complain([wrong], {
    rule: "stage-order",
    written: wrong,
    expected: order.map((name) => `\`${name}\``).join(", then "),
    note,
    on: "key",
  });
}
