import { readFile } from "node:fs/promises";
import { join } from "node:path";
import axe from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { lookOver, watchPolicy } from "../hostile/look.ts";
import { fileAddress, openBrowser, type Watched, watchedPage } from "./browser.ts";
import { demo, folderOf } from "./built.ts";

let browser: Browser;
let basil = "";
beforeAll(async () => {
  browser = await openBrowser();
  basil = await readFile(join(demo, "crops/basil-sweet.md"), "utf8");
});
afterAll(() => browser?.close());

const address = (search = "?record=crops/basil-sweet") => `${fileAddress(folderOf("staff"), "edit.html")}${search}`;
/** The record with two slips, and lines that end as Windows ends them. */
const broken = () => windows(basil.replace("\nkind: herb", "\nkind: hreb").replace("\nstatus:", "\nstatsu:"));
const windows = (text: string) => text.replaceAll("\n", "\r\n");

async function opened(search?: string): Promise<Watched> {
  const watched = await watchedPage(browser);
  await watched.page.goto(address(search));
  return watched;
}

const pick = (page: Page, name: string, content: string | Buffer) =>
  page.setInputFiles("#edit-file", { name, mimeType: "text/markdown", buffer: Buffer.from(content as string) });
const part = (page: Page, name: string) => page.locator(`[data-edit="${name}"]`);
const field = (page: Page) => page.getByRole("textbox", { name: "Text of the record" });
const count = (page: Page, says: string) => expect.poll(() => part(page, "count").textContent()).toBe(says);
const typed = (page: Page, was: string, now: string) =>
  field(page).evaluate(
    (area: HTMLTextAreaElement, [was, now]) => {
      const from = area.value.indexOf(was!);
      area.focus();
      area.setSelectionRange(from, from + was!.length);
      document.execCommand("insertText", false, now!);
    },
    [was, now],
  );

async function saved(page: Page, press: string): Promise<{ readonly name: string; readonly text: string }> {
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: press, exact: true }).click(),
  ]);
  return { name: download.suggestedFilename(), text: await readFile(await download.path(), "utf8") };
}

