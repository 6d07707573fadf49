import { join } from "node:path";
import { VFile } from "vfile";
import { date, list, number } from "../format.ts";
import type { Library, PageOf } from "../library.ts";
import { check, read } from "../node.ts";
import { type Disk, put } from "../put.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import type { PlainDate } from "../science/calendar.ts";
import { doingsOf } from "../supply/doings.ts";
import { problems, report } from "./check.ts";
import { Misuse, type World } from "./command.ts";
import { lineChanges } from "./line-changes.ts";
import { contentFolder } from "./options.ts";

/** The book as it lies on the desk, and who writes into it on which day. */
export interface Desk {
  readonly folder: string;
  readonly files: readonly VFile[];
  readonly library: Library;
  readonly on: PlainDate;
  readonly by: string | undefined;
  readonly correct: boolean;
}

/** A record as it is to be, before anything is written. */
export interface Draft {
  /** Below the folder of records, `batches/bas-27070-01.md`. */
  readonly path: string;
  readonly text: string;
  /** What was written in each field, and what stood there before. */
  readonly facts: readonly Fact[];
  /** What can hurt someone, such as a lot that is treated: it stands before everything else. */
  readonly cautions?: readonly string[];
  /** What should be known beside it. */
  readonly notes: readonly string[];
}

/** A record to be written, or why it cannot be. */
export type Drafted = Draft | { readonly refusal: string };

export interface Fact {
  readonly field: string;
  readonly from: string | undefined;
  readonly to: string;
}

/** Every option that some deed has; what a deed does not have was refused before. */
export interface Given {
  readonly [option: string]: string | boolean | readonly string[] | undefined;
  readonly content: string;
  readonly on?: string;
  readonly by?: string;
  readonly lot?: string;
  readonly cells?: string;
  readonly seeds?: string;
  readonly tray?: string;
  readonly order?: string;
  readonly sown?: string;
  readonly source?: string;
  readonly plants?: string;
  readonly up?: string;
  readonly lost?: readonly string[];
}

/** Reads the book; undefined when the checker stops it, which is told. */
export async function deskAt(
  { content }: { readonly content: string },
  who: Pick<Desk, "on" | "by" | "correct">,
  world: World,
): Promise<Desk | undefined> {
  const folder = await contentFolder(content, world);
  const { library, files } = check(await read(folder));
  if (library) return { folder, files, library, ...who };
  world.err(report(files));
  world.err("Nothing was written: mend what stops the book first.");
  return undefined;
}

/** Checks a draft as a part of the whole book, puts it on the disk, and tells what was written and what follows. */
export async function land(
  desk: Desk,
  draft: Drafted,
  { disk, world, dry, json }: { disk: Disk; world: World; dry: boolean; json: boolean },
): Promise<number> {
  if ("refusal" in draft) return refused(draft.refusal, world);
  const { path, text } = draft;
  const before = desk.files.find((file) => file.path === path);
  const fresh = desk.files.map(
    (file) => new VFile({ cwd: file.cwd, path: file.path, value: file.path === path ? text : file.value }),
  );
  if (!before) fresh.push(new VFile({ cwd: desk.folder, path, value: text }));
  const { library, files } = check(fresh);
  if (!library) {
    world.err(report(files.filter(({ messages }) => messages.some(({ fatal }) => fatal === true))));
    world.err(`Nothing was written: ${path} would not pass with this in it.`);
    return 1;
  }
  const was = before && asBytes(before.value);
  if (!dry) {
    const failed = await put({ file: join(desk.folder, path), was, text }, disk);
    if (failed) return refused(failed.refusal, world);
  }
  const known = new Set(problems(before ? [before] : []).map(({ message }) => message));
  const warned = problems(files.filter((file) => file.path === path)).filter(({ message }) => !known.has(message));
  const notes = [...draft.notes, ...warned.map(({ message, note }) => sentences([message, note ?? ""]))];
  const cautions = (draft.cautions ?? []).map((caution) => `Caution: ${caution}`);
  const follows = followsFor(library, path, desk.on);
  const diff = lineChanges(before === undefined ? "" : textOf(before), text);
  if (json) {
    const facts = draft.facts.map(({ from, ...fact }) => ({ ...fact, from: from ?? null }));
    world.out(JSON.stringify({ file: path, written: !dry, changes: facts, cautions, notes, follows, diff }));
    return 0;
  }
  const told = draft.facts.map(({ field, from, to }) => `  ${field}: ${from === undefined ? "" : `${from} → `}${to}`);
  world.out(
    [
      ...cautions,
      dry ? `Would write ${path}` : `Wrote ${path}`,
      ...(dry ? diff.map((line) => `  ${line}`) : told),
      ...notes,
      ...follows,
    ].join("\n"),
  );
  return 0;
}

