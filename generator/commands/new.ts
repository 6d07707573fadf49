import * as fs from "node:fs/promises";
import type { ParseArgsOptionsConfig } from "node:util";
import { asName } from "../records/file-name.ts";
import { type Kind, kinds } from "../records/index.ts";
import { singly } from "../writing/name.ts";
import { headingsOf, shapeOf } from "../writing/record.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { type Drafted, drafted, taken } from "./new-draft.ts";
import { fieldOptions, kindTyped, treeGiven } from "./new-fields.ts";
import { bookAt, isTaken, putFresh, type Shelf, sentenceOf } from "./new-land.ts";
import { common, read } from "./options.ts";

const help = `tierbook new KIND [ID] [--FIELD VALUE] … [--set PATH=VALUE] … [--source NAME] [--ask FIELD] …

Writes a new record: crop, feed, salt, water, gear, lot, order, source, guide, term or news. What a record cannot do
without and no option gives is asked for, one field after the other; an answer that will not do is told at once. A blank
leaves out what may be left out; Ctrl-C writes nothing. Where nobody can be asked, all that is missing is told together.
What else the record may say stands in it as comments. The whole book is checked with it before it is written, and
nothing is written over. A batch is written by tierbook batch new, a trial by tierbook trial new.

  ID                the name of the file (made from the record's name)
  --FIELD VALUE     a field, such as --name or --kind; a list is parted by commas or semicolons, or said once an item
  --set PATH=VALUE  a field within a field, such as --set ec.preferred="1–1.6 mS/cm"
  --source NAME     what its figures lean on, a word or a record of sources/ (memory)
  --ask FIELD       asks for a field that may be left out, too, with all that is in it
  --dry-run         shows the record and writes nothing
  --content DIR     the folder of records (content)
  --json            what was written, as one object

Exit 0 written, 1 the checker stops it, 2 called wrongly or something is missing, 3 it cannot be written.

Example: tierbook new crop --name "Tall basil" --botanical "Ocimum basilicum" --kind herb --code BAT --status trial \\
           --reviewed 2027-04-12 --eaten leaf --set stages.tray.days="16 days"`;

/** The command on any disk. */
export function newOn(disk: Shelf): Command {
  return {
    name: "new",
    summary: "writes a new record: asks for what it cannot do without, and checks the book with it",
    help,
    async run([typed, ...args], world) {
      const kind = kindTyped(typed, "new");
      const { values, positionals } = read(args, { ...fieldOptions(kind), ...own });
      const [id, ...rest] = positionals;
      if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${id}`);
      const given = values as Given;
      sayMisuse(kind, id, given);
      const tree = treeGiven(kind, values, given.set ?? []);
      const book = await bookAt(given.content, world);
      if (!book) return 1;
      if (id !== undefined && isTaken(book, `${kind}/${id}.md`)) return refused(taken(`${kind}/${id}.md`), world);
      const { source, ask: also = [] } = given;
      const draft = await drafted({ kind, id, tree, source, also, book }, world);
      if (typeof draft === "number") return draft;
      if (!given["dry-run"]) {
        const failed = await putFresh(book, draft, disk);
        if (failed) return refused(failed.refusal, world);
      }
      tell(kind, draft, given, world);
      return 0;
    },
  };
}

/** The command on this computer's disk. */
export const making: Command = newOn(fs);

const own = {
  ...common,
  set: { type: "string", multiple: true },
  source: { type: "string" },
  ask: { type: "string", multiple: true },
  "dry-run": { type: "boolean", default: false },
} as const satisfies ParseArgsOptionsConfig;

interface Given {
  readonly content: string;
  readonly json: boolean;
  readonly "dry-run": boolean;
  readonly set?: readonly string[];
  readonly source?: string;
  readonly ask?: readonly string[];
}

function sayMisuse(kind: Kind, id: string | undefined, { source, ask = [] }: Given): void {
  if (id !== undefined && asName(id) !== id)
    throw new Misuse(
      `Unexpected ID ${id}, expected small letters, digits and hyphens${asName(id) ? `, such as ${asName(id)}` : ""}`,
    );
  if (source !== undefined && !("sources" in shapeOf(kinds[kind], {})))
    throw new Misuse(`Unexpected --source, for ${singly(kind)} has no figures`);
  for (const field of ask) {
    const top = field.split(".")[0]!;
    if (!(top in fieldOptions(kind)))
      throw new Misuse(`Unexpected --ask ${field}, expected a field of ${singly(kind)}`);
  }
}

/** Says what was written, what should be looked at twice, and what is left to do in it. */
function tell(kind: Kind, { path, text, notes }: Drafted, given: Given, { out }: World): void {
  const dry = given["dry-run"];
  const said = notes.map(sentenceOf);
  if (given.json) {
    out(JSON.stringify({ file: path, written: !dry, notes: said, text }));
    return;
  }
  const headings = headingsOf(kind).length > 0 ? ", and its headings wait for text" : "";
  out(
    [
      dry ? `Would write ${path}` : `Wrote ${path}`,
      ...said,
      ...(dry ? ["", text.trimEnd()] : [`What else ${singly(kind)} may say stands in it as comments${headings}.`]),
    ].join("\n"),
  );
}

function refused(refusal: string, world: World): number {
  world.err(`${refusal}.`);
  return 3;
}