describe("the page that changes a record", () => {
  it("says what the checker says, is mended by typing and by the nearest word, and gives the file back to the byte", async () => {
    const { page, context, requests, errors } = await opened();
    expect(await part(page, "wanted").textContent()).toBe("Pick “crops/basil-sweet.md” in your folder of records.");
    await pick(page, "basil-sweet.md", `\uFEFF${broken()}`);
    await count(page, "2 errors");
    const lines = basil.split("\n");
    const [kind, status] = [lines.indexOf("kind: herb") + 1, lines.findIndex((line) => /^status:/.test(line)) + 1];
    const says = await part(page, "problems").locator("li").allTextContents();
    expect(says[0]).toContain(`line ${kind}, column 7`);
    expect(says[0]).toContain(
      "Unexpected `hreb`, expected `leaf`, `herb`, `fruit`, `flower` or `micro`. Did you mean `herb`?",
    );
    expect(says[1]).toContain(`line ${status}, column 1`);
    expect(says[1]).toContain("Unexpected `statsu`, expected `status`. As it stands, nothing reads this line.");

    await page.getByRole("button", { name: "Put in “status”" }).click();
    await count(page, "1 error");
    await page.getByRole("button", { name: `line ${kind}, column 7` }).click();
    await page.keyboard.press("Shift+End");
    await page.keyboard.type("herb");
    await count(page, "Nothing is wrong in this record.");
    expect(await part(page, "state").textContent()).toContain("changed, not saved");
    expect(await part(page, "changes").locator("tr.in td.line").allTextContents()).toEqual([
      "kind: herb",
      lines[status - 1],
    ]);
    const file = await saved(page, "Save the changed file");
    expect(file.name).toBe("basil-sweet.md");
    expect(file.text).toBe(`\uFEFF${windows(basil)}`);
    expect(errors).toEqual([]);
    expect(requests.filter((url) => !/^(file|data|blob):/.test(url))).toEqual([]);
    await context.close();
  }, 60_000);

  it("changes one value by its box, and every other byte stays", async () => {
    const { page, context, errors } = await opened();
    await pick(page, "basil-sweet.md", windows(basil));
    await count(page, "Nothing is wrong in this record.");
    await part(page, "fields").locator('details[data-group="ec"] summary').click();
    const box = page.getByLabel("EC in mS/cm");
    const was = await box.inputValue();
    expect(basil).toContain(was);
    await box.fill("1.1–1.7 mS/cm");
    await expect.poll(() => field(page).inputValue()).toBe(basil.replace(was, "1.1–1.7 mS/cm"));
    await box.fill("1.1–1.7");
    await count(page, "1 error");
    expect(await part(page, "fields").locator(".fault:visible").textContent()).toContain("Unexpected `1.1–1.7`");
    expect(await box.getAttribute("aria-invalid")).toBe("true");
    await box.fill("");
    expect(await part(page, "fields").locator(".fault:visible").textContent()).toContain("Blank means not recorded");
    expect(await field(page).inputValue()).toContain("1.1–1.7");
    await typed(page, "1.1–1.7", "1.0–1.6 mS/cm");
    await expect.poll(() => box.inputValue()).toBe("1.0–1.6 mS/cm");
    await box.fill("1.2–1.6 mS/cm");
    const file = await saved(page, "Save the changed file");
    expect(file.text).toBe(windows(basil.replace(was, "1.2–1.6 mS/cm")));
    expect(errors).toEqual([]);
    await context.close();
  }, 60_000);

  it("keeps what is typed over a reload, offers it again, and throws it away at the second press only", async () => {
    const { page, context } = await opened();
    await pick(page, "basil-sweet.md", windows(basil));
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    await expect.poll(() => part(page, "state").textContent()).toContain("Kept in this browser");
    page.on("dialog", (dialog) => dialog.accept());
    await page.reload();
    expect(await part(page, "offers").textContent()).toContain("crops/basil-sweet.md, 2 lines differ");
    await page.getByRole("button", { name: "Take it up again" }).click();
    expect(await field(page).inputValue()).toBe(basil.replace("name: Sweet basil", "name: Sweetest basil"));
    expect((await saved(page, "Save the changed file")).text).toBe(
      windows(basil.replace("Sweet basil", "Sweetest basil")),
    );

    await page.reload();
    expect(await part(page, "offers").textContent()).toContain("handed to the browser");
    const drop = page.getByRole("button", { name: "Throw it away" });
    await drop.click();
    expect(await part(page, "offers").locator("li").count()).toBe(1);
    await page.getByRole("button", { name: "Really throw it away" }).click();
    expect(await part(page, "unsaved").isVisible()).toBe(false);
    await page.reload();
    expect(await part(page, "unsaved").isVisible()).toBe(false);
    await context.close();
  }, 60_000);

  it("forgets what was handed over once it has come to its place", async () => {
    const { page, context } = await opened();
    await pick(page, "basil-sweet.md", windows(basil));
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    const { text } = await saved(page, "Save the changed file");
    await page.reload();
    expect(await part(page, "unsaved").isVisible()).toBe(true);
    await pick(page, "basil-sweet.md", text);
    await expect.poll(() => part(page, "unsaved").isVisible()).toBe(false);
    await context.close();
  }, 60_000);

  it("asks before another file takes the place of one that is changed, and loses neither", async () => {
    const { page, context } = await opened();
    await pick(page, "basil-sweet.md", basil);
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    const other = await readFile(join(demo, "crops/basil-thai.md"), "utf8");
    await pick(page, "basil-thai.md", other);
    await page.getByRole("dialog").getByRole("button", { name: "Stay with crops/basil-sweet.md" }).click();
    expect(await field(page).inputValue()).toContain("Sweetest basil");
    await pick(page, "basil-thai.md", other);
    await page.getByRole("dialog").getByRole("button", { name: "Open basil-thai.md" }).click();
    await expect.poll(() => field(page).inputValue()).toBe(other);
    expect(await part(page, "told").textContent()).toContain("The page was asked for crops/basil-sweet.md");
    expect(await part(page, "offers").textContent()).toContain("crops/basil-sweet.md");
    await context.close();
  }, 60_000);

  it("refuses what it cannot hold, and what was open stays", async () => {
    const { page, context, errors } = await opened();
    await pick(page, "basil-sweet.md", basil);
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    const told = () => part(page, "told").textContent();
    await pick(page, "latin.md", Buffer.from([0x2d, 0x2d, 0x2d, 0x0a, 0xe9, 0x0a]));
    await expect.poll(told).toContain("latin.md is not text in UTF-8, so it was not opened");
    await pick(page, "huge.md", "x".repeat(4_100_000));
    await expect.poll(told).toContain("larger than 4 MB");
    expect(await field(page).inputValue()).toContain("Sweetest basil");
    expect(errors).toEqual([]);
    await context.close();
  }, 60_000);

  it("tells a file of another kind, a file that is no record, and one of a kind that it cannot know", async () => {
    const { page, context, errors } = await opened("");
    const told = () => part(page, "told").textContent();
    const feed = await readFile(join(demo, "feeds/leaf-rain.md"), "utf8");
    await pick(page, "leaf-rain.md", feed);
    await expect.poll(told).toContain("Taken for a record of “feeds/”");
    await count(page, "Nothing is wrong in this record.");
    await pick(page, "basil-sweet.md", feed);
    await expect.poll(told).toContain("this looks more like a record of “feeds/”");
    await pick(page, "shopping.txt", "milk\n");
    await expect.poll(told).toContain("does not end in “.md”");
    expect(await told()).toContain("This is no record");
    expect(await part(page, "count").textContent()).toContain("Say which kind of record this is");
    await page.getByLabel("Kind of record").selectOption("salts/");
    await count(page, "1 error");
    expect(await part(page, "problems").textContent()).toContain("Unexpected `milk`, expected `---` on the first line");
    expect(await part(page, "fields").textContent()).toContain("cannot be read");
    expect(errors).toEqual([]);
    await context.close();
  }, 60_000);

  it("holds a record with a field twice, and one of a megabyte", async () => {
    const { page, context, errors } = await opened();
    await pick(page, "basil-sweet.md", basil.replace("\nkind: herb", "\nkind: herb\nkind: leaf"));
    await count(page, "1 error");
    expect(await part(page, "problems").textContent()).toContain("Unexpected `kind`, expected each field once");
    const long = `${basil}\n${"A line of the notes that goes on for a while and then stops.\n".repeat(16_500)}`;
    await pick(page, "basil-sweet.md", long);
    await expect
      .poll(
        () =>
          field(page)
            .inputValue()
            .then(({ length }) => length),
        { timeout: 20_000 },
      )
      .toBe(long.length);
    expect(await part(page, "told").textContent()).toContain("its lines are not numbered");
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    await expect.poll(() => part(page, "state").textContent(), { timeout: 20_000 }).toContain("not saved");
    expect((await saved(page, "Save the changed file")).text).toBe(long.replace("Sweet basil", "Sweetest basil"));
    expect(errors).toEqual([]);
    await context.close();
  }, 90_000);

  it("takes a file that is dropped on it", async () => {
    const { page, context } = await opened();
    await page.evaluate((text) => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([text], "basil-sweet.md"));
      for (const type of ["dragover", "drop"])
        document.body.dispatchEvent(new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true }));
    }, basil);
    await count(page, "Nothing is wrong in this record.");
    await context.close();
  }, 60_000);
});

