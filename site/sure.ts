import type { Edition } from "../generator/editions.ts";
import type { Basis, StaffCrop } from "./figures.ts";
import { words } from "./words.ts";

/** How many figures rest on one basis. */
export interface Share {
  readonly basis: Basis;
  readonly count: number;
}

/** The figures of every kind of record together, by what they rest on; the strongest basis first. */
export function shares(rows: Edition["sureness"]): readonly Share[] {
  return (Object.keys(words.basis) as Basis[]).map((basis) => ({
    basis,
    count: rows.flatMap(({ byBasis }) => byBasis).reduce((sum, one) => sum + (one.basis === basis ? one.count : 0), 0),
  }));
}

/** A part of a whole in words, `12 %`; less than one in a hundred is said so, not rounded to nothing. */
export function shareOf(count: number, whole: number): string {
  if (count === 0 || whole === 0) return "–";
  const percent = (count / whole) * 100;
  return percent < 1 ? "< 1 %" : `${Math.min(Math.round(percent), count < whole ? 99 : 100)} %`;
}

/** The crops with most figures from memory, most first; those with none are left out. */
export function weakestCrops(
  crops: readonly Pick<StaffCrop, "id" | "name" | "figures">[],
  count: number,
): readonly { readonly id: string; readonly name: string; readonly guessed: number; readonly figures: number }[] {
  return crops
    .map(({ id, name, figures }) => {
      const all = Object.values(figures);
      return { id, name, guessed: all.filter(({ basis }) => basis === "memory").length, figures: all.length };
    })
    .filter(({ guessed }) => guessed > 0)
    .sort((a, b) => b.guessed - a.guessed || a.name.localeCompare(b.name, "en-GB"))
    .slice(0, count);
}
