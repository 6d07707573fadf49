import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { fileAddress, openBrowser } from "./browser.ts";
import { folderOf, pagesOf } from "./built.ts";

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

/** The longest names, the widest tables and the largest forms, besides one page of each folder. */
const worst: Readonly<Record<"staff" | "customer", readonly string[]>> = {
  staff: [
    "crops/endive-frisee.html",
    "crops/strawberry-alpine.html",
    "feeds/leaf-hard-mains.html",
    "feeds/leaf-rain.html",
    "gear/towers.html",
    "trials/basil-more-feed.html",
    "worksheets/feed-recipe.html",
    "worksheets/tower-layout.html",
    "worksheets/water-blend.html",
    "sheets/stock-mix/leaf-rain.html",
    "sheets/sowing-list/2027-W22.html",
    "sheets/tower-map/towers.html",
  ],
  customer: [
    "crops/strawberry-alpine.html",
    "worksheets/ec-reading.html",
    "sheets/growing-on/tomato-heritage-bed.html",
  ],
};

/** Ways in which people make text larger: a narrow screen, text alone at 200 %, the whole page at 200 %. */
const ways = [
  { name: "at 320 px", width: 320, scale: 1, text: "" },
  { name: "with text at 200 %", width: 1280, scale: 1, text: "200%" },
  { name: "with text at 200 % on a phone", width: 640, scale: 1, text: "200%" },
  { name: "with the page at 200 %", width: 640, scale: 2, text: "" },
  { name: "with the page at 400 %", width: 320, scale: 4, text: "" },
] as const;

describe.each(["staff", "customer"] as const)("the %s edition", (edition) => {
  it.each(ways)(
    "scrolls one way only $name",
    async ({ width, scale, text }) => {
      const context = await browser.newContext({
        offline: true,
        viewport: { width, height: 800 },
        deviceScaleFactor: scale,
      });
      const page = await context.newPage();
      const wide: string[] = [];
      const all = await pagesOf(edition);
      const missing = worst[edition].filter((file) => !all.includes(file));
      expect(missing).toEqual([]);
      for (const file of new Set([...onePerFolder(all), ...worst[edition]])) {
        await page.goto(fileAddress(folderOf(edition), file));
        const over = await page.evaluate((size) => {
          for (const details of document.querySelectorAll("details")) details.open = true;
          const root = document.documentElement;
          // The book's own size, doubled, as a reader's setting would.
          if (size !== "") root.style.fontSize = `${2 * Number.parseFloat(getComputedStyle(root).fontSize)}px`;
          return root.scrollWidth - root.clientWidth;
        }, text);
        if (over > 0) wide.push(`${file} by ${over} px`);
      }
      await context.close();
      expect(wide).toEqual([]);
    },
    240_000,
  );

  it("doubles its words with the reader's text, figures among them", async () => {
    const context = await browser.newContext({ offline: true, viewport: { width: 1280, height: 800 } });
    const page = await context.newPage();
    await page.goto(fileAddress(folderOf(edition), "crops/basil-sweet.html"));
    const sizes = () =>
      page.evaluate(() =>
        ["main p", ".keys dt", ".keys .figure b", "h1", "h2", ".strip nav a", ".mark", ".hint, small"].map((place) => {
          const element = document.querySelector(place);
          return [place, element ? Number.parseFloat(getComputedStyle(element).fontSize) : 0] as const;
        }),
      );
    const before = await sizes();
    await page.evaluate(() => {
      const root = document.documentElement;
      root.style.fontSize = `${2 * Number.parseFloat(getComputedStyle(root).fontSize)}px`;
    });
    const after = new Map(await sizes());
    await context.close();
    for (const [place, size] of before) {
      if (size === 0) continue;
      // Large type may grow less; nothing may stay as it was.
      const least = size >= 30 ? 1.35 : 1.9;
      expect((after.get(place) ?? 0) / size, place).toBeGreaterThanOrEqual(least);
    }
  });

  it.each(["light", "dark"] as const)("shows every figure at 7 to 1 or more, %s", async (colorScheme) => {
    const context = await browser.newContext({ offline: true, colorScheme, viewport: { width: 360, height: 740 } });
    const page = await context.newPage();
    const files = [
      "crops/basil-sweet.html",
      ...(edition === "staff" ? ["feeds/leaf-rain.html", "worksheets/feed-recipe.html", "gear/line-main.html"] : []),
    ];
    for (const file of files) {
      await page.goto(fileAddress(folderOf(edition), file));
      const { count, weak } = await page.evaluate(() => {
        const channels = (colour: string) => (colour.match(/\d+(\.\d+)?/g) ?? []).map(Number);
        const light = (colour: string) => {
          const [r = 0, g = 0, b = 0] = channels(colour)
            .slice(0, 3)
            .map((part) => part / 255)
            .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
          return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        const ground = (element: Element): string => {
          for (let under: Element | null = element; under; under = under.parentElement) {
            const { backgroundColor } = getComputedStyle(under);
            const [, , , alpha = 1] = channels(backgroundColor);
            if (alpha > 0) return backgroundColor;
          }
          return "rgb(255, 255, 255)";
        };
        const figures = [...document.querySelectorAll(".figure b, .figure .unit, .figure .mark, .weigh, .sign-to-see")];
        const ratios = figures
          .filter((figure) => figure.getClientRects().length > 0)
          .map((figure) => {
            const [ink, paper] = [light(getComputedStyle(figure).color), light(ground(figure))];
            const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
            return { ratio, html: figure.outerHTML.slice(0, 90) };
          });
        return { count: ratios.length, weak: ratios.filter(({ ratio }) => ratio < 7) };
      });
      expect(count, file).toBeGreaterThan(3);
      expect(weak, file).toEqual([]);
    }
    await context.close();
  });
});

function onePerFolder(files: readonly string[]): readonly string[] {
  const seen = new Set<string>();
  return files.filter((file) => {
    const type = file.includes("/") ? file.slice(0, file.lastIndexOf("/")) : file;
    return !seen.has(type) && seen.add(type);
  });
}
