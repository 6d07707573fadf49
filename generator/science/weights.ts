import type { In } from "./units.ts";

/**
 * Standard atomic weights [g/mol], abridged to five figures, of the elements that waters, salts and plants are analysed for.
 * @see Prohaska and others (2022), Standard atomic weights of the elements 2021, Pure and Applied Chemistry 94, 573–600, table 1.
 */
export const atomicWeights = {
  H: 1.008,
  Li: 6.94,
  B: 10.81,
  C: 12.011,
  N: 14.007,
  O: 15.999,
  F: 18.998,
  Na: 22.99,
  Mg: 24.305,
  Al: 26.982,
  Si: 28.085,
  P: 30.974,
  S: 32.06,
  Cl: 35.45,
  K: 39.098,
  Ca: 40.078,
  V: 50.942,
  Cr: 51.996,
  Mn: 54.938,
  Fe: 55.845,
  Co: 58.933,
  Ni: 58.693,
  Cu: 63.546,
  Zn: 65.38,
  As: 74.922,
  Se: 78.971,
  Br: 79.904,
  Sr: 87.62,
  Mo: 95.95,
  Cd: 112.41,
  I: 126.9,
  Ba: 137.33,
  Hg: 200.59,
  Pb: 207.2,
} as const satisfies Readonly<Record<string, In<"g/mol">>>;

export type Element = keyof typeof atomicWeights;

/** True when `symbol` is an element of the table. */
export function isElement(symbol: string): symbol is Element {
  return Object.hasOwn(atomicWeights, symbol);
}
