import type { In } from "./units.ts";
import { atomicWeights, type Element, isElement } from "./weights.ts";

/**
 * How many of each atom one formula unit holds. Reads nested brackets, water of crystallisation and double salts:
 * `Ca(NO3)2·4H2O`, `(NH4)6Mo7O24·4H2O`, `5Ca(NO3)2·NH4NO3·10H2O`; subscripts (`H₂O`), a full stop for the dot
 * (`MgSO4.7H2O`), half waters (`CaSO4·0.5H2O`) and a charge at the end (`NO3-`, `SO4^2-`, `Ca²⁺`), which adds no atoms.
 * @throws RangeError that says what was written, where, and what was expected.
 */
export function atoms(formula: string): ReadonlyMap<Element, number> {
  const found = new Map<Element, number>();
  for (const [symbol, count] of read(formula, /[A-Z][a-z]?/y, "an element")) {
    if (!isElement(symbol)) {
      throw new RangeError(`Unexpected “${symbol}” in ${formula}, expected an element such as ${nearest(symbol)}`);
    }
    found.set(symbol, (found.get(symbol) ?? 0) + count);
  }
  return found;
}

/** Mass of one mole [g/mol]. @throws RangeError when the formula cannot be read. */
export function molarMass(formula: string): In<"g/mol"> {
  return sum([...atoms(formula)].map(([element, count]) => atomicWeights[element] * count));
}

/**
 * Share of the formula's mass that is `element` [g/g], 0 to 1: how much K is in KNO3, and how much P a label's P2O5 means.
 * Its inverse leads from element to oxide. @throws RangeError when the formula cannot be read.
 */
export function massFraction(formula: string, element: Element): In<"g/g"> {
  return (atomicWeights[element] * (atoms(formula).get(element) ?? 0)) / molarMass(formula);
}

/** The charge written at the end of a formula, 0 when there is none: `Ca^2+` is 2, `NO3-` is -1, `PO4---` is -3. */
export function charge(formula: string): number {
  const { size, sign } = withoutCharge(formula);
  return sign * size;
}

/**
 * What a salt comes apart into when it dissolves: how many of each ion, and of neutral water and boric acid, one formula
 * unit gives. Acid phosphates and bicarbonate stay whole. @throws RangeError when a part is no ion of the table below.
 */
export function ionsOf(salt: string): ReadonlyMap<Ion, number> {
  const found = new Map<Ion, number>();
  for (const [name, count] of read(salt, groups, "an ion")) {
    if (!isIon(name)) throw new RangeError(`Unexpected “${name}” in ${salt}, expected a part that dissolves as an ion`);
    found.set(name, (found.get(name) ?? 0) + count);
  }
  return found;
}

/** What is left over when the charges of all its ions are added: 0 for a salt that is well written. */
export function netCharge(salt: string): number {
  return sum([...ionsOf(salt)].map(([ion, count]) => ionCharges[ion] * count));
}

/** Charges of the ions that salts, acids and waters give; water and boric acid stay neutral. */
export const ionCharges = {
  H: 1,
  Li: 1,
  Na: 1,
  K: 1,
  NH4: 1,
  Mg: 2,
  Ca: 2,
  Sr: 2,
  Ba: 2,
  Mn: 2,
  Co: 2,
  Ni: 2,
  Cu: 2,
  Zn: 2,
  Al: 3,
  F: -1,
  Cl: -1,
  Br: -1,
  I: -1,
  OH: -1,
  NO3: -1,
  HCO3: -1,
  CO3: -2,
  H2PO4: -1,
  HPO4: -2,
  PO4: -3,
  HSO4: -1,
  SO4: -2,
  SiO3: -2,
  MoO4: -2,
  Mo7O24: -6,
  B4O7: -2,
  H2O: 0,
  H3BO3: 0,
} as const satisfies Readonly<Record<string, number>>;

export type Ion = keyof typeof ionCharges;

function isIon(name: string): name is Ion {
  return Object.hasOwn(ionCharges, name);
}

