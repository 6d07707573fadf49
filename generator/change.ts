import { VFile } from "vfile";
import { done, type Entry, giversOf, type Kind, type Raw, undone } from "./change/figure.ts";
import { wordsSaying } from "./change/prose.ts";
import type { Proposal, TrialReading } from "./evidence.ts";
import { list } from "./format.ts";
import { type Library, type PageOf, valueAt } from "./library.ts";
import { kinds, read } from "./records/index.ts";
import { schemaAt, unwrap } from "./records/walk.ts";
import type { Value } from "./revise.ts";
import type { PlainDate } from "./science/calendar.ts";

export { type Entry, entriesOf, type Kind } from "./change/figure.ts";

/** A crop's record as it is to be, before anything is written. */
export interface Proposed {
  readonly kind: Kind;
  readonly crop: string;
  /** Below the folder of records, `crops/viola.md`. */
  readonly file: string;
  readonly text: string;
  /** The figure's path and what it is called. */
  readonly figure: string;
  readonly name: string;
  /** What it says before and after, as records have it; of a trial figure, what it stands beside, and what it says. */
  readonly was: string | undefined;
  readonly now: string | undefined;
  readonly why: string;
  readonly trial: string | undefined;
  /** What else should be looked at by hand. */
  readonly notes: readonly string[];
  /** Whether the way back leads to the very same bytes. */
  readonly exact: boolean;
}

/** Why a record may not be changed, a sentence each. */
export interface Refused {
  readonly refusal: readonly string[];
}

/** Who writes a change, on which day. */
export interface Writing {
  readonly on: PlainDate;
  readonly by: string | undefined;
}

/**
 * The crop's record with what a trial showed: its figure written anew after a `change`, or a trial figure put beside it
 * after a `provisional`. Refused with its reasons when it is a note only, when it stands there already, when the figure
 * is not what the trial was held against, and when the record cannot be changed without touching what stands around it.
 */
export function changesOf(
  library: Library,
  files: readonly VFile[],
  reading: TrialReading,
  writing: Writing,
): Proposed | Refused {
  const { proposal, refusal, standing, because } = reading;
  if (refusal) return { refusal: [refusal.why, refusal.offer] };
  if (standing === "note" || !proposal)
    return { refusal: because.length > 0 ? because : [`trials/${reading.trial} names no figure that it speaks of`] };
  const page = library.crops.get(proposal.crop);
  const file = page && files.find(({ path }) => path === page.file.path);
  if (!page || !file) return { refusal: [`There is no crop ${proposal.crop}`] };
  const held = heldBack(page, reading, proposal);
  if (held) return { refusal: [held] };
  const said =
    standing === "change" ? changeSaid(page, reading, proposal, writing) : besideSaid(reading, proposal, writing);
  const text = textOf(file);
  const after = done(text, page.raw, { kind: standing, said });
  if ("refusal" in after) return { refusal: [after.refusal] };
  const now = rawOf(file.path, after.text);
  const place = listIn(now, standing).length - 1;
  const back = undone(after.text, now, { kind: standing, place, said });
  return {
    kind: standing,
    crop: page.id,
    file: file.path,
    text: after.text,
    figure: proposal.path,
    name: nameOf(page, proposal.path),
    was: proposal.was,
    now: proposal.now,
    why: whyOf(reading, proposal),
    trial: reading.trial,
    notes: standing === "change" ? notesOn(page, proposal.path, proposal.was) : [],
    exact: "text" in back && back.text === text,
  };
}

/**
 * The crop's record with one change taken back. Refused when the figure was written anew since. It is `exact` when the
 * same change made once more would give the present text.
 */
export function undoOf(page: PageOf<"crops">, files: readonly VFile[], entry: Entry): Proposed | Refused {
  const file = files.find(({ path }) => path === page.file.path);
  if (!file) return { refusal: [`There is no crop ${page.id}`] };
  const { figure, now, was, why, says, trial } = entry.said as Readonly<Record<string, string | undefined>>;
  const text = textOf(file);
  const after = undone(text, page.raw, entry);
  if ("refusal" in after) return { refusal: [after.refusal] };
  const again = done(after.text, rawOf(file.path, after.text), entry);
  const beside = entry.kind === "provisional";
  return {
    kind: entry.kind,
    crop: page.id,
    file: file.path,
    text: after.text,
    figure: figure!,
    name: nameOf(page, figure!),
    was: beside ? says : now,
    now: beside ? undefined : was,
    why: why ?? "",
    trial,
    notes: beside ? [] : notesOn(page, figure!, now),
    exact: "text" in again && again.text === text,
  };
}

/** A file's text with the mark at its start, if it has one. */
export function textOf({ value }: VFile): string {
  return typeof value === "string" ? value : new TextDecoder("utf-8", { ignoreBOM: true }).decode(value);
}

