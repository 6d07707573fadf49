import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    dir: "tests",
    include: ["**/*.test.ts"],
    benchmark: { include: ["bench/**/*.bench.ts"] },
    reporters: ["default", ["json", { outputFile: "node_modules/.cache/tests.json" }]],
    testTimeout: 20_000,
    hookTimeout: 240_000,
  },
});
