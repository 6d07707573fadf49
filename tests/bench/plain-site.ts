import { cp, mkdir, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Taken, taken } from "./taken.ts";

const modules = fileURLToPath(new URL("../../node_modules", import.meta.url));

/**
 * What the site builder by itself takes for the crops of a book: its own collection with a schema, its own Markdown, one page a
 * crop and a list, one edition. Nothing is checked between records, worked out, drawn, searched or kept offline.
 */
export async function plainSite(content: string): Promise<Taken> {
  const root = join(modules, ".cache", `plain-site-${process.pid}`);
  await rm(root, { recursive: true, force: true });
  await mkdir(join(root, "src/pages"), { recursive: true });
  try {
    await cp(join(content, "crops"), join(root, "src/crops"), { recursive: true });
    for (const [file, text] of Object.entries(files)) await writeFile(join(root, file), text);
    const astro = join(modules, "astro/bin/astro.mjs");
    const took = await taken([process.execPath, astro, "build", "--root", root], {
      cwd: root,
      env: { ASTRO_TELEMETRY_DISABLED: "1", NODE_ENV: "production" },
    });
    const made = (await readdir(join(root, "dist"))).length;
    const wanted = (await readdir(join(root, "src/crops"))).length;
    if (made < wanted) throw new Error(`${made} pages of ${wanted}: ${took.said}`);
    if (!(await readFile(join(root, "dist/basil-sweet/index.html"), "utf8")).includes("Sweet basil"))
      throw new Error(root);
    return took;
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

const files: Readonly<Record<string, string>> = {
  "astro.config.mjs": "export default {};\n",
  "src/content.config.ts": `import { defineCollection } from "astro:content";
import { glob } from "astro/loaders";
import { z } from "astro/zod";
const schema = z.object({ name: z.string(), botanical: z.string(), code: z.string(), kind: z.string() }).passthrough();
export const collections = { crops: defineCollection({ loader: glob({ pattern: "*.md", base: "./src/crops" }), schema }) };
`,
  "src/pages/index.astro": `---
import { getCollection } from "astro:content";
const crops = await getCollection("crops");
---
<html lang="en"><head><meta charset="utf-8" /><title>Crops</title></head><body><ul>{crops.map(({ id, data }) => <li><a href={id}>{data.name}</a></li>)}</ul></body></html>
`,
  "src/pages/[id].astro": `---
import { getCollection, render } from "astro:content";
export async function getStaticPaths() {
  return (await getCollection("crops")).map((crop) => ({ params: { id: crop.id }, props: { crop } }));
}
const { crop } = Astro.props;
const { Content } = await render(crop);
---
<html lang="en"><head><meta charset="utf-8" /><title>{crop.data.name}</title></head><body><h1>{crop.data.name}</h1><p><i>{crop.data.botanical}</i> {crop.data.code} {crop.data.kind}</p><Content /></body></html>
`,
};