/** Longest first, so that H2PO4 is not read as hydrogen; whatever else looks like an element comes last. */
const groups = new RegExp(
  [...Object.keys(ionCharges).sort((a, b) => b.length - a.length), "[A-Z][a-z]?"]
    .map((name) => (/[a-z]/.test(name) || name.length > 1 ? name : `${name}(?![a-z])`))
    .join("|"),
  "y",
);

/** Each named part of a formula with its count, brackets and coefficients multiplied out. */
function read(formula: string, name: RegExp, wanted: string): readonly (readonly [name: string, count: number])[] {
  const text = withoutCharge(formula).bare;
  let at = 0;
  const take = (pattern: RegExp): string | undefined => {
    pattern.lastIndex = at;
    const found = pattern.exec(text)?.[0];
    if (found !== undefined) at += found.length;
    return found;
  };
  const amiss = (expected: string): RangeError =>
    new RangeError(
      `Unexpected ${at < text.length ? `“${text.slice(at)}”` : "end"} in “${formula}” after “${text.slice(0, at)}”, expected ${expected}`,
    );
  const times = (parts: readonly (readonly [string, number])[], count: number) =>
    parts.map(([part, each]) => [part, each * count] as const);

  const sequence = (closing?: string): readonly (readonly [string, number])[] => {
    const parts: (readonly [string, number])[] = [];
    for (;;) {
      const opened = take(/[([{]/y);
      const part = opened === undefined ? take(name) : undefined;
      if (opened === undefined && part === undefined) break;
      const inner = opened === undefined ? [[part as string, 1] as const] : sequence(closed[opened]);
      const count = Number(take(/\d+/y) ?? 1);
      if (count === 0) throw amiss("a count above 0");
      parts.push(...times(inner, count));
    }
    if (parts.length === 0) throw amiss(wanted);
    if (closing !== undefined && take(closing === ")" ? /\)/y : closing === "]" ? /]/y : /}/y) === undefined) {
      throw amiss(`“${closing}”`);
    }
    return parts;
  };

  const whole: (readonly [string, number])[] = [];
  do {
    const coefficient = Number(take(/\d+(?:\.\d+)?|½/y)?.replace("½", "0.5") ?? 1);
    if (coefficient === 0) throw amiss("a count above 0");
    whole.push(...times(sequence(), coefficient));
  } while (take(/[·.•⋅*]/y) !== undefined);
  if (at < text.length) throw amiss(`${wanted}, a bracket or the end`);
  return whole;
}

const closed: Readonly<Record<string, string>> = { "(": ")", "[": "]", "{": "}" };

/** A formula in plain digits, and the charge that stood at its end: more than 1 needs a caret, a raised figure or more signs. */
function withoutCharge(formula: string): { readonly bare: string; readonly size: number; readonly sign: number } {
  const text = formula
    .replace(/\s/g, "")
    .replace(/[₀-₉]/g, (digit) => String("₀₁₂₃₄₅₆₇₈₉".indexOf(digit)))
    .replace(
      /[⁰¹²³⁴⁵⁶⁷⁸⁹]+(?=[⁺⁻])/g,
      (raised) => `^${[...raised].map((digit) => "⁰¹²³⁴⁵⁶⁷⁸⁹".indexOf(digit)).join("")}`,
    )
    .replace(/⁺/g, "+")
    .replace(/[⁻−]/g, "-");
  const found = /(?:\^(\d+)?)?(\++|-+)$/.exec(text);
  if (!found) return { bare: text, size: 0, sign: 1 };
  const [end, raised, signs = ""] = found;
  return {
    bare: text.slice(0, text.length - end.length),
    size: raised === undefined ? signs.length : Number(raised),
    sign: signs.startsWith("-") ? -1 : 1,
  };
}

/** Elements that a slip of the hand might have meant: the same first letter, or any. */
function nearest(symbol: string): string {
  const alike = Object.keys(atomicWeights).filter((element) => element[0] === symbol[0]);
  return (alike.length > 0 ? alike : ["N", "P", "K"]).slice(0, 3).join(" or ");
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
