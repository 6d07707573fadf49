#!/usr/bin/env node
// Starts the command line on the Node that the project pins, whichever Node a person calls it with.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const cli = fileURLToPath(new URL("cli.ts", import.meta.url));
const pinned = fileURLToPath(new URL("../node_modules/node/bin/node", import.meta.url));

if (Number(process.versions.node.split(".")[0]) >= 24) {
  await import("./cli.ts");
} else if (existsSync(pinned)) {
  const { status } = spawnSync(pinned, [cli, ...process.argv.slice(2)], { stdio: "inherit" });
  process.exitCode = status ?? 1;
} else {
  console.error("tierbook needs Node 24 or later. Run `npm ci` in its folder: that brings the right one along.");
  process.exitCode = 2;
}
