import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { alone, zipped } from "../generator/parcel.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-parcel-"));
  await mkdir(join(folder, "sheets"));
  await writeFile(join(folder, "book.css"), '@font-face{font-family:a;src:url("a.woff2")}p{fill:url(#hatch)}');
  await writeFile(join(folder, "a.woff2"), Buffer.from([1, 2, 3]));
  await writeFile(
    join(folder, "sheets/mint.html"),
    `<!doctype html><html lang="en-GB"><head><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'self'"><title>Mint</title><link rel="icon" href="../mark.svg"><link rel="stylesheet" href="../book.css"><script defer src="../x.js"></script></head><body><nav><a href="../index.html">Book</a></nav><main><p>See <a href="../guides/pot.html">the <b>guide</b></a>, <a href="#foot">below</a>.</p></main></body></html>`,
  );
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("alone(page)", () => {
  it("needs no other file: styles and typeface are inside, scripts and ways out are not", async () => {
    const page = await alone(join(folder, "sheets/mint.html"));
    expect(page).toContain("url(data:font/woff2;base64,AQID)");
    expect(page).toContain("url(#hatch)");
    expect(page).not.toMatch(/<script|<nav|<link|\.\.\/|src=/);
    expect(page).toContain("See <span>the guide</span>");
    expect(page).toContain('<a href="#foot">below</a>');
    expect(page.replaceAll("&#x27;", "'")).toContain("style-src 'unsafe-inline'");
  });
});

describe("zipped(files, folder)", () => {
  const files = new Map([
    ["b.html", new TextEncoder().encode("b")],
    ["a/c.html", new TextEncoder().encode("c")],
  ]);

  it("holds every file below the folder", () => {
    const inside = unzipSync(zipped(files, "customer"));
    expect(Object.keys(inside).sort()).toEqual(["customer/a/c.html", "customer/b.html"]);
    expect(new TextDecoder().decode(inside["customer/b.html"])).toBe("b");
  });

  it("gives the same bytes whatever the order and the time zone", () => {
    const before = process.env.TZ;
    const there = [...files].reverse();
    const packed = ["UTC", "Pacific/Auckland", "America/Los_Angeles"].map((zone) => {
      process.env.TZ = zone;
      return Buffer.from(zipped(new Map(there), "customer")).toString("hex");
    });
    process.env.TZ = before ?? "UTC";
    expect(new Set(packed).size).toBe(1);
  });
});
