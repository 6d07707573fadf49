import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { fileAddress, openBrowser } from "./browser.ts";
import { folderOf } from "./built.ts";
import { type Paper, paperOf } from "./pdf.ts";

/** People with the book in a plain folder on a phone, far from any network: each story is walked from its first page. */
let browser: Browser;
let page: Page;
let asked: string[];
let taps: number;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser?.close());

beforeEach(async () => {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  await context.setOffline(true);
  page = await context.newPage();
  asked = [];
  taps = 0;
  context.on("request", (request) => asked.push(request.url()));
});
afterEach(async () => {
  expect(asked.length).toBeGreaterThan(0);
  expect(asked.filter((url) => !/^(file|data|blob):/.test(url))).toEqual([]);
  await page.context().close();
});

async function tap(target: Locator): Promise<void> {
  taps += 1;
  await target.tap();
}

const startAt = (edition: "staff" | "customer", file = "index.html") =>
  page.goto(`${fileAddress(folderOf(edition), "")}/${file}`);

/** Whether all of an element stands on the screen as it is, with nothing over it. */
function inSight(target: Locator): Promise<boolean> {
  return target.evaluate((element) => {
    const { top, bottom, left, right } = element.getBoundingClientRect();
    const over = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    return (
      top >= 0 &&
      bottom <= innerHeight &&
      left >= 0 &&
      right <= innerWidth &&
      (element.contains(over) || over?.contains(element) === true)
    );
  });
}

/** The words of an element as they are seen. */
async function seen(target: Locator): Promise<string> {
  return spaced((await target.allInnerTexts()).join(" "));
}

const spaced = (text: string) => text.replace(/[\s\u202f]+/g, " ");

const printed = async (): Promise<Paper> => paperOf(await page.pdf({ preferCSSPageSize: true, printBackground: true }));

describe("a new hire with the staff edition", () => {
  // content/crops/basil-sweet.md: stages.mister 9 days, its sign, tower next; cutting.height 8–10 cm.
  // content/batches/bas-27074-01.md: in the mister since 2027-04-05, nine days before 14 April.
  const wanted = [
    "Next move: mister to tower",
    "9",
    "days",
    "a brush of white roots as long as a finger, no droop an hour after misting stops",
    "BAS-27074-01-L from 14 Apr 2027",
  ];

  async function readsBasil(): Promise<void> {
    await expect.poll(() => page.url()).toContain("crops/basil-sweet.html");
    const [next, cut] = [page.locator(".keys > div").first(), page.locator(".keys > div").nth(1)];
    expect(await page.evaluate(() => scrollY)).toBe(0);
    const parts = [next.locator("dt"), next.locator("dd"), cut.locator("dt"), cut.locator("dd .figure")];
    for (const part of parts) expect(await inSight(part), await seen(part)).toBe(true);
    const said = await seen(next);
    for (const words of wanted) expect(said).toContain(words);
    expect(await seen(cut)).toMatch(/Cut height 8–10 cm/);
    // Each has the letter of what it rests on, and a word for it.
    for (const part of [next, cut]) {
      expect(await inSight(part.locator(".mark"))).toBe(true);
      expect(await seen(part.locator(".mark"))).toMatch(/^[PTCMD]$/);
      expect(await part.locator(".mark").getAttribute("aria-label")).toMatch(/^[A-Z][a-z ]+$/);
    }
  }

  it("finds basil's next move and its cut height by search in two taps", async () => {
    await startAt("staff");
    await tap(page.getByRole("combobox").first());
    await page.keyboard.type("basil");
    await tap(page.getByRole("option").filter({ hasText: "Sweet basil" }).first());
    await readsBasil();
    expect(taps).toBeLessThanOrEqual(2);
  });

  it("finds them by the list in three taps or fewer", async () => {
    await startAt("staff");
    await tap(page.getByRole("navigation", { name: "Book" }).getByRole("link", { name: "Crops" }).first());
    await expect.poll(() => page.url()).toContain("crops.html");
    await tap(page.locator("main").getByRole("link", { name: "Sweet basil" }).first());
    await readsBasil();
    expect(taps).toBeLessThanOrEqual(3);
  });
});

