import * as fs from "node:fs/promises";
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import type { World } from "../generator/commands/command.ts";
import { revertOn } from "../generator/commands/revert.ts";
import { trialOn } from "../generator/commands/trial.ts";
import type { Disk } from "../generator/put.ts";

const demo = fileURLToPath(new URL("../content", import.meta.url));
const on = "2027-05-02";
let folder = "";
let before = "";

/** What of the demo's yard the trials of violas need. */
const needed = [
  "book.md",
  "sources",
  "trials",
  "gear/tray-72.md",
  "crops/viola.md",
  "crops/basil-sweet.md",
  "gear/tray-104.md",
];

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-apply-"));
  for (const name of needed) await cp(join(demo, name), join(folder, name), { recursive: true });
  for (const id of [2, 5, 8, 11])
    await cp(join(demo, `gear/tower-${id}.md`), join(folder, `gear/tower-${id}.md`)).catch(() => {});
  before = await text();
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const file = () => join(folder, "crops/viola.md");
const text = () => readFile(file(), "utf8");

type Answer = string | undefined;

async function told(run: (world: World) => Promise<number>, answer?: { readonly says: Answer }) {
  const said = { out: "", err: "", asked: "" };
  const code = await run({
    cwd: tmpdir(),
    out: (line) => {
      said.out += `${line}\n`;
    },
    err: (line) => {
      said.err += `${line}\n`;
    },
    ...(answer
      ? {
          ask: async (question: string) => {
            said.asked += question;
            return answer.says;
          },
        }
      : {}),
  });
  return { code, ...said };
}

const tierbook = (...args: string[]) => told((world) => main([...args, "--content", folder], world));
const apply = (...args: string[]) => tierbook("trial", "apply", ...args, "--on", on);
const asked = (says: Answer, ...args: string[]) =>
  told((world) => main([...args, "--content", folder], world), { says });

/** The record of violas after the autumn trial was applied. */
const changed = () =>
  before
    .replace("pieces: 10–30 /week", "pieces: 7.8–11.0 /week")
    .replace(
      "\n\nsources:",
      `\nhistory:
  - on: 2027-05-02
    what: Flowers or fruits a port from 10–30 /week to 7.8–11.0 /week
    why: Better, by enough to matter; 2 runs, 10 blocks, 29 plants of A, 7.4–12.0 /week
    figure: cutting.pieces
    was: 10–30 /week
    now: 7.8–11.0 /week
    trial: viola-plates-autumn

sources:`,
    )
    .replace(
      "  uc-gn155: [cautions.pollen]\n",
      "  uc-gn155: [cautions.pollen]\n  viola-plates-autumn: [cutting.pieces]\n",
    );

