import * as fs from "node:fs/promises";
import type { ParseArgsOptionsConfig } from "node:util";
import type { Disk } from "../put.ts";
import { dateFault, type PlainDate } from "../science/calendar.ts";
import { codeTyped } from "./batch-code.ts";
import { type Desk, type Drafted, deskAt, type Given, land, whole } from "./batch-desk.ts";
import { closed, counted, cut, moved } from "./batch-facts.ts";
import { newBatch } from "./batch-new.ts";
import { type Command, Misuse } from "./command.ts";
import { common, read } from "./options.ts";

/** The command on any disk, with any today. */
export function batchOn(disk: Disk, today: () => PlainDate): Command {
  return {
    name: "batch",
    summary: "sows, counts, moves, cuts and closes a batch: writes one fact into its record",
    help,
    async run([verb, ...args], world) {
      const deed = deeds.get(verb ?? "");
      if (!deed) throw new Misuse(noDeed(verb));
      const { values, positionals } = read(args, { ...shared, ...deed.options });
      const given = values as Given;
      const on = given.on ?? today();
      const fault = dateFault(on);
      if (fault) throw new Misuse(`Unexpected --on ${on}: ${fault}`);
      const desk = await deskAt(given, { on, by: given.by, correct: given.correct === true }, world);
      if (!desk) return 1;
      return land(desk, deed.draft(desk, positionals, given), {
        disk,
        world,
        dry: given["dry-run"] === true,
        json: given.json === true,
      });
    },
  };
}

const help = `tierbook batch new CROP --lot LOT --cells N [--seeds K] [--tray TRAY] [--order ORDER] [--sown DATE]
tierbook batch count CODE --up N
tierbook batch move CODE STAGE --plants N [--lost "reason=N"] …
tierbook batch cut CODE GRAMS
tierbook batch close CODE [--lost "reason=N"] …

Writes one fact into the record of a batch and touches nothing else in it. CODE is as on the tray; capitals and dashes
do not matter, the check character at its end does. The whole book is checked with the new text before it is written.

  --on DATE       the day on which it was done (today by this computer)
  --by INITIALS   who did it
  --correct       the fact stands already and was wrong: write this one instead
  --source NAME   for new: what the figures of the batch lean on, a word or a record of sources/
  --dry-run       shows what would change and writes nothing
  --content DIR   the folder of records (content)
  --json          what was changed, as one object

Exit 0 written, 1 the checker stops it, 3 it cannot be written, 2 called wrongly.

Example: tierbook batch move BAS-27070-01-G tower --plants 91 --on 2027-04-12`;

const text = { type: "string" } as const;
const lost = { lost: { type: "string", multiple: true } } as const;

const shared = {
  ...common,
  on: text,
  by: text,
  correct: { type: "boolean", default: false },
  "dry-run": { type: "boolean", default: false },
} as const satisfies ParseArgsOptionsConfig;

interface Deed {
  readonly options: ParseArgsOptionsConfig;
  readonly draft: (desk: Desk, words: readonly string[], given: Given) => Drafted;
}

const deeds: ReadonlyMap<string, Deed> = new Map<string, Deed>([
  [
    "new",
    {
      options: { lot: text, cells: text, seeds: text, tray: text, order: text, sown: text, source: text },
      draft: (desk, [crop, ...rest], given) =>
        newBatch(
          desk,
          only(crop, rest, "Say of which crop, such as `tierbook batch new basil-sweet --lot basil-2602 --cells 104`"),
          given,
        ),
    },
  ],
  [
    "count",
    {
      options: { up: text },
      draft: (desk, [code, ...rest], { up }) =>
        counted(desk, codeTyped(desk.library, only(code, rest)), whole("up", up)),
    },
  ],
  [
    "move",
    {
      options: { plants: text, ...lost },
      draft: (desk, [code, stage, ...rest], { plants, lost }) =>
        moved(desk, codeTyped(desk.library, only(code, rest)), { stage, plants: whole("plants", plants), lost }),
    },
  ],
  [
    "cut",
    {
      options: {},
      draft: (desk, [code, ...grams]) => cut(desk, codeTyped(desk.library, only(code, [])), grams.join(" ")),
    },
  ],
  [
    "close",
    {
      options: lost,
      draft: (desk, [code, ...rest], { lost }) => closed(desk, codeTyped(desk.library, only(code, rest)), lost ?? []),
    },
  ],
]);

function noDeed(verb: string | undefined): string {
  const all = [...deeds.keys()].join(", ");
  return verb === undefined ? `Say what was done: ${all}` : `Unexpected ${verb}, expected one of ${all}`;
}

/** The one word that is wanted here, with nothing behind it. */
function only(
  word: string | undefined,
  rest: readonly string[],
  missing = "Say which batch, by the code on its tray",
): string {
  if (word === undefined) throw new Misuse(missing);
  if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${word}`);
  return word;
}

/** The command on this computer's disk, with this computer's date for today. */
export const batch: Command = batchOn(fs, () => {
  const now = new Date();
  const two = (number: number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
});
