import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { TestProject } from "vitest/node";
import { main } from "../../generator/cli.ts";

const demo = fileURLToPath(new URL("../../content", import.meta.url));
let out = "";

/** Prints the demo book once for all browser tests of a run. @throws Error with what was said when it cannot be printed */
export async function setup({ provide }: TestProject): Promise<void> {
  out = await mkdtemp(join(tmpdir(), "tierbook-book-"));
  const said: string[] = [];
  const world = { cwd: out, out: (text: string) => void said.push(text), err: (text: string) => void said.push(text) };
  const code = await main(["build", "--content", demo, "--out", out], world);
  if (code !== 0) throw new Error(said.join("\n"));
  provide("book", { folder: out, said: said.join("\n") });
}

export async function teardown(): Promise<void> {
  await rm(out, { recursive: true, force: true });
}

/** The folder that the demo book was printed into, an edition below it each, and what the command said. */
export interface Built {
  readonly folder: string;
  readonly said: string;
}

declare module "vitest" {
  interface ProvidedContext {
    readonly book: Built;
  }
}