describe("a record saved in its place", () => {
  /** A browser's way to a file, on a disk that is a variable of the page. */
  const disk = (page: Page, text: string) =>
    page.addInitScript((text) => {
      const scope = globalThis as unknown as { disk: string; allow: string; showOpenFilePicker: unknown };
      scope.disk = text;
      scope.allow = "granted";
      let draft = "";
      const handle = {
        name: "basil-sweet.md",
        getFile: async () => new File([scope.disk], "basil-sweet.md"),
        queryPermission: async () => "prompt",
        requestPermission: async () => scope.allow,
        createWritable: async () => ({
          write: async (data: Uint8Array) => {
            draft = new TextDecoder("utf-8", { ignoreBOM: true }).decode(data);
          },
          close: async () => {
            scope.disk = draft;
          },
          abort: async () => {},
        }),
      };
      scope.showOpenFilePicker = async () => [handle];
    }, text);
  const onDisk = (page: Page) => page.evaluate(() => (globalThis as unknown as { disk: string }).disk);

  it("is written when nobody else wrote it, and never when somebody did", async () => {
    const { page, context } = await watchedPage(browser);
    const text = windows(basil);
    await disk(page, text);
    await page.goto(address());
    await page.locator("#edit-file").click();
    await count(page, "Nothing is wrong in this record.");
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    await page.getByRole("button", { name: "Save in its place" }).click();
    await expect.poll(() => part(page, "told").textContent()).toContain("stands in its place");
    expect(await onDisk(page)).toBe(text.replace("Sweet basil", "Sweetest basil"));
    expect(await part(page, "state").textContent()).toContain("saved in its place");
    expect(await page.evaluate(() => localStorage.length)).toBe(0);

    await typed(page, "name: Sweetest basil", "name: Basil");
    await page.evaluate(() => {
      (globalThis as unknown as { disk: string }).disk += "Another's line.\r\n";
    });
    await page.getByRole("button", { name: "Save in its place" }).click();
    await expect.poll(() => part(page, "told").textContent()).toContain("changed on the disk since it was opened");
    expect(await onDisk(page)).toBe(`${text.replace("Sweet basil", "Sweetest basil")}Another's line.\r\n`);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("Save it under another name");
    const other = await saved(page, "Save it under another name");
    expect(other.name).toBe("basil-sweet-changed.md");
    expect(other.text).toBe(text.replace("name: Sweet basil", "name: Basil"));
    await context.close();
  }, 60_000);

  it("is left alone when the browser may not write it", async () => {
    const { page, context } = await watchedPage(browser);
    await disk(page, basil);
    await page.goto(address());
    await page.locator("#edit-file").click();
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    await page.evaluate(() => {
      (globalThis as unknown as { allow: string }).allow = "denied";
    });
    await page.getByRole("button", { name: "Save in its place" }).click();
    await expect.poll(() => part(page, "told").textContent()).toContain("may not write crops/basil-sweet.md");
    expect(await onDisk(page)).toBe(basil);
    expect(await field(page).inputValue()).toContain("Sweetest basil");
    await context.close();
  }, 60_000);
});

