import { mkdtemp, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { building, editionDigest, surviveKills, twoSmallBooks } from "./killing.ts";

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-interrupted-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

describe("a build", { timeout: 240_000 }, () => {
  it("that is killed leaves the last good book, and the next one is right", async () => {
    const { killed, finished } = await surviveKills(4, 20_270_412, folder);
    expect(killed + finished).toBe(4);
    expect(killed).toBeGreaterThan(0);
  });

  it("beside another into the same folder says so in one sentence, and neither is harmed", async () => {
    const [first, second] = await twoSmallBooks(folder);
    const out = join(folder, "out");
    const both = await Promise.all([building(first!, out), building(second!, out)]);
    const codes = both.map(({ code }) => code).sort();
    expect(codes).toEqual([0, 3]);
    const { said } = both.find(({ code }) => code === 3)!;
    expect(said.trim().split("\n")).toHaveLength(1);
    expect(said).toMatch(/^Another build is printing into .*out/);
    expect((await readdir(out)).sort()).toEqual(["customer", "staff"]);
    const won = both[0]!.code === 0 ? first : second;
    await building(won!, join(folder, "alone"));
    for (const edition of ["staff", "customer"])
      expect(await editionDigest(join(out, edition))).toBe(await editionDigest(join(folder, "alone", edition)));
  });

  it("whose folder cannot be written says so in one sentence", async () => {
    const [first] = await twoSmallBooks(folder);
    const out = join(first!, "book.md", "printed");
    const { code, said } = await building(first!, out);
    expect(code).toBe(3);
    expect(said.trim().split("\n")).toHaveLength(1);
    expect(said).toContain(`${out} could not be written: something on the way to it is a file and no folder`);
  });
});
