import type { z } from "zod";
import { type Sources, sourcesOf } from "../provenance.ts";
import { sourceWords } from "../records/common.ts";
import type { Path } from "../records/index.ts";
import { ticked } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { readSpan } from "../records/quantity.ts";
import { fieldNames, leaves, partsOf, schemaAt, unwrap } from "../records/walk.ts";
import type { Draft, Known } from "./drafts.ts";

/** Asks that every figure of a record has a source, and that every source and every note is about something. */
export function checkSources(draft: Draft, known: Known): void {
  const { fields, raw, schema } = draft;
  const paths = pathsIn(raw);
  for (const beside of ["notes", "borrowed"] as const) {
    const about = raw[beside];
    if (isMapping(about) && fieldNames(schema, raw).includes(beside)) sayNotes(draft, beside, about, paths);
  }
  for (const beside of ["elsewhere", "findings"] as const) sayAsides(draft, beside, paths, known);
  sayProvisional(draft);
  if (!isMapping(fields.sources) || !fieldNames(schema, raw).includes("sources")) return;
  const sources = fields.sources as Sources;
  for (const [name, covered] of Object.entries(sources)) {
    saySource(draft, name, known);
    if (covered !== "*") sayPaths(draft, name, covered, paths);
  }
  if (Object.keys(sources).length === Object.keys(raw.sources ?? {}).length) sayUnsourced(draft, sources);
}

function saySource(
  { say }: Draft,
  name: string,
  known: Known,
  path: Path = ["sources", name],
  on: "key" | "value" = "key",
): void {
  const word = (sourceWords as readonly string[]).includes(name);
  if (known.trials.has(name) && (word || known.sources.has(name))) {
    say(path, {
      rule: "source-unclear",
      written: name,
      expected: "a name that means one thing",
      note: `\`trials/${name}.md\` is called so, and ${word ? "it is a word for what a figure rests on" : `\`sources/${name}.md\` as well`}. Give the trial another name.`,
      ...(on === "key" ? { on } : {}),
    });
    return;
  }
  const names = [...sourceWords, ...known.sources, ...known.trials];
  if (names.includes(name)) return;
  const near = nearest(name, names);
  say(path, {
    rule: "source-unknown",
    written: name,
    expected: `a file of \`sources/\` or \`trials/\`, or one of the words ${ticked(sourceWords)}`,
    note: near
      ? `Did you mean \`${near}\`?`
      : `Write \`sources/${name}.md\`, which says what it is and where it stands.`,
    ...(on === "key" ? { on } : {}),
  });
}

/** What others say of a figure must speak of one that stands here, and name where it was said. */
function sayAsides(draft: Draft, beside: "elsewhere" | "findings", paths: ReadonlySet<string>, known: Known): void {
  const asides = draft.fields[beside];
  if (!Array.isArray(asides)) return;
  for (const [index, aside] of asides.entries()) {
    if (!isMapping(aside)) continue;
    if (typeof aside.from === "string") saySource(draft, aside.from, known, [beside, index, "from"], "value");
    if (typeof aside.figure !== "string" || paths.has(aside.figure)) continue;
    const near = nearest(aside.figure, paths);
    draft.say([beside, index, "figure"], {
      rule: "note-path-unknown",
      written: aside.figure,
      expected: "a field that this record has",
      note: near ? `Did you mean \`${near}\`?` : "What is about no figure here is a finding: put it below `findings:`.",
    });
  }
}

/** A trial figure stands beside a figure that the record may have, and is written like it. */
function sayProvisional({ fields, raw, schema, say }: Draft): void {
  if (!Array.isArray(fields.provisional)) return;
  for (const [index, trial] of fields.provisional.entries()) {
    if (!isMapping(trial) || typeof trial.figure !== "string") continue;
    const field = schemaAt(schema, trial.figure.split("."), raw);
    const { meta } = unwrap(field);
    if (!field || !meta.figure) {
      const near = nearest(trial.figure, figurePaths(schema));
      say(["provisional", index, "figure"], {
        rule: "note-path-unknown",
        written: trial.figure,
        expected: "a figure that a record of this kind may have",
        note: near ? `Did you mean \`${near}\`?` : "Name it by its fields, such as `cutting.each`.",
      });
      continue;
    }
    if (typeof trial.says !== "string" || meta.unit === undefined) continue;
    const read = readSpan(trial.says, meta.unit, meta.like);
    if ("slip" in read) say(["provisional", index, "says"], read.slip);
  }
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

function sayNotes(
  { say }: Draft,
  beside: "notes" | "borrowed",
  notes: Readonly<Record<string, unknown>>,
  paths: ReadonlySet<string>,
): void {
  for (const path of Object.keys(notes)) {
    if (paths.has(path)) continue;
    const near = nearest(path, paths);
    say([beside, path], {
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
function sayUnsourced({ schema, raw, say, file }: Draft, sources: Sources): void {
  if (sourced.has(raw)) return;
  const before = file.messages.length;
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
  if (file.messages.length === before) sourced.add(raw);
}

/** Records of which every figure was found to have a source, and that have not changed since. */
const sourced = new WeakSet<object>();

/** What stands beside the fields of a record and is none of them. */
const besides: ReadonlySet<string> = new Set([
  "sources",
  "notes",
  "history",
  "borrowed",
  "elsewhere",
  "findings",
  "provisional",
]);

/** The path of every field of a record and of every mapping around one. */
function pathsIn(raw: Readonly<Record<string, unknown>>): ReadonlySet<string> {
  const known = pathsKnown.get(raw);
  if (known) return known;
  const found = new Set<string>();
  const walk = (value: unknown, path: string): void => {
    if (!isMapping(value)) return;
    for (const [key, item] of Object.entries(value)) {
      const below = path === "" ? key : `${path}.${key}`;
      if (besides.has(below)) continue;
      found.add(below);
      walk(item, below);
    }
  };
  walk(raw, "");
  pathsKnown.set(raw, found);
  return found;
}

const pathsKnown = new WeakMap<object, ReadonlySet<string>>();

/** The path of every figure that a schema names. */
function figurePaths(schema: z.ZodType, above = ""): readonly string[] {
  return Object.entries(partsOf(schema).shape ?? {}).flatMap(([name, field]) => {
    const path = above === "" ? name : `${above}.${name}`;
    return unwrap(field).meta.figure ? [path] : figurePaths(field, path);
  });
}

function isMapping(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
