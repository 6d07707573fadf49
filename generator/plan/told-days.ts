import { list, number, quantity } from "../format.ts";
import type { Demand } from "./demands.ts";
import { counted, toldSeeding } from "./told.ts";
import type { StageName } from "./yard.ts";

/** What is to be done on a day, as facts. `called` is the name of the record that it belongs to. */
export interface Dated {
  readonly what: string;
  readonly called: string;
  readonly crop?: string | undefined;
  readonly code?: string | undefined;
  readonly codes?: readonly string[] | undefined;
  readonly to?: StageName | undefined;
  readonly amount?: string | undefined;
  readonly plants?: number | undefined;
  readonly cells?: number | undefined;
  readonly trays?: number | undefined;
  readonly lot?: string | undefined;
  readonly units?: number | undefined;
  readonly counts?: Demand["of"] | undefined;
  readonly by?: readonly string[] | undefined;
  readonly litres?: number | undefined;
  readonly why?: string | undefined;
  readonly instead?: string | undefined;
}

/** A thing to do in a few words, and what one needs to know to do it. */
export interface ToldDay {
  readonly title: string;
  readonly facts: readonly string[];
}

/** A thing to do as a list, a calendar or a page says it. */
export function toldDay(dated: Dated): ToldDay {
  const { what, called, crop = called, amount, code, codes = [], plants, by = [], why, instead } = dated;
  const promised = amount === undefined ? called : `${crop}, ${amount}`;
  const titles: Readonly<Record<string, string>> = {
    sow: `Sow ${crop}`,
    count: `Count ${crop}`,
    move: `Move ${crop} ${dated.to === undefined ? "on" : toStage[dated.to]}`,
    "first-cut": `First cut of ${crop}`,
    "next-cut": `Cut ${crop} again`,
    "last-cut": `Last cut of ${crop}, then clear it`,
    cut: `Cut ${promised}`,
    hand: `Hand over ${promised}`,
    post: `Post ${promised}`,
    cannot: `Cannot be: ${promised}`,
    clash: `Too much on ${called}`,
    mix: `Mix stock for ${called}`,
    order: `Order ${called}`,
    test: `Test ${called}`,
    service: `Service ${called}`,
    decide: `Decide: ${called}`,
  };
  const sown = dated.cells !== undefined;
  return {
    title: titles[what] ?? `${what.replaceAll("-", " ")}: ${called}`,
    facts: [
      ...(sown
        ? [toldSeeding({ cells: dated.cells!, trays: dated.trays, lot: dated.lot, of: dated.counts ?? "plants" })]
        : []),
      ...(dated.units === undefined ? [] : [`for ${counted(dated.units, dated.counts ?? "plants")}`]),
      ...(dated.litres === undefined ? [] : [`${number(dated.litres, 4)} L, by the mixing sheet`]),
      ...(plants === undefined ? [] : [counted(plants, "plants")]),
      ...(codes.length > 0 ? [spanOfCodes(codes)] : code === undefined ? [] : [code]),
      ...(by.length > 0 ? [`from ${list(by)}`] : []),
      ...(why === undefined ? [] : [why]),
      ...(instead === undefined ? [] : [instead]),
    ],
  };
}

/** What was done on a day, as facts. `called` is what it was done with. */
export interface Past {
  readonly what: string;
  readonly called: string;
  readonly code?: string | undefined;
  readonly to?: StageName | undefined;
  readonly plants?: number | undefined;
  readonly cells?: number | undefined;
  /** Of how many cells or seeds `cells` came up. */
  readonly of?: number | undefined;
  readonly lot?: string | undefined;
  readonly grams?: number | undefined;
}

/** A thing that was done, as a list says it. */
export function toldDone({ what, called, code, to, plants, cells, of, lot, grams }: Past): ToldDay {
  const titles: Readonly<Record<string, string>> = {
    sow: `Sown: ${called}`,
    count: `Counted: ${called}`,
    move: `Moved ${to === undefined ? "on" : toStage[to]}: ${called}`,
    cut: `Cut: ${called}`,
    close: `Closed: ${called}`,
    test: `Seed tested: ${called}`,
    sample: `Water sampled: ${called}`,
    begin: `Trial begun: ${called}`,
    stop: `Trial stopped: ${called}`,
  };
  return {
    title: titles[what] ?? `${what}: ${called}`,
    facts: [
      ...(cells === undefined
        ? []
        : [of === undefined ? `${number(cells, 7)} ${cells === 1 ? "cell" : "cells"}` : `${cells} of ${of} up`]),
      ...(lot === undefined ? [] : [`lot ${lot}`]),
      ...(plants === undefined ? [] : [counted(plants, "plants")]),
      ...(grams === undefined ? [] : [quantity(grams, "g", 6)]),
      ...(code === undefined ? [] : [code]),
    ],
  };
}

/** `BAS-27116-01-7` alone, all of a few codes, or the first and the last of many with their number. */
function spanOfCodes(codes: readonly string[]): string {
  if (codes.length < 4) return codes.join(", ");
  return `${codes[0]} to ${codes.at(-1)}, ${number(codes.length)} codes`;
}

const toStage: Readonly<Record<StageName, string>> = {
  germination: "into germination",
  tray: "to the bench",
  mister: "to the mister",
  hardening: "out to harden",
  tower: "to the tower",
};
