#!/usr/bin/env node
// Starts the command line on the Node that the project pins, whichever Node a person calls it with.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const pinned = fileURLToPath(new URL("../node_modules/node/bin/node", import.meta.url));

if (Number(process.versions.node.split(".")[0]) >= 24) {
  let seat;
  try {
    const { main } = await import("./cli.ts");
    const { terminal } = await import("./commands/new-terminal.ts");
    seat = terminal();
    process.exitCode = await main(process.argv.slice(2), {
      cwd: process.cwd(),
      out: (text) => process.stdout.write(`${text}\n`),
      err: (text) => process.stderr.write(`${text}\n`),
      ...(seat ? { ask: seat.ask } : {}),
    });
  } catch (error) {
    const told = process.env.TIERBOOK_DEBUG ? error.stack : error.message;
    process.stderr.write(`This is a slip of the program, not of your records: ${told}\n`);
    process.exitCode = 70;
  } finally {
    seat?.close();
  }
} else if (existsSync(pinned)) {
  const { status } = spawnSync(pinned, [fileURLToPath(import.meta.url), ...process.argv.slice(2)], {
    stdio: "inherit",
  });
  process.exitCode = status ?? 70;
} else {
  process.stderr.write(
    "tierbook needs Node 24 or later. Run `npm ci` in its folder: that brings the right one along.\n",
  );
  process.exitCode = 2;
}
