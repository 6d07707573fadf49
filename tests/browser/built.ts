import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { inject } from "vitest";
import { filesOf } from "../../site/folder.ts";
import type { Built } from "./printing.ts";

/** The records of the demo book. */
export const demo = fileURLToPath(new URL("../../content", import.meta.url));

/** The demo book in both editions, printed once for all browser tests of a run (see `printing.ts`), and what was said. */
export async function builtBook(): Promise<Built> {
  return inject("book");
}

/** The folder of one edition of the demo book. */
export function folderOf(edition: "staff" | "customer"): string {
  return join(inject("book").folder, edition);
}

/** Every page of an edition but the one for addresses that lead nowhere. */
export async function pagesOf(edition: "staff" | "customer"): Promise<readonly string[]> {
  return (await filesOf(folderOf(edition))).filter((name) => name.endsWith(".html") && name !== "404.html");
}