describe("somebody who has bought plugs", () => {
  it("chooses the pot once, finds it kept, and prints one side of A5 for it", async () => {
    await startAt("customer");
    await tap(
      page
        .locator("main")
        .getByRole("link", { name: /Sweet basil/ })
        .first(),
    );
    await expect.poll(() => page.url()).toContain("crops/basil-sweet.html");
    await tap(page.locator(".growing label", { hasText: "Pot" }));
    expect(await page.locator(".panel.pot").isVisible()).toBe(true);
    expect(await page.locator(".panel.bed").isVisible()).toBe(false);

    // Gone and come back, and on another plant's card.
    await page.goto(fileAddress(folderOf("customer"), "index.html"));
    for (const plant of ["basil-sweet", "parsley"]) {
      await page.goto(fileAddress(folderOf("customer"), `crops/${plant}.html`));
      expect(await page.getByRole("radio", { name: "Pot" }).isChecked(), plant).toBe(true);
      expect(await page.locator(".panel:visible").count(), plant).toBe(1);
      expect(await page.locator(".panel.pot").isVisible(), plant).toBe(true);
    }

    await page.goto(fileAddress(folderOf("customer"), "crops/basil-sweet.html"));
    await tap(page.locator(".panel.pot").getByRole("link", { name: "Pot, on one sheet to print" }));
    await expect.poll(() => page.url()).toContain("sheets/growing-on/basil-sweet-pot.html");
    const { pages, text } = await printed();
    expect(pages.map(({ millimetres }) => millimetres)).toEqual([[148, 210]]);
    const reach = (5 / 25.4) * 72;
    expect(pages[0]!.words.filter((word) => Math.min(word.left, word.right, word.bottom, word.top) < reach)).toEqual(
      [],
    );
    // content/crops/basil-sweet.md, “Growing on in a pot”, and what stands only in the soil bed's and the soilless words.
    expect(text).toContain("pot that is wide rather than deep");
    expect(text).toContain("hot, not thirsty");
    expect(text).not.toMatch(/sheltered corner|frost is well past|roots reach the water/);
    expect(text).not.toMatch(/supplier|mS\/cm|BAS-27|basil-2602|JVQ|estimated price/i);
  });
});

