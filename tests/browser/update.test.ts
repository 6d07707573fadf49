import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { keepOffline } from "../../site/offline.ts";
import { openBrowser, type Served, serve } from "./browser.ts";
import { folderOf, pagesOf } from "./built.ts";

const sheet = "worksheets/ec-reading.html";
let browser: Browser;
let folder = "";
let served: Served;
let context: BrowserContext;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-served-"));
  await cp(folderOf("staff"), folder, { recursive: true });
  served = await serve(folder);
  context = await browser.newContext();
  return async () => {
    await context.close();
    await served.stop().catch(() => {});
    await rm(folder, { recursive: true, force: true });
  };
});

/** The book as it is printed a week later: the front page has another date, and the sheet another heading. */
async function printAnew(): Promise<void> {
  const change = async (path: string, from: string | RegExp, to: string) => {
    const before = await readFile(join(folder, path), "utf8");
    const after = before.replace(from, to);
    expect(after, path).not.toBe(before);
    await writeFile(join(folder, path), after);
  };
  await change("index.html", 'data-edition="2027-04-12"', 'data-edition="2027-04-19"');
  await change(sheet, /(<h1[^>]*>)/, "$1Anew: ");
  await change("theme.js", "{", "{\n  window.anew = true;");
  await keepOffline(folder, { name: "Book", shortName: "Book", language: "en-GB", icons: [] });
}

async function opened(path: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(served.address + path);
  await page.waitForFunction(() => navigator.serviceWorker.controller?.state === "activated", undefined, {
    timeout: 60_000,
  });
  return page;
}

const heading = (page: Page) => page.locator("h1").first().textContent();
const look = (page: Page) => page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()));
const caches = (page: Page) => page.evaluate(async () => (await window.caches.keys()).length);

describe("a book that is served at a path of a host", () => {
  it("is whole without a network after the first page", async () => {
    const page = await opened("index.html");
    await served.stop();
    await context.setOffline(true);
    for (const path of await pagesOf("staff")) {
      const { ok, type } = await page.evaluate(async (address) => {
        const answer = await fetch(address);
        return { ok: answer.ok, type: answer.headers.get("content-type") };
      }, served.address + path);
      expect([path, ok, type]).toEqual([path, true, expect.stringContaining("text/html")]);
    }
    await page.goto(served.address + sheet);
    expect(await page.locator("work-sheet[ready]").count()).toBe(1);
    await page.goto(`${served.address}index.html`);
    const box = page.getByRole("combobox").first();
    await box.fill("basil");
    await page.getByRole("option").first().waitFor();
  }, 120_000);

  it("says that a newer edition is ready, keeps to its own until asked, and keeps what was filled in", async () => {
    const page = await opened(sheet);
    const first = await heading(page);
    const input = page.locator('work-sheet input[inputmode="decimal"]').first();
    await input.fill("1.73");
    await printAnew();
    await look(page);
    const bar = page.locator(".newer");
    await bar.getByText("A newer edition, dated Mon 19 Apr 2027, is ready.").waitFor({ timeout: 60_000 });
    expect(await bar.textContent()).toContain("What you filled in stays.");
    expect(await input.inputValue()).toBe("1.73");
    // Another page opened now is still of the edition that is being read.
    const other = await opened(sheet);
    expect(await heading(other)).toBe(first);
    expect(await other.evaluate(() => "anew" in window)).toBe(false);

    await input.fill("1.74");
    await bar.getByRole("button", { name: "Show it" }).click();
    await page.waitForFunction(() => document.querySelector("h1")?.textContent?.startsWith("Anew: "), undefined, {
      timeout: 30_000,
    });
    expect(await page.locator('work-sheet input[inputmode="decimal"]').first().inputValue()).toBe("1.74");
    expect(await page.evaluate(() => "anew" in window)).toBe(true);
    expect(await page.locator(".newer").count()).toBe(0);

    // The other page was not touched; it is told, and its files are still those of its own edition.
    await other.locator(".newer").waitFor();
    expect(await heading(other)).toBe(first);
    const theme = (which: Page) => which.evaluate(async () => (await fetch("../theme.js")).text());
    expect(await theme(other)).not.toContain("anew");
    expect(await theme(page)).toContain("anew");
    expect(await caches(page)).toBe(2);
    // With its last page the earlier edition is dropped.
    await other.close();
    await page.goto(`${served.address}index.html`);
    await expect.poll(() => caches(page), { timeout: 10_000 }).toBe(1);
  }, 180_000);

  it("takes no edition of which only a part is on the host yet", async () => {
    const page = await opened(sheet);
    await printAnew();
    await writeFile(join(folder, "theme.js"), "// half way");
    await look(page).catch(() => {});
    await page.waitForTimeout(3000);
    expect(await page.locator(".newer").count()).toBe(0);
    await page.reload();
    expect(await heading(page)).not.toContain("Anew");
  }, 120_000);

  it("may be installed", async () => {
    const page = await opened("index.html");
    const session = await context.newCDPSession(page);
    const { errors } = await session.send("Page.getAppManifest");
    expect(errors).toEqual([]);
    const { installabilityErrors } = await session.send("Page.getInstallabilityErrors");
    // A private window never installs; anything else would be our own.
    expect(installabilityErrors.filter(({ errorId }) => errorId !== "in-incognito")).toEqual([]);
  }, 120_000);
});
