import { type Sources, sourcesOf } from "../provenance.ts";
import { sourceWords } from "../records/common.ts";
import { ticked } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { fieldNames, leaves } from "../records/walk.ts";
import type { Draft, Known } from "./drafts.ts";

/** Asks that every figure of a record has a source, and that every source and every note is about something. */
export function checkSources(draft: Draft, known: Known): void {
  const { fields, raw, schema } = draft;
  const paths = pathsIn(raw);
  if (isMapping(raw.notes) && fieldNames(schema, raw).includes("notes")) sayNotes(draft, raw.notes, paths);
  if (!isMapping(fields.sources) || !fieldNames(schema, raw).includes("sources")) return;
  const sources = fields.sources as Sources;
  for (const [name, covered] of Object.entries(sources)) {
    saySource(draft, name, known);
    if (covered !== "*") sayPaths(draft, name, covered, paths);
  }
  if (Object.keys(sources).length === Object.keys(raw.sources ?? {}).length) sayUnsourced(draft, sources);
}

function saySource({ say }: Draft, name: string, known: Known): void {
  const names = [...sourceWords, ...known.sources];
  if (names.includes(name)) return;
  const near = nearest(name, names);
  say(["sources", name], {
    rule: "source-unknown",
    written: name,
    expected: `a file of \`sources/\`, or one of the words ${ticked(sourceWords)}`,
    note: near
      ? `Did you mean \`${near}\`?`
      : `Write \`sources/${name}.md\`, which says what it is and where it stands.`,
    on: "key",
  });
}

function sayPaths({ say }: Draft, name: string, covered: readonly string[], paths: ReadonlySet<string>): void {
  for (const [index, path] of covered.entries()) {
    if (path === undefined || paths.has(path)) continue;
    const near = nearest(path, paths);
    say(["sources", name, index], {
      rule: "source-path-unknown",
      written: path,
      expected: "a field that this record has",
      note: near ? `Did you mean \`${near}\`?` : "What is not recorded needs no source.",
    });
  }
}

function sayNotes({ say }: Draft, notes: Readonly<Record<string, unknown>>, paths: ReadonlySet<string>): void {
  for (const path of Object.keys(notes)) {
    if (paths.has(path)) continue;
    const near = nearest(path, paths);
    say(["notes", path], {
      rule: "note-path-unknown",
      written: path,
      expected: "a field that this record has",
      note: near
        ? `Did you mean \`${near}\`?`
        : "A note stands beside a figure. What is about none goes below the fields.",
      on: "key",
    });
  }
}

/** Tells the figures that nothing stands behind: once for a whole mapping, when none of its figures has a source. */
function sayUnsourced({ schema, raw, say }: Draft, sources: Sources): void {
  const figures = [...leaves(schema, raw)].filter(({ meta }) => meta.figure);
  for (const top of new Set(figures.map(({ path }) => String(path[0])))) {
    const below = figures.filter(({ path }) => path[0] === top);
    const bare = below.filter(({ path }) => sourcesOf(path.join("."), sources).length === 0);
    const whole = bare.length > 1 && bare.length === below.length;
    for (const path of whole ? [[top]] : bare.map((leaf) => leaf.path)) {
      say(path, {
        rule: "figure-unsourced",
        written: path.join("."),
        expected: "a source for it",
        note: `Name it below \`sources:\`, or write \`common-practice: "*"\` there for whatever is not named. A guess is \`memory\`.`,
        on: "key",
      });
    }
  }
}

/** The path of every field of a record and of every mapping around one. */
function pathsIn(raw: Readonly<Record<string, unknown>>): ReadonlySet<string> {
  const found = new Set<string>();
  const walk = (value: unknown, path: string): void => {
    if (!isMapping(value)) return;
    for (const [key, item] of Object.entries(value)) {
      const below = path === "" ? key : `${path}.${key}`;
      if (below === "sources" || below === "notes" || below === "history") continue;
      found.add(below);
      walk(item, below);
    }
  };
  walk(raw, "");
  return found;
}

function isMapping(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
