import { join, relative, resolve } from "node:path";
import { type Printed, printEdition } from "../build.ts";
import { load } from "../node.ts";
import { unwritable } from "../put.ts";
import type { Audience } from "../shown.ts";
import { hold } from "../swap.ts";
import { problems, report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const build: Command = {
  name: "build",
  summary: "prints the book: a folder for the staff and a folder for customers",
  help: `tierbook build [--content DIR] [--out DIR] [--edition staff|customer|both] [--fresh]

Checks the records and prints the book as plain folders that open without a server.

  --content DIR   the folder of records (content)
  --out DIR       where the editions go, each in a folder of its own (dist)
  --edition WHO   staff, customer or both (both)
  --fresh         makes every page anew, also those of which nothing has changed since the last time
  --json          what was printed, as one object

When a record has a problem, or anything private would reach customers, the last good book stays.
Exit 0 printed, 1 a problem in the records or a private value, 2 called wrongly, 3 the folder is in use or cannot be written.

Example: tierbook build --content ~/yard/records --out ~/yard/book`,
  async run(args, world) {
    const { values } = read(args, {
      ...common,
      out: { type: "string", default: "dist" },
      edition: { type: "string", default: "both" },
      fresh: { type: "boolean", default: false },
    });
    const editions = editionsOf(values.edition);
    const content = await contentFolder(values.content, world);
    const out = resolve(world.cwd, values.out);
    const { library, files } = await load(content);
    if (!library) {
      world.err(report(files));
      world.err("Nothing was printed; the last good book stays.");
      return 1;
    }
    const warned = problems(files).filter(({ severity }) => severity === "warning").length;
    if (warned > 0 && !values.json)
      world.out(`${warned} ${warned === 1 ? "warning" : "warnings"}: \`tierbook check\` shows them`);
    const held = await hold(out).catch((error: NodeJS.ErrnoException) => unwritable(out, error));
    if (held === undefined || typeof held === "string") {
      world.err(
        held === undefined
          ? `Another build is printing into ${out}. Wait until it is done, or say another --out.`
          : `${held}.`,
      );
      return 3;
    }
    const printed = await Promise.all(
      editions.map((edition) => printEdition(edition, { content, out, library, fresh: values.fresh })),
    ).finally(() => held.release());
    if (values.json) world.out(JSON.stringify(printed));
    else tellAll(printed, world);
    return codeOf(printed);
  },
};

export function editionsOf(word: string): readonly Audience[] {
  if (word === "both") return ["staff", "customer"];
  if (word === "staff" || word === "customer") return [word];
  throw new Misuse(`Unexpected --edition ${word}, expected staff, customer or both`);
}

/** The exit code of what was printed and what was not. */
export function codeOf(printed: readonly Printed[]): number {
  if (printed.some((one) => "trouble" in one && one.disk)) return 3;
  return printed.every((one) => "folder" in one) ? 0 : 1;
}

/** Tells what was printed and what was not; what the disk would not have is one sentence for both editions. */
export function tellAll(printed: readonly Printed[], world: World): void {
  const refused = new Map<string, Audience[]>();
  for (const one of printed)
    if ("trouble" in one && one.disk) refused.set(one.trouble, [...(refused.get(one.trouble) ?? []), one.edition]);
    else tell(one, world);
  for (const [trouble, [edition, other]] of refused)
    world.err(`${trouble}. The last good ${other ? "book" : `${edition} edition`} stays.`);
}

function tell(printed: Printed, { out, err, cwd }: World): void {
  if ("folder" in printed)
    out(
      `${printed.edition} edition printed. Open ${relative(cwd, join(printed.folder, "index.html")) || printed.folder}`,
    );
  else if ("leaks" in printed) {
    for (const { record, field, file, text } of printed.leaks)
      err(`${record}: ${field} is private and stands in customer/${file}: “${text}”`);
    err(
      `The ${printed.edition} edition was not printed: ${printed.leaks.length} private ${printed.leaks.length === 1 ? "value" : "values"} would have reached customers. The last good one stays.`,
    );
  } else err(`The ${printed.edition} edition could not be printed; the last good one stays.\n${printed.trouble}`);
}
