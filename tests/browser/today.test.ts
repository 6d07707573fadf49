import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { fileAddress, openBrowser, watchedPage } from "./browser.ts";
import { folderOf } from "./built.ts";

let browser: Browser;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

/** The front page on a day of the device, in a time zone far from that of the machine. */
async function home({
  clock = "2027-04-12T09:00",
  ask = "",
  scripts = true,
  zone = "Pacific/Auckland",
  width = 360,
} = {}) {
  const context = await browser.newContext({
    javaScriptEnabled: scripts,
    offline: true,
    timezoneId: zone,
    viewport: { width, height: 800 },
  });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  page.on("pageerror", (error) => errors.push(String(error)));
  if (scripts) await page.clock.setFixedTime(clock);
  await page.addInitScript(() => {
    const shifts: number[] = [];
    Object.assign(window, { shifts });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) shifts.push((entry as unknown as { value: number }).value);
    }).observe({ type: "layout-shift", buffered: true });
  });
  await page.goto(fileAddress(folderOf("staff"), "index.html") + ask);
  return { page, errors, close: () => context.close() };
}

const says = (page: Page) => page.locator("[data-today=says]").textContent();
const links = (page: Page, list: string) =>
  page.locator(`[data-doings=${list}] a`).evaluateAll((all) => all.map((a) => a.getAttribute("href")));

describe("the front page of the staff", () => {
  it("stands on the day of the edition when no script runs, with what comes in closed lists", async () => {
    const { page, close } = await home({ scripts: false });
    expect(await page.locator(".day h3").textContent()).toBe("Mon 12 Apr 2027");
    expect(await says(page)).toBe("As of Mon 12 Apr 2027, the date of this edition.");
    expect(await links(page, "today")).toContain("gear/meter-ph.html");
    const coming = page.locator("details.coming").first();
    expect(await coming.getAttribute("open")).toBeNull();
    expect(await coming.locator("h4").first().textContent()).toBe("Tue 13 Apr 2027");
    expect(await page.locator(".turn").isVisible()).toBe(false);
    await close();
  });

  it("turns to the day of the reader’s device, says what is late, and what the next seven days bring", async () => {
    // The service of the pH pen was due on 12 April; pea shoots are to be sown on Thursday 15 April.
    const { page, errors, close } = await home({ clock: "2027-04-14T08:00:00+12:00" });
    expect(await page.locator(".day h3").textContent()).toBe("Wed 14 Apr 2027");
    expect(await says(page)).toContain("This edition is dated Mon 12 Apr 2027, 2 days ago");
    expect(await links(page, "overdue")).toContain("gear/meter-ph.html");
    expect(await links(page, "next")).toContain("orders/pea-shop.html");
    expect(await links(page, "today")).toEqual(
      expect.arrayContaining(["batches/bas-27074-01.html", "batches/pea-27091-01.html"]),
    );
    expect(errors).toEqual([]);
    await close();
  });

  it("goes by the day where the reader is, not by that of Greenwich", async () => {
    const { page, close } = await home({ clock: "2027-04-13T20:00:00Z" });
    expect(await page.locator(".day h3").textContent()).toBe("Wed 14 Apr 2027");
    await close();
  });

  it.each([
    ["2027-04-09T12:00:00Z", "your device says Fri 9 Apr 2027, 3 days earlier", "Europe/London"],
    ["2027-07-21T12:00:00Z", "your device says Wed 21 Jul 2027, 100 days later. Ask for a newer one", "Europe/London"],
  ])("says so when the device stands at %s", async (clock, sentence, zone) => {
    const { page, close } = await home({ clock, zone });
    expect(await says(page)).toContain(sentence);
    await close();
  });

  it("looks ahead by the address and by buttons large enough for a glove, which stay where they are", async () => {
    const { page, close } = await home({ ask: "?day=2027-04-14" });
    const later = page.getByRole("button", { name: "Later" });
    expect(await page.locator(".day h3").textContent()).toBe("Wed 14 Apr 2027");
    const before = (await later.boundingBox())!;
    await later.click();
    expect(await page.locator(".day h3").textContent()).toBe("Thu 15 Apr 2027");
    expect(await links(page, "today")).toContain("orders/pea-shop.html");
    expect(await later.boundingBox()).toEqual(before);
    expect(before.height).toBeGreaterThanOrEqual(44);
    expect(new URL(page.url()).searchParams.get("day")).toBe("2027-04-15");
    await page.getByRole("button", { name: "Earlier" }).click();
    await page.getByRole("button", { name: "Today", exact: true }).click();
    expect(await page.locator(".day h3").textContent()).toBe("Mon 12 Apr 2027");
    expect(page.url()).not.toContain("day=");
    await close();
  });

  it("takes no day that is not in the calendar", async () => {
    const { page, close } = await home({ ask: "?day=2027-02-30" });
    expect(await page.locator(".day h3").textContent()).toBe("Mon 12 Apr 2027");
    await close();
  });

  it.each([360, 1280])("lets nothing jump at %d px, and shows the day in the first screen", async (width) => {
    const { page, close } = await home({ clock: "2027-05-20T08:00:00Z", width });
    await page.waitForTimeout(500);
    const shifts = await page.evaluate(() => (window as unknown as { shifts: number[] }).shifts);
    // Type that comes late moves lines too, and is another matter: here none comes.
    expect(shifts.reduce((sum, shift) => sum + shift, 0)).toBeLessThan(0.001);
    expect((await page.locator(".day h3").boundingBox())!.y).toBeLessThan(740);
    expect(await page.locator(".alarm-panel").isVisible()).toBe(true);
    await close();
  });
});

describe("the front page of customers", () => {
  it("leads to the plants, the box, the first week, what is safe to eat, and to us", async () => {
    const { page, context } = await watchedPage(browser);
    await page.goto(fileAddress(folderOf("customer"), "index.html"));
    const main = page.locator("main");
    expect(await main.locator(".steps li").count()).toBe(3);
    for (const address of ["guides/unpacking.html", "guides/unpacking.html#this-week", "guides/before-you-eat.html"])
      expect(await main.locator(`a[href="${address}"]`).count(), address).toBe(1);
    expect(await main.locator('a[href^="crops/"]').count()).toBeGreaterThan(10);
    expect(await main.getByRole("heading", { name: "Ask us" }).isVisible()).toBe(true);
    expect(await main.locator("[data-today]").count()).toBe(0);
    await context.close();
  });
});
