import type { StaffEdition } from "../generator/editions.ts";
import { ofEdition, staff } from "./edition.ts";
import { pairsOf, searchOf } from "./forms/address.ts";
import { type Field, fieldsOf, inOrder } from "./forms/fields.ts";
import { hrefOf, waysOn } from "./forms/onward.ts";
import { answered, exampleOf, sheetNamed } from "./forms/printed.ts";
import { customerTopics, type Topic, topics } from "./forms/topics.ts";
import { nameOf } from "./names.ts";
import { words } from "./words.ts";

type Input = Readonly<Record<string, unknown>>;
type Outcome = NonNullable<ReturnType<typeof answered>>;
type Worksheet = ReturnType<typeof sheetNamed>;

/** A worksheet as a page prints it: already answered, with what may be put in. */
export interface Sheet {
  readonly id: string;
  readonly topic: Topic;
  readonly worksheet: Worksheet;
  readonly fields: readonly Field[];
  readonly input: Input;
  readonly outcome: Outcome;
  /** The record that it is filled in from, `feeds/leaf`; undefined for an example. */
  readonly from: string | undefined;
  readonly presets: readonly Preset[];
  /** What the book's own records say of a row that is called by their id. */
  readonly known: Readonly<Record<string, object>>;
  /** What ids are called. */
  readonly names: Readonly<Record<string, string>>;
}

/** What a form, or one group of it, can be filled in from. */
export interface Preset {
  /** The group that is filled in; empty for all of the form. */
  readonly path: string;
  readonly label: string;
  readonly groups: readonly {
    readonly name: string;
    readonly options: readonly { readonly name: string; readonly values: object; readonly record?: string }[];
  }[];
}

/** The worksheets of this edition by topic. */
export const sheetTopics = (): Readonly<Partial<Record<Topic, readonly string[]>>> => (staff ? topics : customerTopics);

/** Every worksheet of this edition, filled in from the first record that can, or with its example. */
export const sheets = ofEdition((): readonly Sheet[] =>
  Object.entries(sheetTopics()).flatMap(([topic, ids]) => ids.map((id) => sheetOf(id, topic as Topic))),
);

/** The book's rain [mg/L], for the recipes that another water refuses. */
export function rain(): Readonly<Record<string, number>> | undefined {
  const water = staff?.waters.find(({ from }) => from === "rain");
  const fill = water && fillsOf("solution-check").find(({ record }) => record === `waters/${water.id}`);
  return fill?.input as Readonly<Record<string, number>> | undefined;
}

/** The sheet of one feed, filled in from its record, on a water of the book's choosing. */
export function feedSheet(feed: string): Sheet | undefined {
  const fill = fillsOf("feed-recipe").find(({ record }) => record === `feeds/${feed}`);
  const sheet = fill && sheetOf("feed-recipe", "feed", fill);
  return sheet?.from === undefined ? undefined : sheet;
}

/** Where one can go on from a sheet as it is printed on the page at `pathname`. */
export function waysFrom({ id, worksheet, input, outcome, from }: Sheet, pathname: string) {
  const recipe = id === "feed-recipe";
  const around = {
    here: pathname.replace(/^\/|(\/index)?\.html$/g, ""),
    rain: recipe ? rain() : undefined,
    feed: recipe && from ? { id: from.replace("feeds/", ""), base: pairsOf(input) } : undefined,
  };
  return waysOn(worksheet, input, outcome, around).map((way) => ({ href: hrefOf(way), says: way.says }));
}

/** The worksheets that a crop's records begin to fill in. */
export const cropQuestionIds = ["sow-date", "cells-to-sow", "micro-pots", "use-by", "dispatch-day"] as const;

/** Questions that one crop has, each with the address of a sheet that its records have begun to fill in. */
export function cropQuestions(crop: string): readonly { readonly question: string; readonly address: string }[] {
  const lots = (staff?.lots ?? []).filter((lot) => lot.crop === crop).map(({ id }) => `lots/${id}`);
  return cropQuestionIds.flatMap((id) => {
    const fill = fillsOf(id).findLast(({ record }) => record === `crops/${crop}` || lots.includes(record));
    if (!fill) return [];
    const address = `/worksheets/${id}${searchOf(pairsOf(fill.input), "")}`;
    return [{ question: sheetNamed(id).question, address }];
  });
}

