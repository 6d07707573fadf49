import { readFileSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { filesOf } from "../site/folder.ts";

const home = fileURLToPath(new URL("..", import.meta.url));
const json = (name: string) => JSON.parse(readFileSync(join(home, name), "utf8"));

interface Locked {
  readonly version?: string;
  readonly license?: string;
  readonly integrity?: string;
  readonly link?: boolean;
  readonly hasInstallScript?: boolean;
}

const manifest = json("package.json") as {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
  readonly allowScripts: Readonly<Record<string, boolean>>;
};
const named = { ...manifest.dependencies, ...manifest.devDependencies };
const locked = Object.entries(json("package-lock.json").packages as Readonly<Record<string, Locked>>)
  .filter(([path, { link }]) => path !== "" && link !== true)
  .map(([path, one]) => ({ name: path.replace(/^.*node_modules\//, ""), ...one }));

/** Licences that let a program be given away with its sources, and what a package without that field says in its own file. */
const licences = new Set(
  "MIT ISC 0BSD BSD-2-Clause BSD-3-Clause BlueOak-1.0.0 Apache-2.0 MPL-2.0 CC0-1.0 Python-2.0 OFL-1.1 Zlib LGPL-3.0-or-later".split(
    " ",
  ),
);
const unsaid: Readonly<Record<string, string>> = { jstat: "MIT" };

/** Used without being imported: the pinned Node, this package itself, tools that scripts call, and types. */
const byOtherWays = [
  "node",
  "tierbook",
  "@biomejs/biome",
  "@astrojs/check",
  "typescript",
  "@fontsource/atkinson-hyperlegible-next",
];

describe("what comes from others", () => {
  it("is pinned to one version each, and locked with the digest of its bytes", () => {
    expect(
      Object.entries(named).filter(([name, version]) => name !== "tierbook" && !/^\d+\.\d+\.\d+$/.test(version)),
    ).toEqual([]);
    expect(locked.filter(({ integrity }) => !integrity?.startsWith("sha512-"))).toEqual([]);
    expect(locked.length).toBeGreaterThan(400);
  });

  it("runs nothing when it is installed but what brings the pinned Node", () => {
    expect(Object.keys(manifest.allowScripts).filter((name) => manifest.allowScripts[name])).toEqual(["node"]);
    const scripted = locked.filter(({ hasInstallScript }) => hasInstallScript).map(({ name }) => name);
    expect(scripted.filter((name) => !(name in manifest.allowScripts))).toEqual([]);
  });

  it("is under a licence that lets the program be given away", () => {
    const odd = locked.filter(
      ({ name, license = unsaid[name] ?? "" }) =>
        license
          .split(/ AND | OR |[()]/)
          .filter(Boolean)
          .some((word) => !licences.has(word)) || license === "",
    );
    expect(odd.map(({ name, license }) => `${name}: ${license}`)).toEqual([]);
  });

  it("is all used", async () => {
    const folders = ["generator", "site", "tests"];
    const paths = (
      await Promise.all(
        folders.map(async (folder) => (await filesOf(join(home, folder))).map((path) => join(home, folder, path))),
      )
    ).flat();
    const sources = [...paths.filter((path) => /\.(ts|mjs|astro|css)$/.test(path)), join(home, "astro.config.mjs")];
    const text = (await Promise.all(sources.map((path) => readFile(path, "utf8")))).join("\n");
    const unused = Object.keys(named).filter(
      (name) =>
        !byOtherWays.includes(name) &&
        !name.startsWith("@types/") &&
        !new RegExp(`["'(]${name.replace(/[/.-]/g, "\\$&")}(/[^"')]*)?["')]`).test(text),
    );
    expect(unused).toEqual([]);
    const typed = Object.keys(named).filter((name) => name.startsWith("@types/"));
    expect(typed.filter((name) => !text.includes(`"${name.slice(7)}"`) && name !== "@types/node")).toEqual([]);
  });
});
