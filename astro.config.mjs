import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig, passthroughImageService } from "astro/config";
import { licences } from "./site/licences.ts";
import { press } from "./site/press/adapter.ts";

// While developing the site one sees the staff's edition. To build it is to make the press that prints any edition.
if (process.argv.includes("dev")) process.env.TIERBOOK_AUDIENCE ??= "staff";
const out = process.env.TIERBOOK_PRESS;

// A build whose parent is gone would be for nobody.
if (out)
  process.stdin
    .on("end", () => process.exit(1))
    .resume()
    .unref?.();

const content = resolve(process.env.TIERBOOK_CONTENT ?? "content");

/** A path of the program itself, wherever it was called from. */
function here(path) {
  return fileURLToPath(new URL(path, import.meta.url));
}

/** Shows an edited record at once: the pages are made anew when a file of the content changes. */
const reloadOnContent = {
  name: "reload-on-content",
  configureServer(server) {
    server.watcher.add(content);
    server.watcher.on("all", (_event, path) => {
      if (!path.startsWith(content)) return;
      server.moduleGraph.invalidateAll();
      server.ws.send({ type: "full-reload" });
    });
  },
};

export default defineConfig({
  // The root may be a folder of one build's own, so that two builds at once do not touch each other's scraps.
  ...(out ? { output: "server", adapter: press(), outDir: out } : {}),
  srcDir: here("site"),
  publicDir: here("site/public"),
  // The program itself may be on a disk that can only be read.
  cacheDir: out ? resolve(out, "../cache") : here("node_modules/.cache/astro"),
  build: { format: "file", inlineStylesheets: "never" },
  image: { service: passthroughImageService() },
  trailingSlash: "ignore",
  compressHTML: true,
  devToolbar: { enabled: false },
  integrations: [licences()],
  // Every script and style is a file; only the typeface is written into its style sheet, since one that comes late moves the page.
  vite: {
    ...(out ? { cacheDir: resolve(out, "../cache/vite") } : {}),
    build: { assetsInlineLimit: (file) => file.endsWith(".woff2"), sourcemap: false },
    // The press stands alone, wherever it is put.
    ...(out ? { ssr: { noExternal: true } } : {}),
    plugins: [reloadOnContent],
  },
});
