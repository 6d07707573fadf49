import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { build } from "esbuild";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { filesOf, makeFolderSafe } from "../../site/folder.ts";
import { keepOffline } from "../../site/offline.ts";
import { packedTexts, packSearch } from "../../site/pack.ts";
import { contentSecurityPolicy } from "../../site/policy.ts";
import { distance, nearest } from "../../site/search/near.ts";
import { answersOf, type Name, questionIn, ranked } from "../../site/search/rank.ts";
import { fileAddress, openBrowser, serve, watchedPage } from "../browser/browser.ts";

const made: string[] = [];
afterAll(() => Promise.all(made.map((folder) => rm(folder, { recursive: true, force: true }))));

async function site(files: Readonly<Record<string, string>>): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "book-"));
  made.push(folder);
  for (const [path, text] of Object.entries(files)) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), text);
  }
  return folder;
}

const read = (folder: string, path: string): Promise<string> => readFile(join(folder, path), "utf8");

describe("makeFolderSafe", () => {
  it("makes every address a relative one that names a file, at two depths", async () => {
    const folder = await site({
      "index.html": `<!doctype html><a href="/crops">Crops</a> <a href="/">Home</a> <a href="/crops/mint/?a=1&amp;b=2#cut">x</a>`,
      "crops.html": `<!doctype html><img src=/a.svg srcset="/a.svg 1x, /b.svg 2x"><object data='/a.svg'></object><form action="/crops"></form>`,
      "crops/mint.html": `<!doctype html><link rel="stylesheet" href="/s/s.css" crossorigin><a href="/">Home</a>\n\n<h2 id="cut">  Cut  </h2><a href="#cut">cut</a><video poster="/b.svg"></video><a href="../crops/">up</a><a href="mailto:a@b.example">m</a>`,
      "s/s.css": `/* url(/gone) */ @import "/s/t.css"; a { background: url("/a.svg") } b::after { content: "url(/gone)" }`,
      "s/t.css": "i { background: url(../b.svg) }",
      "a.svg": "<svg/>",
      "b.svg": "<svg/>",
    });
    await makeFolderSafe(folder);
    expect(await read(folder, "index.html")).toBe(
      `<!doctype html><a href="crops.html">Crops</a> <a href="index.html">Home</a> <a href="crops/mint.html?a=1&amp;b=2#cut">x</a>`,
    );
    expect(await read(folder, "crops.html")).toBe(
      `<!doctype html><img src="a.svg" srcset="a.svg 1x, b.svg 2x"><object data="a.svg"></object><form action="crops.html"></form>`,
    );
    expect(await read(folder, "crops/mint.html")).toBe(
      `<!doctype html><link rel="stylesheet" href="../s/s.css"><a href="../index.html">Home</a>\n\n<h2 id="cut">  Cut  </h2><a href="#cut">cut</a><video poster="../b.svg"></video><a href="../crops.html">up</a><a href="mailto:a@b.example">m</a>`,
    );
    expect(await read(folder, "s/s.css")).toBe(
      `/* url(/gone) */ @import "t.css"; a { background: url("../a.svg") } b::after { content: "url(/gone)" }`,
    );
    expect(await read(folder, "s/t.css")).toBe("i { background: url(../b.svg) }");
  });

  it("changes nothing the second time", async () => {
    const folder = await site({ "a/b.html": `<a href="/a/b">b</a>`, "index.html": `<a href="/a/b">b</a>` });
    await makeFolderSafe(folder);
    const first = await read(folder, "index.html");
    await makeFolderSafe(folder);
    expect(await read(folder, "index.html")).toBe(first);
  });

  it("leaves the addresses of 404.html, which answers at any depth", async () => {
    const folder = await site({ "404.html": `<a href="/">Home</a>`, "index.html": "home" });
    await makeFolderSafe(folder);
    expect(await read(folder, "404.html")).toBe(`<a href="/">Home</a>`);
  });

  it("names every page and link that leads nowhere, with the nearest that would do", async () => {
    const folder = await site({
      "index.html": `<a href="/crops/mnit">mint</a><a href="/crops/mint#cot">cut</a>`,
      "crops/mint.html": `<h2 id="cut">Cut</h2><img src="../../out.svg">`,
      "s.css": "a { background: url(/none.svg) }",
    });
    const refused = makeFolderSafe(folder);
    await expect(refused).rejects.toThrow(
      "index.html: Unexpected link `/crops/mnit`, expected a page or file of the book, such as `/crops/mint.html`",
    );
    await expect(refused).rejects.toThrow(
      "index.html: Unexpected link `/crops/mint#cot`, expected a place on `crops/mint.html`, such as `#cut`",
    );
    await expect(refused).rejects.toThrow("crops/mint.html: Unexpected link `../../out.svg`");
    await expect(refused).rejects.toThrow("s.css: Unexpected link `/none.svg`");
  });

  it("rewrites the address a page moved to", async () => {
    const folder = await site({
      "old/mint.html": `<meta http-equiv="refresh" content="0; url=/mint">`,
      "mint.html": "mint",
    });
    await makeFolderSafe(folder);
    expect(await read(folder, "old/mint.html")).toBe(`<meta http-equiv="refresh" content="0; url=../mint.html">`);
  });

  it("names what the policy of a page would leave undone", async () => {
    const policy = `<meta http-equiv="Content-Security-Policy" content="${contentSecurityPolicy}">`;
    const folder = await site({
      "a.html": `${policy}<style>a{}</style><p style="color: red" onclick="x()">a</p><script>x()</script>`,
      "b.html": `${policy}<script type="application/json">{}</script><p class="a">b</p>`,
      "c.html": `<p style="color: red">without a policy</p>`,
    });
    const refused = makeFolderSafe(folder);
    for (const part of ["inline `<style>`", "`style` on `<p>`", "`onclick` on `<p>`", "inline `<script>`"])
      await expect(refused).rejects.toThrow(`a.html: Unexpected ${part}`);
    await expect(refused).rejects.not.toThrow(/^[bc]\.html/m);
  });

  it("makes a module script and all that it imports one classic script", async () => {
    const folder = await site({
      "crops/mint.html": `<head><link rel="modulepreload" href="/_astro/shared.js"><script type="module" src="/_astro/entry.js"></script></head>`,
      "_astro/entry.js": `import { word } from "./shared.js"; document.title = word;`,
      "_astro/shared.js": `export const word = "ready";`,
    });
    await makeFolderSafe(folder);
    expect(await read(folder, "crops/mint.html")).toBe(`<head><script defer src="../_astro/entry.js"></script></head>`);
    const script = await read(folder, "_astro/entry.js");
    expect(script).toContain('"ready"');
    expect(() => new Function(script)).not.toThrow();
    expect(await filesOf(folder)).toEqual(["_astro/entry.js", "crops/mint.html"]);
  });
});

