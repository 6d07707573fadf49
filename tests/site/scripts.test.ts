import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { bundled } from "../../site/scripts.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const site = join(root, "site");

/** Every script that a component asks for, by its path from the top of the project. */
const scripts = readdirSync(site, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".astro"))
  .flatMap((name) => {
    const asked = [...readFileSync(join(site, name), "utf8").matchAll(/<script src="(\.[^"]+)">/g)];
    return asked.map(([, from = ""]) => relative(root, join(site, dirname(name), from)));
  });

describe("the scripts of the pages", () => {
  it("are found", () => expect(scripts.length).toBeGreaterThan(8));

  // The types let them through, as what is printed on this machine may use them.
  it("ask of a browser nothing that those of 2023 lack", { timeout: 60_000 }, async () => {
    const { bundles } = await bundled(root, scripts);
    const young = [...bundles].filter(([, code]) => /\bgroupBy\b/.test(code)).map(([script]) => script);
    expect(young).toEqual([]);
  });
});
