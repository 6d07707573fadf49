import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "astro/config";
import { folder } from "./site/folder.ts";
import { licences } from "./site/licences.ts";
import { offline } from "./site/offline.ts";
import { pack } from "./site/pack.ts";
import { slim } from "./site/slim.ts";

// While writing one sees the staff's edition; a build says for whom it is.
if (process.argv.includes("dev")) process.env.TIERBOOK_AUDIENCE ??= "staff";

// A build whose parent is gone would print for nobody.
if (process.env.TIERBOOK_OUT)
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

/** How the book shows itself where it is installed. The pictures are in `site/public/`; a maskable one may be cut to any shape. */
const book = {
  name: "Tierbook",
  shortName: "Tierbook",
  language: "en-GB",
  colour: "#dde2da",
  icons: [
    { src: "mark.svg", sizes: "any", type: "image/svg+xml", purpose: "any" },
    { src: "icon-192.png", sizes: "192x192", type: "image/png", purpose: "any" },
    { src: "icon-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
  ],
};

export default defineConfig({
  // The root may be a folder of one build's own, so that two builds at once do not touch each other's scraps.
  srcDir: here("site"),
  publicDir: here("site/public"),
  outDir: process.env.TIERBOOK_OUT ?? "./dist/customer",
  cacheDir: here("node_modules/.cache/astro"),
  build: { format: "file", concurrency: 10, inlineStylesheets: "never" },
  trailingSlash: "ignore",
  compressHTML: true,
  devToolbar: { enabled: false },
  // In this order: addresses first, then the search of the finished pages, then what only that read is taken out,
  // then whose work is in it, then the list of all files.
  integrations: [folder(), pack(), slim(), licences(), offline(book)],
  // Every script and style is a file; only the typeface is written into its style sheet, since one that comes late moves the page.
  vite: {
    build: { assetsInlineLimit: (file) => file.endsWith(".woff2"), sourcemap: false },
    plugins: [reloadOnContent],
  },
});
