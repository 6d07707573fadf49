import { quantity } from "../generator/format.ts";
import { parted, type Sum } from "./figures.ts";
import { inWords, said } from "./forms/said.ts";
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
    const text = textOf(value, unit, fields[key]?.digits);
    return text === undefined ? [] : [{ label, text: words.elements[text] ?? text }];
  });
}

/** What a sum leans on, by record, with the record's address. */
export function leansOf({
  from,
}: Sum): readonly { readonly record: string; readonly address: string; readonly paths: readonly string[] }[] {
  return [...Map.groupBy(from, ({ record }) => record)].map(([record, leans]) => ({
    record,
    address: `/${record}`,
    paths: leans.map(({ path }) => path),
  }));
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
    const text = textOf(answerAt(sum, path), unit, digits);
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

/** A value of an answer in words; undefined when it says nothing. */
function textOf(value: unknown, unit: string, digits?: number): string | undefined {
  return said(value, { figure: (number) => quantity(number, unit, digits), name: nameOf });
}