describe("ranked", () => {
  const name = (title: string, kind: string, names: readonly string[] = [], code = ""): Name => ({
    id: title,
    url: `${title}.html`,
    title,
    kind,
    code,
    names,
  });
  const names = [
    name("Cut herbs", "job", ["harvest"]),
    name("Yellow between veins", "symptom", ["chlorosis"]),
    name("Coriander", "crop", ["cilantro", "dhania"]),
    name("Pak choi", "crop", ["bok choy"]),
    name("Tray of mint", "tray", [], "MINT-07"),
    name("Mint", "crop", ["spearmint"]),
  ];
  const titles = (query: string, found: Record<string, number> = {}) =>
    ranked(
      query,
      names,
      Object.entries(found).map(([id, score]) => ({ id, score })),
    ).map(({ title }) => title);

  it("puts an exact code before a crop of that name", () => {
    expect(titles("mint 07", { Mint: 9 })[0]).toBe("Tray of mint");
    expect(titles("mint")[0]).toBe("Mint");
  });
  it("finds by other names, without accents, in the plural and by a part of a word", () => {
    expect(titles("Cilántro")).toEqual(["Coriander"]);
    expect(titles("mints")[0]).toBe("Mint");
    expect(titles("choy")).toEqual(["Pak choi"]);
    expect(titles("armint")).toEqual(["Mint"]);
  });
  it("takes one slip of a letter if no name fits, and no slip if one does", () => {
    expect(titles("corinader", { Mint: 1 })).toEqual(["Coriander", "Mint"]);
    expect(titles("spearmint", { "Pak choi": 1 })).toEqual(["Mint", "Pak choi"]);
  });
  it("puts a symptom before a job, and a name before a mention", () => {
    expect(titles("leaves", { "Cut herbs": 1, "Yellow between veins": 1 })[0]).toBe("Yellow between veins");
    expect(titles("coriander", { "Cut herbs": 50, Coriander: 1 })).toEqual(["Coriander", "Cut herbs"]);
  });
  it("of names alike puts the one with least besides what was typed first, and a part of a trade word among the text", () => {
    const some = [
      name("Thai basil", "crop", ["Ocimum basilicum var. thyrsiflorum"]),
      name("Sweet basil", "crop", ["Ocimum basilicum"]),
      name("Trade words", "words", ["Grey mould", "Basil oil"]),
      name("Strawberry", "crop"),
    ];
    const first = (query: string, found: readonly string[] = []) =>
      ranked(
        query,
        some,
        found.map((id) => ({ id, score: 1 })),
      )[0]!.title;
    expect(first("ocimum")).toBe("Sweet basil");
    expect(first("mould", ["Strawberry", "Trade words"])).toBe("Strawberry");
    expect(first("grey mould", ["Strawberry", "Trade words"])).toBe("Trade words");
  });
});

