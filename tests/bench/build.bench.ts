import { appendFile, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { bench, describe } from "vitest";
import { corpus } from "./corpus.ts";
import { plainSite } from "./plain-site.ts";
import { type Taken, taken } from "./taken.ts";

/**
 * What printing a book takes, both editions, checked, worked out and searched, beside the site builder alone with the same
 * records, all in one run on one machine: it is the ratios that tell. `TIERBOOK_CROPS` says for how many crops; 5,000 take
 * many minutes and are left out unless they are asked for.
 */
const sizes = (process.env.TIERBOOK_CROPS ?? "1000").split(",").map(Number);
const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const tierbook = [process.execPath, here("../../generator/tierbook.js")];
const lines: string[] = [
  `${cpus().length} × ${cpus()[0]?.model}, Node ${process.version}; work is of all processors together`,
];
const perRecord = new Map<number, number>();

for (const size of sizes) {
  const folder = await mkdtemp(join(tmpdir(), "tierbook-bench-"));
  try {
    const content = await corpus(size, join(folder, "book"));
    const build = (...more: string[]) =>
      taken([...tierbook, "build", "--json", "--content", content, "--out", join(folder, "out"), ...more]);
    const crop = join(content, "crops/made-00007.md");
    const plain = await plainSite(content);
    const cold = await build("--fresh");
    const same = await build();
    await appendFile(crop, "\nA sentence more.\n");
    const sentence = await build();
    const text = await readFile(crop, "utf8");
    await writeFile(crop, text.replace(/^reviewed: .*$/m, "reviewed: 2027-02-03"));
    const unread = await build();
    const bare = await taken([process.execPath, here("bare-loop.ts"), content]);
    const check = await taken([...tierbook, "check", "--content", content]);
    perRecord.set(size, cold.work / size);
    const searching = Math.max(0, sentence.work - unread.work);
    const pages = (JSON.parse(cold.said) as { readonly pages: number }[]).reduce((sum, one) => sum + one.pages, 0);
    const [each, plainEach] = [cold.work / pages, plain.work / (size + 1)].map((seconds) => seconds * 1000) as [
      number,
      number,
    ];
    lines.push(
      `${size} crops`,
      told("the site builder alone, one bare edition", plain),
      told("cold, both editions", cold, ["of the site builder alone", plain]),
      `  ${pages} pages, ${each.toFixed(1)} ms of work a page; the site builder alone ${plainEach.toFixed(1)}: ${(each / plainEach).toFixed(2)} a page`,
      `  of which the search takes about ${searching.toFixed(1)} s of work`,
      told("again, nothing changed", same, ["of cold", cold]),
      told("again after a sentence of one crop, search made anew", sentence, ["of cold", cold]),
      told("again after a day of one crop that no search reads", unread, ["of cold", cold]),
      told("check", check, ["of a bare loop", bare]),
    );
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
const [least, most] = [Math.min(...sizes), Math.max(...sizes)];
if (most > least)
  lines.push(
    `work a crop, ${most} against ${least}: ${(perRecord.get(most)! / perRecord.get(least)!).toFixed(2)} (at most 1.2)`,
  );
else lines.push("5,000 crops were not asked for: TIERBOOK_CROPS=1000,5000");
const { said } = await taken([process.execPath, here("edit-to-screen.ts"), String(least)]);
const edits = (JSON.parse(said) as number[]).toSorted((a, b) => a - b);
lines.push(
  `${least} crops, an edit on the screen while watched: median ${ms(edits[Math.floor(edits.length / 2)]!)}, slowest ${ms(edits.at(-1)!)} of ${edits.length} (at most 1 s)`,
);
console.log(lines.join("\n"));

describe("a book of the demo's crops", () => {
  bench("checked", async () => void (await taken([...tierbook, "check", "--content", here("../../content")])), {
    iterations: 3,
    time: 100,
  });
});

function told(what: string, took: Taken, beside?: readonly [string, Taken]): string {
  const memory = took.megabytes === undefined ? "" : `, largest process ${took.megabytes.toFixed(0)} MB`;
  const ratio =
    beside === undefined
      ? ""
      : `; ${(took.work / beside[1].work).toFixed(2)} ${beside[0]} by work, ${(took.seconds / beside[1].seconds).toFixed(2)} by the clock`;
  const share =
    beside?.[1].megabytes && took.megabytes ? `, ${(took.megabytes / beside[1].megabytes).toFixed(2)} by memory` : "";
  return `  ${what}: ${took.seconds.toFixed(1)} s, ${took.work.toFixed(1)} s of work${memory}${ratio}${share}`;
}

function ms(milliseconds: number): string {
  return `${(milliseconds / 1000).toFixed(2)} s`;
}
