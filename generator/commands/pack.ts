import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join, relative, resolve } from "node:path";
import { filesOf, printEdition } from "../build.ts";
import { load } from "../node.ts";
import { alone, below, zipped } from "../parcel.ts";
import { type Made, replace } from "../put.ts";
import type { Audience } from "../shown.ts";
import { codeOf, editionsOf, tellAll } from "./build.ts";
import { report } from "./check.ts";
import type { Command, World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const pack: Command = {
  name: "pack",
  summary: "packs the book for a stick or a message: a zip of each edition, and every growing-on sheet as one file",
  help: `tierbook pack [--content DIR] [--out DIR] [--edition staff|customer|both] [--json]

Prints the book and packs it: staff.zip and customer.zip hold a folder that opens without a server, and
sheets/ holds each of the customers' growing-on sheets as a single page to send by e-mail.

  --content DIR   the folder of records (content)
  --out DIR       where the parcels go (parcels)
  --edition WHO   staff, customer or both (both); the sheets come with the customers' edition
  --json          the names of the files written, as one object

Exit 0 packed, 1 a problem in the records or a private value, 2 called wrongly, 3 it cannot be written.

Example: tierbook pack --content ~/yard/records --out ~/yard/parcels`,
  async run(args, world) {
    const { values } = read(args, {
      ...common,
      out: { type: "string", default: "parcels" },
      edition: { type: "string", default: "both" },
    });
    const editions = editionsOf(values.edition);
    const content = await contentFolder(values.content, world);
    const { library, files } = await load(content);
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const out = resolve(world.cwd, values.out);
    const bench = await mkdtemp(join(tmpdir(), "tierbook-pack-"));
    try {
      const printed = await Promise.all(
        editions.map((edition) => printEdition(edition, { content, out: bench, library })),
      );
      const failed = printed.filter((one) => !("folder" in one));
      if (failed.length > 0) {
        tellAll(failed, world);
        return codeOf(failed);
      }
      const made: Made[] = [];
      for (const edition of editions) made.push(...(await parcel(edition, join(bench, edition), out)));
      const failure = await replace(made);
      if (failure) {
        world.err(`${failure.refusal}.`);
        return 3;
      }
      const written = made.map(({ file }) => file);
      if (values.json) world.out(JSON.stringify({ written }));
      else say(written, world);
      return 0;
    } finally {
      await rm(bench, { recursive: true, force: true });
    }
  },
};

/** The zip of one edition and, for customers, its sheets. */
async function parcel(edition: Audience, folder: string, out: string): Promise<readonly Made[]> {
  const paths = await filesOf(folder);
  const bytes = await Promise.all(
    paths.map(async (path) => [below(folder, path), new Uint8Array(await readFile(path))] as const),
  );
  const made: Made[] = [{ file: join(out, `${edition}.zip`), content: zipped(new Map(bytes), edition) }];
  const sheets =
    edition === "customer" ? paths.filter((path) => below(folder, path).startsWith("sheets/growing-on/")) : [];
  for (const sheet of sheets) made.push({ file: join(out, "sheets", basename(sheet)), content: await alone(sheet) });
  return made;
}

function say(written: readonly string[], { cwd, out }: World): void {
  const sheets = written.filter((file) => file.endsWith(".html"));
  for (const file of written) if (!sheets.includes(file)) out(`Packed ${relative(cwd, file)}`);
  if (sheets.length > 0) out(`Packed ${sheets.length} growing-on sheets in ${relative(cwd, join(sheets[0]!, ".."))}`);
}