describe("tierbook trial apply", { timeout: 60_000 }, () => {
  it("shows a change with its reasons, every line and what to print, and writes nothing on a dry run", async () => {
    const { code, out, err } = await apply("viola-plates-autumn", "--dry-run");
    expect([code, err, await text()]).toEqual([0, "", before]);
    expect(out).toContain("crops/viola  Flowers or fruits a port (cutting.pieces)\n  10–30 /week → 7.8–11.0 /week\n");
    expect(out).toContain("Better, by enough to matter; 2 runs, 10 blocks, 29 plants of A, 7.4–12.0 /week");
    expect(out).toContain("  -   pieces: 10–30 /week\n  +   pieces: 7.8–11.0 /week\n");
    expect(out).toContain("tierbook print trial-report ");
    expect(out).toMatch(/Would write crops\/viola\.md\n$/);
  });

  it("writes it when it is told to, no other byte, and no other file; the checker passes it", async () => {
    const { code, out } = await apply("viola-plates-autumn", "--yes");
    expect([code, await text()]).toEqual([0, changed()]);
    expect(out).toMatch(/Wrote crops\/viola\.md\n$/);
    expect((await tierbook("check")).code).toBe(0);
    expect(await readdir(join(folder, "crops"))).toEqual(["basil-sweet.md", "viola.md"]);
    expect((await tierbook("explain", "crops/viola", "cutting.pieces")).out).toContain("7.8–11.0/week\n  own trial: ");
  });

  it.each([
    ["y", 0],
    [" Yes ", 0],
    ["n", 3],
    ["", 3],
    [undefined, 3],
    ["yesterday", 3],
  ] as const)("asks at a terminal; %j gives %i", async (says, code) => {
    const result = await asked(says, "trial", "apply", "viola-plates-autumn", "--on", on);
    expect([result.code, await text()]).toEqual([code, code === 0 ? changed() : before]);
    expect(result.asked).toContain("Write this into crops/viola.md? y/N");
    expect(result.err).toBe(code === 0 ? "" : "Nothing was written.\n");
  });

  it("writes nothing where nobody can be asked, and says so", async () => {
    const { code, err } = await apply("viola-plates-autumn");
    expect([code, await text()]).toEqual([3, before]);
    expect(err).toContain("nobody at a terminal to ask. Say --yes");
  });

  it("puts a trial figure beside the one that stands after one run, and refuses to do it twice", async () => {
    expect((await apply("viola-plates", "--yes", "--by", "JVQ")).code).toBe(0);
    expect(await text()).toBe(
      before.replace(
        "\n\nsources:",
        "\nprovisional:\n  - figure: cutting.pieces\n    says: 8.7–11.0 /week\n    n: 12\n    range: 7.6–12.0 /week\n    on: 2027-05-02\n    trial: viola-plates\n    by: JVQ\n\nsources:",
      ),
    );
    const again = await apply("viola-plates", "--yes");
    expect([again.code, again.err]).toEqual([3, expect.stringContaining("has it already")]);
  });

  it("refuses one tower against one tower, with what would do instead", async () => {
    const { code, err } = await apply("basil-more-feed", "--yes");
    expect(code).toBe(3);
    expect(err.trim().split("\n").length).toBeGreaterThan(1);
    const { code: dry, out } = await apply("basil-more-feed", "--dry-run", "--json");
    expect([dry, JSON.parse(out)]).toMatchObject([
      3,
      { written: false, refusal: [expect.any(String), expect.any(String)] },
    ]);
  });

  it("gives plain data, and writes with it only when it is told to", async () => {
    const { code, out } = await apply("viola-plates-autumn", "--json");
    expect([code, await text()]).toEqual([3, before]);
    expect(JSON.parse(out)).toMatchObject({
      written: false,
      kind: "change",
      figure: "cutting.pieces",
      was: "10–30 /week",
      now: "7.8–11.0 /week",
      exact: true,
      again: { customers: [] },
    });
    const written = await apply("viola-plates-autumn", "--json", "--yes");
    expect([written.code, JSON.parse(written.out).written, await text()]).toEqual([0, true, changed()]);
  });

  it("writes nothing when the checker would stop the book with it", async () => {
    // The trial's own numbers are far outside of what the field can hold.
    for (const name of ["viola-plates.md", "viola-plates-autumn.csv"]) {
      const path = join(folder, "trials", name);
      const data = await readFile(path, "utf8");
      await writeFile(
        path,
        data.replace(/(?<![\d.-])(\d{1,2}\.\d)(?![\d%])/g, (value) => String(Number(value) + 2000)),
      );
    }
    const { code, err } = await apply("viola-plates-autumn", "--yes");
    expect(await text()).toBe(before);
    expect(code).toBe(1);
    expect(err).toContain("expected 0 to 1000 /week");
    expect(err).toContain("Nothing was written: crops/viola.md would not pass with this in it");
  });

  it("writes nothing when another wrote the record meanwhile", async () => {
    const other = before.replace("10–30 /week", "12–30 /week");
    const disk = {
      ...fs,
      realpath: (async (path: string) => {
        await writeFile(file(), other);
        return path;
      }) as Disk["realpath"],
    };
    const args = ["apply", "viola-plates-autumn", "--yes", "--content", folder];
    const { code, err } = await told((world) => trialOn(disk, () => on).run(args, world));
    expect([code, await text()]).toEqual([3, other]);
    expect(err).toContain("was changed since it was read");
  });

  it.each([
    [["viola-plate"], "did you mean viola-plates?"],
    [[], "Say which trial"],
    [["viola-plates", "viola"], "Unexpected viola behind viola-plates"],
    [["viola-plates", "--yess"], "expected --yes"],
  ])("%j is called wrongly, in one line", async (args, words) => {
    const { code, err } = await tierbook("trial", "apply", ...args);
    expect([code, err.trim().split("\n").length]).toEqual([2, 1]);
    expect(err).toContain(words);
  });
});

