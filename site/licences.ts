import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { AstroIntegration } from "astro";
import { words } from "./words.ts";

/**
 * Writes `licences.txt` into a built site: whose work is in it, each with its licence as its authors wrote it. The packages are
 * those whose code went into a script or a style of the site, with those that {@link besides} names.
 * @throws Error for a package without a licence of its own
 */
export function licences(): AstroIntegration {
  const used = new Map<string, string>();
  return {
    name: "licences",
    hooks: {
      "astro:config:setup": ({ updateConfig }) => {
        updateConfig({
          vite: {
            plugins: [
              {
                name: "licences",
                generateBundle(_options, bundle) {
                  if (this.environment.name !== "client") return;
                  for (const file of Object.values(bundle))
                    if (file.type === "chunk")
                      for (const module of file.moduleIds) {
                        const found = packageOf(module);
                        if (found) used.set(found.name, found.folder);
                      }
                },
              },
            ],
          },
        });
      },
      "astro:build:done": async ({ dir }) => {
        for (const name of besides) used.set(name, join(modules, name));
        const parts = await Promise.all([...used].sort(([a], [b]) => (a < b ? -1 : 1)).map(part));
        await writeFile(join(fileURLToPath(dir), "licences.txt"), `${words.licences}\n\n${parts.join("\n\n")}`);
      },
    },
  };
}

/** What is in the site by other ways than its scripts: the typeface, the engine of the search, and what draws codes for trays. */
const besides = ["@fontsource/atkinson-hyperlegible-next", "pagefind"];
const modules = fileURLToPath(new URL("../node_modules", import.meta.url));

function packageOf(module: string): { readonly name: string; readonly folder: string } | undefined {
  const found = /^(.*\/node_modules\/((?:@[^/]+\/)?[^/]+))\//.exec(module.replaceAll("\\", "/"));
  return found ? { folder: found[1]!, name: found[2]! } : undefined;
}

async function part([name, folder]: readonly [string, string]): Promise<string> {
  const { version } = JSON.parse(await readFile(join(folder, "package.json"), "utf8")) as { version: string };
  const texts = await licencesIn(folder);
  if (texts.length === 0) throw new Error(`${name}: Unexpected package without a licence of its own in the site`);
  return [`${name} ${version}`, ...texts].join("\n\n");
}

/** The files called licence in a folder, and in folders called so. */
async function licencesIn(folder: string, named = /^licen[cs]e/i): Promise<readonly string[]> {
  const found = (await readdir(folder, { withFileTypes: true }))
    .filter(({ name }) => named.test(name))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  const texts = found.map(async (entry) =>
    entry.isDirectory()
      ? await licencesIn(join(folder, entry.name), /./)
      : [`${(await readFile(join(folder, entry.name), "utf8")).trim()}\n`],
  );
  return (await Promise.all(texts)).flat();
}
