import { z } from "zod";
import { count, date } from "./amounts.ts";
import {
  asMessage,
  everyone,
  type FieldMeta,
  group,
  list,
  mapping,
  nobody,
  reference,
  shaped,
  text,
  word,
  written,
} from "./fields.ts";

/** Words of the language that a `sources:` block may use beside the names of source records. */
export const sourceWords = ["common-practice", "memory", "demo"] as const;

/** Which figures lean on what: a source record, a trial or one of {@link sourceWords}, with the paths it covers, or `"*"` for the rest. */
export const sources = () =>
  mapping(z.string(), scope()).meta({
    label: "Where the figures come from",
    help: 'Name each source or trial once, with the fields it gives. `common-practice: "*"` covers whatever is not named.',
    example: 'sources: { common-practice: "*" }',
  });

/** The fields that a source stands behind, or `"*"` for whatever no other source names. */
const scope = () =>
  z
    .union([z.literal("*"), list(text())], {
      error: ({ input }) =>
        asMessage({
          rule: "type-wrong",
          written: written(input),
          expected: '`"*"` or a list of fields, such as `[ec, stages.tray]`',
        }),
    })
    .meta({ form: "scope" } satisfies FieldMeta);

/** A remark on one figure, by its path: a season, a system, a cultivar, another source that says otherwise. */
export const notes = () => mapping(z.string(), text()).meta({ label: "Notes on figures" });

/** A figure whose source speaks of a related plant, by the figure's path: `seed.standard: cabbage`. */
export const borrowed = () =>
  everyone(mapping(z.string(), text())).meta({
    label: "Borrowed figures",
    help: "The source speaks of a related plant, which is named: `seed.standard: cabbage`.",
  });

/** What other sources say of a figure that stands above. Ours is the one that is used; theirs is kept beside it. */
export const elsewhere = () =>
  list(
    group({
      figure: text().meta({ label: "Figure" }),
      says: text().meta({ label: "Says" }),
      from: text().meta({ label: "From" }),
      note: text().meta({ label: "Note" }).optional(),
    }),
  ).meta({ label: "What others say" });

/** What was found of a crop that is no setting: how far it did not answer, where it failed. */
export const findings = () =>
  list(
    group({
      what: text().meta({ label: "Found" }),
      from: text().meta({ label: "From" }),
      note: text().meta({ label: "Note" }).optional(),
    }),
  ).meta({ label: "Found in trials" });

/** What changed in this record, when and why; the newest last. */
export const history = () =>
  list(
    group({
      on: date(),
      what: text(),
      why: text(),
      from: text().optional(),
      figure: text()
        .meta({ label: "Figure", help: "The field that changed, when one figure did: then it can be undone." })
        .optional(),
      was: text().meta({ label: "Was", help: "What it said before, as it was written." }).optional(),
      now: text().meta({ label: "Now", help: "What it says since, as it was written." }).optional(),
      trial: reference("trials").meta({ label: "For a trial" }).optional(),
      before: list(
        group({
          source: text().meta({ label: "Source" }),
          place: count({ within: [1, 1000] }).meta({ label: "Place of the figure in its list" }),
          line: count({ within: [1, 1000] })
            .meta({ label: "Place of the source among the sources, when it went out with the figure" })
            .optional(),
        }),
      )
        .meta({ label: "Gave it before", help: "The sources that gave the figure by name, to put it back to them." })
        .optional(),
      by: initials().optional(),
    }),
  ).meta({ label: "What changed and why" });

/** Figures that one good run of a trial gives, beside those that stand: not yet our own, and not for customers. */
export const provisional = () =>
  list(
    group({
      figure: text().meta({ label: "Figure" }),
      says: text().meta({ label: "Trial figure" }),
      n: count({ within: [1, 1_000_000] }).meta({ label: "Plants" }),
      range: text().meta({ label: "Range of the plants" }),
      on: date().meta({ label: "Written on" }),
      trial: reference("trials").meta({ label: "Trial" }),
      by: initials().optional(),
    }),
  ).meta({ label: "Trial figures, provisional", reader: "staff" });

/** Who may read a record. Staff when it is not said. */
export const audience = () => everyone(word(["everyone", "staff"])).meta({ label: "Audience" });

export const reviewed = () => date().meta({ label: "Last reviewed" });

/** Initials of a member of staff; they stay in the house. */
export const initials = () =>
  nobody(
    shaped(/^[^\s\d.,]{1,4}$/, "one to four letters, such as `JK`", "Initials only: a name stays out of the records."),
  ).meta({ label: "By", help: "Initials, so that somebody can be asked.", reader: "nobody" });