function refused(refusal: string, world: World): number {
  world.err(`${refusal}.`);
  return 3;
}

/** A file's text with the mark at its start, if it has one. */
export function textOf({ value }: VFile): string {
  return typeof value === "string" ? value : new TextDecoder("utf-8", { ignoreBOM: true }).decode(value);
}

function asBytes(value: VFile["value"]): Uint8Array {
  return typeof value === "string" ? new TextEncoder().encode(value) : value;
}

function sentences(parts: readonly string[]): string {
  return parts
    .filter((part) => part !== "")
    .map((part) => (/[.?!]$/.test(part) ? part : `${part}.`))
    .join(" ");
}

/** What a batch has come to and what is next to be done with it, a sentence each. */
function followsFor(library: Library, path: string, on: PlainDate): readonly string[] {
  const id = path.replace(/^batches\/|\.md$/g, "");
  const batch = library.batches.get(id)!;
  return [...cameTo(batch), ...(batch.fields.closed === undefined ? nextFor(library, batch, on) : [])];
}

function cameTo({ fields: { cells, counted, moves, cuts = {}, losses = {} } }: PageOf<"batches">): readonly string[] {
  const places: readonly { readonly plants: number }[] = Object.values(moves ?? {});
  const left = Math.min(...places.map(({ plants }) => plants), counted?.up ?? cells);
  const begun = counted && counted.up <= cells ? counted.up : cells;
  const lost = Object.values(losses).reduce((sum, plants) => sum + plants, 0);
  const grams = Object.values(cuts);
  const share = (part: number, of: number) => `${number(Math.round((1000 * part) / of) / 10)} %`;
  return [
    ...(counted && counted.up <= cells ? [`Up: ${counted.up} of ${cells} cells, ${share(counted.up, cells)}.`] : []),
    ...(places.length > 0 && begun > 0
      ? [
          `Loss so far: ${begun - left} of ${begun} ${begun === counted?.up ? "that came up" : "cells"}, ${share(begun - left, begun)}.`,
        ]
      : []),
    ...(lost > 0
      ? [`Lost by reason: ${lost} (${list(Object.entries(losses).map(([reason, plants]) => `${reason} ${plants}`))}).`]
      : []),
    ...(grams.length > 0
      ? [
          `Cut: ${number(
            grams.reduce((sum, one) => sum + one, 0),
            6,
          )} g on ${grams.length} ${grams.length === 1 ? "day" : "days"}.`,
        ]
      : []),
  ];
}

/** What is due next by the book as it stood on the day, and what one must see before it is done. */
function nextFor(library: Library, { id, fields }: PageOf<"batches">, on: PlainDate): readonly string[] {
  const asOf = { ...library, book: { ...library.book, fields: { ...library.book.fields, edition: on } } };
  const due = doingsOf(asOf).list.filter(({ of }) => of.shelf === "batches" && of.id === id);
  const stages = library.crops.get(fields.crop)!.fields.stages;
  const moves: { readonly [Stage in StageName]?: { readonly on: PlainDate } } = fields.moves ?? {};
  const here = stageNames.findLast((name) => (moves[name]?.on ?? "9") <= on) ?? "germination";
  return due.map(({ what, on: first, until, says, basis }) => {
    const deed = what === "move" ? `move to the ${says.to}` : (words[what] ?? what);
    const days = until === first ? date(first) : `${date(first)} to ${date(until)}`;
    const seen = what === "move" || what === "first-cut" ? stages[here]?.ready : undefined;
    const rests = basis === undefined ? "" : ` (${basis.replaceAll("-", " ")})`;
    return `Next: ${deed}, ${days}${rests}.${seen ? ` Ready when you see: ${sentences([seen])}` : ""}`;
  });
}

const words: Readonly<Record<string, string>> = {
  count: "count what came up",
  "first-cut": "first cut",
  "next-cut": "next cut",
  "last-cut": "last cut",
};

/** A whole number of plants, seeds or cells, as an option has it. */
export function whole(option: string, given: string | undefined): number {
  if (given === undefined) throw new Misuse(`Missing --${option}, expected a whole number, such as --${option} 96`);
  if (!/^\d{1,7}$/.test(given))
    throw new Misuse(`Unexpected --${option} ${given}, expected a whole number, such as 96`);
  return Number(given);
}

/** A record of the book by what was typed. @throws Misuse when there is none, with the nearest. */
export function named<Page>(
  shelf: ReadonlyMap<string, Page>,
  id: string,
  what: string,
  near: string | undefined,
): Page {
  const page = shelf.get(id);
  if (page) return page;
  throw new Misuse(`There is no ${what} ${id}${near ? `; did you mean ${near}?` : ""}`);
}
