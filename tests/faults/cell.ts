import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { readdir, readFile, readlink } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** A command as it ended: its exit code, or the signal that ended it, and all that it said. */
export interface Ended {
  readonly code: number | string;
  readonly out: string;
  readonly err: string;
}

/**
 * A place with mounts of its own, which nothing outside of it sees: whatever is mounted there is gone when it is closed, or
 * when the process that opened it dies. Paths are those of the machine.
 */
export interface Cell {
  /** Does something as a shell does; what it said. @throws Error when it ends otherwise than with 0 */
  sh(script: string): string;
  /** Runs a command of the program in it. */
  tierbook(words: readonly string[], options?: Calling): Promise<Ended>;
  /** All files below a folder as the cell sees it, each with one number for its bytes; undefined where there is no folder. */
  files(folder: string): Promise<ReadonlyMap<string, string> | undefined>;
  close(): Promise<void>;
}

export interface Calling {
  readonly cwd?: string;
  readonly env?: NodeJS.ProcessEnv | undefined;
  /** After so many milliseconds it is interrupted, as one does who wants it to end. */
  readonly until?: number | undefined;
}

const isMighty = process.geteuid?.() === 0;

/** Mounts of its own; whoever is nobody in particular is mighty there alone. */
const apart: readonly string[] = [...(isMighty ? [] : ["--map-root-user"]), ...["--mount", "--propagation", "private"]];

/** Why no cell can be made on this machine; undefined where one can be. */
export const noCell: string | undefined = (() => {
  if (process.platform !== "linux") return "mounts of one's own are only to be had on Linux";
  try {
    const script = "mount -t tmpfs -o size=64k tmpfs /tmp && command -v nsenter";
    execFileSync("unshare", [...apart, "sh", "-c", script], { stdio: "ignore" });
    return undefined;
  } catch {
    return "this machine lets nobody mount anything";
  }
})();

/** Opens a cell. */
export async function openCell(): Promise<Cell> {
  // It lives as long as somebody holds its standard input.
  const keeper = spawn("unshare", [...apart, "sh", "-c", "echo here; exec cat"], {
    stdio: ["pipe", "pipe", "inherit"],
  });
  await new Promise<void>((done, fail) => {
    keeper.once("error", fail);
    keeper.once("exit", () => fail(new Error("The cell did not open")));
    keeper.stdout.once("data", () => done());
  });
  const into = (command: readonly string[]): [string, string[]] => [
    "nsenter",
    ["-t", String(keeper.pid), "-m", ...(isMighty ? [] : ["-U", "--preserve-credentials"]), "--", ...command],
  ];
  return {
    sh: (script) => execFileSync(...into(["sh", "-e", "-c", script]), { encoding: "utf8", stdio: "pipe" }),
    tierbook: (words, { cwd = "/", env, until } = {}) =>
      // The folder is gone into inside, as it may be another there.
      ended(
        ...into([
          "sh",
          "-c",
          'cd "$0" && exec "$@"',
          cwd,
          process.execPath,
          fileURLToPath(new URL("../../generator/tierbook.js", import.meta.url)),
          ...words,
        ]),
        { env, until },
      ),
    files: (folder) => filesIn(`/proc/${keeper.pid}/root`, folder),
    close: () =>
      new Promise((done) => {
        keeper.removeAllListeners("exit").once("exit", () => done());
        keeper.stdin.end();
      }),
  };
}

/** A program as it ended. */
export function ended(program: string, words: readonly string[], { env, until }: Calling = {}): Promise<Ended> {
  const child: ChildProcess = spawn(program, words, {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, ...env },
  });
  const said = { out: "", err: "" };
  child.stdout!.on("data", (chunk) => (said.out += chunk));
  child.stderr!.on("data", (chunk) => (said.err += chunk));
  const timer = until === undefined ? undefined : setTimeout(() => child.kill("SIGTERM"), until);
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code, signal) => {
      clearTimeout(timer);
      done({ code: code ?? signal ?? "", ...said });
    });
  });
}

async function filesIn(root: string, folder: string): Promise<ReadonlyMap<string, string> | undefined> {
  const top = root + folder;
  if (!existsSync(top)) return undefined;
  const found = new Map<string, string>();
  for (const entry of await readdir(top, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    const name = path.slice(top.length + 1);
    if (entry.isDirectory()) found.set(`${name}/`, "");
    else if (entry.isSymbolicLink()) found.set(name, await readlink(path));
    else
      found.set(
        name,
        createHash("sha256")
          .update(await readFile(path))
          .digest("hex"),
      );
  }
  return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
}
