import { type Sources, sourcesOf } from "../../generator/provenance.ts";
import { leaves } from "../../generator/records/walk.ts";
import type { Checked } from "./checked.ts";

/** One value of a record that a form can show: where it stands, what it is called, what it says and what it leans on. */
export interface PlainField {
  readonly path: readonly (string | number)[];
  readonly label: string;
  /** As it is written in the file. */
  readonly value: string;
  /** What is typed: one of a few words, or a value. */
  readonly words: readonly string[] | undefined;
  readonly unit: string | undefined;
  /** Names of a `sources:` block that stand behind a figure; undefined for what is no figure. */
  readonly leansOn: readonly string[] | undefined;
}

/** The fields below one name of a record; what stands at its top has no name. */
export interface PlainGroup {
  readonly name: string;
  readonly fields: readonly PlainField[];
}

/**
 * The single values that are changed most: figures, counts, days and choices, in the order of the file. Texts, lists and names
 * of other records are for the text itself.
 */
export function plainGroups(reading: NonNullable<Checked["reading"]>): readonly PlainGroup[] {
  const sources = (reading.fields.sources ?? {}) as Sources;
  const groups = new Map<string, PlainField[]>();
  for (const { path, value, meta } of leaves(reading.schema, reading.raw)) {
    const [top = ""] = path;
    if (typeof value !== "string" || !meta.form || !shown.has(meta.form) || beside.has(String(top))) continue;
    const name = path.length === 1 ? "" : String(top);
    const steps = path.slice(1, -1).map((step) => (typeof step === "number" ? step + 1 : step));
    const field: PlainField = {
      path,
      label: [meta.label ?? path.at(-1), ...steps].join(", "),
      value,
      words: meta.form === "word" ? meta.words : meta.form === "flag" ? ["yes", "no"] : undefined,
      unit: meta.unit === "" ? undefined : meta.unit,
      leansOn: meta.figure ? sourcesOf(path.join("."), sources) : undefined,
    };
    const group = groups.get(name);
    if (group) group.push(field);
    else groups.set(name, [field]);
  }
  return [...groups].map(([name, fields]) => ({ name, fields: fields.map((field) => toldApart(field, fields)) }));
}

/** Values of a mapping that all go by one label have their key beside it. */
function toldApart(field: PlainField, all: readonly PlainField[]): PlainField {
  const alone = all.filter(({ label }) => label === field.label).length === 1;
  return alone ? field : { ...field, label: `${field.label}, ${field.path.at(-1)}` };
}

const shown: ReadonlySet<string> = new Set(["word", "flag", "date", "months", "count", "amount", "span"]);

/** What stands beside the fields of a record and is none of them. */
const beside: ReadonlySet<string> = new Set(["sources", "notes", "history", "borrowed", "elsewhere", "findings"]);
