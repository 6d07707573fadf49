import { createHash } from "node:crypto";
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, inject, it } from "vitest";
import { main } from "../../generator/cli.ts";
import { read } from "../../generator/node.ts";
import { filesOf } from "../../site/folder.ts";
import { building } from "../killing.ts";
import { fileAddress, openBrowser, serve, type Watched, watchedPage } from "./browser.ts";
import { folderOf, pagesOf } from "./built.ts";

const demo = fileURLToPath(new URL("../../content", import.meta.url));

let out = "";
let browser: Browser;

beforeAll(async () => {
  out = await mkdtemp(join(tmpdir(), "tierbook-again-"));
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await rm(out, { recursive: true, force: true });
});

describe("tierbook build", () => {
  it("says which files to open", () => {
    expect(inject("book").said).toContain(join("staff", "index.html"));
    expect(inject("book").said).toContain(join("customer", "index.html"));
  });

  it("gives the same bytes from the same records in another folder, zone, language, time and order of files", async () => {
    const content = join(out, "copied here");
    for (const path of (await filesOf(demo)).toReversed()) {
      await mkdir(dirname(join(content, path)), { recursive: true });
      await writeFile(join(content, path), await readFile(join(demo, path)));
    }
    const env = {
      TZ: "Pacific/Kiritimati",
      LANG: "tr_TR.UTF-8",
      LC_ALL: "tr_TR.UTF-8",
      NODE_OPTIONS: `--import ${new URL("elsewhere.mjs", import.meta.url)}`,
    };
    expect(await building(content, join(out, "second"), { env })).toMatchObject({ code: 0 });
    for (const edition of ["staff", "customer"] as const)
      expect(await digests(join(out, "second", edition))).toEqual(await digests(folderOf(edition)));
  }, 240_000);

  it("leaves the last good edition in place, and names record, field and file, when something private would get out", async () => {
    const before = await digests(folderOf("customer"));
    const files = await read(demo);
    const lot = files.find((file) => file.path.startsWith("lots/") && /^supplier: /m.test(String(file)))!;
    const supplier = /^supplier: (.+)$/m.exec(String(lot))![1];
    // What no allow-list can see: a private name written into a sentence that customers read.
    const content = join(out, "leaking");
    for (const file of files) {
      const spoilt = String(file).replace(/^summary: .*$/m, `summary: Sown from ${supplier} seed`);
      await mkdir(dirname(join(content, file.path)), { recursive: true });
      await writeFile(join(content, file.path), file.path === "guides/unpacking.md" ? spoilt : String(file));
    }
    const told: string[] = [];
    const world = { cwd: out, out: () => {}, err: (text: string) => void told.push(text) };
    const code = await main(
      ["build", "--content", content, "--out", inject("book").folder, "--edition", "customer"],
      world,
    );
    expect(code).toBe(1);
    expect(told.join("\n")).toContain(`${lot.path}: supplier is private and stands in customer/guides/unpacking.html`);
    expect(await digests(folderOf("customer"))).toEqual(before);
  }, 240_000);
});

describe.each(["staff", "customer"] as const)("the %s edition from a plain folder, without a network", (edition) => {
  let watched: Watched;
  beforeAll(async () => {
    watched = await watchedPage(browser);
  });
  afterAll(() => watched.context.close());

  it("finds basil by search", async () => {
    const { page } = watched;
    await page.goto(fileAddress(folderOf(edition), "index.html"));
    const box = page.getByRole("combobox").first();
    await box.click();
    await box.fill("basil");
    const first = page.getByRole("option").first();
    await first.waitFor();
    expect(await first.textContent()).toContain("Sweet basil");
    await box.press("ArrowDown");
    await box.press("Enter");
    await expect.poll(() => page.url()).toContain("crops/basil-sweet.html");
    expect(await page.getByRole("heading", { level: 1 }).textContent()).toContain("Sweet basil");
  });

  it("finds basil by the list", async () => {
    const { page } = watched;
    await page.goto(fileAddress(folderOf(edition), "crops.html"));
    await page.getByRole("link", { name: "Sweet basil" }).first().click();
    await expect.poll(() => page.url()).toContain("crops/basil-sweet.html");
  });

  it("opens every page without an error, a request outside its folder, or sideways scroll at 320 px", async () => {
    const { page, requests, errors } = watched;
    await page.setViewportSize({ width: 320, height: 640 });
    const wide: string[] = [];
    for (const file of await pagesOf(edition)) {
      await page.goto(fileAddress(folderOf(edition), file));
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      if (over > 0) wide.push(`${file} by ${over} px`);
    }
    expect(wide).toEqual([]);
    expect(requests.filter((url) => !url.startsWith("file:") && !url.startsWith("data:"))).toEqual([]);
    expect(errors).toEqual([]);
  }, 240_000);

  it("reads whole with scripts off", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, offline: true });
    const page = await context.newPage();
    await page.goto(fileAddress(folderOf(edition), "crops/basil-sweet.html"));
    for (const words of ["Ocimum basilicum", "Harden it for a week"]) {
      expect(await page.locator("main").getByText(words).first().isVisible(), words).toBe(true);
    }
    await context.close();
  });
});

describe("the customer edition", () => {
  it("has no page of what stays in the house", async () => {
    const pages = await pagesOf("customer");
    expect(pages.filter((name) => /^(feeds|salts|waters|gear|lots|batches|orders|trials)/.test(name))).toEqual([]);
    expect(pages).toContain("crops/basil-sweet.html");
  });

  it("served at a path of a host finds the same as from the folder", async () => {
    const served = await serve(folderOf("customer"));
    const over = await watchedPage(browser, { online: true });
    const plain = await watchedPage(browser);
    try {
      const found = async ({ page }: Watched, address: string) => {
        await page.goto(address);
        const box = page.getByRole("combobox").first();
        await box.click();
        await box.fill("cilantro");
        await page.getByRole("option").first().waitFor();
        return page.getByRole("option").allTextContents();
      };
      expect(await found(over, `${served.address}index.html`)).toEqual(
        await found(plain, fileAddress(folderOf("customer"), "index.html")),
      );
    } finally {
      await over.context.close();
      await plain.context.close();
      await served.stop();
    }
  });

  it("prints a crop on A5 paper with nothing cut off", async () => {
    const { page, context } = await watchedPage(browser);
    await page.goto(fileAddress(folderOf("customer"), "crops/parsley.html"));
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");
    const document = await getDocument({ data: new Uint8Array(pdf) }).promise;
    const first = await document.getPage(1);
    const [, , width, height] = first.view as [number, number, number, number];
    // A5 is 148 × 210 mm; a point is 1/72 inch.
    expect([Math.round((width / 72) * 25.4), Math.round((height / 72) * 25.4)]).toEqual([148, 210]);
    await context.close();
  });
});

async function digests(folder: string): Promise<Readonly<Record<string, string>>> {
  const files = await filesOf(folder);
  const entries = files.map(
    async (file) =>
      [
        file,
        createHash("sha256")
          .update(await readFile(join(folder, file)))
          .digest("hex"),
      ] as const,
  );
  return Object.fromEntries(await Promise.all(entries));
}
