import { kinds } from "../records/index.ts";
import { fieldNames, schemaAt } from "../records/walk.ts";
import { type Edit, edit, type Order, type Revised, type Value } from "../revise.ts";

/** A crop's front matter as it was written, all of it text. */
export type Raw = Readonly<Record<string, unknown>>;

/** What an entry of `history:` or of `provisional:` says, as it was written. */
export type Said = Readonly<Record<string, Value>>;

/** One change of a figure that stands in a record: where it is told, and what it says of itself. */
export interface Entry {
  readonly kind: Kind;
  /** Its place in the list, from 0. */
  readonly place: number;
  readonly said: Said;
}

/** A figure that was written anew, or a trial figure that was put beside one. */
export type Kind = "change" | "provisional";

/** The changes of figures that a record tells of: those of its history first, then its trial figures; each as it stands. */
export function entriesOf(raw: Raw): readonly Entry[] {
  const listed = (list: unknown, kind: Kind) =>
    (Array.isArray(list) ? list : []).flatMap((said: unknown, place): readonly Entry[] =>
      isMapping(said) && typeof said.figure === "string" && (kind === "provisional" || typeof said.now === "string")
        ? [{ kind, place, said: said as Said }]
        : [],
    );
  return [...listed(raw.history, "change"), ...listed(raw.provisional, "provisional")];
}

/** The record with a change made: its figure, where the figure comes from, and what is told of it. */
export function done(text: string, raw: Raw, { kind, said }: Pick<Entry, "kind" | "said">): Revised {
  if (kind === "provisional")
    return edit(text, [{ path: ["provisional", lengthOf(raw.provisional)], value: said, lines: true }], order(raw));
  const { figure, was, now, trial, before = [] } = said as unknown as Change;
  const sources = sourcesIn(raw);
  const given = trial === undefined ? undefined : sources[trial];
  return edit(
    text,
    [
      { path: figure.split("."), value: now, ...(was === undefined ? {} : { was }) },
      ...before.map(({ source, place }): Edit => {
        const path = ["sources", source, Number(place) - 1];
        return { path, remove: true, was: figure, emptied: "drop" };
      }),
      ...(trial === undefined || given === "*"
        ? []
        : [
            given === undefined
              ? { path: ["sources", trial], value: [figure] }
              : { path: ["sources", trial, given.length], value: figure },
          ]),
      { path: ["history", lengthOf(raw.history)], value: said, lines: true },
    ],
    order(raw),
  );
}

/** The record with a change taken back, to the same bytes wherever nothing around it was written otherwise since. */
export function undone(text: string, raw: Raw, { kind, place, said }: Entry): Revised {
  const told: Edit = { path: [kind === "change" ? "history" : "provisional", place], remove: true, emptied: "drop" };
  if (kind === "provisional") return edit(text, [told]);
  const { figure, was, now, trial, before = [] } = said as unknown as Change;
  const sources = sourcesIn(raw);
  const given = trial === undefined ? undefined : sources[trial];
  const at = Array.isArray(given) ? given.indexOf(figure) : -1;
  const path = figure.split(".");
  return edit(
    text,
    [
      told,
      ...(trial === undefined || at < 0
        ? []
        : [{ path: ["sources", trial, at], remove: true, was: figure, emptied: "drop" } satisfies Edit]),
      ...before.toReversed().flatMap(({ source, place: from }): readonly Edit[] => {
        const list = sources[source];
        if (list === undefined) return [{ path: ["sources", source], value: [figure] }];
        if (list === "*" || list.includes(figure)) return [];
        return [{ path: ["sources", source, Math.min(Number(from) - 1, list.length)], value: figure, insert: true }];
      }),
      was === undefined ? { path, remove: true, was: now, emptied: "drop" } : { path, value: was, was: now },
    ],
    order(raw, orderOfSources(sources, said as unknown as Change)),
  );
}

/**
 * The sources that give a figure by name and no longer would, as the history keeps them: place of the figure in each
 * one's list, and the source's line among the sources when the figure is all that it gives. Both from 1.
 */
export function giversOf(raw: Raw, figure: string, but: string): readonly Giver[] {
  return Object.entries(sourcesIn(raw)).flatMap(([source, list], index) => {
    const at = list === "*" || source === but ? -1 : list.indexOf(figure);
    if (at < 0) return [];
    const line = list.length === 1 ? { line: String(index + 1) } : {};
    return [{ source, place: String(at + 1), ...line }];
  });
}

export type Giver = { readonly source: string; readonly place: string; readonly line?: string };

/** An entry of the history that tells of a figure. */
interface Change {
  readonly figure: string;
  readonly was?: string;
  readonly now: string;
  readonly trial?: string;
  readonly before?: readonly Giver[];
}

/** Fields stand as the schema of a crop has them; sources as they did before. */
function order(raw: Raw, sources?: readonly string[]): Order {
  return (path) => {
    if (path.length === 1 && path[0] === "sources") return sources;
    const schema = schemaAt(kinds.crops, path, raw);
    const names = schema ? fieldNames(schema) : [];
    return names.length > 0 ? names : undefined;
  };
}

function orderOfSources(
  sources: Readonly<Record<string, "*" | readonly string[]>>,
  { trial, figure, before = [] }: Change,
): readonly string[] {
  const only = (name: string) => name === trial && sources[name]?.length === 1 && sources[name].includes(figure);
  const names = Object.keys(sources).filter((name) => !only(name));
  for (const { source, line } of before)
    if (line !== undefined && !names.includes(source)) names.splice(Number(line) - 1, 0, source);
  return names;
}

function sourcesIn({ sources }: Raw): Readonly<Record<string, "*" | readonly string[]>> {
  return isMapping(sources) ? (sources as Readonly<Record<string, "*" | readonly string[]>>) : {};
}

function lengthOf(list: unknown): number {
  return Array.isArray(list) ? list.length : 0;
}

function isMapping(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
