import * as fs from "node:fs/promises";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { get } from "node:http";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { VFile } from "vfile";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser } from "../generator/browser.ts";
import { main } from "../generator/cli.ts";
import { visible } from "../generator/commands/visible.ts";
import { pressOf, scrapsFolder } from "../generator/press.ts";
import { type Watching, watchBook } from "../generator/watch.ts";
import { contentSecurityPolicy } from "../site/policy.ts";
import { small } from "./fuzz/book.ts";
import { plantHostile } from "./hostile/book.ts";
import { lookOver, watchPolicy } from "./hostile/look.ts";
import { mark } from "./hostile/values.ts";

let around = "";
let press = "";
let browser: Browser;
let page: Page;
const open: Watching[] = [];
const asked: string[] = [];
const errors: string[] = [];

beforeAll(async () => {
  around = await mkdtemp(join(tmpdir(), "tierbook-hostile-watch-"));
  for (const { path, value } of plantHostile(small.map(({ path, text }) => new VFile({ path, value: text }))).files) {
    await fs.mkdir(dirname(join(around, "content", path)), { recursive: true });
    await writeFile(join(around, "content", path), String(value));
  }
  const made = await pressOf(await scrapsFolder());
  if ("trouble" in made) throw new Error(made.trouble);
  press = made.folder;
  browser = await openBrowser();
  page = await browser.newPage();
  page.on("request", (request) => asked.push(request.url()));
  page.on("dialog", (dialog) => {
    errors.push(`a dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  await watchPolicy(page);
}, 240_000);
afterAll(async () => {
  await browser?.close();
  for (const one of open) await one.stop();
  await rm(around, { recursive: true, force: true });
});

async function watching(from = press): Promise<Watching> {
  const content = join(around, "content");
  const lost = (error: Error) => void errors.push(String(error));
  const one = await watchBook({ content, audience: "staff", press: from, port: 0, looked: () => {}, lost });
  open.push(one);
  return one;
}

describe("a book of hostile values that is watched", { timeout: 240_000 }, () => {
  it("shows its values as text under the policy of a printed page, and shows the next page by itself", async () => {
    const { address } = await watching();
    const paths = small
      .map(({ path }) => path.replace(/\.md$/, ""))
      .filter((path) => /^(crops|trials|feeds|gear|guides)\/[\w-]+$/.test(path));
    const tags = new Set<string>();
    for (const path of ["", ...paths, "plan", "edit", "news", "sources", "glossary"]) {
      expect((await page.goto(address + path))!.status(), path).toBe(200);
      await page.locator("script[data-shown]").waitFor({ state: "attached" });
      const policies = page.locator('meta[http-equiv="content-security-policy" i]');
      expect(await policies.evaluateAll((all) => all.map((one) => one.getAttribute("content"))), path).toEqual([
        contentSecurityPolicy,
      ]);
      const { odd, text } = await page.evaluate(lookOver, mark);
      expect(odd, path).toEqual([]);
      for (const [tag] of text.matchAll(/hq\d+n\d+z/g)) tags.add(tag);
    }
    expect(tags.size).toBeGreaterThan(50);
    expect(errors).toEqual([]);
    expect(asked.filter((url) => !url.startsWith(address) && !url.startsWith("data:"))).toEqual([]);
  });

  it("tells of a hostile file, and of what is in it, as text, on the page and in the terminal", async () => {
    const { address } = await watching();
    const said: string[] = [];
    const world = {
      cwd: around,
      out: (text: string) => void said.push(text),
      err: (text: string) => void said.push(text),
    };
    const others = new Set(process.listeners("SIGTERM"));
    const command = main(["watch", "--content", "content", "--port", "0"], world);
    await expect.poll(() => said.join("\n"), { timeout: 60_000 }).toContain("Open http://localhost:");
    await page.goto(`${address}crops/basil`);
    const box = page.locator(".watch-wrong");
    // What ends an element, and what steers a terminal or turns the way of writing round.
    for (const name of [
      `x"><img src=x onerror="window.${mark}=1">.md`,
      "x<script>.md",
      "\u001b[31m\u202ex.md",
      "-->.md",
    ]) {
      const file = join(around, "content/glossary", name);
      await writeFile(
        file,
        `---\nterm: "</pre><img src=x onerror='window.${mark}=1'>"\naudience: "<svg onload=window.${mark}=1>\\e[31m"\n---\nWord.\n`,
      );
      await box.getByText("glossary/").first().waitFor();
      await expect.poll(() => box.textContent()).toContain("<svg onload=");
      expect((await box.textContent()) ?? "").toContain(name);
      expect(await box.evaluate((one) => [...one.querySelectorAll("*")].map(({ tagName }) => tagName))).toEqual([
        "P",
        ...Array(await box.locator("pre").count()).fill("PRE"),
      ]);
      expect((await page.evaluate(lookOver, mark)).odd, name).toEqual([]);
      await expect.poll(() => said.join("\n")).toContain(visible(name));
      await rm(file);
      await box.waitFor({ state: "detached" });
    }
    // Only the command is interrupted, not those around it.
    for (const end of process.listeners("SIGTERM")) if (!others.has(end)) end("SIGTERM");
    expect(await command).toBe(0);
    expect(said.join("\n")).not.toMatch(/(?!\n)\p{Cc}|[\u200e\u200f\u2028-\u202e\u2066-\u2069]/u);
    expect(errors).toEqual([]);
  });

  it("says as text why a page could not be made, on a page that may run nothing else", async () => {
    const odd = join(around, "press");
    await fs.mkdir(join(odd, "server"), { recursive: true });
    const message = `</p></head><img src=x onerror="window.${mark}=1"><script>window.${mark}=1</script>&lt;`;
    await writeFile(
      join(odd, "server/entry.mjs"),
      `const broken = () => { throw new Error(${JSON.stringify(message)}); };
       export const open = () => {}, cropOf = () => undefined, frameOf = (edition) => ({ edition }), ownEditions = () => broken;
       export const addresses = async () => ["/"], ownAddresses = () => [], page = async () => broken();`,
    );
    const { address } = await watching(odd);
    expect((await page.goto(address))!.status()).toBe(500);
    expect(await page.locator("p").first().textContent()).toBe(`This page could not be made. ${message}`);
    expect((await page.evaluate(lookOver, mark)).odd).toEqual([]);
    expect(await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content")).toContain(
      "default-src 'none'; script-src 'self';",
    );
    // The script of watching runs there as well.
    await page.locator("script[data-shown]").waitFor({ state: "attached" });
    expect(errors.filter((error) => !error.includes("status of 500"))).toEqual([]);
  });

  it("answers no other name than its own, and nothing of what is asked comes back as a page", async () => {
    const { address } = await watching();
    const { port } = new URL(address);
    const status = (host: string, path = "/") =>
      new Promise<number | undefined>((done, fail) => {
        get({ host: "127.0.0.1", port, path, headers: { host } }, (answer) => {
          answer.resume();
          done(answer.statusCode);
        }).on("error", fail);
      });
    expect(await status(`localhost:${port}`)).toBe(200);
    const others = [
      "localhost.elsewhere.example",
      `localhost@elsewhere.example:${port}`,
      "elsewhere.example",
      "127.0.0.1.elsewhere.example",
      "localhost:80:80",
      "[::ffff:127.0.0.1]",
    ];
    for (const host of others)
      for (const path of ["/", "/watch/events"]) expect(await status(host, path), host).toBe(403);
    for (const path of [
      "<script>alert(1)</script>",
      "%3Cscript%3E",
      "..%5c..%5cserver%5centry.mjs",
      "%2e%2e%2fserver/entry.mjs",
      "//elsewhere.example/x",
      "crops/%00",
    ]) {
      const answer = await fetch(new URL(`/${path}`.replace("///", "/.//"), address), { redirect: "manual" });
      expect([400, 404], path).toContain(answer.status);
      expect(await answer.text(), path).not.toMatch(/<script>alert|elsewhere/);
    }
    const answer = await fetch(address);
    expect(answer.headers.get("x-content-type-options")).toBe("nosniff");
    expect(answer.headers.get("cross-origin-resource-policy")).toBe("same-origin");
    expect(answer.headers.get("access-control-allow-origin")).toBeNull();
  });
});
