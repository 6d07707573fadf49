import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { worksheets } from "../../generator/worksheets/index.ts";
import { customerTopics, topics } from "../../site/forms/topics.ts";
import { fileAddress, openBrowser, serve, type Watched, watchedPage } from "./browser.ts";
import { builtBook } from "./built.ts";

let browser: Browser;
let folder = "";
let watched: Watched;
let page: Page;

beforeAll(async () => {
  ({ folder } = await builtBook());
  browser = await openBrowser();
  watched = await watchedPage(browser);
  page = watched.page;
});

afterAll(() => browser?.close());

const addressOf = (id: string, search = "") => `${fileAddress(folder, `staff/worksheets/${id}.html`)}${search}`;
const open = (id: string, search = "") => page.goto(addressOf(id, search));
const field = (label: string | RegExp) => page.getByLabel(label, { exact: typeof label === "string" });
const answer = () => page.locator("[data-answer]");
const workOut = () => page.getByRole("button", { name: "Work it out" }).click();

describe("the pages of the worksheets", () => {
  it("are one for each worksheet, by topic", () => {
    expect(Object.values(topics).flat().sort()).toEqual([...worksheets.keys()].sort());
  });

  it("open without an error, and the script answers what the page was printed with", async () => {
    for (const [edition, ids] of [
      ["staff", Object.values(topics).flat()],
      ["customer", customerTopics.customer],
    ] as const) {
      for (const id of ids) {
        await page.goto(fileAddress(folder, `${edition}/worksheets/${id}.html`));
        const [printed, worked] = await page.evaluate(() => {
          const answer = document.querySelector("[data-answer]")!;
          const before = answer.textContent;
          answer.replaceChildren();
          document.querySelector<HTMLFormElement>("work-sheet form")!.requestSubmit();
          return [before, answer.textContent];
        });
        expect(printed, id).not.toBe("");
        expect(worked, `${edition} ${id}`).toBe(printed);
      }
    }
    expect(watched.errors).toEqual([]);
    expect(watched.requests.filter((url) => !url.startsWith("file:") && !url.startsWith("data:"))).toEqual([]);
  }, 60_000);

  it("read whole with scripts off, and say what scripts would add", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, offline: true });
    const plain = await context.newPage();
    await plain.goto(addressOf("cells-to-sow", ""));
    const main = plain.locator("main");
    expect(await main.getByText("switch scripts on").isVisible()).toBe(true);
    expect(await main.locator("dl.keys").isVisible()).toBe(true);
    expect(await main.getByText("Working", { exact: true }).isVisible()).toBe(true);
    await context.close();
  });

  it("have no sideways scroll at 320 px", async () => {
    const narrow = await watchedPage(browser);
    await narrow.page.setViewportSize({ width: 320, height: 640 });
    for (const id of worksheets.keys()) {
      await narrow.page.goto(addressOf(id));
      await narrow.page.evaluate(() => {
        for (const details of document.querySelectorAll("details")) details.open = true;
      });
      const [wide, seen] = await narrow.page.evaluate(() => [
        document.documentElement.scrollWidth,
        document.documentElement.clientWidth,
      ]);
      expect(wide, id).toBeLessThanOrEqual(seen!);
    }
    await narrow.context.close();
  });
});