describe("the grower with hard water", () => {
  const answer = () => page.locator("[data-answer]");

  /** From the front page of the staff edition to the form of the leaf feed, on the hard mains. */
  async function asksForHardWater(): Promise<void> {
    await startAt("staff");
    await tap(page.getByRole("navigation", { name: "Book" }).getByRole("link", { name: "Feeds" }).first());
    await tap(page.locator("main").getByRole("link", { name: "Leaf line on rain" }).first());
    await expect.poll(() => page.url()).toContain("feeds/leaf-rain.html");
    await tap(page.locator("details.own > summary"));
    await page.locator('select[data-preset="water"]').selectOption({ label: "Mains water, hard" });
    // content/waters/mains-hard.md
    expect(await page.getByLabel("Calcium (Ca) in the water").inputValue()).toBe("118");
    expect(await page.getByLabel("Bicarbonate (HCO3) in the water").inputValue()).toBe("317");
  }

  async function blendsWithRain(): Promise<void> {
    await tap(answer().getByRole("link", { name: "Blend this water with rain" }));
    await expect.poll(() => page.url()).toContain("worksheets/water-blend.html");
    expect(await page.getByLabel("Calcium (Ca)", { exact: true }).first().inputValue()).toBe("118");
  }

  it("reads why the recipe cannot be, by how much, and what is nearest", async () => {
    await asksForHardWater();
    expect(await answer().locator(".weigh, .tub").count()).toBe(0);
    const why = await seen(answer().locator(".refusal"));
    // By hand: calcium nitrate for 130 − 118 mg/L brings 12 ÷ 0.19 × 0.155 = 9.8 mg/L of N, the water 4; phosphate takes
    // (40 ÷ 0.227) × 0.282 = 49.7 of the potassium, so potassium nitrate for 190 − 2 − 49.7 brings 138.3 ÷ 0.384 × 0.137 = 49.3.
    expect(why).toContain("N is short (63.1");
    expect(why).toContain("of 150 mg/L");
    expect(why).toContain("Nearest that can be");
    expect(why).toContain("Would help most: Magnesium nitrate");
    expect(why.indexOf("cannot")).toBeLessThan(why.indexOf("Nearest"));
  });

  it("goes on from the refusal to a blend, back to a recipe that holds, and to its own paper, a page a tub", async () => {
    await asksForHardWater();
    await blendsWithRain();
    // Bicarbonate of 61 mg/L at most, of 317 and 12: (61 − 12) ÷ (317 − 12) = 0.161 of mains. Calcium then: 21.5 mg/L.
    await expect.poll(() => seen(answer().locator(".keys"))).toContain("0.161");
    await tap(answer().getByRole("link", { name: "Use this water in the recipe" }));
    await expect.poll(() => page.url()).toContain("feeds/leaf-rain.html");
    await expect.poll(() => page.getByLabel("Calcium (Ca) in the water").inputValue()).toMatch(/^21\.[45]/);
    expect(Number(await page.getByLabel("Bicarbonate (HCO3) in the water").inputValue())).toBeCloseTo(61, 0);
    expect(await answer().locator(".refusal").count()).toBe(0);
    await expect.poll(inSightAfterArriving).toBe(true);

    // Some of the bicarbonate is to be met with acid: the recipe counts on what that brings.
    await page.getByLabel("Nitric acid in the feed").fill("0.5");
    const weights = await answer().locator(".weigh").allInnerTexts();
    await tap(answer().getByRole("link", { name: "Paper to weigh by" }));
    await expect.poll(() => page.url()).toContain("sheets/stock-mix/leaf-rain.html");

    // The very weights just worked out, and not those of the record.
    for (const weight of weights) expect(await page.locator(".grams").allInnerTexts()).toContain(weight);
    const recorded = await weightsOfRecord();
    expect(weights.filter((weight) => !recorded.includes(weight)).length).toBeGreaterThanOrEqual(2);
    expect(await seen(page.locator("main"))).toContain("not approved until someone signs for it");
    // Every salt of A and of B, iron and traces with them, has its three boxes; each page a place for second initials.
    for (const [letter, salts] of [
      ["A", ["Calcium nitrate", "Iron"]],
      ["B", ["Monopotassium phosphate", "Magnesium sulphate", "Potassium nitrate", "Manganese"]],
    ] as const) {
      const tub = page.locator(`[data-tub="${letter}"]`);
      expect(await seen(tub.locator("h1"))).toContain(`tub ${letter}`);
      expect(await tub.locator(".tub-head circle").count(), letter).toBe(letter === "A" ? 2 : 0);
      for (const salt of salts)
        expect(await tub.locator(".step.salt", { hasText: salt }).first().locator(".ticks i").count(), salt).toBe(3);
      expect(await seen(tub)).toContain("read back by a second person");
    }
  });

  it("shows no amount of acid before its stop box is ticked, and the caution before the amount on paper", async () => {
    await asksForHardWater();
    await blendsWithRain();
    await tap(answer().getByRole("link", { name: "Use this water in the recipe" }));
    await expect.poll(() => page.url()).toContain("feeds/leaf-rain.html");
    await page.getByLabel("Nitric acid in the feed").fill("0.5");
    await tap(answer().getByRole("link", { name: "Paper to weigh by" }));
    await expect.poll(() => page.url()).toContain("sheets/stock-mix/leaf-rain.html");

    const acid = page.locator(".acid");
    // Not into the tub with the iron.
    expect(await page.locator('[data-tub="B"] .acid').count()).toBe(1);
    expect(await seen(acid.locator(".amount"))).not.toMatch(/\d/);
    await acid.getByLabel("Strength of the bottle").fill("60");
    await acid.getByLabel("Density of the bottle").fill("1.37");
    expect(await seen(acid)).not.toMatch(/\d\s*mL/);
    expect((await printed()).text).not.toMatch(/Nitric acid[^.]*mL/);

    await tap(acid.getByText("A trained person has read this"));
    // By hand: 0.5 mmol/L × 3000 L = 1.5 mol; the bottle holds 1370 × 0.60 ÷ 63.012 = 13.05 mol/L: 115 mL.
    expect(await seen(acid.locator(".amount"))).toContain("115 mL for the tub of 30 L");

    const paper = await printed();
    expect(paper.pages.map(({ millimetres }) => millimetres)).toEqual([
      [210, 297],
      [210, 297],
    ]);
    const texts = paper.pages.map(({ words }) => spaced(words.map(({ text }) => text).join(" ")));
    expect(texts[0]).toContain("tub A");
    expect(texts[0]).not.toContain("tub B,");
    expect(texts[1]).toContain("tub B");
    expect(texts[0]).not.toContain("115 mL");
    expect(texts[1]!.indexOf("Acid into water")).toBeGreaterThan(0);
    expect(texts[1]!.indexOf("115 mL")).toBeGreaterThan(texts[1]!.indexOf("Acid into water"));
    const reach = (5 / 25.4) * 72;
    for (const { words } of paper.pages)
      expect(words.filter((word) => Math.min(word.left, word.right, word.bottom, word.top) < reach)).toEqual([]);
    // Nobody's word is kept: opened again, it is to be said anew.
    await page.reload();
    expect(await seen(page.locator(".acid .amount"))).not.toMatch(/\d/);
    expect(page.url()).not.toMatch(/trained|strength/);
  });

  it("gives no weights at all for an address that is no recipe, or one that is refused", async () => {
    await startAt("staff", "sheets/stock-mix/leaf-rain.html?water.Ca=lots");
    expect(await page.locator(".grams").count()).toBe(0);
    expect(await seen(page.locator("main"))).toContain("is no recipe");
    await startAt("staff", "sheets/stock-mix/leaf-rain.html?water.Ca=118&water.HCO3=317");
    expect(await page.locator(".grams").count()).toBe(0);
    expect(await seen(page.locator("main"))).toContain("Do not mix this");
  });

  async function inSightAfterArriving(): Promise<boolean> {
    return page.locator("#feed-recipe-answer").evaluate((heading) => {
      const { top } = heading.getBoundingClientRect();
      return top > -200 && top < innerHeight;
    });
  }

  async function weightsOfRecord(): Promise<readonly string[]> {
    const other = await page.context().newPage();
    await other.goto(fileAddress(folderOf("staff"), "sheets/stock-mix/leaf-rain.html"));
    const found = await other.locator(".grams").allInnerTexts();
    await other.close();
    return found;
  }
});
