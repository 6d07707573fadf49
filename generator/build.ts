import { fork } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { mkdir, rm } from "node:fs/promises";
import { join, relative, resolve, sep } from "node:path";
import { type Edition, editionFor } from "./editions.ts";
import { type Leak, leaks, type OutputText } from "./guard.ts";
import type { Library } from "./library.ts";
import { type Failed, filesOf, forget, home, ownWords, pressOf, scrapsFolder } from "./press.ts";
import { notWritten } from "./put.ts";
import { loadSearch } from "./search.ts";
import type { Audience } from "./shown.ts";
import { draftOf, swapIn } from "./swap.ts";
import { textsIn } from "./texts.ts";

export { filesOf, ownWords } from "./press.ts";

/** What came of printing one edition: its folder, or why the last good one was left in place. */
export type Printed =
  | {
      readonly edition: Audience;
      readonly folder: string;
      /** Pages printed anew, of all; the others are what they were. */
      readonly made: number;
      readonly pages: number;
      readonly search: "made" | "kept";
    }
  | { readonly edition: Audience; readonly leaks: readonly Leak[] }
  | (Failed & { readonly edition: Audience });

/**
 * Prints one edition into `out`, as a folder named after it. It is made beside and put in place only when it is whole and,
 * for customers, when nothing private is in it; until then the last good edition stays.
 */
export async function printEdition(
  edition: Audience,
  {
    content,
    out,
    library,
    fresh = false,
  }: {
    readonly content: string;
    readonly out: string;
    readonly library: Library;
    /** Whether nothing is taken from the last printing. */
    readonly fresh?: boolean;
  },
): Promise<Printed> {
  const folder = join(out, edition);
  const draft = draftOf(out, edition);
  try {
    await mkdir(out, { recursive: true });
    await rm(draft, { recursive: true, force: true });
    const scraps = await scrapsFolder();
    const [press, search] = await Promise.all([pressFor(scraps, fresh), loadSearch()]);
    if ("trouble" in press) return { edition, ...press };
    const printed = await runPrinter({
      edition: editionFor(library, edition, search),
      press: press.folder,
      program: press.program,
      out: draft,
      kept: join(scraps, keptName(edition, content)),
      fresh,
    });
    if ("trouble" in printed) {
      const { trouble, code, path } = printed;
      if (code === undefined) return { edition, trouble, disk: false };
      return { edition, trouble: notWritten(folderOf(out, path), { code, message: trouble }), disk: true };
    }
    await forget(scraps, "last-", 8).catch(() => {});
    if (edition === "customer") {
      const found = leaks(library, textsOf(draft, await filesOf(draft)), await ownWords());
      if (found.length > 0) return { edition, leaks: found };
    }
    await swapIn(folder, draft);
    const { made, pages, search: found } = printed;
    return { edition, folder, made, pages, search: found };
  } catch (error) {
    const { syscall, path } = error as NodeJS.ErrnoException;
    if (syscall === undefined) throw error;
    return { edition, trouble: notWritten(folderOf(out, path), error as NodeJS.ErrnoException), disk: true };
  } finally {
    await rm(draft, { recursive: true, force: true }).catch(() => {});
  }
}

/** What people know a file by that the disk will not have: the folder that they print into, and any other by itself. */
function folderOf(out: string, path = out): string {
  return path.startsWith(out) ? out : path;
}

/** All text that can be got out of the files of a folder, file by file, as all of a large book at once is much to hold. */
function* textsOf(folder: string, paths: readonly string[]): Generator<OutputText> {
  for (const path of paths) yield* textsIn(relative(folder, path).split(sep).join("/"), readFileSync(path));
}

/** What the printer is sent, `site/print/child.ts`. */
export interface Job {
  readonly edition: Edition;
  /** The folder of the press. */
  readonly press: string;
  /** One number for the program. */
  readonly program: string;
  readonly out: string;
  /** The file with the last printing; this one is kept there in its turn. */
  readonly kept: string;
  /** Print every page anew. */
  readonly fresh: boolean;
}

/** What it tells when it is done. */
export type Outcome =
  | { readonly made: number; readonly pages: number; readonly search: "made" | "kept" }
  | {
      readonly trouble: string;
      /** The disk's word for it, where it was the disk's doing, and the file if it is known. */
      readonly code?: string;
      readonly path?: string;
    };

/** Prints an edition in a process of its own, which is gone when this one is; what it said when it could not. */
function runPrinter(job: Job): Promise<Outcome> {
  const child = fork(join(home, "site/print/child.ts"), {
    execPath: process.execPath,
    // Pages are many and short-lived: with room for the young, few are taken for old.
    execArgv: ["--max-semi-space-size=64"],
    env: { ...process.env, NODE_ENV: "production" },
    serialization: "advanced",
    stdio: ["ignore", "pipe", "pipe", "ipc"],
  });
  const said: string[] = [];
  child.stdout!.on("data", (chunk) => said.push(String(chunk)));
  child.stderr!.on("data", (chunk) => said.push(String(chunk)));
  let outcome: Outcome | undefined;
  child.on("message", (message) => (outcome = message as Outcome));
  child.send(job);
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code, signal) => {
      if (outcome && (!("trouble" in outcome) || outcome.code !== undefined)) return done(outcome);
      const trouble = [outcome && "trouble" in outcome ? outcome.trouble : `It ended with ${signal ?? code}.`, ...said];
      done({ trouble: trouble.join("\n").trimEnd() });
    });
  });
}

/** The press, made once for both editions. */
function pressFor(scraps: string, fresh: boolean): ReturnType<typeof pressOf> {
  const key = `${scraps} ${fresh}`;
  const known = pressing.get(key);
  if (known) return known;
  const found = pressOf(scraps, fresh).finally(() => pressing.delete(key));
  pressing.set(key, found);
  return found;
}

const pressing = new Map<string, ReturnType<typeof pressOf>>();

/** The file that holds the last printing of a book for an audience. */
export function keptName(edition: Audience, content: string): string {
  return `last-${edition}-${createHash("sha256").update(resolve(content)).digest("hex").slice(0, 16)}`;
}
