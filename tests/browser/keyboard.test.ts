import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { fileAddress, openBrowser } from "./browser.ts";
import { folderOf, pagesOf } from "./built.ts";

/** The book without a mouse. Nothing here is clicked. */
let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());
beforeEach(async () => {
  await page?.context().close();
  page = await (
    await browser.newContext({ offline: true, reducedMotion: "reduce", viewport: { width: 1280, height: 800 } })
  ).newPage();
});

const open = (edition: "staff" | "customer", file: string) => page.goto(fileAddress(folderOf(edition), file));
const press = (key: string) => page.keyboard.press(key);

/** What has the focus, as a selector would find it. */
const focused = () =>
  page.evaluate(() => {
    const element = document.activeElement as HTMLElement;
    return { tag: element.tagName, id: element.id, name: element.className, text: element.textContent.trim() };
  });

/** Goes on by Tab until what has the focus fits a selector. @throws Error when it does not within so many steps */
async function tabTo(selector: string, steps = 200): Promise<void> {
  for (let step = 0; step < steps; step += 1) {
    await press("Tab");
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted), selector)) return;
  }
  throw new Error(`${selector} was not reached in ${steps} steps`);
}

describe("a page walked by Tab", () => {
  it.each([
    ["staff", "crops/basil-sweet.html"],
    ["staff", "worksheets/cells-to-sow.html"],
    ["staff", "index.html"],
    ["customer", "crops/basil-sweet.html"],
    ["customer", "index.html"],
  ] as const)(
    "goes in reading order through %s %s, out at its end, with the focus seen at each stop",
    async (edition, file) => {
      await open(edition, file);
      const stops: number[] = [];
      const unseen: string[] = [];
      for (let step = 0; step < 400; step += 1) {
        await press("Tab");
        const stop = await page.evaluate(() => {
          const active = document.activeElement as HTMLElement;
          if (active === document.body) return undefined;
          const all = [...document.querySelectorAll("*")];
          // A radio's ring stands around its label.
          const ringed = [active, active.closest("label"), active.nextElementSibling].filter((one) => one !== null);
          const shows = ringed.some((one) => {
            const { outlineStyle, outlineWidth } = getComputedStyle(one);
            return outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2;
          });
          const { width, height } = active.getBoundingClientRect();
          return {
            place: all.indexOf(active),
            shows: shows && width > 0 && height > 0,
            html: active.outerHTML.slice(0, 90),
          };
        });
        // Past the last stop the browser has the focus: nobody is trapped.
        if (stop === undefined) break;
        stops.push(stop.place);
        if (!stop.shows) unseen.push(stop.html);
      }
      expect(stops.length).toBeGreaterThan(8);
      expect(stops.length).toBeLessThan(400);
      expect(stops).toEqual(stops.toSorted((a, b) => a - b));
      expect(unseen).toEqual([]);
    },
  );

  it("has no tab stop put out of its order anywhere", async () => {
    for (const edition of ["staff", "customer"] as const)
      for (const file of onePerFolder(await pagesOf(edition))) {
        await open(edition, file);
        expect(await page.locator("[tabindex]:not([tabindex='0'], [tabindex='-1'])").count(), file).toBe(0);
      }
  });
});

describe("the ring around what has the focus", () => {
  it.each(["light", "dark"] as const)("stands out by 3 to 1 from what is beneath it, %s", async (colorScheme) => {
    await page.emulateMedia({ colorScheme });
    await open("staff", "crops/basil-sweet.html");
    for (const place of [".strip nav a", ".mark", ".do, .links a", ".foot a"]) {
      await page.locator(place).first().focus();
      await press("Shift+Tab");
      await press("Tab");
      const ratio = await page.evaluate(() => {
        const light = (colour: string) => {
          const channels = (/\d+(\.\d+)?/g[Symbol.match](colour) ?? []).slice(0, 3).map((part) => Number(part) / 255);
          const [r = 0, g = 0, b = 0] = channels.map((part) =>
            part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4,
          );
          return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        let under: Element | null = document.activeElement!.parentElement;
        const clear = (colour: string) => /, 0\)$|transparent/.test(colour);
        while (under && clear(getComputedStyle(under).backgroundColor)) under = under.parentElement;
        const ring = light(getComputedStyle(document.activeElement!).outlineColor);
        const ground = light(getComputedStyle(under ?? document.documentElement).backgroundColor);
        return (Math.max(ring, ground) + 0.05) / (Math.min(ring, ground) + 0.05);
      });
      expect(ratio, place).toBeGreaterThanOrEqual(3);
    }
  });
});