describe("a form", () => {
  it("answers anew as one types", async () => {
    await open("ec-reading", "?reading=812&scale=ppm500");
    // 812 ÷ 500 and 700 ÷ 500.
    expect(await answer().locator(".keys").textContent()).toContain("1.62");
    await field("Meter shows").fill("700");
    expect(await answer().locator(".keys").textContent()).toContain("1.4");
  });

  it("names the field that is wrong, in the worksheet's own words, and leads to it", async () => {
    await open("cells-to-sow");
    await field("Germination of the lot").fill("130");
    await field("Germination of the lot").blur();
    const sentence = "Unexpected 130, expected a number from 0 to 100, in %";
    expect(
      await page.locator(".field", { hasText: "Germination of the lot" }).locator(".fault").textContent(),
    ).toContain(sentence);
    expect(await field("Germination of the lot").getAttribute("aria-invalid")).toBe("true");
    expect(await answer().locator(".keys").count()).toBe(0);
    await page.keyboard.press("Enter");
    await workOut();
    expect(await page.evaluate(() => document.activeElement?.className)).toBe("faults");
    await answer().getByRole("link", { name: sentence }).click();
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("cells-to-sow-germinationPercent");
  });

  it("asks what a comma means, and never guesses", async () => {
    await open("cells-to-sow");
    await field("Plugs needed").fill("1,000");
    await field("Plugs needed").blur();
    expect(await answer().textContent()).toContain("1,000: did you mean 1000 or 1.000?");
    await page.getByRole("button", { name: "I mean 1000" }).click();
    expect(await field("Plugs needed").inputValue()).toBe("1000");
    expect(await answer().locator(".keys").count()).toBe(1);
  });

  it("takes a blank for not measured, never for nought", async () => {
    await open("meter-check", "?readHigh=-6&readLow=164");
    expect(await answer().textContent()).not.toContain("EC off its standard by0");
    await open("cells-to-sow", "?germinationPercent=72");
    expect(await answer().textContent()).toContain("Plugs needed: Unexpected nothing");
  });

  it("keeps its figures in the address, through a reload and the way back", async () => {
    await open("line-match", "?crops.0.id=mint&crops.0.ec.0=1&crops.0.ec.1=2&crops.0.ph.0=5.5&crops.0.ph.1=6.5");
    expect(await answer().locator(".keys").textContent()).toContain("1–2");
    await field("EC band to").first().fill("1.6");
    await expect.poll(() => page.url()).toContain("crops.0.ec.1=1.6");
    await page.reload();
    expect(await field("EC band to").first().inputValue()).toBe("1.6");
    const left = await answer().textContent();
    await page.getByRole("link", { name: "Front page" }).click();
    await page.goBack();
    await expect.poll(() => answer().textContent()).toBe(left);
  });

  it("adds and removes rows by keyboard alone", async () => {
    await open("germination-test", "?tests.0.up=36&tests.0.sown=50");
    await page.getByRole("button", { name: "Add: Test" }).press("Enter");
    await page.keyboard.type("44");
    await page.keyboard.press("Tab");
    await page.keyboard.type("50");
    // 80 of 100 came up in both tests together.
    expect(await answer().locator(".keys").textContent()).toContain("80");
    await page.getByRole("button", { name: "Remove" }).last().press("Enter");
    expect(await answer().locator(".keys").textContent()).toContain("72");
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe("INPUT");
  });

  it("shows no weight of a recipe that hard water refuses", async () => {
    await open("feed-recipe");
    await page.locator("select[data-preset='']").selectOption({ label: "the example" });
    const weights = await answer().locator(".weigh").allTextContents();
    expect(weights.length).toBe(5);
    await field("Calcium (Ca) in the water").fill("300");
    await field("Bicarbonate (HCO3) in the water").fill("317");
    expect(await answer().locator(".refusal").isVisible()).toBe(true);
    expect(await answer().locator(".weigh, .tub").count()).toBe(0);
    const said = (await answer().textContent()) ?? "";
    expect(said).toContain("No weights are shown");
    expect(said).not.toContain("g/m³");
    for (const weight of weights) expect(said).not.toContain(weight);
  });

  it("hides acid until a trained person says so, every time anew", async () => {
    await open("acid-dose");
    const volume = () => answer().locator(".keys").textContent();
    expect(await volume()).not.toContain("mL");
    await field("A trained person will do this").check();
    await expect.poll(() => page.url()).toContain("acid=");
    expect(page.url()).not.toContain("trainedPerson");
    await page.reload();
    expect(await field("A trained person will do this").isChecked()).toBe(false);
  });

  it("is typed and answered in the reader's units", async () => {
    await open("air-dryness", "?airTemp=20&humidity=60");
    const celsius = await answer().locator(".keys").textContent();
    await page.getByText("Units", { exact: true }).click();
    await page.getByLabel("Warmth").selectOption("°F");
    expect(await field("Air temperature").inputValue()).toBe("68");
    expect(await answer().locator(".keys").textContent()).toContain("°F");
    await field("Air temperature").fill("77");
    await expect.poll(() => page.url()).toContain("airTemp=25");
    expect(page.url()).toContain("units=mS.F.L.g");
    await page.reload();
    expect(await field("Air temperature").inputValue()).toBe("77");
    await field("Air temperature").fill("68");
    await page.getByText("Units", { exact: true }).click();
    await page.getByLabel("Warmth").selectOption("°C");
    expect(await answer().locator(".keys").textContent()).toBe(celsius);
  });

  it("is free of what axe finds, in both themes", async () => {
    const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
    for (const colorScheme of ["light", "dark"] as const) {
      const context = await browser.newContext({ offline: true, bypassCSP: true, colorScheme });
      const one = await context.newPage();
      for (const id of ["feed-recipe", "cells-to-sow"]) {
        await one.goto(addressOf(id, id === "cells-to-sow" ? "?need=x" : ""));
        await one.addScriptTag({ content: axe });
        const found = await one.evaluate(async () => {
          const { violations } = await (
            globalThis as unknown as {
              axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
            }
          ).axe.run();
          return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 200)).join(" | ")}`);
        });
        expect(found, `${id}, ${colorScheme}`).toEqual([]);
      }
      await context.close();
    }
  });

  it("works served at a path of a host", async () => {
    const served = await serve(join(folder, "staff"));
    const over = await watchedPage(browser, { online: true });
    await over.page.goto(`${served.address}worksheets/dilution.html?wanted=100&litres=60&bottle=5&bottleUnit=%25`);
    // 100 mg/L × 60 L ÷ 50 000 mg/L = 120 mL.
    expect(await over.page.locator(".keys").textContent()).toContain("120");
    expect(over.errors).toEqual([]);
    await over.context.close();
    await served.stop();
  });
});

describe("the book around the forms", () => {
  it("lets a feed be worked out anew on the feed's own page, with what differs in the address", async () => {
    const feed = fileAddress(folder, "staff/feeds/leaf-rain.html");
    await page.goto(feed);
    await page.locator("details.own > summary").click();
    const tank = page.getByLabel("Tank");
    const before = await answer().locator(".tub").first().textContent();
    await tank.fill(String(2 * Number(await tank.inputValue())));
    await expect.poll(() => page.url()).toMatch(/\?stock\.tankLitres=\d+$/);
    expect(await answer().locator(".tub").first().textContent()).not.toBe(before);
    await page.reload();
    expect(await tank.isVisible()).toBe(true);
  });

  it("leads from a crop to a sheet that has begun to be filled in", async () => {
    await page.goto(fileAddress(folder, "staff/crops/basil-sweet.html"));
    await page.getByRole("link", { name: worksheets.get("use-by")!.question }).click();
    await expect.poll(() => page.url()).toContain("shelfDays=");
    // The example that the page was printed with gives way to the crop's own figures; the day of cutting nobody knows yet.
    await expect.poll(() => field("Cut on").inputValue()).toBe("");
    expect(await field("Shelf days, tested in the house").inputValue()).not.toBe("");
  });

  it("prints a filled sheet with its cautions, answer, working and room for a name", async () => {
    await open("feed-recipe");
    const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");
    const document = await getDocument({ data: new Uint8Array(await page.pdf({ preferCSSPageSize: true })) }).promise;
    const texts: string[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const { items } = await (await document.getPage(number)).getTextContent();
      texts.push(items.map((item) => ("str" in item ? item.str : "")).join(" "));
    }
    const paper = texts.join(" ").replace(/\s+/g, " ");
    for (const words of ["A and B never meet", "Tub A", "Working", "Checked by", "mass balance"])
      expect(paper).toContain(words);
    expect(paper.indexOf("A and B never meet")).toBeLessThan(paper.indexOf("Tub A"));
    expect(paper).not.toContain("Work it out");
  });
});
