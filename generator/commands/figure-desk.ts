import { join } from "node:path";
import { VFile } from "vfile";
import { type Again, againFor } from "../change/again.ts";
import { type Proposed, type Refused, textOf } from "../change.ts";
import { date } from "../format.ts";
import { check } from "../node.ts";
import { type Disk, put } from "../put.ts";
import { loadSearch } from "../search.ts";
import type { Desk } from "./batch-desk.ts";
import { report } from "./check.ts";
import type { World } from "./command.ts";
import { block } from "./layout.ts";
import { lineChanges } from "./line-changes.ts";

/** How a change of a figure is to be put: shown only, written without asking, told as data. */
export interface Manner {
  readonly disk: Disk;
  readonly world: World;
  readonly dry: boolean;
  readonly yes: boolean;
  readonly json: boolean;
  /** What is said when the way back, or forth again, would not lead to the same bytes. */
  readonly inexact: string;
}

/**
 * Shows a change of a crop's record with all that leans on it, asks, and writes it whole or not at all. One file is touched.
 * Exit 0 written or shown, 1 the checker would stop the book, 3 refused, declined, or nobody there to ask.
 */
export async function offer(desk: Desk, proposed: Proposed | Refused, manner: Manner): Promise<number> {
  const { world, dry, yes, json, disk } = manner;
  if ("refusal" in proposed) return refused(proposed.refusal, manner);
  const { file, text } = proposed;
  const before = desk.files.find(({ path }) => path === file)!;
  const { library, files } = check(
    desk.files.map(({ cwd, path, value }) => new VFile({ cwd, path, value: path === file ? text : value })),
  );
  if (!library) {
    world.err(report(files.filter(({ messages }) => messages.some(({ fatal }) => fatal === true))));
    return refused([`Nothing was written: ${file} would not pass with this in it`], manner, 1);
  }
  const again = againFor(desk.library, library, await loadSearch());
  const diff = lineChanges(textOf(before), text);
  const write = async () => {
    const was = typeof before.value === "string" ? new TextEncoder().encode(before.value) : before.value;
    const failed = dry ? undefined : await put({ file: join(desk.folder, file), was, text }, disk);
    return failed ? refused([failed.refusal], manner) : undefined;
  };
  if (json) {
    const may = dry || yes;
    const failed = may ? await write() : undefined;
    if (failed !== undefined) return failed;
    if (!may) world.err(nobody);
    world.out(JSON.stringify({ written: may && !dry, ...asData(proposed), diff, again }));
    return may ? 0 : 3;
  }
  world.out(shown(proposed, manner, diff, again));
  if (!dry && !yes) {
    const answer = await world.ask?.(`\nWrite this into ${file}? y/N `);
    if (!/^\s*y(es)?\s*$/i.test(answer ?? "")) {
      world.err(world.ask ? "Nothing was written." : nobody);
      return 3;
    }
  }
  const failed = await write();
  if (failed !== undefined) return failed;
  world.out(dry ? `\nWould write ${file}` : `\nWrote ${file}`);
  return 0;
}

const nobody =
  "Nothing was written: there is nobody at a terminal to ask. Say --yes to write it, --dry-run to look only.";

/** Says why nothing is written, a sentence a line; gives the exit code. */
export function refused(reasons: readonly string[], { world, json }: Pick<Manner, "world" | "json">, code = 3): number {
  if (json) world.out(JSON.stringify({ written: false, refusal: reasons }));
  else for (const reason of reasons) world.err(/[.?!]$/.test(reason) ? reason : `${reason}.`);
  return code;
}

function asData({ text: _text, was, now, trial, ...rest }: Proposed) {
  return { ...rest, was: was ?? null, now: now ?? null, trial: trial ?? null };
}

function shown(proposed: Proposed, { inexact }: Manner, diff: readonly string[], again: Again): string {
  const { kind, crop, figure, name, was, now, why, trial, notes, exact } = proposed;
  const nothing = "not recorded";
  const moved =
    kind === "change"
      ? `  ${was ?? nothing} → ${now ?? nothing}`
      : now === undefined
        ? `  trial figure ${was} goes`
        : `  stays ${was ?? nothing}; beside it, for staff only, the trial figure ${now}`;
  return [
    `crops/${crop}  ${name} (${figure})`,
    moved,
    ...(why === "" ? [] : [`  ${why}`]),
    ...(trial === undefined ? [] : [`  trials/${trial}`]),
    ...notes.map((note) => `  ${note}`),
    ...(exact ? [] : [`  ${inexact}`]),
    "",
    ...diff.map((line) => `  ${line}`),
    ...toldAgain(again).flatMap((part) => ["", part]),
  ].join("\n");
}

/** What leans on the figure and comes out otherwise, and the paper that is to be printed again. */
function toldAgain({ sums, pages, customers, days, sheets }: Again): readonly string[] {
  const kinds = [...new Set(sheets.map(({ what }) => what))];
  const lines = {
    "Worked out anew": sums.map(({ page, worksheet, question }) => `${page}  ${worksheet}: ${question}`),
    "Pages that say something else": pages,
    "Pages for customers that say something else": customers,
    "Days of the plan": days.map(({ title, was, now }) => `${title}: ${moves(was, now)}`),
    "Print again": kinds.map(
      (what) => `tierbook print ${what} ${sheets.flatMap((sheet) => (sheet.what === what ? sheet.id : [])).join(" ")}`,
    ),
  };
  const told = Object.entries(lines).flatMap(([title, all]) => block(title, all.map((line) => `  ${line}`).join("\n")));
  return sums.length + customers.length + days.length + sheets.length === 0
    ? [...told, "No sum, no sheet of paper and no day of the plan comes out otherwise."]
    : told;
}

function moves(was: string | undefined, now: string | undefined): string {
  if (was === now) return `${date(now!)}, otherwise`;
  if (was === undefined) return `new, ${date(now!)}`;
  return now === undefined ? `no longer, was ${date(was)}` : `${date(was)} → ${date(now)}`;
}