describe("by keyboard alone", () => {
  it("the skip link leads past the strip", async () => {
    await open("customer", "crops/basil-sweet.html");
    await press("Tab");
    expect((await focused()).name).toBe("skip");
    expect(await page.locator(".skip").evaluate((link) => link.getBoundingClientRect().left)).toBeGreaterThanOrEqual(0);
    await press("Enter");
    await press("Tab");
    expect(await page.evaluate(() => document.activeElement?.closest("main") !== null)).toBe(true);
  });

  it("the place to grow is chosen with arrows, and its panel follows", async () => {
    await open("customer", "crops/basil-sweet.html");
    await tabTo("input[name=place]");
    await press("ArrowRight");
    expect(await page.locator(".panel.pot").isVisible()).toBe(true);
    expect(await page.locator(".panel:visible").count()).toBe(1);
    await press("ArrowLeft");
    expect(await page.locator(".panel.bed").isVisible()).toBe(true);
    await press("ArrowRight");
    await page.reload();
    expect(await page.locator("input[value=pot]").isChecked()).toBe(true);
    await press("Tab");
    await tabTo(".panel.pot .do");
    await press("Enter");
    await expect.poll(() => page.url()).toContain("growing-on/basil-sweet-pot.html");
  });

  it("the letter after a figure leads to its source line, and Alt and the left arrow back to it", async () => {
    await open("staff", "crops/basil-sweet.html");
    await tabTo(".keys a.mark");
    const href = await page.evaluate(() => document.activeElement!.getAttribute("href")!);
    await press("Enter");
    await expect.poll(() => new URL(page.url()).hash).toBe(href);
    const line = page.locator(`[id="${href.slice(1)}"]`);
    await expect
      .poll(() =>
        line.evaluate((element) => {
          const { top, bottom } = element.getBoundingClientRect();
          return top >= 0 && bottom <= innerHeight;
        }),
      )
      .toBe(true);
    expect(await line.textContent()).not.toBe("");
    await page.goBack();
    await expect.poll(() => new URL(page.url()).hash).toBe("");
    await expect.poll(() => page.evaluate(() => scrollY)).toBeLessThan(300);
  });

  it("Escape at a source line goes back to the letter that led there", async () => {
    await open("staff", "crops/basil-sweet.html");
    await tabTo(".keys a.mark");
    await press("Enter");
    await expect.poll(() => new URL(page.url()).hash).not.toBe("");
    await press("Escape");
    await expect.poll(() => page.evaluate(() => document.activeElement?.matches(".keys a.mark"))).toBe(true);
    expect(new URL(page.url()).hash).toBe("");
  });

  it("a sum is filled in with Tab, arrows, Space and Enter, and its answer is heard", async () => {
    await open("staff", "worksheets/acid-dose.html");
    await tabTo("#acid-dose-alkalinity");
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("317");
    await tabTo("[data-key=alkalinityAs] input");
    await press("ArrowRight");
    await press("ArrowLeft");
    // The stop box stands before all that it guards, and says that a trained person is meant.
    expect(await page.locator("work-sheet > *").first().getAttribute("class")).toBe("stop");
    await tabTo("#acid-dose-trainedPerson");
    expect(await page.locator("[data-answer]").textContent()).not.toMatch(/Acid for a cubic metre\s+\d/);
    await press("Space");
    expect(await page.locator("#acid-dose-trainedPerson").isChecked()).toBe(true);
    await expect
      .poll(() => page.locator("work-sheet [role=status]").textContent())
      .toMatch(/Alkalinity to neutralise: 4\.0/);
    await tabTo("button[type=submit]");
    await press("Enter");
    expect((await focused()).name).toBe("outcome");
    expect(await page.evaluate(() => document.activeElement !== document.body)).toBe(true);
    await tabTo("details.rest > summary");
    await press("Enter");
    expect(await page.locator("details.rest").getAttribute("open")).not.toBeNull();
    expect((await focused()).tag).toBe("SUMMARY");
  });

  it("a fault is led to and put right without losing the focus", async () => {
    const sheet = fileAddress(folderOf("staff"), "worksheets/cells-to-sow.html");
    await page.goto(`${sheet}?need=100&germinationPercent=90`);
    await tabTo("#cells-to-sow-germinationPercent");
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("130");
    await press("Enter");
    expect((await focused()).name).toBe("faults");
    await press("Tab");
    await press("Enter");
    expect((await focused()).id).toBe("cells-to-sow-germinationPercent");
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("80");
    expect((await focused()).id).toBe("cells-to-sow-germinationPercent");
    expect(await page.locator("[data-answer] .keys").count()).toBe(1);
  });

  it("the theme is switched, and the working of a sum is opened and shut", async () => {
    await open("staff", "feeds/leaf-rain.html");
    const theme = () => page.evaluate(() => document.documentElement.dataset.theme);
    await tabTo("[data-theme-switch]");
    const before = await page.locator("[data-theme-switch]").textContent();
    await press("Enter");
    expect(await theme()).toBe("dark");
    expect(await page.locator("[data-theme-switch]").textContent()).not.toBe(before);
    await press("Space");
    expect(await theme()).toBe("light");
    await tabTo("details.working > summary, .working summary");
    const shut = () => page.evaluate(() => document.activeElement?.parentElement?.hasAttribute("open"));
    expect(await shut()).toBe(false);
    await press("Enter");
    expect(await shut()).toBe(true);
    await press("Space");
    expect(await shut()).toBe(false);
  });

  it("acid on paper stays behind its box, which Space ticks", async () => {
    await open("staff", "index.html");
    const paper = fileAddress(folderOf("staff"), "sheets/stock-mix/leaf-rain.html");
    await page.goto(`${paper}?nitricAcidMeq=0.1`);
    await tabTo("[data-acid=trained]");
    await press("Space");
    await press("Tab");
    await page.keyboard.type("60");
    await press("Tab");
    await page.keyboard.type("1.37");
    await expect.poll(() => page.locator("[data-acid-says]").textContent()).toMatch(/\d\s*mL/);
  });
});