describe("questionIn", () => {
  const asking = {
    asked: { ec: ["feed strength", "ec"], sow: ["sowing temperature"], air: ["temperature"] },
    fillers: ["of"],
  };
  const basil: Name = {
    id: "a",
    url: "a.html",
    title: "Sweet basil",
    kind: "crop",
    code: "BAS",
    names: ["basil"],
    asked: "ec|EC|1.0–1.6 mS/cm|C|likes~lowest|Not below|10 °C|C|~sow|Sow at|20 °C|P|figures",
  };
  it("parts the name from the figure, the longest way to ask first, and takes no small words", () => {
    expect(questionIn("EC of basil", asking)).toEqual({ name: "basil", about: ["ec"] });
    expect(questionIn("basil sowing temperature", asking)).toEqual({ name: "basil", about: ["sow"] });
    expect(questionIn("ec", asking)).toBeUndefined();
    expect(questionIn("beckett", asking)).toBeUndefined();
  });
  it("is answered by a page of that name and no other, a figure without a place too", () => {
    const question = questionIn("basil sowing temperature", asking)!;
    expect(answersOf(basil, question)).toEqual([
      { about: "sow", label: "Sow at", text: "20 °C", basis: "P", place: "figures" },
    ]);
    expect(answersOf({ ...basil, title: "Mint", names: [] }, question)).toEqual([]);
  });
  it("puts the page that can answer before one that only has the words", () => {
    const other: Name = { ...basil, id: "b", title: "Meter", names: [], asked: "" };
    const names = [other, basil];
    const found = [{ id: "b", score: 9 }];
    expect(ranked("basil ec", names, found, questionIn("basil ec", asking))[0]).toBe(basil);
  });
});

describe("distance", () => {
  it("counts a letter added, taken, changed or swapped as one", () => {
    expect(["basils", "basi", "bazil", "bsail", "basil"].map((word) => distance("basil", word))).toEqual([
      1, 1, 1, 1, 0,
    ]);
  });
  it("is the same both ways and never more than the longer word", () => {
    expect(distance("kitten", "sitting")).toBe(3);
    expect(distance("sitting", "kitten")).toBe(3);
    expect(distance("", "mint")).toBe(4);
  });
});

describe("nearest", () => {
  it("finds a name by one of its words with a letter wrong", () => {
    expect(nearest("chio", ["Basil", "Pak choi", "Mint"], (name) => [name], 1)).toEqual(["Pak choi"]);
  });
});

const words = `{
  opening: "Opening", unbuilt: "Unbuilt", failed: "Failed", results: "Results",
  found: (pages, listed, query) => pages + " for " + query, nothing: (query) => "Nothing for " + query,
  also: (names) => "also " + names.join(", "), kinds: { crop: "Crop", symptom: "Symptom", job: "Job" },
}`;

const page = (depth: number, title: string, kind: string, names: string, body: string) => `<!doctype html>
<html lang="en-GB"><head><meta charset="utf-8"><title>${title}</title>
<meta http-equiv="Content-Security-Policy" content="${contentSecurityPolicy}">
<script type="module" src="/_astro/entry.js"></script></head>
<body><book-search><form action="/search" role="search"><label for="q">Find</label><input id="q" name="q" type="search"><button>Go</button></form>
<a data-nothing hidden href="/tell">Tell us</a></book-search>
<main data-pagefind-body data-kind="${kind}" data-names="${names}" data-pagefind-meta="kind[data-kind], names[data-names]">
<h1>${title}</h1>${body}<p>At depth ${depth}.</p></main></body></html>`;

const crops = ["Basil", "Mint", "Dill", "Chervil", "Fennel", "Lovage", "Sorrel"];

