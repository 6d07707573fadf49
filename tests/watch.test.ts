import { chmod, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { get } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser } from "../generator/browser.ts";
import { pressOf, scrapsFolder } from "../generator/press.ts";
import { type Look, type Watching, watchBook } from "../generator/watch.ts";
import { few } from "./few.ts";

let folder = "";
let book = "";
let browser: Browser;
let page: Page;
let watching: Watching;
const looks: Look[] = [];
const lost: Error[] = [];
const errors: string[] = [];

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-watch-"));
  book = await few(join(folder, "book"));
  const press = await pressOf(await scrapsFolder());
  if ("trouble" in press) throw new Error(press.trouble);
  watching = await watchBook({
    content: book,
    audience: "staff",
    press: press.folder,
    port: 0,
    looked: (look) => void looks.push(look),
    lost: (error) => void lost.push(error),
  });
  browser = await openBrowser();
  page = await browser.newPage();
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
});
afterAll(async () => {
  await browser?.close();
  await watching?.stop();
  await rm(folder, { recursive: true, force: true });
});

const basil = "crops/basil-sweet.md";
const text = (file = basil) => readFile(join(book, file), "utf8");
const write = (content: string, file = basil) => writeFile(join(book, file), content);
const heading = () => page.getByRole("heading", { level: 1 });
const wrong = () => page.locator(".watch-wrong");

describe("a book that is watched", { timeout: 60_000 }, () => {
  it("shows a page as it is asked for, and the next one as soon as its record is saved", async () => {
    await page.goto(`${watching.address}crops/basil-sweet`);
    expect(await heading().textContent()).toBe("Sweet basil");
    await write((await text()).replace(/^name: .*$/m, "name: Large basil"));
    await heading().filter({ hasText: "Large basil" }).waitFor();
    expect(looks.at(-1)).toEqual({ changed: [basil], wrong: [] });
    await page.goto(`${watching.address}crops.html`);
    expect(await page.getByRole("link", { name: "Large basil" }).count()).toBeGreaterThan(0);
    expect(errors).toEqual([]);
  });

  it("tells of a file that is half saved, and keeps the last good page until it is whole", async () => {
    await page.goto(`${watching.address}crops/basil-sweet`);
    const whole = await text();
    await write(whole.slice(0, 200));
    await wrong().getByText("crops/basil-sweet.md:1:1").waitFor();
    expect(await heading().textContent()).toBe("Large basil");
    await page.reload();
    await wrong().getByText("crops/basil-sweet.md:1:1").waitFor();
    expect(await heading().textContent()).toBe("Large basil");
    await write(whole.replace(/^name: .*$/m, "name: Small basil"));
    await heading().filter({ hasText: "Small basil" }).waitFor();
    expect(await wrong().count()).toBe(0);
  });

  it("tells of a record that is renamed away while others name it, and goes on when it is back", async () => {
    await page.goto(`${watching.address}gear/line-bucket`);
    await rename(join(book, "crops/tomato-cherry.md"), join(folder, "tomato-cherry.md"));
    await wrong().getByText("gear/line-bucket.md").first().waitFor();
    expect(looks.at(-1)!.changed).toEqual(["crops/tomato-cherry.md"]);
    await rename(join(folder, "tomato-cherry.md"), join(book, "crops/tomato-cherry.md"));
    await wrong().waitFor({ state: "detached" });
    expect(lost).toEqual([]);
  });

  it("tells of a file that is no text, and of one that cannot be read, and does not fall over", async () => {
    await page.goto(`${watching.address}crops/basil-sweet`);
    const whole = await text();
    await writeFile(join(book, basil), Buffer.from([0xff, 0xfe, 0x00, 0x41]));
    await wrong().getByText(basil).first().waitFor();
    await write(whole);
    await wrong().waitFor({ state: "detached" });
    await chmod(join(book, basil), 0);
    await rename(join(book, basil), join(book, "crops/basil-sweet.md.new"));
    await rename(join(book, "crops/basil-sweet.md.new"), join(book, basil));
    if (process.getuid?.() !== 0) await wrong().getByText(basil).first().waitFor();
    await chmod(join(book, basil), 0o644);
    await write(`${whole}\nA sentence more.\n`);
    await page.getByText("A sentence more.").first().waitFor();
    expect(lost).toEqual([]);
  });

  it("has a page for a crop that is added, and none for one that is taken away", async () => {
    const address = `${watching.address}crops/basil-bush`;
    expect((await page.goto(address))!.status()).toBe(404);
    const more = (await text()).replace(/^name: .*$/m, "name: Bush basil").replace(/^code: .*$/m, "code: BSH");
    await write(more.replace(/^(also|search|replaces): .*\n/gm, ""), "crops/basil-bush.md");
    await heading().filter({ hasText: "Bush basil" }).waitFor();
    await rm(join(book, "crops/basil-bush.md"));
    await heading().filter({ hasNotText: "Bush basil" }).waitFor();
    expect((await page.goto(address))!.status()).toBe(404);
  });

  it("answers this computer alone, and only from the book", async () => {
    expect(watching.address).toMatch(/^http:\/\/localhost:\d+\/$/);
    const asked = async (path: string, init?: RequestInit) =>
      (await fetch(new URL(path, watching.address), init)).status;
    expect(await asked("sheets/bench-card/basil-sweet")).toBe(200);
    expect(await asked("sheets/bench-card/no-such")).toBe(404);
    expect(await asked("%2e%2e/%2e%2e/server/entry.mjs")).toBe(404);
    expect(await asked("..%2fserver%2fentry.mjs")).toBe(404);
    expect(await asked("%ff")).toBe(400);
    expect(await asked("", { method: "POST" })).toBe(403);
    const { port } = new URL(watching.address);
    const status = await new Promise((done, fail) => {
      const asking = get({ host: "127.0.0.1", port, headers: { host: "elsewhere.example" } }, (answer) => {
        answer.resume();
        done(answer.statusCode);
      });
      asking.on("error", fail);
    });
    expect(status).toBe(403);
  });
});