describe("for everyone", () => {
  it("works where a browser keeps nothing, and says so", async () => {
    const { page, context, errors } = await watchedPage(browser);
    await page.addInitScript(() => {
      Object.defineProperty(globalThis, "localStorage", {
        get() {
          throw new DOMException("no", "SecurityError");
        },
      });
    });
    await page.goto(address());
    await pick(page, "basil-sweet.md", basil);
    await typed(page, "name: Sweet basil", "name: Sweetest basil");
    await expect.poll(() => part(page, "state").textContent()).toContain("This browser keeps nothing");
    expect((await saved(page, "Save the changed file")).text).toBe(basil.replace("Sweet basil", "Sweetest basil"));
    expect(errors).toEqual([]);
    await context.close();
  }, 60_000);

  it("says what to do with scripts off", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, offline: true });
    const page = await context.newPage();
    await page.goto(address());
    const main = page.locator("main");
    expect(await main.getByText("This page needs scripts").isVisible()).toBe(true);
    expect(await main.getByText("tierbook check").first().isVisible()).toBe(true);
    expect(await main.locator("textarea, button, input").filter({ visible: true }).count()).toBe(0);
    await context.close();
  });

  it("can be walked by keyboard alone, from the file to the problem, its word and the save", async () => {
    const { page, context } = await opened();
    await pick(page, "basil-sweet.md", broken());
    await count(page, "2 errors");
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe("TEXTAREA");
    const tabTo = async (says: string | RegExp) => {
      for (let presses = 0; presses < 40; presses++) {
        await page.keyboard.press("Tab");
        const here = await page.evaluate(() => document.activeElement?.textContent ?? "");
        if (typeof says === "string" ? here === says : says.test(here)) return;
      }
      throw new Error(`No way by Tab to ${says}`);
    };
    await tabTo(/^line \d+, column 7/);
    await page.keyboard.press("Enter");
    const place = await field(page).evaluate(
      (area: HTMLTextAreaElement) => area.value.slice(area.selectionStart).split("\n")[0],
    );
    expect(place).toBe("hreb");
    await tabTo("Put in “herb”");
    await page.keyboard.press("Space");
    await count(page, "1 error");
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe("TEXTAREA");
    await tabTo("Put in “status”");
    await page.keyboard.press("Enter");
    await count(page, "Nothing is wrong in this record.");
    await tabTo("Save the changed file");
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
    expect(await readFile(await download.path(), "utf8")).toBe(windows(basil));
    // The last of what was typed can be undone.
    await field(page).focus();
    await page.keyboard.press("Control+z");
    await count(page, "1 error");
    await context.close();
  }, 60_000);

  it.each(["light", "dark"] as const)(
    "has nothing that WCAG 2.2 AA would refuse, no sideways scroll at 320 px and nothing small to press, with problems shown, in the %s theme",
    async (colorScheme) => {
      const context = await browser.newContext({ colorScheme, viewport: { width: 320, height: 720 }, offline: true });
      const page = await context.newPage();
      await page.goto(address());
      await pick(page, "basil-sweet.md", broken().replace("## Keeping", "## Keping"));
      await count(page, "2 errors, 1 note");
      await page.evaluate(() => {
        for (const details of document.querySelectorAll("details")) details.open = true;
      });
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate(() =>
        window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
      );
      expect(violations.map(({ id, nodes }) => `${id} ${nodes[0]?.html.slice(0, 120)}`)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(320);
      const small = await page.locator("edit-record :is(button, input, select, summary, a)").evaluateAll((all) =>
        all
          .map((one) => ({ box: one.getBoundingClientRect(), text: one.outerHTML.slice(0, 80) }))
          .filter(({ box }) => box.height > 0 && box.height < 44)
          .map(({ text }) => text),
      );
      expect(small).toEqual([]);
      await context.close();
    },
    60_000,
  );

  it("draws its line numbers and marks where the browser's field has its lines", async () => {
    for (const width of [320, 1280]) {
      const context = await browser.newContext({ viewport: { width, height: 720 }, offline: true });
      const page = await context.newPage();
      await page.goto(address());
      await pick(page, "basil-sweet.md", broken());
      await count(page, "2 errors");
      const [lines, needed, drawn] = await page.evaluate(() => {
        const area = document.querySelector("textarea")!;
        const copy = document.querySelector<HTMLElement>("[data-copy]")!;
        const box = copy.getBoundingClientRect().height;
        area.style.height = "0";
        return [copy.children.length, area.scrollHeight, box] as const;
      });
      expect(lines).toBe(basil.split("\n").length);
      // The field wraps every line as its copy does: both are of one height.
      expect(Math.abs(needed - drawn)).toBeLessThan(2);
      const marks = await page.locator("[data-copy] .error span").allTextContents();
      expect(marks).toEqual(["hreb", "statsu"]);
      await context.close();
    }
  }, 60_000);

  it("shows a hostile record as text: nothing of it runs, nothing is asked for, the policy is never called upon", async () => {
    const { page, context, requests, errors } = await opened();
    await watchPolicy(page);
    await page.reload();
    const script = `<img src=x onerror="globalThis.ran=1"><script>globalThis.ran=1</script>`;
    const hostile = basil
      .replace(/^name: .*$/m, `name: '${script}'`)
      .replace(/^kind: .*$/m, `kind: '<svg onload="globalThis.ran=1">'`)
      .replace(/^status: .*$/m, `$&\n'"><b onclick="globalThis.ran=1">': 'javascript:globalThis.ran=1'`)
      .concat(`\n## ${script}\n\n[here](javascript:globalThis.ran=1) ${script}\n`);
    // By such a name it cannot know the kind, and says so with the name.
    const name = `<i onclick="globalThis.ran=1">.md`;
    await pick(page, name, hostile);
    await expect.poll(() => part(page, "state").textContent()).toContain(name);
    expect((await page.evaluate(lookOver, "ran")).odd).toEqual([]);
    await pick(page, "basil-sweet.md", hostile);
    await expect.poll(() => part(page, "problems").locator("li").count()).toBeGreaterThan(2);
    await typed(page, "Sweet", "Sour");
    for (const group of await part(page, "fields").locator("details summary").all()) await group.click();
    await typed(page, "edible", `${script} edible`);
    await expect.poll(() => part(page, "changes").textContent()).toContain("onerror");
    const { odd, text } = await page.evaluate(lookOver, "ran");
    expect(odd).toEqual([]);
    // It was shown, each as it is written: in the list of problems and in the list of changes.
    for (const written of [`<svg onload="globalThis.ran=1">`, "javascript:globalThis.ran=1", script])
      expect(text).toContain(written);
    expect(errors).toEqual([]);
    expect(requests.filter((url) => !/^(file|data|blob):/.test(url))).toEqual([]);
    await context.close();
  }, 60_000);

  it("is led to from each crop, and stands in the staff's edition alone", async () => {
    const { page, context } = await watchedPage(browser);
    await page.goto(fileAddress(folderOf("staff"), "crops/basil-sweet.html"));
    await page.getByRole("link", { name: "Change this record" }).click();
    expect(new URL(page.url()).search).toBe("?record=crops/basil-sweet");
    await expect.poll(() => part(page, "wanted").textContent()).toContain("crops/basil-sweet.md");
    await expect(readFile(join(folderOf("customer"), "edit.html"))).rejects.toThrow("ENOENT");
    await context.close();
  });
});