async function book(): Promise<string> {
  const { outputFiles } = await build({
    stdin: {
      contents: `import { defineSearch } from "./search.ts"; defineSearch(${words});`,
      resolveDir: join(import.meta.dirname, "../../site/search"),
    },
    bundle: true,
    format: "esm",
    write: false,
  });
  const folder = await site({
    "index.html": page(0, "Book", "", "", "<p>Begin here.</p>"),
    "search.html": page(0, "Find", "", "", "<p>All pages by name.</p>").replace("<book-search>", "<book-search open>"),
    "tell.html": page(0, "Tell us", "", "", "<p>What is missing.</p>"),
    "crops/coriander.html": page(
      1,
      "Coriander",
      "crop",
      "cilantro; dhania",
      `<h2 id="cut">When to cut</h2><p>Cut at fourteen centimetres &lt;b&gt; in the cool.</p><h2 id="keep">Keeping</h2><p>Fridge at four degrees.</p>`,
    ),
    "problems/deep/yellow.html": page(
      2,
      "Yellow between veins",
      "symptom",
      "chlorosis",
      "<p>Leaves of dill pale first.</p>",
    ),
    ...Object.fromEntries(
      crops.map((crop) => [
        `crops/${crop.toLowerCase()}.html`,
        page(1, crop, "crop", "", `<p>Sow ${crop} in a tray.</p>`),
      ]),
    ),
    "_astro/entry.js": outputFiles[0]!.text,
  });
  await makeFolderSafe(folder);
  await packSearch(folder);
  await keepOffline(folder, { name: "Book", shortName: "Book", language: "en-GB", icons: [] });
  return folder;
}

async function results(page: Page, query: string): Promise<readonly string[]> {
  await page.fill("#q", query);
  await page.waitForFunction(
    (query) => document.querySelector("[role=status]")?.textContent?.endsWith(` for ${query}`),
    query,
  );
  return page.$$eval("[role=option]", (options) => options.map((option) => option.textContent ?? ""));
}

