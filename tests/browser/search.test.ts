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
  ["ocimum", "Sweet basil"],
  ["nasturtium flowers", "Nasturtium"],
];

/** What people type, and the one page that has to stand first. */
const first: readonly (readonly [typed: string, title: string])[] = [
  ["arugula", "Salad rocket"],
  ["tomatoe", "Cherry tomato"],
  ["yellow leaves", "When something looks wrong"],
  ["leggy", "When something looks wrong"],
  ["mould on soil", "When something looks wrong"],
  ["tip burn", "When something looks wrong"],
  ["wash trays", "Cleaning and shut-down"],
  ["calibrate meter", "Keeping the pens true"],
  ["pump off", "Emergency card"],
  ["acid", "Acid"],
];

/** What people ask of a crop, the crop that has to stand first, and the figure with its unit and the letter of its basis. */
const asked: readonly (readonly [typed: string, title: string, figure: RegExp])[] = [
  ["basil ec", "Sweet basil", /^EC [\d.]+–[\d.]+.mS\/cm [PTCMD]/],
  ["what is the ec for basil", "Sweet basil", /^EC [\d.]+–[\d.]+.mS\/cm [PTCMD]/],
  ["tomato ph", "Cherry tomato", /^pH [\d.]+–[\d.]+ [PTCMD]/],
  ["basil fridge", "Sweet basil", /^Store at [\d–]+.°C [PTCMD]/],
  ["germination temperature basil", "Sweet basil", /^Sow at [\d–]+.°C [PTCMD]/],
  ["how deep to sow basil", "Sweet basil", /^Depth [\d–]+.mm [PTCMD]/],
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

  it.each(first)("“%s” has %s first", async (typed, title) => {
    expect((await titles(watched, typed))[0]).toBe(title);
  });

  it.each(asked)("“%s” shows the figure of %s", async (typed, title, figure) => {
    expect((await titles(watched, typed))[0]).toBe(title);
    const shown = watched.page.locator("book-search .search-result").first().locator(".search-figure");
    expect(await shown.first().textContent()).toMatch(figure);
  });

  it("says the other name that was found, and not a slip of the title's own letters", async () => {
    const also = () => watched.page.locator("book-search .search-result").first().locator(".search-also");
    await titles(watched, "cilantro");
    expect(await also().textContent()).toBe("also cilantro");
    await titles(watched, "bazil");
    expect(await also().count()).toBe(0);
  });

  it("leads to a figure by keyboard", async () => {
    await titles(watched, "basil fridge");
    await watched.page.keyboard.press("ArrowDown");
    await watched.page.keyboard.press("ArrowDown");
    await watched.page.keyboard.press("Enter");
    await watched.page.waitForURL(/crops\/basil-sweet\.html.*#cut-and-store$/);
    await watched.page.goto(fileAddress(folderOf("staff"), "index.html"));
  });
});

describe("the list of crops", () => {
  it("is filtered by everyday and botanical names, whatever the case and accents, and says how many", async () => {
    const { page, context } = await watchedPage(browser);
    await page.goto(fileAddress(folderOf("staff"), "crops.html"));
    const count = page.locator("[data-filter-count]");
    const shown = () => page.locator("[data-filter-names]:visible .name").allTextContents();
    const all = await page.locator("[data-filter-names]").count();
    expect(await count.textContent()).toBe(`${all} crops`);
    for (const typed of ["ARUGULA", "Eruca vesicaria", "mache", "frisee"]) {
      await page.locator("[data-filter]").fill(typed);
      const names = await shown();
      expect(names.length, typed).toBeGreaterThan(0);
      expect(names.length, typed).toBeLessThan(10);
      expect(await count.textContent()).toBe(`${names.length} of ${all} crops`);
    }
    await page.locator("[data-filter]").fill("xyzzy");
    expect(await count.textContent()).toContain("Nothing matches “xyzzy”");
    expect(await shown()).toEqual([]);
    await context.close();
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
