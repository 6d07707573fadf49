import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  test: {
    dir: here("."),
    reporters: ["default", ["json", { outputFile: "node_modules/.cache/tests.json" }]],
    testTimeout: 20_000,
    hookTimeout: 240_000,
    projects: [
      {
        extends: true,
        test: {
          name: "library",
          include: ["**/*.test.ts"],
          exclude: ["browser/**"],
          setupFiles: [here("seed.ts")],
          benchmark: { include: ["bench/**/*.bench.ts"] },
        },
      },
      // The demo book is printed once, and only when a test of this project runs.
      {
        extends: true,
        test: {
          name: "book",
          include: ["browser/**/*.test.ts"],
          globalSetup: here("browser/printing.ts"),
          benchmark: { include: [] },
        },
      },
    ],
  },
});
