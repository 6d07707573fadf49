import { number } from "../../generator/format.ts";
import { convert } from "../../generator/science/units.ts";
import { formWords } from "./words.ts";

/** The units that a reader may choose, by what they measure; the first of each is how the sums are worked. */
export const unitChoices = {
  ec: ["mS/cm", "CF", "ppm500", "ppm640", "ppm700"],
  heat: ["°C", "°F"],
  volume: ["L", "US gal", "UK gal"],
  mass: ["g", "oz"],
} as const;

export type UnitKind = keyof typeof unitChoices;
export type Units = { readonly [Kind in UnitKind]: (typeof unitChoices)[Kind][number] };

export const innerUnits: Units = { ec: "mS/cm", heat: "°C", volume: "L", mass: "g" };

/** How an amount of one inner unit is shown to a reader, and read back. */
export interface ShownUnit {
  readonly unit: string;
  to(value: number): number;
  from(value: number): number;
}

/** The unit that a reader has chosen for an inner unit; undefined where there is nothing to choose or it is the same. */
export function shownUnit(unit: string, { ec, heat, volume, mass }: Units): ShownUnit | undefined {
  if (unit === "mS/cm" && ec !== unit) {
    if (ec === "CF") return between("mS/cm", "CF");
    const factor = Number(ec.slice(3));
    return {
      unit: formWords.scale(String(factor)),
      to: (value) => value * factor,
      from: (value) => value / factor,
    };
  }
  if (unit === "°C" && heat !== unit) return between("°C", heat);
  if (unit === "L" && volume !== unit) return between("L", volume);
  if (unit === "g" && mass !== unit) return between("g", mass);
  if (unit === "kg" && mass === "oz") return between("kg", "lb");
  return undefined;
}

/** Whether a reader can choose how an amount in `unit` is shown. */
export function hasChoice(unit: string): boolean {
  return ["mS/cm", "°C", "L", "g", "kg"].includes(unit);
}

/** A number as one types it: no spaces, a full stop, at most six figures that count. */
export function typed(value: number): string {
  return String(Number(value.toPrecision(6)));
}

/** A figure as a field shows it: at most seven decimals that count; the rest is the dust of the computer's own sums. */
export function shortened(value: number, plain = String(value)): string {
  return plain.replace(/\D/g, "").length > 8 ? String(Number(value.toPrecision(7))) : plain;
}

/** What a number input wants, as its hint says it. */
export interface Wanted {
  readonly unit: string;
  readonly min?: number | undefined;
  readonly max?: number | undefined;
  readonly above?: number | undefined;
  readonly below?: number | undefined;
  readonly whole?: boolean | undefined;
  readonly usual?: number | undefined;
  readonly optional?: boolean | undefined;
  readonly help?: string | undefined;
}

/** The hint beside a number: its help, its bounds and what a blank counts as, in the reader's units. */
export function hintOf({ min, max, above, below, whole, usual, optional, help, unit }: Wanted, units: Units): string {
  const shown = shownUnit(unit, units);
  const say = (value: number) => number(shown ? shown.to(value) : value, 6);
  const { ranges } = formWords;
  const range =
    min !== undefined && max !== undefined
      ? ranges.between(say(min), say(max))
      : [
          min !== undefined && ranges.least(say(min)),
          above !== undefined && ranges.above(say(above)),
          max !== undefined && ranges.most(say(max)),
          below !== undefined && ranges.below(say(below)),
        ]
          .filter(Boolean)
          .join(", ");
  const blank = usual !== undefined ? formWords.usual(say(usual)) : optional ? formWords.blank : "";
  return [help, whole && range === "" ? formWords.whole : range, blank].filter(Boolean).join("; ");
}

/** Units as the address and the browser keep them: `CF.F.US-gal.oz`. */
export function unitsText(units: Units): string {
  return (Object.keys(unitChoices) as UnitKind[]).map((kind) => code(units[kind])).join(".");
}

/** Units as they were kept; what is not understood is as the sums are worked. */
export function unitsNamed(text: string | null | undefined): Units {
  const kept = (text ?? "").split(".");
  const chosen = (Object.keys(unitChoices) as UnitKind[]).map((kind, index) => {
    const choices: readonly string[] = unitChoices[kind];
    return [kind, choices.find((unit) => code(unit) === kept[index]) ?? choices[0]];
  });
  return Object.fromEntries(chosen) as Units;
}

function code(unit: string): string {
  return unit.replace("°", "").replace("mS/cm", "mS").replace(" ", "-");
}

type Convertible = Parameters<typeof convert>[1];

function between(inner: Convertible, shown: Convertible): ShownUnit {
  return {
    unit: shown,
    to: (value) => convert(value, inner, shown),
    from: (value) => convert(value, shown, inner),
  };
}
