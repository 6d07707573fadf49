import { asked, type Lean } from "../figures.ts";
import type { Library, PageOf } from "../library.ts";
import { toldSalt, toldTub } from "../plan/told-supplies.ts";
import { type Basis, weakest } from "../provenance.ts";
import { addDays, daysBetween, type PlainDate } from "../science/calendar.ts";
import type { In } from "../science/units.ts";
import type { GearPage } from "./supply.ts";
import type { LineWater, ReadLine } from "./water.ts";

/** A tub of stock: how long it lasts and how much to mix. */
export interface TubSupply {
  readonly tub: string;
  readonly name: string;
  readonly letter: "A" | "B" | "C";
  readonly feed: string;
  /** Drawn today; undefined where a line of its feed has no figure. */
  readonly use: In<"L/day"> | undefined;
  /** Left today: what was seen, less what the days since have used at today's rate. Below 0 says that somebody must look. */
  readonly left: In<"L"> | undefined;
  /** The first day on which it does not give what the line drinks; undefined when it lasts beyond the plan or is not known. */
  readonly empties: PlainDate | undefined;
  /** By then it is to be used up, six weeks after it was made, common practice. */
  readonly stale: PlainDate | undefined;
  /** What the lines of its feed draw in so many weeks from the day on which it runs out, or from today. */
  readonly mix: In<"L"> | undefined;
  readonly weeks: In<"weeks">;
  readonly most: In<"L">;
  readonly basis: Basis;
  readonly said: string;
}

/** Where a salt stands: ordered on a day, not within the plan, or what is wanting to tell. */
export type SaltState = "order" | "beyond" | "not-recorded" | "not-dated" | "count-again" | "no-limit" | "unused";

export interface SaltSupply {
  readonly salt: string;
  readonly name: string;
  readonly state: SaltState;
  /** Used in each seven days of the plan; undefined where no recipe says. */
  readonly grams: readonly In<"g">[] | undefined;
  /** Lines that should use it, of which the recipe is refused or the water not known. */
  readonly missing: readonly string[];
  /** As counted, and the day on which it was. */
  readonly hand: In<"kg"> | undefined;
  readonly counted: PlainDate | undefined;
  /** Today: what was counted, less what the days since have used at today's rate. */
  readonly now: In<"kg"> | undefined;
  readonly lead: In<"days"> | undefined;
  readonly safety: In<"days">;
  /** The last day that it lasts for; undefined when it outlasts the plan. */
  readonly lasts: PlainDate | undefined;
  /** The first day on which what is left is no more than the limit: by the days until it comes, or the yard's own. */
  readonly order: { readonly on: PlainDate; readonly at: In<"kg">; readonly by: "lead" | "own" } | undefined;
  readonly basis: Basis;
  readonly said: string;
}

/** Days to spare beyond the days that an order takes. Common practice. */
export const safetyDays: In<"days"> = 7;
/** Stock is mixed for so many weeks, as in the sum of how long tubs last. Common practice. */
const mixedWeeks: In<"weeks"> = 4;
/** The oldest that stock may be [days], as in the sum of topping up a tub. Common practice. */
const oldest: In<"days"> = 42;

/** A tub by what the lines of its feed draw; none for a tub whose feed no line drinks. */
export function tubOf(
  library: Library,
  tub: GearPage<"tub">,
  lines: readonly LineWater[],
  today: PlainDate,
): readonly TubSupply[] {
  const { recipe: feed, letter, name } = tub.fields;
  const fed = lines.filter((line) => line.feed === feed);
  if (feed === undefined || fed.length === 0) return [];
  const known = fed.every(({ litres }) => litres !== undefined);
  const drawn = known
    ? fed[0]!.litres!.map((_, day) =>
        total(fed.map(({ litres, stockPercent }) => (litres![day]! * stockPercent) / 100)),
      )
    : undefined;
  let most: In<"L"> = 0;
  let seen: In<"L"> | undefined;
  const { from } = asked(library, (take) => {
    most = take(tub, "holds");
    seen = take(tub, "left");
    return {};
  });
  const { looked, made } = tub.fields;
  const left =
    drawn === undefined || seen === undefined || looked === undefined || looked > today
      ? undefined
      : seen - daysBetween(looked, today) * drawn[0]!;
  const end = left === undefined ? undefined : runsOut(drawn!, left);
  const begin = Math.max(0, end ?? 0);
  const supply: Omit<TubSupply, "said"> = {
    tub: tub.id,
    name,
    letter,
    feed,
    use: drawn?.[0],
    left,
    empties: end === undefined ? undefined : addDays(today, end),
    stale: made === undefined ? undefined : addDays(made, oldest),
    mix: drawn && total(ahead(drawn, begin, 7 * mixedWeeks)),
    weeks: mixedWeeks,
    most,
    basis: weakest([...from.map(({ basis }) => basis), ...fed.map(({ basis }) => basis)]),
  };
  return [{ ...supply, said: toldTub({ ...supply, said: "" }) }];
}

