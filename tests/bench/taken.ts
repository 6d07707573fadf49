import { spawn } from "node:child_process";
import { readdir, readFile } from "node:fs/promises";

/** What a program took with all that it started: on the clock, of the processors, and of memory by its largest process. */
export interface Taken {
  readonly seconds: number;
  /** Of all processors together, in the program and in the system [s]. */
  readonly work: number;
  /** Undefined where the system does not say. */
  readonly megabytes: number | undefined;
  readonly said: string;
}

/** Runs a program to its end. It needs a shell that tells what its children took. @throws Error with what was said when it fails */
export async function taken(
  command: readonly string[],
  { cwd, env = {} }: { readonly cwd?: string; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<Taken> {
  const child = spawn("bash", ["-c", 'TIMEFORMAT="took %R %U %S"; time "$@"', "bash", ...command], {
    env: { ...process.env, ...env },
    ...(cwd === undefined ? {} : { cwd }),
  });
  let [said, told] = ["", ""];
  child.stdout.on("data", (chunk) => (said += chunk));
  child.stderr.on("data", (chunk) => (told += chunk));
  let most = 0;
  const timer = setInterval(async () => {
    most = Math.max(most, ...(await largest(child.pid!).catch(() => [])));
  }, 100);
  const code = await new Promise((done) => child.on("close", done));
  clearInterval(timer);
  const [, seconds, user, system] = /took ([\d.]+) ([\d.]+) ([\d.]+)\s*$/.exec(told) ?? [];
  if (code !== 0 || seconds === undefined) throw new Error(`${command.join(" ")}\n${said}${told}`);
  return {
    seconds: Number(seconds),
    work: Number(user) + Number(system),
    megabytes: most > 0 ? most / 1024 : undefined,
    said,
  };
}

/** The most memory that each process below one has held until now [kB]. */
async function largest(top: number): Promise<readonly number[]> {
  const found = await Promise.all(
    (await readdir("/proc"))
      .filter((name) => /^\d+$/.test(name))
      .map(async (id) => {
        const status = await readFile(`/proc/${id}/status`, "utf8").catch(() => "");
        const number = (name: string) => Number(new RegExp(`^${name}:\\s+(\\d+)`, "m").exec(status)?.[1] ?? 0);
        return { id: Number(id), parent: number("PPid"), peak: number("VmHWM") };
      }),
  );
  const below = new Set([top]);
  for (let size = 0; size < below.size; ) {
    size = below.size;
    for (const { id, parent } of found) if (below.has(parent)) below.add(id);
  }
  return found.filter(({ id }) => below.has(id)).map(({ peak }) => peak);
}
