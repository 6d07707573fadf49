import axe from "axe-core";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { fileAddress, openBrowser } from "./browser.ts";
import { folderOf, pagesOf } from "./built.ts";

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

/** One page of each folder and each page of the top: the types of page that an edition has. */
async function typesOf(edition: "staff" | "customer"): Promise<readonly string[]> {
  const seen = new Set<string>();
  return (await pagesOf(edition)).filter((file) => {
    const type = file.includes("/") ? file.slice(0, file.lastIndexOf("/")) : file;
    return !seen.has(type) && seen.add(type);
  });
}

describe.each(["staff", "customer"] as const)("the %s edition", (edition) => {
  it.each(["light", "dark"] as const)(
    "has nothing on any type of page that WCAG 2.2 AA would refuse, in the %s theme, at 320 px",
    async (colorScheme) => {
      const context = await browser.newContext({ colorScheme, viewport: { width: 320, height: 720 }, offline: true });
      const page = await context.newPage();
      const refused: string[] = [];
      const files = await typesOf(edition);
      expect(files.length).toBeGreaterThan(8);
      expect(files.includes("really.html")).toBe(edition === "staff");
      for (const file of files) {
        await page.goto(fileAddress(folderOf(edition), file));
        await page.evaluate(axe.source);
        const { violations } = await page.evaluate(() =>
          window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
        );
        for (const { id, nodes } of violations) refused.push(`${file}: ${id} ${nodes[0]?.html.slice(0, 120)}`);
      }
      await context.close();
      expect(refused.join("\n")).toBe("");
    },
    240_000,
  );

  it("keeps key figures at a contrast of 7 to 1 or more, in both themes", async () => {
    for (const colorScheme of ["light", "dark"] as const) {
      const context = await browser.newContext({ colorScheme, offline: true });
      const page = await context.newPage();
      await page.goto(fileAddress(folderOf(edition), "crops/basil-sweet.html"));
      await page.evaluate(axe.source);
      const { violations, passes } = await page.evaluate(() =>
        window.axe.run(document.querySelector("main")!, {
          runOnly: { type: "rule", values: ["color-contrast-enhanced"] },
        }),
      );
      const weak = violations
        .flatMap(({ nodes }) => nodes.map(({ html }) => html))
        .filter((html) => /class="[^"]*\b(big|figure|key)\b/.test(html));
      expect(weak, colorScheme).toEqual([]);
      expect(passes.length).toBe(1);
      await context.close();
    }
  });

  it("can be walked by keyboard: skip link first, then search, then the card", async () => {
    const context = await browser.newContext({ offline: true });
    const page = await context.newPage();
    await page.goto(fileAddress(folderOf(edition), "crops/basil-sweet.html"));
    await page.keyboard.press("Tab");
    const skip = await page.evaluate(() => document.activeElement?.getAttribute("href"));
    expect(skip).toBe("#card");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    expect(await page.evaluate(() => document.querySelector("main")?.contains(document.activeElement))).toBe(true);
    await context.close();
  });
});

declare global {
  interface Window {
    readonly axe: typeof axe;
  }
}
