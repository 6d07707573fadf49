import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { cropWeights, limits, type Weight } from "../weight.ts";
import { openBrowser, type Served, serve, watchedPage } from "./browser.ts";
import { folderOf } from "./built.ts";

const editions = ["staff", "customer"] as const;

describe("the weight of crop pages", () => {
  for (const edition of editions) {
    let weights: readonly Weight[];
    beforeAll(async () => {
      weights = await cropWeights(folderOf(edition));
    });
    const over = (what: "first" | "next") =>
      weights.filter((weight) => weight[what] > limits[what]).map((weight) => `${weight.page} ${weight[what]}`);

    it(`${edition}: a first visit asks for 40 kB at most, whichever the crop`, () => {
      expect(weights.length).toBeGreaterThan(60);
      expect(over("first")).toEqual([]);
    });
    it(`${edition}: the next page is 12 kB at most`, () => {
      expect(over("next")).toEqual([]);
    });
    it(`${edition}: nothing but the page, its mark, styles and scripts is asked for: the type is in the styles`, async () => {
      const kinds = new Set(weights.flatMap(({ parts }) => [...parts.keys()].map((file) => file.split(".").at(-1))));
      expect([...kinds].sort()).toEqual(["css", "html", "js", "svg"]);
    });
  }
});

describe("a crop page as it opens", () => {
  let browser: Browser;
  const served = {} as Record<(typeof editions)[number], Served>;
  beforeAll(async () => {
    browser = await openBrowser();
    for (const edition of editions) served[edition] = await serve(folderOf(edition));
  });
  afterAll(async () => {
    await browser?.close();
    for (const edition of editions) await served[edition]?.stop();
  });

  for (const edition of editions) {
    it(`${edition}: asks for what was weighed, and for no search and no worksheet until somebody wants one`, {
      timeout: 60_000,
    }, async () => {
      // Without the worker, which keeps the book for later once the page is there.
      const context = await browser.newContext({ serviceWorkers: "block" });
      const page = await context.newPage();
      const requests: string[] = [];
      context.on("request", (request) => requests.push(request.url()));
      const { address } = served[edition];
      await page.goto(`${address}crops/basil-sweet.html`, { waitUntil: "load" });
      const asked = requests.map((url) => url.slice(address.length));
      const [weight] = (await cropWeights(folderOf(edition))).filter((one) => one.page === "crops/basil-sweet.html");
      // A browser without a window asks for no icon.
      const known = new Set([...weight!.parts.keys(), "manifest.webmanifest"]);
      expect(asked.filter((file) => !known.has(file))).toEqual([]);
      expect([...weight!.parts.keys()].filter((file) => !asked.includes(file) && file !== "mark.svg")).toEqual([]);
      expect(await page.locator('script[src*="pack/"], script[src*="SheetScript"]').count()).toBe(0);
      await page.locator("book-search input").focus();
      await expect.poll(() => requests.some((url) => url.endsWith("pack/box.js"))).toBe(true);
      await expect.poll(() => requests.some((url) => url.endsWith("pack/search.js"))).toBe(true);
      await context.close();
    });

    for (const [name, width] of [
      ["a phone", 360],
      ["a desk", 1280],
    ] as const)
      it(`${edition}: nothing on it moves once it is drawn, on ${name}`, { timeout: 60_000 }, async () => {
        const { page, context } = await watchedPage(browser, { online: true });
        await page.setViewportSize({ width, height: 780 });
        await page.addInitScript(() => {
          const kept = globalThis as unknown as { shifts: number[] };
          kept.shifts = [];
          new PerformanceObserver((list) => {
            for (const entry of list.getEntries()) kept.shifts.push((entry as unknown as { value: number }).value);
          }).observe({ type: "layout-shift", buffered: true });
        });
        await page.goto(`${served[edition].address}crops/basil-sweet.html`, { waitUntil: "load" });
        await page.evaluate(() => document.fonts.ready.then(() => undefined));
        await page.waitForTimeout(400);
        expect(await page.evaluate(() => document.fonts.size)).toBeGreaterThan(1);
        expect(await page.evaluate(() => (globalThis as unknown as { shifts: number[] }).shifts)).toEqual([]);
        await context.close();
      });
  }
});
