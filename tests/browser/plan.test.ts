import { readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import axe from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { load } from "../../generator/node.ts";
import { fileAddress, openBrowser, watchedPage } from "./browser.ts";
import { demo, folderOf, pagesOf } from "./built.ts";
import { paperOf } from "./pdf.ts";

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

const kinds = ["plan.html", "plan/room.html", "plan/feed.html", "plan/light.html", "weeks/2027-W15.html"];
const own = [...kinds, "weeks/2027-W21.html", "weeks/2027-W40.html", "orders/lettuce-plugs.html"];

const text = async (page: Page, selector: string): Promise<string> =>
  ((await page.locator(selector).allInnerTexts()).join(" ") || "").replace(/[\s\u202f\u00a0]+/g, " ");

async function opened(file: string, options: Parameters<Browser["newContext"]>[0] = {}) {
  const context = await browser.newContext({ offline: true, ...options });
  const page = await context.newPage();
  await page.goto(fileAddress(folderOf("staff"), file));
  return { page, close: () => context.close() };
}

describe("the plan's pages", () => {
  it("are in the staff edition: one for every ISO week of its 26, and four besides; customers have none of them", async () => {
    const staff = await pagesOf("staff");
    // From Mon 12 April, week 15, to Sun 10 October, week 40.
    expect(staff.filter((file) => file.startsWith("weeks/"))).toEqual(
      Array.from({ length: 26 }, (_, later) => `weeks/2027-W${15 + later}.html`),
    );
    for (const file of kinds) expect(staff).toContain(file);
    const customer = await pagesOf("customer");
    expect(customer.filter((file) => /plan|weeks|pick-list/.test(file))).toEqual([]);
  });

  it.each(["light", "dark"] as const)(
    "have nothing that WCAG 2.2 AA would refuse, in the %s theme",
    async (colorScheme) => {
      const refused: string[] = [];
      for (const file of own) {
        const { page, close } = await opened(file, { colorScheme, viewport: { width: 320, height: 720 } });
        await page.evaluate(axe.source);
        const { violations } = await page.evaluate(() =>
          window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
        );
        for (const { id, nodes } of violations) refused.push(`${file}: ${id} ${nodes[0]?.html.slice(0, 140)}`);
        await close();
      }
      expect(refused.join("\n")).toBe("");
    },
    120_000,
  );

  it("never go sideways at 320 px: what is wider scrolls in a box that the keyboard reaches", async () => {
    for (const file of own) {
      const { page, close } = await opened(file, { viewport: { width: 320, height: 720 } });
      expect(await page.evaluate(() => document.documentElement.scrollWidth), file).toBeLessThanOrEqual(320);
      const boxes = await page.evaluate(() =>
        [...document.querySelectorAll<HTMLElement>("main *")]
          .filter((box) => box.scrollWidth > box.clientWidth + 1 && /auto|scroll/.test(getComputedStyle(box).overflowX))
          .map((box) => box.tabIndex),
      );
      expect(
        boxes.filter((index) => index !== 0),
        file,
      ).toEqual([]);
      await close();
    }
  }, 60_000);

  it("say no reference, terms or price of any order", async () => {
    const { library } = await load(demo);
    const secrets = [...library!.orders.values()].flatMap(({ fields }) =>
      [fields.reference, fields.terms, fields.price].filter((value) => value !== undefined).map(String),
    );
    expect(secrets.length).toBeGreaterThan(10);
    const files = (await pagesOf("staff")).filter((file) => /^(plan|weeks|orders|sheets\/pick-list)/.test(file));
    for (const file of files) {
      const html = await readFile(join(folderOf("staff"), file), "utf8");
      expect(
        secrets.filter((secret) => secret.length > 4 && html.includes(secret)),
        file,
      ).toEqual([]);
    }
  });

  it("give every large figure a unit", async () => {
    for (const file of kinds) {
      const { page, close } = await opened(file);
      const figures = await page
        .locator(".keys dd .figure")
        .evaluateAll((all) =>
          all.map((one) => ({ all: one.textContent, unit: one.querySelector(".unit")?.textContent?.trim() })),
        );
      expect(figures.length, file).toBeGreaterThan(1);
      expect(
        figures.filter(({ unit }) => !unit),
        file,
      ).toEqual([]);
      await close();
    }
  }, 40_000);

  it("lead nowhere that is not there", async () => {
    for (const file of own) {
      const { page, close } = await opened(file);
      const lost = await page.evaluate(() =>
        [...document.querySelectorAll<HTMLAnchorElement>('main a[href^="#"]')]
          .filter(({ hash }) => !document.getElementById(hash.slice(1)))
          .map(({ hash }) => hash),
      );
      expect(lost, file).toEqual([]);
      for (const href of await page
        .locator("main a")
        .evaluateAll((all) => all.map((a) => (a as HTMLAnchorElement).href)))
        expect((await stat(new URL(href.replace(/#.*/, "")))).isFile(), href).toBe(true);
      await close();
    }
  }, 40_000);
});

describe("an order of 120 oakleaf plugs for Tue 25 May 2027", () => {
  // content/orders/lettuce-plugs.md; its crop: 3 days of germination, 14 in the tray, 7 on the mister. 24 days before
  // Tue 25 May is Sat 1 May; the yard sows on Mondays and Thursdays, so Thu 29 April. 120 and a twentieth are 126.
  const day = (page: Page, on: string) => page.locator(".day-of", { has: page.locator(`time[datetime="${on}"]`) });
  const said = async (page: Page, on: string) => (await day(page, on).innerText()).replace(/[\s\u202f\u00a0]+/g, " ");

  it("is sown on Thu 29 April, moved on 2 and 16 May, and posted on its day", async () => {
    const { page, close } = await opened("weeks/2027-W17.html");
    expect(await text(page, ".dates")).toBe("Mon 26 Apr 2027 – Sun 2 May 2027");
    const sown = await said(page, "2027-04-29");
    expect(sown).toContain("Sow Oakleaf lettuce");
    expect(sown).toMatch(/of lot lettuce-2701; for 126 plugs; LET02-27119-01-Q/);
    expect(await said(page, "2027-05-02")).toMatch(/Move Oakleaf lettuce to the bench for 126 plugs/);
    await page.getByRole("link", { name: /The week after/ }).click();
    await page.waitForURL(/2027-W18/);
    await page.getByRole("link", { name: /The week after/ }).click();
    await page.waitForURL(/2027-W19/);
    expect(await said(page, "2027-05-16")).toMatch(/Move Oakleaf lettuce to the mister for 126 plugs/);
    await page.goto(fileAddress(folderOf("staff"), "weeks/2027-W21.html"));
    const posted = await said(page, "2027-05-25");
    expect(posted).toContain("Post Oakleaf lettuce, 120 plugs");
    expect(posted).toContain("from LET02-27119-01-Q");
    const pick = page.locator(".pick", { hasText: "120 plugs" });
    expect((await pick.innerText()).replace(/[\s\u202f]+/g, " ")).toContain("Pack 126 plugs: one spare in twenty");
    await close();
  });

  it("says on its own page which sowing meets it, and leads to that week", async () => {
    const { page, close } = await opened("orders/lettuce-plugs.html");
    const part = page.locator(".of-plan");
    expect((await part.innerText()).replace(/[\s\u202f]+/g, " ")).toContain("126 plugs, for Tue 25 May 2027");
    await part.getByRole("link", { name: "Sow on Thu 29 Apr 2027" }).click();
    await page.waitForURL(/weeks\/2027-W17/);
    await close();
  });
});

describe("an order that cannot be", () => {
  it("says so in the same frame on its page, in the plan and in its week, with the reason", async () => {
    const { page, close } = await opened("plan.html");
    const frames = page.locator("section:has(#cannot) .refusal");
    const count = await frames.count();
    expect(count).toBeGreaterThan(0);
    const why = await frames.first().locator(".why").innerText();
    const address = await frames.first().locator(".of a").getAttribute("href");
    await page.goto(fileAddress(folderOf("staff"), address!));
    expect(await page.locator(".of-plan .refusal .why").innerText()).toBe(why);
    await close();
  });
});

describe("a week on paper", () => {
  it("is one sheet of A4 with a box to tick for every thing to do", async () => {
    const { page, context } = await watchedPage(browser);
    await page.goto(fileAddress(folderOf("staff"), "weeks/2027-W21.html"));
    const things = await page.locator(".to-do li").count();
    expect(things).toBeGreaterThan(10);
    expect(await page.locator(".to-do li > .box").count()).toBe(things);
    const { pages } = await paperOf(await page.pdf({ preferCSSPageSize: true, printBackground: true }));
    expect(pages.map(({ millimetres }) => millimetres)).toEqual([[210, 297]]);
    await context.close();
  });
});