describe("targets", () => {
  it.each(["staff", "customer"] as const)(
    "of the %s edition are 44 px, or stand within a sentence",
    async (edition) => {
      await page.setViewportSize({ width: 360, height: 740 });
      const small: string[] = [];
      for (const file of onePerFolder(await pagesOf(edition))) {
        await open(edition, file);
        const found = await page.evaluate(() => {
          const controls = document.querySelectorAll<HTMLElement>("a[href], button, input, select, summary");
          return [...controls].flatMap((control) => {
            const target = (control.matches("[type=radio], [type=checkbox]") && control.closest("label")) || control;
            const boxes = [...target.getClientRects()];
            if (boxes.length === 0 || getComputedStyle(target).visibility === "hidden" || target.matches(".skip"))
              return [];
            const before = getComputedStyle(target, "::after");
            const more =
              before.position === "absolute" && before.content !== "none" ? Number.parseFloat(before.top) || 0 : 0;
            const { width, height } = target.getBoundingClientRect();
            const reach = Math.min(height - 2 * Math.min(more, 0), 1e4);
            // 2.5.8 spares what stands in a line of text; elsewhere 24 px is its floor and 44 px is ours.
            const inline = getComputedStyle(target).display.startsWith("inline");
            if (reach >= 43.5 && (width - 2 * Math.min(more, 0) >= 43.5 || more < 0)) return [];
            if (inline && target.closest("p, li, dd, dt, td, th, h1, h2, h3, figcaption, small")) return [];
            return [`${Math.round(width)}×${Math.round(height)} ${target.outerHTML.slice(0, 110)}`];
          });
        });
        for (const one of new Set(found)) small.push(`${file}: ${one}`);
      }
      expect(small.slice(0, 12)).toEqual([]);
    },
    120_000,
  );
});

function onePerFolder(files: readonly string[]): readonly string[] {
  const seen = new Set<string>();
  return files.filter((file) => {
    const type = file.includes("/") ? file.slice(0, file.lastIndexOf("/")) : file;
    return !seen.has(type) && seen.add(type);
  });
}
