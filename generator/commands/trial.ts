import * as fs from "node:fs/promises";
import type { Disk } from "../put.ts";
import type { PlainDate } from "../science/calendar.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { trialApply } from "./trial-apply.ts";
import { trialNew } from "./trial-new.ts";
import { trialRead } from "./trial-read.ts";

/** What may be done about a trial. */
export interface TrialDeed {
  /** Its usage, with what it does and its options, a few lines. */
  readonly help: string;
  /** Gives the exit code, as a command does. */
  run(args: readonly string[], world: World, at: Bench): Promise<number>;
}

/** The disk that is written on, and the day that it is. */
export interface Bench {
  readonly disk: Disk;
  readonly today: () => PlainDate;
}

/** Everything that may be done about a trial, by its word, in the order of use. */
const deeds: ReadonlyMap<string, TrialDeed> = new Map<string, TrialDeed>([
  ["new", trialNew],
  ["read", trialRead],
  ["apply", trialApply],
]);

/** The command on any disk, with any today. */
export function trialOn(disk: Disk, today: () => PlainDate): Command {
  return {
    name: "trial",
    summary: "plans a trial, reads what it says, and what may follow from it",
    help: [...deeds.values()].map((deed) => deed.help).join("\n\n"),
    async run([verb, ...args], world) {
      const deed = deeds.get(verb ?? "");
      if (!deed) throw new Misuse(noDeed(verb));
      return deed.run(args, world, { disk, today });
    },
  };
}

function noDeed(verb: string | undefined): string {
  const all = [...deeds.keys()].join(", ");
  return verb === undefined ? `Say what is to be done: ${all}` : `Unexpected ${verb}, expected one of ${all}`;
}

/** The command on this computer's disk, with this computer's date for today. */
export const trial: Command = trialOn(fs, () => {
  const now = new Date();
  const two = (number: number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
});