/** Every salt of the lines' feeds, each once. */
export function saltsOf(library: Library, lines: readonly ReadLine[], today: PlainDate): readonly SaltSupply[] {
  const ids = [...new Set(lines.flatMap(({ salts }) => salts))];
  return ids.map((id) => saltOf(library, library.salts.get(id)!, lines, today));
}

function saltOf(library: Library, page: PageOf<"salts">, lines: readonly ReadLine[], today: PlainDate): SaltSupply {
  const users = lines.filter(({ salts }) => salts.includes(page.id));
  const counting = users.filter(({ water, recipe }) => water.litres !== undefined && recipe.has(page.id));
  const days = counting[0]?.water.litres?.map((_, day) =>
    total(counting.map(({ water, recipe }) => (water.litres![day]! / 1_000_000) * recipe.get(page.id)!)),
  );
  let figures: Pick<SaltSupply, "hand" | "lead"> & { readonly own: In<"kg"> | undefined };
  const { from } = asked(library, (take) => {
    figures = { hand: take(page, "stock"), lead: take(page, "lead"), own: take(page, "reorder") };
    return {};
  });
  const { hand, lead, own } = figures!;
  const { counted } = page.fields;
  const dated = counted !== undefined && counted <= today;
  const now = days && hand !== undefined && dated ? hand - daysBetween(counted, today) * days[0]! : undefined;
  const state: SaltState | undefined =
    hand === undefined
      ? "not-recorded"
      : days === undefined
        ? "unused"
        : !dated
          ? "not-dated"
          : now! < 0
            ? "count-again"
            : lead === undefined && own === undefined
              ? "no-limit"
              : undefined;
  const end = days && now !== undefined && now >= 0 ? runsOut(days, now) : undefined;
  const order = days && now !== undefined && state === undefined ? orderOn(days, now, lead, own, today) : undefined;
  const supply: Omit<SaltSupply, "said"> = {
    salt: page.id,
    name: page.fields.name,
    state: state ?? (order ? "order" : "beyond"),
    grams: days && sevens(days).map((kilograms) => kilograms * 1000),
    missing: users.filter((line) => !counting.includes(line)).map(({ water }) => water.name),
    hand,
    counted,
    now,
    lead,
    safety: safetyDays,
    lasts: end === undefined ? undefined : addDays(today, end - 1),
    order,
    basis: basisOf([...from, ...counting.flatMap((line) => line.from)]),
  };
  return { ...supply, said: toldSalt({ ...supply, said: "" }) };
}

/** The first day on which no more is left than is used until an order comes and is safe, or than the yard's own limit. */
function orderOn(
  days: readonly number[],
  now: In<"kg">,
  lead: In<"days"> | undefined,
  own: In<"kg"> | undefined,
  today: PlainDate,
): SaltSupply["order"] {
  let left = now;
  for (const [day, used] of days.entries()) {
    const byLead = lead === undefined ? 0 : total(ahead(days, day, lead + safetyDays));
    const at = Math.max(byLead, own ?? 0);
    if (at > 0 && left <= at + 1e-9) return { on: addDays(today, day), at, by: byLead >= (own ?? 0) ? "lead" : "own" };
    left -= used;
  }
  return undefined;
}

/** How many days hence the first is for which what is left is not enough; undefined when it outlasts them. */
function runsOut(days: readonly number[], left: number): number | undefined {
  let rest = left;
  for (const [day, used] of days.entries()) {
    rest -= used;
    if (rest < -1e-9) return day;
  }
  return undefined;
}

/** So many days from a day on; beyond the last the last goes on. A part of a day counts as a whole one. */
function ahead(days: readonly number[], from: number, length: number): readonly number[] {
  return Array.from({ length: Math.ceil(length) }, (_, later) => days[Math.min(from + later, days.length - 1)]!);
}

/** Sums of seven days each. */
export function sevens(days: readonly number[]): readonly number[] {
  return Array.from({ length: Math.ceil(days.length / 7) }, (_, week) => total(days.slice(7 * week, 7 * week + 7)));
}

export function total(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

/** As good as the weakest of what is leant on; memory for nothing at all. */
export function basisOf(from: readonly Lean[]): Basis {
  return from.length > 0 ? weakest(from.map(({ basis }) => basis)) : "memory";
}
