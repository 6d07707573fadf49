import { mkdir, mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { swapIn } from "../generator/swap.ts";
import { ended, noCell } from "./faults/cell.ts";
import { amiss, openYard, type Yard } from "./faults/yard.ts";

const program = new URL("../generator/tierbook.js", import.meta.url).pathname;
const building = ["build", "--content", "book", "--out", "disk/out"];
const full = "could not be written: the disk is full";

describe.skipIf(noCell)(`a build${noCell ? `, left out as ${noCell},` : ""}`, { timeout: 240_000 }, () => {
  let yard: Yard;
  beforeEach(async () => {
    yard = await openYard();
  });
  afterEach(() => yard.close());

  const out = () => join(yard.folder, "disk/out");
  const build = (words = building, env = {}) => yard.cell.tierbook(words, { cwd: yard.folder, env });
  /** The whole disk, to see that nothing was changed and nothing left. */
  const disk = () => yard.cell.files(join(yard.folder, "disk"));

  it("whose disk is full, at the lock, a page, the search or the second edition, leaves the last good book", async () => {
    expect(await build()).toMatchObject({ code: 0, err: "" });
    const good = await disk();
    yard.cell.sh(`echo 'A word more.' >> ${yard.folder}/book/crops/parsley.md`);
    for (const free of [0, 4, 64, 400]) {
      yard.leave(free);
      expect(amiss(await build(), out(), full), `${free} KB free`).toEqual([]);
      expect(await disk(), `${free} KB free`).toEqual(good);
    }
    // Room for the smaller edition alone.
    yard.leave(2600);
    const one = await build();
    expect(amiss(one, out(), full)).toEqual([]);
    // The two are printed at once: where the larger took the room first, neither is there.
    const [printed, stays] =
      one.out === "" ? [/^$/, "book"] : [/^customer edition printed\. [^\n]*\n$/, "staff edition"];
    expect(one.out).toMatch(printed);
    expect(one.err.endsWith(`The last good ${stays} stays.\n`), one.err).toBe(true);
    const staff = (files: Awaited<ReturnType<typeof disk>>) =>
      [...files!].filter(([name]) => !/^out\/customer\//.test(name));
    expect(staff(await disk())).toEqual(staff(good));
    yard.leave();
    expect(await build()).toMatchObject({ code: 0, err: "" });
    const now = await disk();
    expect(now).not.toEqual(good);
    expect(await build([...building.slice(0, -1), "disk/again"])).toMatchObject({ code: 0 });
    const again = await yard.cell.files(join(yard.folder, "disk/again"));
    expect(await yard.cell.files(out())).toEqual(again);
  });

  it("whose disk may only be read leaves the last good book, and says so where there is none", async () => {
    expect(await build()).toMatchObject({ code: 0 });
    const good = await disk();
    yard.lock();
    const why = "could not be written: its disk may only be read";
    expect(amiss(await build(), out(), why)).toEqual([]);
    expect(amiss(await build([...building.slice(0, -1), "disk/new/deep"]), join(yard.folder, "disk/new"), "")).toEqual(
      [],
    );
    expect(await disk()).toEqual(good);
  });

  it("whose disk has no room for one more name says so and leaves nothing", async () => {
    await mkdir(join(yard.folder, "names"));
    yard.cell.sh(`mount -t tmpfs -o size=64m,nr_inodes=40 tmpfs ${yard.folder}/names`);
    const said = await build([...building.slice(0, -1), "names/out"]);
    expect(amiss(said, join(yard.folder, "names/out"), full)).toEqual([]);
    expect([...(await yard.cell.files(join(yard.folder, "names/out")))!.keys()]).toEqual([]);
  });
});

describe.skipIf(process.platform === "win32")(
  "a build that may write no file above a size",
  { timeout: 240_000 },
  () => {
    let yard = "";
    beforeEach(async () => {
      yard = await mkdtemp(join(tmpdir(), "tierbook-sized-"));
    });
    afterEach(() => rm(yard, { recursive: true, force: true }));

    it("says so in one line and leaves the last good book", async () => {
      const small = new URL("./small", import.meta.url).pathname;
      const out = join(yard, "out");
      // Made first, as no press is written below that size either.
      const words = [program, "build", "--content", small, "--out", out, "--edition", "customer"];
      expect(await ended(process.execPath, words)).toMatchObject({ code: 0 });
      const good = await readdir(out, { recursive: true });
      const least = ["-c", 'ulimit -f 16; exec "$@"', "sh", process.execPath, ...words];
      const said = await ended("bash", least);
      expect(amiss(said, "", "could not be written: it is larger than a file may be there")).toEqual([]);
      expect(await readdir(out, { recursive: true })).toEqual(good);
    });
  },
);

describe("a folder to print into", () => {
  let out = "";
  beforeEach(async () => {
    out = await mkdtemp(join(tmpdir(), "tierbook-swap-"));
  });
  afterEach(() => rm(out, { recursive: true, force: true }));

  it("has its last good edition back when the new one cannot be put there", async () => {
    await mkdir(join(out, "staff"));
    await writeFile(join(out, "staff/index.html"), "good");
    await expect(swapIn(join(out, "staff"), join(out, ".staff-1"))).rejects.toThrow("ENOENT");
    expect(await readdir(out, { recursive: true })).toEqual(["staff", "staff/index.html"]);
  });
});
