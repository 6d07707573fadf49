import * as fs from "node:fs/promises";
import { type Entry, entriesOf, undoOf } from "../change.ts";
import type { PageOf } from "../library.ts";
import { nearest } from "../records/nearest.ts";
import { deskAt, named, whole } from "./batch-desk.ts";
import { type Command, Misuse } from "./command.ts";
import { offer, refused } from "./figure-desk.ts";
import { common, read } from "./options.ts";
import type { Bench } from "./trial.ts";

/** The command on any disk. */
export function revertOn(disk: Bench["disk"]): Command {
  return {
    name: "revert",
    summary: "takes a change of a crop's figure back, to the same bytes",
    help: `tierbook revert RECORD [--change N] [--dry-run] [--yes] [--content DIR] [--json]

Takes back what \`tierbook trial apply\` wrote: the figure says again what it said, its sources give it again, and the change is
no longer told of. Without --change it is the newest. Refused when the figure was written anew since. Shows every line that
changes and all that leans on it, and asks.

  --change N      which change, counted from 1 as \`tierbook revert RECORD --list\` has them
  --list          the changes that can be taken back
  --dry-run       shows it and writes nothing
  --yes           writes without asking
  --content DIR   the folder of records (content)
  --json          what changes and what leans on it, as one object

Exit 0 written or shown, 1 the checker stops it, 3 it cannot be taken back or nothing was written, 2 called wrongly.

Example: tierbook revert crops/viola --dry-run`,
    async run(args, world) {
      const { values, positionals } = read(args, {
        ...common,
        change: { type: "string" },
        list: { type: "boolean", default: false },
        "dry-run": { type: "boolean", default: false },
        yes: { type: "boolean", default: false },
      });
      const id = cropNamed(positionals);
      const which = values.change === undefined ? undefined : whole("change", values.change);
      // Nothing is dated: what is taken back leaves no trace in the record.
      const desk = await deskAt(values, { on: "", by: undefined, correct: false }, world);
      if (!desk) return 1;
      const { crops } = desk.library;
      const page = named(crops, id, "crop", nearest(id, crops.keys()));
      const entries = entriesOf(page.raw);
      const manner = {
        disk,
        world,
        dry: values["dry-run"],
        yes: values.yes,
        json: values.json,
        inexact:
          "Something around it was written otherwise since: the figure will be the same again, but the bytes around it may not be.",
      };
      if (values.list) {
        const told = entries.map(toldOf);
        world.out(
          values.json
            ? JSON.stringify(entries.map(({ kind, said }) => ({ kind, ...said })))
            : told.join("\n") || `crops/${id} has no change that can be taken back.`,
        );
        return 0;
      }
      const entry = chosen(page, entries, which);
      return "refusal" in entry
        ? refused([entry.refusal], manner)
        : offer(desk, undoOf(page, desk.files, entry), manner);
    },
  };
}

/** `crops/viola`, with or without its folder and its ending. */
function cropNamed([record, ...rest]: readonly string[]): string {
  if (record === undefined) throw new Misuse("Say which record, such as `tierbook revert crops/viola`");
  if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${record}`);
  const parts = record.replace(/\.md$/, "").split("/");
  if (parts.length > 2 || (parts.length === 2 && parts[0] !== "crops"))
    throw new Misuse(
      `Unexpected ${record}, expected a crop, such as crops/viola: only crops have figures that a trial may change`,
    );
  return parts.at(-1)!;
}

/** The change that was asked for, or the newest when there is one that is the newest. */
function chosen(
  page: PageOf<"crops">,
  entries: readonly Entry[],
  which: number | undefined,
): Entry | { refusal: string } {
  const record = `crops/${page.id}`;
  if (entries.length === 0)
    return {
      refusal: `${record} tells of no change that can be taken back: its history names no figure, and it has no trial figure`,
    };
  if (which !== undefined)
    return (
      entries[which - 1] ?? {
        refusal: `${record} has no change ${which}. It has:\n${entries.map(toldOf).join("\n")}\nSay one of these`,
      }
    );
  const dayOf = ({ said }: Entry) => String(said.on ?? "");
  const newest = entries.map(dayOf).sort().at(-1);
  const last = entries.filter((entry) => dayOf(entry) === newest);
  return last.length === 1
    ? last[0]!
    : {
        refusal: `${record} was changed more than once on ${newest}. It has:\n${entries.map(toldOf).join("\n")}\nSay which with --change`,
      };
}

function toldOf({ kind, said }: Entry, index: number): string {
  const { on, figure, was, now, says, trial } = said;
  const what = kind === "change" ? `${was ?? "not recorded"} → ${now}` : `trial figure ${says}`;
  return `  ${index + 1}  ${on}  ${figure}: ${what}${trial === undefined ? "" : `, ${trial}`}`;
}

/** The command on this computer's disk. */
export const revert: Command = revertOn(fs);
