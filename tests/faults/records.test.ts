import { readdirSync, readFileSync } from "node:fs";
import * as fs from "node:fs/promises";
import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { batchOn } from "../../generator/commands/batch.ts";
import type { Command } from "../../generator/commands/command.ts";
import { importOn } from "../../generator/commands/import.ts";
import { newOn } from "../../generator/commands/new.ts";
import { revertOn } from "../../generator/commands/revert.ts";
import { trialOn } from "../../generator/commands/trial.ts";
import { replace } from "../../generator/put.ts";
import { demo, small } from "../fuzz/book.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

describe("the disk", () => {
  /** What makes, fills, moves or names a file, called by itself or as a part of the disk. */
  const writes =
    /(?<![.\w])(?:(?:fs|disk)\.)?(appendFile|copyFile|cp|createWriteStream|link|open|rename|symlink|truncate|writeFile)(?:Sync)?\(/g;

  it("is written by these files alone, and by no command but through them", () => {
    const found = readdirSync(join(root, "generator"), { recursive: true, encoding: "utf8" })
      .filter((name) => /\.(?:ts|js)$/.test(name))
      .map((name) => [name, readFileSync(join(root, "generator", name), "utf8")] as const)
      .filter(([, text]) => /from "node:fs|type Disk|type Shelf/.test(text))
      .map(([name, text]) => [name, [...new Set([...text.matchAll(writes)].map(([, call]) => call))].sort()] as const)
      .filter(([, calls]) => calls.length > 0);
    expect(Object.fromEntries(found)).toEqual({
      // For reading alone.
      "listing.ts": ["open"],
      "press.ts": ["cp", "rename", "symlink", "writeFile"],
      "put.ts": ["link", "open", "rename", "writeFile"],
      "swap.ts": ["open", "rename"],
    });
  });
});

const day = "2027-05-02";
const code = "BAS-27060-01-W";
const asking = ["--question", "Pinched, or left alone?", "--crop", "viola", "--treatments", "pinched,plain"];
const measuring = ["--control", "plain", "--through", "plant", "--measure", "Flowers a plant a week", "--usual", "8"];
const blocks = ["--worthwhile", "1.5 flowers a plant a week", "--blocks", "tower-2,tower-5,tower-8,tower-11"];
const days = ["--spread", "20 %", "--started", "2027-04-19", "--stop", "2027-08-10"];
const planned = [...asking, ...measuring, ...blocks, ...days];

const trays = ["gear/tray-72.md", "gear/tray-104.md"];

type On = (disk: typeof fs) => Command;
const batch: On = (disk) => batchOn(disk, () => day);
const trial: On = (disk) => trialOn(disk, () => day);

/** Every command that writes a record: the book, the record, and the words. */
const cases: readonly (readonly [on: On, book: string, file: string, ...words: string[]])[] = [
  [batch, "records", "batches/bas-1.md", "count", code, "--up", "200", "--on", "2027-03-09", "--correct"],
  [batch, "records", "batches/bas-1.md", "move", code, "tower", "--plants", "20", "--on", "2027-04-02"],
  [batch, "records", "batches/bas-1.md", "cut", code, "200 g", "--on", "2027-04-28"],
  [batch, "records", "batches/bas-1.md", "close", code, "--on", "2027-04-30"],
  [
    batch,
    "records",
    "batches/bas-27060-02.md",
    "new",
    "basil",
    "--lot",
    "basil-1",
    "--cells",
    "84",
    "--sown",
    "2027-03-01",
  ],
  [newOn, "records", "glossary/plug.md", "term", "plug", "--term", "Plug"],
  [importOn, "records", "glossary/odd.md", "glossary", "table.csv"],
  [trial, "yard", "trials/odd.md", "new", "odd", ...planned],
  [trial, "yard", "trials/odd.csv", "new", "odd", ...planned],
  [trial, "violas", "crops/viola.md", "apply", "viola-plates-autumn", "--yes"],
  [revertOn, "applied", "crops/viola.md", "crops/viola", "--yes"],
];

describe("a record", () => {
  let folder = "";
  let books = "";
  beforeAll(async () => {
    books = await mkdtemp(join(tmpdir(), "tierbook-newer-"));
    for (const { path, text } of small) {
      await mkdir(dirname(join(books, "records", path)), { recursive: true });
      await writeFile(join(books, "records", path), text);
    }
    for (const name of ["book.md", "sources", "trials", "crops/viola.md", "crops/basil-sweet.md", ...trays])
      await cp(join(demo, name), join(books, "violas", name), { recursive: true });
    await cp(demo, join(books, "yard"), { recursive: true });
    await cp(join(books, "violas"), join(books, "applied"), { recursive: true });
    await run(trial(fs), ["apply", "viola-plates-autumn", "--yes"], join(books, "applied"));
  });
  afterAll(() => rm(books, { recursive: true, force: true }));
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), "tierbook-newer-"));
    await writeFile(join(folder, "table.csv"), "id,term\nfirst,First\nodd,Odd\n");
  });
  afterEach(() => rm(folder, { recursive: true, force: true }));
  const fresh = (book: string) => cp(join(books, book), join(folder, book), { recursive: true });

  async function run(command: Command, words: readonly string[], book: string) {
    const err: string[] = [];
    const world = { cwd: folder, out: () => {}, err: (text: string) => void err.push(text) };
    return { code: await command.run([...words, "--content", book], world), err: err.join("\n") };
  }
  const files = async (book: string) => (await fs.readdir(join(folder, book), { recursive: true })).sort();

  it.each(
    cases.map(
      ([on, book, file, ...words]) => [`${words.slice(0, 2).join(" ")} ${file}`, { on, book, file, words }] as const,
    ),
  )("that another writes while it is made ready stays: %s", async (_name, { on, book, file, words }) => {
    await fresh(book);
    const place = join(folder, book, file);
    const before = await files(book);
    const another = "---\nname: Written by another\n---\n";
    // Another writes it when its draft is made, after all has been read and checked.
    const open = (async (path: string, ...rest: never[]) => {
      if (path.includes(`.${file.split("/")[1]}.`)) await writeFile(place, another);
      return fs.open(path, ...rest);
    }) as typeof fs.open;
    const { code, err } = await run(on({ ...fs, open }), words, book);
    expect([code, await readFile(place, "utf8")]).toEqual([3, another]);
    expect(err.trim().split("\n")).toHaveLength(1);
    expect(err).toMatch(
      /was changed since it was read\. Nothing was written; do it again|there is a file of that name already/,
    );
    expect(await files(book)).toEqual([...new Set([...before, file])].sort());
  });

  it.each(
    cases.map(([on, book, file, ...words]) => [`${words.slice(0, 2).join(" ")} ${file}`, { on, book, words }] as const),
  )("is written when nobody does: %s", async (_name, { on, book, words }) => {
    await fresh(book);
    expect(await run(on(fs), words, book)).toMatchObject({ code: 0, err: "" });
  });

  it("and others that are made anew are all put in place or none", async () => {
    const at = (name: string) => join(folder, "made", name);
    const two = (text: string) => ["a/one.csv", "b/c/two.csv"].map((name) => ({ file: at(name), content: text }));
    const writeTwo = (async (path: string, content: string) => {
      if (path.includes("two.csv")) throw Object.assign(new Error("EDQUOT: no"), { code: "EDQUOT" });
      return fs.writeFile(path, content);
    }) as typeof fs.writeFile;
    const refusal = `${at("b/c/two.csv")} could not be written: the room that you have on the disk is used up. Nothing was changed`;
    expect(await replace(two("new"), { ...fs, writeFile: writeTwo })).toEqual({ refusal });
    expect(await fs.readdir(folder)).not.toContain("made");
    expect(await replace(two("old"))).toBeUndefined();
    expect(await replace(two("new"), { ...fs, writeFile: writeTwo })).toEqual({ refusal });
    expect(await files("made")).toEqual(["a", "a/one.csv", "b", "b/c", "b/c/two.csv"]);
    expect(await readFile(at("a/one.csv"), "utf8")).toBe("old");
    await rm(at("b/c/two.csv"));
    await mkdir(at("b/c/two.csv"));
    expect(await replace(two("new"))).toEqual({
      refusal: `${at("b/c/two.csv")} could not be written: there is a folder of that name. The files before it were written`,
    });
    expect(await files("made")).toEqual(["a", "a/one.csv", "b", "b/c", "b/c/two.csv"]);
  });
});
