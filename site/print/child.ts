import type { Job, Outcome } from "../../generator/build.ts";
import { readLast, writeLast } from "./last.ts";
import { print } from "./print.ts";

// The program of a process that prints one edition for the one that started it.

// Without a parent nobody waits for it any more.
process.on("disconnect", () => process.exit());
process.on("message", async ({ kept, fresh, ...job }: Job) => {
  const outcome = await run(job, kept, fresh).catch(failed);
  process.send!(outcome, () => process.disconnect());
});

/** Only what a system call would not do comes with a word of its own. */
function failed({ message, code, syscall, path }: NodeJS.ErrnoException): Outcome {
  if (syscall === undefined || code === undefined) return { trouble: message };
  return { trouble: message, code, ...(path === undefined ? {} : { path }) };
}

async function run(job: Omit<Job, "kept" | "fresh">, kept: string, fresh: boolean): Promise<Outcome> {
  const { last, ...told } = await print({ ...job, last: fresh ? undefined : await readLast(kept, job.program) });
  await writeLast(kept, last);
  return told;
}
