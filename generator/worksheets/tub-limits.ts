import { number, quantity } from "../format.ts";
import { type Solubility, sharedIons } from "../science/tubs.ts";
import { type ShelfSalt, saltName } from "./shelf.ts";
import { type Note, type Refusal, warn } from "./worksheet.ts";

/** The same solubility, spoken on two sheets: the recipe and the tub. Fields by their path under `prefix`. */
export function solubilityFields(prefix: "" | "solubility.") {
  return {
    [`${prefix}perSalt.*.gPerL`]: { unit: "g/L", label: "In the tub", digits: 3 },
    [`${prefix}perSalt.*.limitGPerL`]: { unit: "g/L", label: "Limit, four fifths of what dissolves", digits: 3 },
    [`${prefix}perSalt.*.share`]: { unit: "", label: "Share of what dissolves", digits: 3 },
    [`${prefix}shared.*.*`]: { unit: "", label: "Sum of shares that have an ion in common", digits: 3 },
    [`${prefix}maxConcentration`]: { unit: "times", label: "Strongest concentrate", digits: 4 },
  };
}

/** `perSalt`, `shared` and `maxConcentration` as plain JSON. */
export function solubilityAnswer(salts: readonly ShelfSalt[], { perSalt, shared, maxConcentration }: Solubility) {
  return {
    perSalt: Object.fromEntries(
      salts.map(({ id }, index) => {
        const { gramsPerLitre, limit, share } = perSalt[index]!;
        return [id, { gPerL: gramsPerLitre, limitGPerL: limit ?? null, share: share ?? null }];
      }),
    ),
    shared: Object.fromEntries(shared),
    maxConcentration: maxConcentration ?? null,
  };
}

/** Each share as one would check it; without grams when a refused recipe must print none. */
export function solubilityWorking(salts: readonly ShelfSalt[], found: Solubility, grams: boolean): readonly string[] {
  const each = salts.flatMap(({ id }, index) => {
    const { gramsPerLitre, limit, share } = found.perSalt[index]!;
    if (share === undefined || limit === undefined || share === 0) return [];
    const name = saltName(id);
    return grams
      ? [
          `${name}: ${quantity(gramsPerLitre, "g/L")} of ${quantity(limit / 0.8, "g/L")} = ${number(share)}; limit 0.8 × ${number(limit / 0.8)} = ${quantity(limit, "g/L")}`,
        ]
      : [`${name}: ${number(share)} of what dissolves`];
  });
  const sums = [...found.shared].flatMap(([tub, shares]) =>
    sharedIons.filter((ion) => shares[ion] > 0).map((ion) => `${ion} in ${tub}: shares add to ${number(shares[ion])}`),
  );
  const most =
    found.worst && found.maxConcentration !== undefined
      ? [
          `Strongest concentrate: 0.8 ÷ ${number(found.worst.share)} of the present one = ${number(found.maxConcentration)} times the feed`,
        ]
      : [];
  return [...each, ...sums, ...most];
}

/** Where the largest share is: a salt, or a group such as `K in B`. */
export function worstWhere(salts: readonly ShelfSalt[], { worst }: Solubility): string | null {
  if (!worst) return null;
  return typeof worst.at === "number" ? salts[worst.at]!.id : `${worst.at.ion} in ${worst.at.tub}`;
}

/** What to look at; `used` says which salts, by their place, are in the tub at all. */
export function solubilityNotes(
  salts: readonly ShelfSalt[],
  used: (index: number) => boolean,
  found: Solubility,
): readonly (Note | false)[] {
  const { worst } = found;
  return [
    worst !== undefined &&
      worst.share > 0.8 &&
      warn(
        `On a cold night ${whereSaid(salts, found)} would be at ${number(100 * worst.share, 3)} % of what dissolves; keep below 80 %.`,
      ),
    ...salts.map(
      ({ id, solubility }, index) =>
        used(index) &&
        solubility === undefined &&
        warn(`What dissolves of ${saltName(id)} is not recorded, so it is not checked. Its data sheet says.`),
    ),
  ];
}

/** A concentrate that cannot stay dissolved; undefined when it can. */
export function solubilityRefusal(salts: readonly ShelfSalt[], found: Solubility): Refusal | undefined {
  const { worst, maxConcentration } = found;
  if (!worst || worst.share <= 1) return undefined;
  const nearest = maxConcentration ? { maxConcentration, ratioPercent: 100 / maxConcentration } : {};
  const weaker = maxConcentration
    ? ` Make it at most ${number(maxConcentration)} times the feed: an injector setting of ${quantity(100 / maxConcentration, "%")} or more.`
    : "";
  return {
    why: `This does not all dissolve: ${whereSaid(salts, found)} would be at ${number(100 * worst.share)} % of what dissolves on the coldest night.${weaker}`,
    by: worst.share - 1,
    nearest,
  };
}

function whereSaid(salts: readonly ShelfSalt[], { worst }: Solubility): string {
  if (!worst) return "";
  if (typeof worst.at === "number") return saltName(salts[worst.at]!.id);
  const names = { K: "potassium", Mg: "magnesium", SO4: "sulphate" };
  return `the salts that share ${names[worst.at.ion]} in ${worst.at.tub}`;
}