describe("tierbook revert", { timeout: 60_000 }, () => {
  it("takes a change back to the very bytes", async () => {
    await apply("viola-plates-autumn", "--yes");
    const dry = await tierbook("revert", "crops/viola", "--dry-run");
    expect([dry.code, await text()]).toEqual([0, changed()]);
    expect(dry.out).toContain("  7.8–11.0 /week → 10–30 /week\n");
    const { code, err } = await tierbook("revert", "crops/viola.md", "--yes");
    expect([code, err, await text()]).toEqual([0, "", before]);
    const none = await tierbook("revert", "viola", "--yes");
    expect([none.code, none.err]).toEqual([3, expect.stringContaining("no change that can be taken back")]);
  });

  it("takes a trial figure back, and of two changes the newest, or the one that was said", async () => {
    await tierbook("trial", "apply", "viola-plates", "--yes", "--on", "2027-04-20");
    const first = await text();
    await apply("viola-plates-autumn", "--yes");
    expect((await tierbook("revert", "crops/viola", "--list")).out).toBe(
      "  1  2027-05-02  cutting.pieces: 10–30 /week → 7.8–11.0 /week, viola-plates-autumn\n  2  2027-04-20  cutting.pieces: trial figure 8.7–11.0 /week, viola-plates\n",
    );
    expect((await tierbook("revert", "crops/viola", "--yes")).code).toBe(0);
    expect(await text()).toBe(first);
    expect((await tierbook("revert", "crops/viola", "--change", "2", "--yes")).err).toContain("has no change 2");
    expect((await tierbook("revert", "crops/viola", "--change", "1", "--yes")).code).toBe(0);
    expect(await text()).toBe(before);
  });

  it("asks which when several were made on one day", async () => {
    await apply("viola-plates", "--yes");
    await apply("viola-plates-autumn", "--yes");
    const { code, err } = await tierbook("revert", "crops/viola", "--yes");
    expect([code, err]).toEqual([3, expect.stringContaining("more than once on 2027-05-02")]);
    expect(err).toContain("Say which with --change");
  });

  it("refuses when the figure was written anew since", async () => {
    await apply("viola-plates-autumn", "--yes");
    const other = (await text()).replace("pieces: 7.8–11.0", "pieces: 9–11");
    await writeFile(file(), other);
    const { code, err } = await tierbook("revert", "crops/viola", "--yes");
    expect([code, await text()]).toEqual([3, other]);
    expect(err).toContain("says `9–11 /week` and not `7.8–11.0 /week`");
  });

  it("says that the bytes around may differ when the same change would not lead back here, and asks", async () => {
    await apply("viola-plates-autumn", "--yes");
    const moved = (await text())
      .replace("  viola-plates-autumn: [cutting.pieces]\n", "")
      .replace('  common-practice: "*"\n', '  viola-plates-autumn: [cutting.pieces]\n  common-practice: "*"\n');
    await writeFile(file(), moved);
    const { code, out, asked: question } = await asked("n", "revert", "crops/viola");
    expect([code, await text()]).toEqual([3, moved]);
    expect(out).toContain("the bytes around it may not be");
    expect(question).toContain("y/N");
    expect((await asked("y", "revert", "crops/viola")).code).toBe(0);
    expect(await text()).toBe(before);
  });

  it("writes nothing when another wrote the record meanwhile", async () => {
    await apply("viola-plates-autumn", "--yes");
    const disk = {
      ...fs,
      realpath: (async (path: string) => {
        await writeFile(file(), before);
        return path;
      }) as Disk["realpath"],
    };
    const { code, err } = await told((world) =>
      revertOn(disk).run(["crops/viola", "--yes", "--content", folder], world),
    );
    expect([code, await text()]).toEqual([3, before]);
    expect(err).toContain("was changed since it was read");
  });

  it.each([
    [["crops/violas"], "did you mean viola?"],
    [["feeds/leaf"], "expected a crop"],
    [[], "Say which record"],
    [["crops/viola", "--change", "first"], "expected a whole number"],
  ])("%j is called wrongly, in one line", async (args, words) => {
    const { code, err } = await tierbook("revert", ...args);
    expect([code, err.trim().split("\n").length]).toEqual([2, 1]);
    expect(err).toContain(words);
  });
});