/** Why the record may not take it, though the evidence would do. */
function heldBack(
  page: PageOf<"crops">,
  { trial, standing }: TrialReading,
  { path, was }: Proposal,
): string | undefined {
  const { history = [], provisional = [], borrowed = {} } = page.fields;
  const record = `crops/${page.id}`;
  const before =
    standing === "change"
      ? history.find((entry) => entry.trial === trial && entry.figure === path)
      : provisional.find((entry) => entry.trial === trial && entry.figure === path);
  if (before)
    return `${record} has it already: ${trial} was applied to ${path} on ${before.on}. \`tierbook revert ${record}\` takes it back`;
  const stands = valueAt(page.raw, path);
  if (stands !== undefined && (typeof stands !== "string" || stands.trim() !== was))
    return `${record} says ${typeof stands === "string" ? stands : "a list or a mapping"} at ${path}, and the trial was held against ${was ?? "nothing"}. Read it once more`;
  if (standing === "change" && borrowed[path] !== undefined)
    return `${record} says that ${path} is borrowed from ${borrowed[path]}, and the trial was of this plant. Take that line out of \`borrowed:\` first`;
  return undefined;
}

function changeSaid(page: PageOf<"crops">, reading: TrialReading, proposal: Proposal, { on, by }: Writing) {
  const { path, was, now } = proposal;
  const before = giversOf(page.raw, path, reading.trial);
  return {
    on,
    what: was === undefined ? `${nameOf(page, path)}: ${now}` : `${nameOf(page, path)} from ${was} to ${now}`,
    why: whyOf(reading, proposal),
    figure: path,
    ...(was === undefined ? {} : { was }),
    now,
    trial: reading.trial,
    ...(before.length === 0 ? {} : { before: before as readonly Value[] }),
    ...(by === undefined ? {} : { by }),
  };
}

function besideSaid({ trial }: TrialReading, proposal: Proposal, { on, by }: Writing) {
  const { path, now, n } = proposal;
  return {
    figure: path,
    says: now,
    n: String(n.plants),
    range: rangeOf(proposal),
    on,
    trial,
    ...(by === undefined ? {} : { by }),
  };
}

/** The reading, and on how much it stands: `Better, by enough to matter; 2 runs, 8 blocks, 24 plants of A, 7.6–12 /week`. */
function whyOf({ together, words }: TrialReading, proposal: Proposal): string {
  const { runs, blocks, plants } = proposal.n;
  const many = (count: number, one: string) => `${count} ${count === 1 ? one : `${one}s`}`;
  const said = (together?.words ?? words).replace(/\.$/, "");
  return `${said}; ${many(runs, "run")}, ${many(blocks, "block")}, ${many(plants, "plant")} of ${proposal.treatment}, ${rangeOf(proposal)}`;
}

/** The least and the most of the plants, in the unit that the figure is written in. */
function rangeOf({ low, high, now }: Proposal): string {
  const unit = /[^\d.,]*$/u.exec(now.trim())?.[0] ?? "";
  const written = [
    ...(now.match(/\d+(?:\.\d+)?/gu) ?? []),
    ...[low, high].map((end) => String(Number(end.toPrecision(6)))),
  ];
  const places = Math.max(...written.map((number) => (number.split(".")[1] ?? "").length));
  const [least, most] = [low, high].map((end) => end.toFixed(places));
  return `${least === most ? least : low < 0 ? `${least} to ${most}` : `${least}–${most}`}${unit}`;
}

/** What a figure is called, with what it is a part of: `Flood tray: days`. */
function nameOf(page: PageOf<"crops">, path: string): string {
  const steps = path.split(".");
  const labels = steps.flatMap((_, index) => {
    const schema = schemaAt(kinds.crops, steps.slice(0, index + 1), page.raw);
    return unwrap(schema).meta.label ?? [];
  });
  const [first = path, ...rest] = labels;
  return [first, ...rest.map((label) => label.toLowerCase())].join(": ");
}

function notesOn(page: PageOf<"crops">, path: string, was: string | undefined): readonly string[] {
  const note = page.fields.notes?.[path];
  const said = was === undefined ? [] : wordsSaying(page, was);
  return [
    ...(note === undefined ? [] : [`A note stands beside it: “${note}” Look whether it still holds.`]),
    ...(said.length === 0
      ? []
      : [`The record says it in words as well, at ${list(said)}: look whether they still hold.`]),
  ];
}

function listIn(raw: Raw, kind: Kind): readonly unknown[] {
  const found = raw[kind === "change" ? "history" : "provisional"];
  return Array.isArray(found) ? found : [];
}

function rawOf(path: string, text: string): Raw {
  return read(new VFile({ path, value: text }), kinds.crops)?.raw ?? {};
}
