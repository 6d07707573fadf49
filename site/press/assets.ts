import { readFile, realpath, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { filesOf, safeStyle } from "../folder.ts";
import { problemsOf } from "../links.ts";
import { bundled } from "../scripts.ts";

/**
 * Makes the files that go with the pages safe in a folder, in place: style sheets with relative addresses, every script with
 * all that it imports as one classic script. @throws Error naming each address of a style sheet that leads nowhere
 */
export async function finishAssets(folder: string): Promise<void> {
  const client = await realpath(folder);
  const files = await filesOf(client);
  const known = new Set(files);
  const scripts = files.filter((file) => /^_astro\/.*\.js$/.test(file));
  const { bundles } = await bundled(client, scripts);
  for (const [file, text] of bundles) await writeFile(join(client, file), text);
  for (const file of files.filter((file) => file.endsWith(".css"))) {
    const { text, doubts } = safeStyle(file, await readFile(join(client, file), "utf8"), known);
    const problems = problemsOf(file, doubts, () => undefined);
    if (problems.length > 0) throw new Error(problems.join("\n"));
    await writeFile(join(client, file), text);
  }
  for (const file of files.filter((file) => file.endsWith(".map"))) await rm(join(client, file));
}
