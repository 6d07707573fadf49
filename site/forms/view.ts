import { number, quantity } from "../../generator/format.ts";
import { type AnswerField, answerField, type Outcome, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { elementNames, methodNames, nearestNames } from "../words.ts";
import { inWords, said } from "./said.ts";
import { shownUnit, type Units } from "./units.ts";
import { formWords } from "./words.ts";

/** For whom an answer is shown: their units, and what records are called, by id. */
export interface Reader {
  readonly units: Units;
  readonly names: Readonly<Record<string, string>>;
  /** Where they can go on from the answer. */
  readonly ways?: readonly { readonly href: string; readonly says: string }[];
}

/** One line of an answer, in words. */
export interface Line {
  readonly path: readonly string[];
  readonly field: AnswerField | undefined;
  readonly label: string;
  readonly text: string;
}

/** Lines of one kind, or a table of them. */
export type Group =
  | { readonly title: string; readonly key: boolean; readonly lines: readonly Line[] }
  | {
      readonly title: string;
      readonly key: boolean;
      readonly columns: readonly string[];
      readonly rows: readonly (readonly [name: string, cells: readonly string[]])[];
    };

/** The few figures that a person came for; those of a band stand together. None while the sheet is refused. */
export function keyLines(sheet: Worksheet, outcome: Outcome, reader: Reader): readonly Line[] {
  if (outcome.refusal) return [];
  const keys = plainLines(sheet, outcome, reader).filter(({ field, text }) => field?.key && text !== blank);
  return keys.flatMap((line, index) => {
    const [name = ""] = line.path;
    const high = /Low$/.test(name) ? keys[index + 1] : undefined;
    if (high?.path[0] === name.replace(/Low$/, "High")) {
      const { number: low, unit } = parted(line);
      const text = parted(high).number === low ? high.text : `${low}–${high.text}`;
      return [{ ...line, label: line.label.replace(/,? from$/, ""), text, field: { unit, label: line.label } }];
    }
    const low = /High$/.test(name) ? keys[index - 1] : undefined;
    return low?.path[0] === name.replace(/High$/, "Low") ? [] : [line];
  });
}

/** A line's number and its unit apart, so that the number can be large. */
export function parted({ text, field }: Pick<Line, "text" | "field">): {
  readonly number: string;
  readonly unit: string;
} {
  const found = field?.unit === "" ? undefined : /^(¤?[−\d.,\u202f–]*\d)(\D.*)$/.exec(text);
  return found ? { number: found[1]!, unit: found[2]!.trim() } : { number: text, unit: "" };
}

/** All of an answer, its plain lines first, then each group under its own title. Weights of a refused sheet are left out. */
export function groups(sheet: Worksheet, outcome: Outcome, reader: Reader): readonly Group[] {
  const refused = outcome.refusal !== null;
  const allowed = ({ field }: Line) => !(refused && field?.weight);
  const plain = plainLines(sheet, outcome, reader).filter(allowed);
  const keys = new Set(
    Object.entries(sheet.answer).flatMap(([path, field]) => (field.key ? [path.split(".")[0]] : [])),
  );
  const inside = Object.entries(outcome.answer)
    .filter(([, value]) => !isLine(value))
    .map(([name, value]): Group => {
      const key = keys.has(name);
      const table = tableOf(sheet, name, value, reader);
      const lines = linesIn(value, [name])
        .map((line) => lineOf(sheet, line, reader))
        .filter(allowed);
      const title = titleOf(sheet, name, lines);
      return table ? { title, key, ...table } : { title, key, lines };
    })
    .filter((group) => "rows" in group || group.lines.length > 0);
  return [...(plain.length > 0 ? [{ title: "", key: false, lines: plain }] : []), ...inside];
}

/** What to weigh into each tub, in the order in which it goes in; nothing while the sheet is refused. */
export function tubs({ answer, refusal }: Outcome, { names, units }: Reader) {
  if (refusal || sizeOf(answer.tubs) === 0) return [];
  const order = answer.order as Readonly<Record<string, readonly string[]>>;
  return Object.entries(answer.tubs as Readonly<Record<string, Readonly<Record<string, number>>>>)
    .map(([letter, salts]) => ({
      letter,
      salts: Object.entries(salts)
        .filter(([, grams]) => grams > 0)
        .sort(([a], [b]) => (order[letter]?.indexOf(a) ?? 0) - (order[letter]?.indexOf(b) ?? 0))
        .map(([id, grams]) => ({
          id,
          name: names[id] ?? id,
          weigh: figure(grams, { unit: "g", label: "", digits: 6 }, units),
        })),
    }))
    .filter(({ salts }) => salts.length > 0);
}

/** The nearest thing that can be, when the sheet was refused. */
export function nearestOf(
  sheet: Worksheet,
  { refusal }: Outcome,
  reader: Reader,
): readonly (readonly [string, string])[] {
  return Object.entries(refusal?.nearest ?? {}).flatMap(([key, value]) => {
    const field = answerField(sheet, key);
    const { label, unit } = nearestNames[key] ?? field ?? inWords(key);
    return linesIn(value, [key]).flatMap(([path, inner]) => {
      const text = textOf(inner, { unit, label, ...(field?.digits ? { digits: field.digits } : {}) }, reader);
      if (text === blank) return [];
      const which = stepsOf(path, reader.names).filter((step) => !/^\d+$/.test(step));
      return [[[label, ...which].join(", "), key === "element" ? (elementNames[text] ?? text) : text] as const];
    });
  });
}

const blank = "—";

function plainLines(sheet: Worksheet, { answer }: Outcome, reader: Reader): readonly Line[] {
  return Object.entries(answer)
    .filter(([, value]) => isLine(value))
    .map(([name, value]) => lineOf(sheet, [[name], value], reader));
}

/** One line: a figure, a word, nothing, or a list of words or figures. */
function isLine(value: unknown): boolean {
  return (
    typeof value !== "object" ||
    value === null ||
    (Array.isArray(value) && value.every((item) => typeof item === "string" || typeof item === "number"))
  );
}

type Found = readonly [path: readonly string[], value: unknown];

function linesIn(value: unknown, path: readonly string[]): readonly Found[] {
  if (isLine(value)) return [[path, value]];
  return Object.entries(value as object).flatMap(([key, inner]) => linesIn(inner, [...path, key]));
}

function lineOf(sheet: Worksheet, [path, value]: Found, reader: Reader): Line {
  const field = answerField(sheet, path.join("."));
  // People count from one.
  const which =
    path.length === 1
      ? []
      : stepsOf(path, reader.names).filter((_, index) => !stepsDeclared(sheet).has(path[index + 1]!));
  const label = [field?.label ?? (path.length === 1 ? inWords(path[0]!).label : ""), ...which].filter(
    (part) => part !== "",
  );
  return { path, field, label: label.join(", "), text: textOf(value, field, reader) };
}

/** Every step of a path that a sheet declares, found once for each sheet. */
function stepsDeclared(sheet: Worksheet): ReadonlySet<string> {
  const known = declared.get(sheet);
  if (known) return known;
  const found = new Set(Object.keys(sheet.answer).flatMap((path) => path.split(".")));
  declared.set(sheet, found);
  return found;
}

const declared = new WeakMap<Worksheet, ReadonlySet<string>>();

/** A table where every row has the same columns: a map of a tower, a list of stages. */
function tableOf(sheet: Worksheet, name: string, value: unknown, reader: Reader) {
  const rows = Object.entries(value as object) as [string, unknown][];
  const columns = Object.keys((rows[0]?.[1] as object | null) ?? {});
  const even =
    rows.length > 1 &&
    columns.length > 0 &&
    rows.every(([, row]) => {
      const cells = typeof row === "object" && row !== null && !Array.isArray(row) ? row : {};
      return Object.keys(cells).join() === columns.join() && Object.values(cells).every(isLine);
    });
  if (!even) return undefined;
  const listed = Array.isArray(value);
  // A tower is drawn as it stands, its lowest tier at the bottom.
  const standing = !listed && rows.every(([row]) => /^\d+$/.test(row)) ? rows.toReversed() : rows;
  const fieldOf = (column: string) => answerField(sheet, `${name}.${listed ? 0 : rows[0]![0]}.${column}`);
  return {
    columns: columns.map((column) => fieldOf(column)?.label ?? called(column, reader.names, name)),
    rows: standing.map(
      ([row, cells]) =>
        [
          listed ? String(Number(row) + 1) : called(row, reader.names, name),
          columns.map((column) => textOf((cells as Record<string, unknown>)[column], fieldOf(column), reader)),
        ] as const,
    ),
  };
}

/** A group of one kind of figure is called by that figure; a group of several by its own name. */
function titleOf(sheet: Worksheet, name: string, lines: readonly Line[]): string {
  const labels = new Set(lines.map(({ field }) => field?.label));
  const [only] = labels;
  const method = methodNames[name];
  const title = method ?? (labels.size === 1 && only ? only : (sheet.answer[name]?.label ?? inWords(name).label));
  return `${title[0]?.toUpperCase() ?? ""}${title.slice(1)}`;
}

/** A value of an answer in words. */
function textOf(value: unknown, field: AnswerField | undefined, { units, names }: Reader): string {
  if (Array.isArray(value) && value.length === 0) return formWords.none;
  const says = said(value, {
    figure: (one) => (field ? figure(one, field, units) : number(one)),
    name: (id) => names[id] ?? id,
  });
  return says ?? blank;
}

/** A figure in the reader's units. */
function figure(value: number, { unit, digits }: AnswerField, units: Units): string {
  const shown = shownUnit(unit, units);
  return shown ? quantity(shown.to(value), shown.unit, digits) : quantity(value, unit, digits);
}

/** The steps of a path below its first, in words. People count from one. */
function stepsOf(path: readonly string[], names: Readonly<Record<string, string>>): readonly string[] {
  return path.slice(1).map((step, index) => {
    return /^\d+$/.test(step) && !lettered.has(path[0]!) ? String(Number(step) + 1) : called(step, names, path[index]!);
  });
}

/** What a step of a path is called: a record, a chemical sign, or itself. Tubs and faces have letters that are no signs. */
function called(id: string, names: Readonly<Record<string, string>>, after: string): string {
  return names[id] ?? (lettered.has(after) ? undefined : elementNames[id]) ?? id;
}

const lettered: ReadonlySet<string> = new Set([
  "tubs",
  "tubKg",
  "evened",
  "order",
  "shared",
  "map",
  "why",
  "faceKg",
  "tierKg",
]);

function sizeOf(value: unknown): number {
  return typeof value === "object" && value !== null ? Object.keys(value).length : 0;
}
