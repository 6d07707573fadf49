import { execFileSync } from "node:child_process";
import * as fs from "node:fs/promises";
import { cp, mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { check, load, read } from "../generator/node.ts";
import { expectPlaced } from "./fuzz/promises.ts";

let around = "";
let folder = "";
beforeEach(async () => {
  around = await mkdtemp(join(tmpdir(), "tierbook-disk-"));
  folder = join(around, "content");
  await cp(fileURLToPath(new URL("content/base", import.meta.url)), folder, { recursive: true });
});
afterEach(async () => {
  await fs.chmod(join(folder, "crops"), 0o755).catch(() => {});
  await rm(around, { recursive: true, force: true });
});

const at = (path: string) => join(folder, path);

/** What the checker says of a folder, a line a problem. */
async function told(disk?: Parameters<typeof read>[1]): Promise<readonly string[]> {
  const { files, library } = check(await read(folder, disk));
  for (const file of files) expectPlaced(file);
  const all = files.flatMap(({ path, messages }) =>
    messages.map(
      ({ ruleId, reason, note, fatal }) => `${path} ${fatal ? "" : "(warning) "}${ruleId}: ${reason}. ${note}`,
    ),
  );
  expect(library === undefined).toBe(all.some((line) => !line.includes("(warning)")));
  return all;
}

/** Does something as nobody in particular, who may not read everything as the mighty may. */
async function asNobody<Value>(act: () => Promise<Value>): Promise<Value> {
  const mighty = process.geteuid?.() === 0;
  if (!mighty) return act();
  await fs.chmod(around, 0o755);
  process.seteuid?.(65_534);
  return act().finally(() => process.seteuid?.(0));
}

const aLink = "It is a link, which may lead anywhere. Put the file itself here, or take the link away.";
const aPipe = "It is a pipe or a device, which may never end. Take it out of the folder.";

/** A fault elsewhere in the book, to see that the rest is still checked. */
const spoil = () => writeFile(at("news/new-pots.md"), "---\ntitle: New pots\non: 2027-02-30\n---\n");
const spoilt =
  "news/new-pots.md date-unreal: Unexpected `2027-02-30`, expected a day of the calendar. There is no 30 February.";

describe("a folder of records in which", () => {
  it.each([
    ["leads out of it", "../outside.md"],
    ["leads to another record", "basil.md"],
    ["leads nowhere", "gone.md"],
    ["leads in a circle", "linked.md"],
    ["leads to a device that never ends", "/dev/zero"],
  ])("a link %s: told, and the rest is checked", async (_what, to) => {
    await spoil();
    await writeFile(join(around, "outside.md"), "---\nname: Secret\n---\n");
    await symlink(to, at("crops/linked.md"));
    expect(await told()).toEqual([
      `crops/linked.md file-unreadable: Unexpected \`linked.md\`, expected a file of this folder. ${aLink}`,
      spoilt,
    ]);
  });

  it("a whole kind is a link: told, and what is behind it is not read", async () => {
    await fs.rename(at("news"), join(around, "news"));
    await symlink("../news", at("news"));
    expect(await told()).toEqual([
      `news file-unreadable: Unexpected \`news\`, expected a file of this folder. ${aLink}`,
    ]);
  });

  it.runIf(process.platform !== "win32")("a record is a pipe: told, and nobody waits", async () => {
    await spoil();
    execFileSync("mkfifo", [at("crops/pipe.md")]);
    expect(await told()).toEqual([
      `crops/pipe.md file-unreadable: Unexpected \`pipe.md\`, expected a plain file. ${aPipe}`,
      spoilt,
    ]);
  });

  it.runIf(process.platform !== "win32")(
    "a record becomes a pipe between listing and reading: told, and nobody waits",
    async () => {
      const readdir = (async (path: string, options: object) => {
        const entries = await fs.readdir(path, options as never);
        if (path === at("crops")) {
          await rm(at("crops/basil.md"));
          execFileSync("mkfifo", [at("crops/basil.md")]);
        }
        return entries;
      }) as unknown as typeof fs.readdir;
      expect(await told({ ...fs, readdir })).toEqual([
        `crops/basil.md file-unreadable: Unexpected \`basil.md\`, expected a plain file. ${aPipe}`,
      ]);
    },
  );

  it("a record is taken away between listing and reading: told, and what names it is not blamed", async () => {
    await spoil();
    const open = (async (path: string, ...rest: never[]) => {
      if (path === at("crops/basil.md")) await rm(path, { force: true });
      return fs.open(path, ...rest);
    }) as typeof fs.open;
    expect(await told({ ...fs, open })).toEqual([
      "crops/basil.md file-unreadable: Unexpected `basil.md`, expected a file that can be read. It was taken away while the book was read. Run the command again.",
      spoilt,
    ]);
  });

  it("a file, or a folder, may not be read: told, and the rest is checked", async () => {
    await spoil();
    await fs.chmod(at("feeds/leaf.md"), 0o000);
    expect(await asNobody(() => told())).toEqual([
      "feeds/leaf.md file-unreadable: Unexpected `leaf.md`, expected a file that can be read. You may not read it: ask whoever it belongs to for the right to.",
      spoilt,
    ]);
    await fs.chmod(at("feeds/leaf.md"), 0o644);
    await fs.chmod(at("crops"), 0o000);
    const all = await asNobody(() => told());
    expect(all).toContain(
      "crops file-unreadable: Unexpected `crops`, expected a file that can be read. You may not read it: ask whoever it belongs to for the right to.",
    );
    expect(all).toContain(spoilt);
  });

  it("a folder is called as a record is: told, and what is in it is read", async () => {
    await mkdir(at("crops/x.md"));
    await mkdir(at("glossary/deep/er"), { recursive: true });
    await writeFile(at("glossary/deep/er/plug.md"), "---\nterm: Plug\n---\nA young plant.\n");
    expect(await told()).toEqual([
      "crops/x.md file-unreadable: Unexpected `x.md`, expected a file. It is a folder. Rename it, or take it out.",
    ]);
    await rm(at("crops/x.md"), { recursive: true });
    expect((await load(folder)).library?.glossary.has("plug")).toBe(true);
    await rm(at("book.md"));
    await mkdir(at("book.md"));
    expect(await told()).toEqual([
      "book.md file-unreadable: Unexpected `book.md`, expected a file. It is a folder. Rename it, or take it out.",
    ]);
  });

  it("names have spaces, capitals, other letters or steps upwards: each is told, with a name that would do", async () => {
    const names = [
      "My plug.md",
      "Базилик.md",
      "Café.md",
      "..x.md",
      "a..md",
      "-.md",
      "日本.md",
      "x\u202ey.md",
      "a\u001b[31m.md",
      ".md",
    ];
    for (const name of names)
      await writeFile(at(`glossary/${name}`), `---\nterm: T${names.indexOf(name)}\n---\nA word.\n`);
    const all = await told();
    for (const name of names)
      expect(
        all.filter((line) => line.startsWith(`glossary/${name} file-name: `)),
        name,
      ).toHaveLength(1);
    expect(all).toHaveLength(names.length);
    expect(all.join("\n")).toContain("Rename it to `cafe.md`");
    expect(all.join("\n")).toContain("Rename it to `my-plug.md`");
  });

  it("two names differ in their capitals alone: told at the second", async () => {
    await writeFile(at("glossary/PH.md"), "---\nterm: Sourness\n---\nHow sour.\n");
    const all = await told();
    expect(all.filter((line) => line.includes("id-twice"))).toEqual([
      "glossary/ph.md id-twice: Unexpected `ph`, expected a name of its own. `glossary/PH.md` is called the same, and a record's name is its address.",
    ]);
    expect(all.filter((line) => line.startsWith("glossary/PH.md file-name"))).toHaveLength(1);
  });

  it("a record or a table has 6 MB: told without being read", async () => {
    await writeFile(at("glossary/long.md"), Buffer.alloc(6_000_000, 97));
    await writeFile(at("trials/cut-again.csv"), Buffer.alloc(6_000_000, 97));
    expect(await told()).toEqual([
      "glossary/long.md file-unreadable: Unexpected `long.md`, expected a file of at most 5 MB. It has 6.0 MB. Is this another kind of file?",
      "trials/cut-again.csv file-unreadable: Unexpected `cut-again.csv`, expected a file of at most 5 MB. It has 6.0 MB. Is this another kind of file?",
    ]);
  });
});

describe("a command whose disk is amiss", () => {
  it.each([
    [
      "a file where a folder is wanted",
      ["export", "--out", "content/book.md"],
      "content/book.md could not be written: something on the way to it is a file and no folder. Nothing was changed.",
    ],
    [
      "a folder below a file",
      ["export", "--out", "content/book.md/x"],
      "content/book.md/x could not be written: something on the way to it is a file and no folder. Nothing was changed.",
    ],
    [
      "a name that is too long",
      ["export", "--out", "x".repeat(300)],
      " could not be written: its name is too long. Nothing was changed.",
    ],
    [
      "a table that is a folder",
      ["import", "crops", "content"],
      "content cannot be read: it is no plain file. See tierbook import --help",
    ],
    [
      "a table that never ends",
      ["import", "crops", "/dev/zero"],
      "The file /dev/zero cannot be read: it is no plain file. See tierbook import --help",
    ],
    [
      "a NUL",
      ["check", "--content", "a\0b"],
      "Unexpected a\\u0000b, expected a word without the sign NUL. See tierbook check --help",
    ],
  ])("says %s in a sentence", async (_what, words, sentence) => {
    const err: string[] = [];
    const code = await main(words, { cwd: around, out: () => {}, err: (text) => void err.push(text) });
    expect([2, 3]).toContain(code);
    expect(err.join("\n").endsWith(sentence), err.join("\n")).toBe(true);
    expect(err).toHaveLength(1);
  });
});
