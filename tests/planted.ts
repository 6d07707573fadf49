import { VFile } from "vfile";
import { parse as readYaml } from "yaml";
import { Book, type Kind, kinds } from "../generator/records/index.ts";
import { fill } from "./planted/fields.ts";
import { besideTrial } from "./planted/measured.ts";
import { type Names, renamed, secretNames } from "./planted/names.ts";
import { remarked } from "./planted/remarks.ts";
import { type Stray, strays } from "./planted/strays.ts";
import { body } from "./planted/text.ts";

/** In what a canary sits. */
export type Place =
  | "a private field"
  | "an unknown field"
  | "a key of the writer's own"
  | "a price"
  | "initials"
  | "an unknown heading"
  | "a private section"
  | "a remark in the fields"
  | "a remark in the text"
  | "a remark among the links"
  | "the name of a record"
  | "the measurements of a trial"
  | "the name of a file that is no record"
  | "a file that is no record";

/** A word that only one place of the records has. */
export interface Canary {
  /** `canary12qz`; of a price its figures, of initials the same four letters everywhere. */
  readonly word: string;
  /** The file that it was planted in, by the name that it has in the planted book. */
  readonly record: string;
  readonly field: string;
  readonly place: Place;
  /** Whether no edition may show it, not even that of the staff. */
  readonly never: boolean;
}

/** Who signed every record of a planted book: initials have no room for a word of their own. */
export const signed = "QZXV";

/** Makes a canary and writes it down. */
export type Plant = (place: Place, field: string, never?: boolean) => string;

/** A book with a canary in every private place of every record, and the canaries with where they sit. */
export interface Planted {
  readonly files: readonly VFile[];
  readonly canaries: readonly Canary[];
  /** Words that customers are meant to read: what finds these would have found the others. */
  readonly beacons: readonly string[];
  /** What lies in the folders and is no record, with what it must not give away. */
  readonly strays: readonly Stray[];
  /** The ids that were made canaries: `lots/basil-2501` to `canary3qz`. */
  readonly names: Names;
}

/**
 * Puts a word of its own into whatever of a sound book customers may not read: fields, fields and headings that no schema
 * knows, remarks, sections, the names of records that are for staff and the tables beside trials; and lays files beside the
 * records that are none. The book stays sound, so that it can be printed and the print searched.
 */
export function plant(files: readonly VFile[]): Planted {
  const canaries: Canary[] = [];
  const beacons: string[] = [];
  let prices = 0;
  const planting =
    (record: string): Plant =>
    (place, field, never = false) => {
      const word =
        place === "a price" ? String(73_100 + prices++) : place === "initials" ? signed : `canary${canaries.length}qz`;
      canaries.push({ word, record, field, place, never });
      return word;
    };
  const names = secretNames(files, planting);
  const planted = files.map((file) => {
    const path = renamed.path(file.path, names);
    const canary = planting(path);
    if (path.endsWith(".csv")) return new VFile({ path, value: besideTrial(String(file), canary) });
    const [, yaml = "", text = ""] = /^---\n([\s\S]*?)\n---\n([\s\S]*)$/.exec(String(file)) ?? [];
    const fields = readYaml(yaml) as Record<string, unknown>;
    const kind = path === "book.md" ? "book" : (path.split("/")[0] as Kind);
    const schema = kind === "book" ? Book : kinds[kind];
    renamed.fields(schema, fields, names);
    // A published citation may stand behind any figure that customers see.
    const open = fields.audience === "everyone" || kind === "sources" || kind === "book";
    fill(schema, fields, { above: open ? "staff" : "nobody", closed: !open, canary });
    fields.markup = canary("an unknown field", "markup", true);
    if (kind === "crops" && open) {
      const beacon = `beacon${beacons.length}qz`;
      beacons.push(beacon);
      fields.name = `${fields.name} ${beacon}`;
    }
    const isShown = fields.audience === "everyone" && kind !== "book";
    const written = body(kind, renamed.prose(text, names), isShown, canary);
    return new VFile({ path, value: `---\n${remarked(fields, canary)}---\n${written}` });
  });
  const beside = strays(planting);
  const placed = canaries.map((canary) => ({ ...canary, record: renamed.path(canary.record, names) }));
  return { files: planted, canaries: placed, beacons, strays: beside, names };
}