describe("the packed search", () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([openBrowser(), book()]);
  });
  afterAll(() => browser?.close());

  it("has the same bytes when built again", async () => {
    const again = await book();
    const paths = await filesOf(folder);
    expect(await filesOf(again)).toEqual(paths);
    for (const path of paths) expect(await read(again, path), path).toBe(await read(folder, path));
  });

  it("can be read back, with the text of every page", async () => {
    const texts = (await packedTexts(folder)).map(({ text }) => text).join("\n");
    for (const said of [
      ...crops.map((crop) => `Sow ${crop} in a tray`),
      "fourteen centimetres",
      "dhania",
      "pale first",
    ])
      expect(texts).toContain(said);
    const scripts = (await filesOf(folder)).filter((path) => path.startsWith("pack/"));
    expect(new Set((await packedTexts(folder)).map(({ file }) => file))).toEqual(new Set(scripts));
  });

  it("finds from a plain folder, without a network and without an error", async () => {
    const { page, requests, errors } = await watchedPage(browser);
    await page.goto(fileAddress(folder, "problems/deep/yellow.html"));
    const globals = () => page.evaluate(() => Object.getOwnPropertyNames(window).filter((name) => !/^\d+$/.test(name)));
    const before = await globals();
    const [first, ...rest] = await results(page, "cilantro");
    expect(await globals()).toEqual(before);
    expect(first).toContain("Crop Coriander also cilantro");
    expect(await page.getAttribute("[role=option]", "href")).toBe(fileAddress(folder, "crops/coriander.html"));
    expect(rest).toEqual([]);
    const cut = await results(page, "centimetres");
    expect(cut[1]).toBe("When to cut Cut at fourteen centimetres <b> in the cool.");
    expect(await page.$$eval("mark", (marks) => marks.map((mark) => mark.textContent))).toContain("centimetres");
    await page.press("#q", "ArrowDown");
    await page.press("#q", "ArrowDown");
    expect(await page.getAttribute("#q", "aria-activedescendant")).toBe("search-1-1");
    await page.press("#q", "Enter");
    await expect.poll(() => page.url()).toBe(`${fileAddress(folder, "crops/coriander.html")}#cut`);
    expect(requests.filter((address) => !address.startsWith("file:"))).toEqual([]);
    expect(errors).toEqual([]);
    await page.context().close();
  });

  it("offers the nearest three, and a place to say so, if there is nothing", async () => {
    const { page } = await watchedPage(browser);
    await page.goto(fileAddress(folder, "index.html"));
    expect((await results(page, "fennle"))[0]).toContain("Fennel");
    expect(await page.isVisible("[data-nothing]")).toBe(false);
    const near = await results(page, "qloovuge");
    expect(near).toHaveLength(3);
    expect(near[0]).toContain("Lovage");
    expect(await page.getAttribute("[data-nothing]", "href")).toBe(
      `${fileAddress(folder, "tell.html")}?about=qloovuge`,
    );
    expect(await page.isVisible("[data-nothing]")).toBe(true);
    await page.press("#q", "Escape");
    expect(await page.isVisible("[role=listbox]")).toBe(false);
    expect(await page.isVisible("[data-nothing]")).toBe(false);
    expect(await page.getAttribute("#q", "aria-expanded")).toBe("false");
    await page.context().close();
  });

  it("sends a form from a folder, and shows what was asked", async () => {
    const { page, errors } = await watchedPage(browser);
    await page.goto(fileAddress(folder, "crops/mint.html"));
    await page.fill("#q", "chlorosis");
    await page.press("#q", "Enter");
    await page.waitForURL(`${fileAddress(folder, "search.html")}?q=chlorosis`);
    await page.waitForSelector("[role=option]");
    expect(await page.textContent("[role=option]")).toContain("Yellow between veins");
    expect(errors).toEqual([]);
    await page.context().close();
  });

  it("finds the same over http below a path, and with the server stopped", async () => {
    const queries = ["coriander", "cut", "yellow", "tray", "dill", "fourteen centimetres"];
    const ask = async (page: Page, count = queries.length) => {
      const answers: (readonly string[])[] = [];
      for (const query of queries.slice(0, count)) answers.push(await results(page, query));
      return answers;
    };
    const local = await watchedPage(browser);
    await local.page.goto(fileAddress(folder, "crops/mint.html"));
    const expected = await ask(local.page);
    await local.context.close();

    const { address, stop } = await serve(folder);
    const { page, context, errors, requests } = await watchedPage(browser, { online: true });
    try {
      await page.goto(`${address}crops/mint.html`);
      expect(await ask(page)).toEqual(expected);
      await page.waitForFunction(async () => (await navigator.serviceWorker.ready).active?.state === "activated");
      expect(requests.filter((request) => !request.startsWith(address))).toEqual([]);
    } finally {
      await stop();
    }
    for (const path of ["problems/deep/yellow.html", "crops/dill.html", ""]) {
      await page.goto(`${address}${path}`);
      expect(await ask(page, 2)).toEqual(expected.slice(0, 2));
    }
    expect(errors).toEqual([]);
    await context.close();
  });

  it("keeps the new edition and drops what is gone", async () => {
    const copy = await site({});
    await cp(folder, copy, { recursive: true });
    const { address, stop } = await serve(copy);
    const { page, context } = await watchedPage(browser, { online: true });
    const kept = () =>
      page.evaluate(async () => {
        const opened = await Promise.all((await caches.keys()).map((key) => caches.open(key)));
        const keys = await Promise.all(opened.map((cache) => cache.keys()));
        return keys.flat().flatMap(({ url }) => (url.endsWith("?pages") ? [] : new URL(url).pathname));
      });
    const ready = () => page.waitForFunction(() => navigator.serviceWorker.controller?.state === "activated");
    await page.goto(address);
    await ready();
    expect(await kept()).toContain("/yard/book/crops/sorrel.html");
    await rm(join(copy, "crops/sorrel.html"));
    await writeFile(
      join(copy, "crops/mint.html"),
      (await read(copy, "crops/mint.html")).replace("Sow Mint", "Plant Mint"),
    );
    await keepOffline(copy, { name: "Book", shortName: "Book", language: "en-GB", icons: [] });
    await page.reload();
    // It waits until it is asked for; then the one before it goes, as no other page is of that.
    await expect
      .poll(() => page.evaluate(async () => (await navigator.serviceWorker.ready).waiting?.state), { timeout: 15_000 })
      .toBe("installed");
    expect(await kept()).toContain("/yard/book/crops/sorrel.html");
    await page.evaluate(async () => (await navigator.serviceWorker.ready).waiting?.postMessage("show"));
    await ready();
    await page.reload();
    const left = async () => {
      await page.reload();
      return (await kept()).length;
    };
    await expect.poll(left, { timeout: 15_000 }).toBe((await filesOf(copy)).length - 1);
    expect(await kept()).not.toContain("/yard/book/crops/sorrel.html");
    await stop();
    await page.goto(`${address}crops/mint.html`);
    expect(await page.textContent("main")).toContain("Plant Mint");
    await context.close();
  });
});
