import { fileURLToPath } from "node:url";
import type { AstroIntegration } from "astro";
import { finishAssets } from "./assets.ts";

/** Has the site built as a press: one module that prints any page of any edition, `entry.ts`. */
export function press(): AstroIntegration {
  return {
    name: "press",
    hooks: {
      "astro:config:done": ({ setAdapter }) =>
        setAdapter({
          name: "press",
          serverEntrypoint: fileURLToPath(new URL("entry.ts", import.meta.url)),
          entrypointResolution: "auto",
          supportedAstroFeatures: { serverOutput: "stable", staticOutput: "stable" },
        }),
      "astro:build:done": ({ dir }) => finishAssets(fileURLToPath(dir)),
    },
  };
}
