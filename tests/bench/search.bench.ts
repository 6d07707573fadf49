import { mkdtemp, rm } from "node:fs/promises";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { bench, describe } from "vitest";
import { openBrowser } from "../../generator/browser.ts";
import { main } from "../../generator/cli.ts";
import { nearest } from "../../site/search/near.ts";
import { fileAddress } from "../browser/browser.ts";
import { corpus } from "./corpus.ts";

/**
 * From the press of a key to the results on the screen, in a real browser, the book opened from its folder: a first word, which
 * fetches the engine, and then words letter by letter. `TIERBOOK_CROPS` says for how many crops.
 */
const sizes = (process.env.TIERBOOK_CROPS ?? "70,1000").split(",").map(Number);
const typed = ["basil", "yellow leaves", "feed strength", "sow tomato", "pump", "how deep to sow basil", "microgreens"];
const limit = 100;
const lines: string[] = [`${cpus().length} × ${cpus()[0]?.model}; at most ${limit} ms from a key to its results`];

for (const size of sizes) {
  const folder = await mkdtemp(join(tmpdir(), "tierbook-search-"));
  try {
    const content = await corpus(size, join(folder, "book"));
    const said: string[] = [];
    const world = { cwd: folder, out: () => {}, err: (text: string) => void said.push(text) };
    if ((await main(["build", "--content", content, "--out", "out", "--edition", "staff"], world)) !== 0)
      throw new Error(said.join("\n"));
    const browser = await openBrowser();
    const page = await browser.newPage();
    await page.goto(fileAddress(join(folder, "out/staff"), "index.html"));
    await clocked(page);
    const first = await keys(page, "b");
    const all: number[] = [];
    for (const words of typed) all.push(...(await keys(page, words)));
    await browser.close();
    const sorted = all.toSorted((a, b) => a - b);
    const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
    lines.push(
      `${size} crops: first key, engine and index fetched ${first[0]!.toFixed(0)} ms; ${sorted.length} keys after it: median ${at(0.5).toFixed(0)} ms, 95 % within ${at(0.95).toFixed(0)} ms, slowest ${at(1).toFixed(0)} ms; ${(at(0.95) / limit).toFixed(2)} of the limit`,
    );
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
console.log(lines.join("\n"));

/** Has a page keep when it was last typed in, and when the list last told of something else. */
async function clocked(page: Page): Promise<void> {
  await page.getByRole("combobox").first().focus();
  await page.waitForSelector("book-search [role=status]", { state: "attached" });
  await page.evaluate(() => {
    const clock = Object.assign(globalThis, { typedAt: 0, toldAt: 0 });
    document.addEventListener("input", () => (clock.typedAt = performance.now()), true);
    const status = document.querySelector("book-search [role=status]")!;
    new MutationObserver(() => (clock.toldAt = performance.now())).observe(status, { childList: true });
  });
}

/** Types words key by key into an empty box; what each key took until the list below told of the words so far [ms]. */
async function keys(page: Page, words: string): Promise<readonly number[]> {
  const box = page.getByRole("combobox").first();
  await box.fill("");
  await page.waitForFunction(() => document.querySelector("book-search [role=status]")?.textContent === "");
  const took: number[] = [];
  for (const [index, key] of [...words].entries()) {
    await page.keyboard.press(key === " " ? "Space" : key);
    // A blank at the end asks for nothing new.
    if (key === " ") continue;
    await page.waitForFunction(
      (text) => document.querySelector("book-search [role=status]")?.textContent?.includes(`“${text}”`),
      words.slice(0, index + 1),
      { timeout: 20_000 },
    );
    took.push(
      await page.evaluate(() => {
        const { toldAt, typedAt } = globalThis as unknown as { toldAt: number; typedAt: number };
        return toldAt - typedAt;
      }),
    );
  }
  return took;
}

describe("a word that is nearly a name", () => {
  const names = Array.from({ length: 5000 }, (_, index) => `Made name ${index}`);
  bench("of 5,000 names", () => void nearest("maed name 4711", names, (name) => [name], 3));
});
