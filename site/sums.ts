import { date, list, quantity } from "../generator/format.ts";
import { parted, type Sum } from "./figures.ts";
import { nameOf } from "./names.ts";
import { words } from "./words.ts";

/** One line of an answer, in words. */
export interface Line {
  readonly path: string;
  readonly label: string;
  readonly text: string;
  readonly number: string;
  readonly unit: string;
}

/** The few lines that a person came for. */
export function keyLines(sum: Sum): readonly Line[] {
  const keys = linesOf(sum).filter(({ path }) => sum.fields[path]?.key);
  return keys.flatMap((line, index) => {
    const high =
      /Low$/.test(line.path) && keys[index + 1]?.path === line.path.replace(/Low$/, "High")
        ? keys[index + 1]
        : undefined;
    if (high) return [{ ...line, label: line.label.replace(/ from$/, ""), number: between(line.number, high.number) }];
    const low = keys[index - 1];
    return low?.path === line.path.replace(/High$/, "Low") && low !== line && /High$/.test(line.path) ? [] : [line];
  });
}

function between(low: string, high: string): string {
  return low === high ? low : `${low}–${high}`;
}

/** All other lines of the answer. */
export function otherLines(sum: Sum): readonly Line[] {
  return linesOf(sum).filter(({ path }) => !sum.fields[path]?.key);
}

/** The nearest thing that can be, when the sum was refused. */
export function nearestOf({ outcome, fields }: Sum): readonly { readonly label: string; readonly text: string }[] {
  return Object.entries(outcome.refusal?.nearest ?? {}).flatMap(([key, value]) => {
    const { label, unit } = words.nearest[key] ?? fields[key] ?? inWords(key);
    const text = said(value, unit, fields[key]?.digits);
    return text === undefined ? [] : [{ label, text: words.elements[text] ?? text }];
  });
}

/** What a sum leans on, by record, with the record's address. */
export function leansOf({
  from,
}: Sum): readonly { readonly record: string; readonly address: string; readonly paths: readonly string[] }[] {
  const records = new Map<string, string[]>();
  for (const { record, path } of from) records.set(record, [...(records.get(record) ?? []), path]);
  return [...records].map(([record, paths]) => ({ record, address: `/${record}`, paths }));
}

/** A value at a dotted path of the answer, where a name may have no dots of its own. */
export function answerAt({ outcome }: Sum, path: string): unknown {
  return path
    .split(".")
    .reduce<unknown>(
      (value, key) =>
        typeof value === "object" && value !== null ? (value as Record<string, unknown>)[key] : undefined,
      outcome.answer,
    );
}

/** Answers that go by tub, where B is a tub and not boron. */
const byTub = /^(tubs|tubKg|order|evened)\.|\.shared\./;

function linesOf(sum: Sum): readonly Line[] {
  return Object.entries(sum.fields).flatMap(([path, { label, unit, digits }]) => {
    const text = said(answerAt(sum, path), unit, digits);
    if (text === undefined) return [];
    const which = path
      .split(".")
      .slice(1)
      .filter((step) => !words.methods[step] && !/^\d+$/.test(step))
      .map((step) =>
        byTub.test(path) && /^[ABC]$/.test(step) ? words.recipe.tub(step) : (words.elements[step] ?? nameOf(step)),
      );
    const method = words.methods[path.split(".")[0] ?? ""];
    const full = [[label, ...which].join(", "), method].filter((part) => part !== undefined).join(", ");
    return [{ path, label: full, text, ...parted({ text, unit }) }];
  });
}

function said(value: unknown, unit: string, digits?: number): string | undefined {
  if (typeof value === "number") return quantity(value, unit, digits);
  if (typeof value === "boolean") return value ? words.yes : words.no;
  if (typeof value === "string" && value !== "") return /^\d{4}-\d{2}-\d{2}$/.test(value) ? date(value) : nameOf(value);
  if (Array.isArray(value) && value.length > 0) {
    const parts = value.flatMap((item) => said(item, unit, digits) ?? []);
    return parts.length > 0 ? list(parts) : undefined;
  }
  return undefined;
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

/** A name of the code as words with the unit that it ends in: `scaleDivisionGrams` is a scale division in g. */
function inWords(key: string): { readonly label: string; readonly unit: string } {
  const ending = endings.find(([pattern]) => pattern.test(key));
  const name = (ending ? key.replace(ending[0], "") : key).replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return { label: `${name[0]?.toUpperCase() ?? ""}${name.slice(1)}`, unit: ending?.[1] ?? "" };
}
