import { join } from "node:path";
import { inject } from "vitest";
import { filesOf } from "../../site/folder.ts";
import type {} from "./printing.ts";

/** The folder of one edition of the demo book, printed once for all browser tests of a run. */
export function folderOf(edition: "staff" | "customer"): string {
  return join(inject("book").out, edition);
}

/** Every page of an edition but the one for addresses that lead nowhere. */
export async function pagesOf(edition: "staff" | "customer"): Promise<readonly string[]> {
  return (await filesOf(folderOf(edition))).filter((name) => name.endsWith(".html") && name !== "404.html");
}
