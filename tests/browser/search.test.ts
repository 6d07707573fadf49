import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { fileAddress, openBrowser, serve, type Watched, watchedPage } from "./browser.ts";
import { folderOf } from "./built.ts";

/** What people type, and the page that they want among the first three. */
const wanted: readonly (readonly [typed: string, title: string])[] = [
  ["cilantro", "Coriander"],
  ["rocket", "Salad rocket"],
  ["arugula", "Salad rocket"],
  ["zucchini", "Courgette"],
  ["eggplant", "Aubergine"],
  ["silverbeet", "Chard"],
  ["bok choy", "Pak choi"],
  ["indian cress", "Nasturtium"],
  ["romaine", "Cos"],
  ["perilla", "Shiso"],
  ["lambs lettuce", "Corn salad"],
  ["pansy", "Viola"],
  ["capsicum", "Sweet pepper"],
  ["ocimum basilicum", "Sweet basil"],
  ["basil", "Sweet basil"],
  ["sweet bazil", "Sweet basil"],
  ["lettice", "lettuce"],
  ["microgreens", "Micro"],
  ["yellow leaves", "wrong"],
  ["slimy roots", "wrong"],
  ["fell over", "wrong"],
  ["fridge", "Cutting"],
  ["pump stopped", "Emergency"],
  ["acid", "Acid"],
  ["mix stock", "Mixing"],
  ["catch test", "Catch test"],
  ["calibrate", "pens true"],
  ["posting", "Posting"],
  ["feed strength", "Line and base checks"],
  ["allergy", "eat"],
];

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

/** The titles of the first results for what was typed. */
async function titles({ page }: Watched, typed: string): Promise<readonly string[]> {
  const box = page.getByRole("combobox").first();
  await box.click();
  await box.fill(typed);
  await page.waitForFunction(
    (text) => document.querySelector("book-search [role=status]")?.textContent?.includes(text),
    typed,
  );
  return page
    .locator("book-search .search-result")
    .evaluateAll((results) =>
      results.slice(0, 3).map((result) => result.querySelector(".search-title")?.textContent ?? ""),
    );
}

describe("search in the staff edition, from a folder", () => {
  let watched: Watched;
  beforeAll(async () => {
    watched = await watchedPage(browser);
    await watched.page.goto(fileAddress(folderOf("staff"), "index.html"));
  });
  afterAll(() => watched.context.close());

  it.each(wanted)("“%s” has %s among the first three", async (typed, title) => {
    const found = await titles(watched, typed);
    expect(
      found.some((name) => name.toLowerCase().includes(title.toLowerCase())),
      found.join(" | "),
    ).toBe(true);
  });
});

describe("search over http at a path of a host", () => {
  it("finds the same in the same order", async () => {
    const served = await serve(folderOf("customer"));
    const over = await watchedPage(browser, { online: true });
    const plain = await watchedPage(browser);
    try {
      await over.page.goto(`${served.address}index.html`);
      await plain.page.goto(fileAddress(folderOf("customer"), "index.html"));
      for (const typed of ["cilantro", "yellow", "pot", "wash"]) {
        expect(await titles(over, typed)).toEqual(await titles(plain, typed));
      }
    } finally {
      await over.context.close();
      await plain.context.close();
      await served.stop();
    }
  });
});
