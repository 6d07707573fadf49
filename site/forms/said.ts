import { date, list } from "../../generator/format.ts";
import { formWords } from "./words.ts";

/** How figures are said, and what a record or another name of the code is called. */
export interface Saying {
  readonly figure: (value: number) => string;
  readonly name: (id: string) => string;
}

/** A value of an answer in words; undefined when it says nothing. */
export function said(value: unknown, saying: Saying): string | undefined {
  if (typeof value === "number") return saying.figure(value);
  if (typeof value === "boolean") return value ? formWords.yes : formWords.no;
  if (typeof value === "string" && value !== "")
    return /^\d{4}-\d{2}-\d{2}$/.test(value) ? date(value) : saying.name(value);
  if (!Array.isArray(value)) return undefined;
  const parts = value.flatMap((item) => said(item, saying) ?? []);
  return parts.length > 0 ? list(parts) : undefined;
}

/** A name of the code as words with the unit that it ends in: `scaleDivisionGrams` is a scale division in g. */
export function inWords(key: string): { readonly label: string; readonly unit: string } {
  const ending = endings.find(([pattern]) => pattern.test(key));
  const name = (ending ? key.replace(ending[0], "") : key).replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return { label: `${name[0]?.toUpperCase() ?? ""}${name.slice(1)}`, unit: ending?.[1] ?? "" };
}

const endings: readonly (readonly [ending: RegExp, unit: string])[] = [
  [/Grams$/, "g"],
  [/Kg$/, "kg"],
  [/Litres$/, "L"],
  [/Percent$/, "%"],
  [/TempC$/, "°C"],
  [/Hours$/, "h"],
  [/Days$/, "days"],
];
