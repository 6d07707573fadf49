import { changesOf } from "../change.ts";
import { readTrial } from "../evidence.ts";
import { nearest } from "../records/nearest.ts";
import { deskAt, named } from "./batch-desk.ts";
import { Misuse } from "./command.ts";
import { offer } from "./figure-desk.ts";
import { common, dayGiven, read } from "./options.ts";
import type { TrialDeed } from "./trial.ts";

/** Writes what a trial showed into the record of its crop, when the evidence goes so far. */
export const trialApply: TrialDeed = {
  help: `tierbook trial apply ID [--dry-run] [--yes] [--on DATE] [--by INITIALS] [--content DIR] [--json]

Writes what a trial showed into the record of its crop: the figure anew after two runs that agree, a trial figure beside it
after one good run, which customers never see. With a note only it refuses, and says why. Shows every line that changes and
all that leans on it, and asks. \`tierbook revert\` takes it back.

  --dry-run       shows it and writes nothing
  --yes           writes without asking
  --on DATE       the day of the change (today by this computer)
  --by INITIALS   whose decision it is; they stay in the records
  --content DIR   the folder of records (content)
  --json          what changes and what leans on it, as one object

Exit 0 written or shown, 1 the checker stops it, 3 the evidence does not go so far or nothing was written, 2 called wrongly.

Example: tierbook trial apply viola-plates --dry-run`,
  async run(args, world, { disk, today }) {
    const { values, positionals } = read(args, {
      ...common,
      "dry-run": { type: "boolean", default: false },
      yes: { type: "boolean", default: false },
      on: { type: "string" },
      by: { type: "string" },
    });
    const [id, ...rest] = positionals;
    if (id === undefined) throw new Misuse("Say which trial, such as `tierbook trial apply viola-plates`");
    if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${id}`);
    const on = dayGiven("on", values.on ?? today());
    const desk = await deskAt(values, { on, by: values.by, correct: false }, world);
    if (!desk) return 1;
    named(desk.library.trials, id, "trial", nearest(id, desk.library.trials.keys()));
    const proposed = changesOf(desk.library, desk.files, readTrial(desk.library, id), { on, by: values.by });
    return offer(desk, proposed, {
      disk,
      world,
      dry: values["dry-run"],
      yes: values.yes,
      json: values.json,
      inexact: "Taken back later, the figure is the same again, but bytes around it may not be.",
    });
  },
};