function sheetOf(id: string, topic: Topic, wanted?: Fill): Sheet {
  const worksheet = sheetNamed(id);
  const fields = fieldsOf(worksheet);
  const example = { record: undefined, input: exampleOf(worksheet) };
  const whole = [...(wanted ? [wanted] : fillsOf(id)), example].flatMap(({ record, ...fill }) => {
    const input = inOrder(fields, fill.input);
    const outcome = answered(worksheet, input);
    return outcome ? [{ record, input, outcome }] : [];
  });
  const { record, input, outcome } = whole.find((one) => one.record && one.outcome.verdict !== "refuse") ?? whole[0]!;
  const known = knownRows(id);
  // What a recipe may ask to be bought is not among its own salts.
  const bags = id === "feed-recipe" ? (staff?.salts ?? []).map((salt) => salt.id) : [];
  const presets = [...(wanted ? [] : wholePresets(id, worksheet, fields)), ...waterPresets(id)];
  return {
    id,
    topic,
    worksheet,
    fields,
    input,
    outcome,
    from: record,
    presets,
    known,
    names: namesIn([input, outcome.answer, known, presets, bags]),
  };
}

type Fill = StaffEdition["fills"][string][number];

function fillsOf(id: string): readonly Fill[] {
  return staff?.fills[id] ?? [];
}

/** The records that fill in a whole sheet. Those that are rows of it are chosen row by row. */
function wholePresets(id: string, worksheet: Worksheet, fields: readonly Field[]): readonly Preset[] {
  const fills = fillsOf(id).filter(({ record }) => id !== "line-match" || !record.startsWith("crops/"));
  if (fills.length === 0) return [];
  const kinds = [...new Set(fills.map(({ record }) => record.split("/")[0] ?? ""))];
  const own = [
    { name: words.forms.example, values: inOrder(fields, exampleOf(worksheet)) },
    { name: words.forms.empty, values: {} },
  ];
  return [
    {
      path: "",
      label: words.forms.fromRecord,
      groups: [
        { name: "", options: own },
        ...kinds.map((kind) => ({
          name: words.nav[kind as keyof typeof words.nav] ?? words.nav.label,
          options: fills
            .filter(({ record }) => record.split("/")[0] === kind)
            .map(({ record, input }) => ({ name: nameOfRecord(record), values: input, record })),
        })),
      ],
    },
  ];
}

/** The book's waters, to be put under a recipe. */
function waterPresets(id: string): readonly Preset[] {
  const waters = id === "feed-recipe" ? fillsOf("solution-check") : [];
  if (waters.length === 0) return [];
  const options = waters.map(({ record, input }) => ({ name: nameOf(record), values: input }));
  return [{ path: "water", label: words.list.water, groups: [{ name: "", options }] }];
}

function knownRows(id: string): Readonly<Record<string, object>> {
  const rows: readonly unknown[] =
    id === "feed-recipe" || id === "tub-solubility"
      ? fillsOf("feed-recipe").flatMap(({ input }) => input.salts)
      : id === "line-match"
        ? fillsOf("line-match").flatMap(({ input }) => input.crops)
        : id === "tower-layout"
          ? fillsOf("tower-port-score").map(({ input }) => input.crop)
          : [];
  return Object.fromEntries((rows as readonly { readonly id: string }[]).map((row) => [row.id, row]));
}

function namesIn(value: unknown): Readonly<Record<string, string>> {
  const found: Record<string, string> = {};
  const note = (text: string) => {
    if (nameOf(text) !== text) found[text] = nameOf(text);
  };
  const walk = (inner: unknown): void => {
    if (typeof inner === "string") note(inner);
    if (typeof inner !== "object" || inner === null) return;
    for (const [key, deeper] of Object.entries(inner)) {
      note(key);
      walk(deeper);
    }
  };
  walk(value);
  return found;
}

/** What a record that fills in a sheet is called; orders and lots have no name of their own. */
export function nameOfRecord(record: string): string {
  if (record === "book") return words.forms.theBook;
  const [kind, id = ""] = record.split("/");
  const order = kind === "orders" ? staff?.orders.find((one) => one.id === id) : undefined;
  if (order) return `${nameOf(order.crop)}, ${order.amount}`;
  const lot = kind === "lots" ? staff?.lots.find((one) => one.id === id) : undefined;
  if (lot) return [nameOf(lot.crop), lot.cultivar].filter(Boolean).join(", ");
  return nameOf(record);
}
