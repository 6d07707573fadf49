import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { home } from "../../generator/press.ts";
import { noCell } from "./cell.ts";
import { amiss, openYard, type Yard } from "./yard.ts";

const kept = join(home, "node_modules/.cache/tierbook");
const words = ["build", "--content", "book", "--out", "disk/out", "--edition", "customer"];

describe.skipIf(noCell)(`what a build keeps${noCell ? `, left out as ${noCell},` : ""}`, { timeout: 240_000 }, () => {
  let yard: Yard;
  beforeEach(async () => {
    yard = await openYard();
  });
  afterEach(() => yard.close());

  const at = (name: string) => join(yard.folder, name);
  const build = () => yard.cell.tierbook(words, { cwd: yard.folder, env: { HOME: at("home"), TMPDIR: at("tmp") } });
  /** What a build left in a folder that is its own to clear. */
  const left = async (folder: string) =>
    [...((await yard.cell.files(folder)) ?? new Map()).keys()].filter((name) => /^[^/]*\/?$/.test(name));
  const room = (folder: string, options: string) => yard.cell.sh(`mount -t tmpfs -o ${options} tmpfs ${folder}`);
  const locked = (folder: string) =>
    yard.cell.sh(`mount --bind ${folder} ${folder}; mount -o remount,ro,bind ${folder}`);
  const book = () => yard.cell.files(at("disk/out"));

  it("stands in the user's own folder, or in one that is used once, where the program may only be read", async () => {
    expect(await build()).toMatchObject({ code: 0, err: "" });
    const usual = await book();
    locked(kept);
    expect(await build()).toMatchObject({ code: 0, err: "" });
    expect(await book()).toEqual(usual);
    expect((await left(at("home/.cache/tierbook"))).map((name) => name.replace(/-\w+\/?$/, ""))).toEqual([
      "last-customer",
      "press",
    ]);
    yard.cell.sh(`rm -r ${at("home/.cache")}`);
    locked(at("home"));
    expect(await build()).toMatchObject({ code: 0, err: "" });
    expect(await book()).toEqual(usual);
    expect((await left(at("tmp"))).filter((name) => name.startsWith("tierbook"))).toEqual([]);
  });

  it("is not needed: where there is no room for it the book is printed all the same, from a folder used once", async () => {
    room(kept, "size=100k");
    expect(await build()).toMatchObject({ code: 0, err: "" });
    expect(await left(kept)).toEqual([]);
    expect((await left(at("tmp"))).filter((name) => name.startsWith("tierbook"))).toEqual([]);
  });

  it.each([
    ["no room", "size=100k", "the disk is full"],
    ["nothing that may be written", "ro", "its disk may only be read"],
  ])("is missed where there is %s anywhere, in one line", async (_what, options, why) => {
    for (const folder of [kept, at("home"), at("tmp")]) room(folder, options);
    expect(amiss(await build(), at("tmp/tierbook-scraps-"), `could not be written: ${why}`)).toEqual([]);
    expect(await left(at("disk/out"))).toEqual([]);
    expect((await left(at("tmp"))).filter((name) => name.startsWith("tierbook"))).toEqual([]);
  });
});
