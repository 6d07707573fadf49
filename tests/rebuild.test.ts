import { cp, mkdtemp, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { keptName, type Printed, printEdition } from "../generator/build.ts";
import { load } from "../generator/node.ts";
import { scrapsFolder } from "../generator/press.ts";
import { few } from "./few.ts";
import { editionDigest } from "./killing.ts";

const editions = ["staff", "customer"] as const;
type Edition = (typeof editions)[number];

let folder = "";
let book = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-rebuild-"));
  book = await few(join(folder, "book"));
});
afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
  for (const file of await keptFiles()) await rm(file, { force: true });
});

/** Prints the book as it now is, from what its last printing left. @throws Error with what was said when it cannot be printed */
async function printed(
  edition: Edition,
  into: string,
  content = book,
  fresh = false,
): Promise<Extract<Printed, { folder: string }>> {
  const { library, files } = await load(content);
  if (!library) throw new Error(files.flatMap(({ messages }) => messages.map(String)).join("\n"));
  const one = await printEdition(edition, { content, out: join(folder, into), library, fresh });
  if (!("folder" in one)) throw new Error(JSON.stringify(one));
  return one;
}

/** Prints the book as it now is, all of it anew: from a copy that was never printed. */
async function anew(edition: Edition): Promise<Extract<Printed, { folder: string }>> {
  const copy = await mkdtemp(join(folder, "copy-"));
  await cp(book, copy, { recursive: true });
  try {
    return await printed(edition, `anew-${edition}`, copy);
  } finally {
    for (const file of await keptFiles(copy)) await rm(file, { force: true });
  }
}

/** The files in which the last printings of a book are kept, the staff's first. */
async function keptFiles(content = book): Promise<readonly string[]> {
  const scraps = await scrapsFolder();
  return editions.map((edition) => join(scraps, keptName(edition, content)));
}

const change = async (file: string, from: string | RegExp, to: string): Promise<void> => {
  const path = join(book, file);
  const text = await readFile(path, "utf8");
  const changed = text.replace(from, to);
  if (changed === text) throw new Error(`${file} does not say ${from}`);
  await writeFile(path, changed);
};

describe("a book printed again after", { timeout: 240_000 }, () => {
  beforeAll(async () => {
    for (const edition of editions) await printed(edition, "again");
  });

  const basil = "crops/basil-sweet.md";
  it.each([
    ["nothing", async () => {}, { staff: 0, customer: 0 }],
    ["a sentence of a crop", () => change(basil, /$/, "\nOne sentence more.\n"), { staff: 2 }],
    [
      "what customers read of a crop",
      () => change(basil, /(## Growing on in a pot\n\n)/, "$1Turn it now and then. "),
      {},
    ],
    ["a figure of a crop", () => change(basil, "preferred: 5.5–6.5", "preferred: 5.6–6.4"), {}],
    ["the name of a crop", () => change(basil, /^name: .*$/m, "name: Large basil"), {}],
    ["a term of the glossary", () => change("glossary/ph.md", /^also: .*\n/m, ""), {}],
    ["an order", () => change("orders/basil-wedding.md", /^amount: .*$/m, "amount: 900 g"), {}],
    ["a batch", () => change("batches/tom-27063-01.md", /^cells: .*$/m, "cells: 30"), {}],
    ["the day of the edition", () => change("book.md", /^edition: .*$/m, "edition: 2027-04-19"), {}],
    [
      "a crop more",
      async () => {
        const text = await readFile(join(book, basil), "utf8");
        const other = text.replace(/^name: .*$/m, "name: Small basil").replace(/^code: .*$/m, "code: BSM");
        await writeFile(join(book, "crops/basil-small.md"), other.replace(/^(also|search|replaces): .*\n/gm, ""));
      },
      {},
    ],
    ["a crop fewer", () => rm(join(book, "crops/basil-small.md")), {}],
    ["a crop that is kept for the staff", () => change(basil, "audience: everyone", "audience: staff"), {}],
    ["a source", () => change("sources/okstate-hla6722.md", /^title: .*$/m, "title: Another title"), {}],
  ] as readonly [string, () => Promise<void>, Partial<Record<Edition, number>>][])(
    "%s is the same to the byte as all anew",
    async (_what, edit, made) => {
      await edit();
      for (const edition of editions) {
        const [again, all] = await Promise.all([printed(edition, "again"), anew(edition)]);
        expect(await editionDigest(again.folder), edition).toBe(await editionDigest(all.folder));
        expect(all.made).toBe(all.pages);
        if (made[edition] !== undefined) expect(again.made, edition).toBe(made[edition]);
      }
    },
  );
});

describe("what is kept of a printing", { timeout: 240_000 }, () => {
  it("is not taken when a byte of it is another, when it is cut short, or when it is no such file at all", async () => {
    const good = await printed("customer", "good", book, true);
    expect(good.made).toBe(good.pages);
    const digest = await editionDigest(good.folder);
    expect((await printed("customer", "good")).made).toBe(0);
    const [, file] = (await keptFiles()) as [string, string];
    const bytes = await readFile(file);
    const spoilt = Buffer.from(bytes);
    spoilt[Math.floor(bytes.length / 2)]! ^= 1;
    for (const other of [spoilt, bytes.subarray(0, bytes.length - 9), Buffer.from("no such file"), Buffer.alloc(0)]) {
      await writeFile(file, other);
      const again = await printed("customer", "good");
      expect(again.made).toBe(again.pages);
      expect(await editionDigest(again.folder)).toBe(digest);
    }
    await rm(file);
    expect((await printed("customer", "good")).made).toBe(good.pages);
  });

  it("can be read by nobody else, and is written over, not added to", async () => {
    await printed("staff", "good");
    const [file] = await keptFiles();
    expect((await stat(file!)).mode & 0o077).toBe(0);
    const scraps = await scrapsFolder();
    const before = (await readdir(scraps)).length;
    await printed("staff", "good");
    expect((await readdir(scraps)).length).toBe(before);
  });

  it("harms nobody when two print the same book at once", async () => {
    const alone = await editionDigest((await anew("staff")).folder);
    const both = await Promise.all([printed("staff", "left"), printed("staff", "right", book, true)]);
    for (const one of both) expect(await editionDigest(one.folder)).toBe(alone);
    const after = await printed("staff", "left");
    expect(after.made).toBe(0);
    expect(await editionDigest(after.folder)).toBe(alone);
  });
});
