import { z } from "zod";
import { date, everyone, group, list, mapping, nobody, text, word } from "./fields.ts";

/** Words of the language that a `sources:` block may use beside the names of source records. */
export const sourceWords = ["common-practice", "memory", "demo"] as const;

/** Which figures lean on what: a source record or one of {@link sourceWords}, with the paths it covers, or `"*"` for the rest. */
export const sources = () =>
  mapping(z.string(), z.union([z.literal("*"), list(text())])).meta({
    label: "Where the figures come from",
    help: 'Name each source once, with the fields it gives. `common-practice: "*"` covers whatever is not named.',
    example: 'sources: { common-practice: "*" }',
  });

/** A remark on one figure, by its path: a season, a system, a cultivar, another source that says otherwise. */
export const notes = () => mapping(z.string(), text()).meta({ label: "Notes on figures" });

/** What changed in this record, when and why; the newest last. */
export const history = () =>
  list(
    group({
      on: date(),
      what: text(),
      why: text(),
      from: text().optional(),
    }),
  ).meta({ label: "What changed and why" });

/** Who may read a record. Staff when it is not said. */
export const audience = () => everyone(word(["everyone", "staff"])).meta({ label: "Audience" });

export const reviewed = () => date().meta({ label: "Last reviewed" });

/** Initials of a member of staff; they stay in the house. */
export const initials = () =>
  nobody(text().max(4)).meta({ label: "By", help: "Initials, so that somebody can be asked.", reader: "nobody" });
