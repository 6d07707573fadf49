import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { unzipSync } from "fflate";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../../generator/cli.ts";
import { read } from "../../generator/node.ts";
import { filesOf } from "../../site/folder.ts";
import { readPage } from "../../site/page.ts";
import { contentSecurityPolicy, refusedByPolicy } from "../../site/policy.ts";
import { plantHostile } from "../hostile/book.ts";
import { lookOver, watchPolicy } from "../hostile/look.ts";
import { mark, tagOf } from "../hostile/values.ts";
import { fileAddress, openBrowser, type Watched, watchedPage } from "./browser.ts";
import { demo, folderOf } from "./built.ts";

const editions = ["staff", "customer"] as const;
let around = "";
let browser: Browser;
let planted: ReadonlyMap<string, string>;

/** The folder of an edition of the hostile book. */
const hostileOf = (edition: string) => join(around, "out", edition);
const collapsed = (text: string) => text.replace(/\s+/g, " ").trim();

beforeAll(async () => {
  around = await mkdtemp(join(tmpdir(), "tierbook-hostile-"));
  const made = plantHostile(await read(demo));
  planted = new Map(made.planted.map(({ value }) => [tagOf(value), collapsed(value)]));
  for (const { path, value } of made.files) {
    await mkdir(dirname(join(around, "content", path)), { recursive: true });
    await writeFile(join(around, "content", path), String(value));
  }
  const said: string[] = [];
  const world = {
    cwd: around,
    out: (text: string) => void said.push(text),
    err: (text: string) => void said.push(text),
  };
  const code = await main(["build", "--content", "content", "--out", "out"], world);
  if (code !== 0) throw new Error(said.join("\n").slice(-4000));
  browser = await openBrowser();
}, 600_000);
afterAll(async () => {
  await browser?.close();
  await rm(around, { recursive: true, force: true });
});

describe("a book full of hostile values", () => {
  it("has thousands of them, in records of every kind", () => expect(planted.size).toBeGreaterThan(4000));

  it("writes nothing but its two folders, with plain names in them", async () => {
    expect((await readdir(around)).sort()).toEqual(["content", "out"]);
    expect((await readdir(join(around, "out"))).sort()).toEqual([...editions].sort());
    for (const edition of editions)
      for (const file of await filesOf(hostileOf(edition)))
        expect(file).toMatch(/^(?:[A-Za-z0-9_-][A-Za-z0-9._-]*\/)*[A-Za-z0-9_-][A-Za-z0-9._-]*$/);
  });

  it("has no private value of the records in the customers' folder but what they may read", async () => {
    // The guard of the build has looked already; this is that the build was not stopped by one that it took for another.
    expect(
      (await filesOf(hostileOf("customer"))).filter((file) => /^(?:orders|batches|trials|lots)/.test(file)),
    ).toEqual([]);
  });
});

describe("what is not a page of the hostile book", () => {
  it.each(editions)(
    "says nothing of the records: licences, manifest, worker and scripts of the %s edition",
    async (edition) => {
      const files = (await filesOf(hostileOf(edition))).filter((file) => !/\.html$|^pagefind\//.test(file));
      const words = files.filter((file) => /\.(?:txt|webmanifest|js|css|svg|json)$/.test(file));
      expect(words).toEqual(expect.arrayContaining(["licences.txt", "manifest.webmanifest", "sw.js"]));
      for (const file of words.filter((file) => !file.startsWith("pack/"))) {
        const text = await readFile(join(hostileOf(edition), file), "utf8");
        if (!file.endsWith(".webmanifest")) expect(text, file).not.toMatch(/hq\d+n\d+z|hostileMark|elsewhere\.example/);
        else {
          // The name of the book stands in it as a name, and no address comes of it.
          const { name, short_name, description, start_url, scope, icons, ...rest } = JSON.parse(text);
          expect([name, short_name, description].map((one) => typeof one)).toEqual(["string", "string", "string"]);
          expect(JSON.stringify([rest, start_url, scope, icons])).not.toMatch(/hq\d+n\d+z|elsewhere/);
          for (const address of [start_url, scope, ...icons.map(({ src }: { src: string }) => src)])
            expect(address).toMatch(/^(?!\/|\w+:)/);
        }
      }
    },
  );

  it("is packed under plain names in one folder, and each sheet alone runs nothing and asks for nothing", async () => {
    const said: string[] = [];
    const world = { cwd: around, out: () => {}, err: (text: string) => void said.push(text) };
    expect(await main(["pack", "--content", "content", "--out", "parcels"], world), said.join("\n")).toBe(0);
    const parcels = join(around, "parcels");
    const plain = /^(?:[A-Za-z0-9_-][A-Za-z0-9._-]*\/)*[A-Za-z0-9_-][A-Za-z0-9._-]*$/;
    for (const edition of editions) {
      const names = Object.keys(unzipSync(new Uint8Array(await readFile(join(parcels, `${edition}.zip`)))));
      expect(names.sort()).toEqual((await filesOf(hostileOf(edition))).map((file) => `${edition}/${file}`).sort());
      for (const name of names) expect(name).toMatch(plain);
    }
    const sheets = await readdir(join(parcels, "sheets"));
    expect(sheets.length).toBeGreaterThan(10);
    const { page, context, requests, errors } = await watchedPage(browser);
    await watchPolicy(page);
    for (const sheet of sheets) {
      expect(sheet).toMatch(plain);
      await page.goto(fileAddress(parcels, `sheets/${sheet}`));
      // Its own styles stand in it, and nothing of what a record says does.
      const styles = await page.locator("style").allTextContents();
      expect(styles.join("\n"), sheet).not.toMatch(/hq\d+n\d+z|elsewhere|@import/);
      const { odd, text } = await page.evaluate(lookOver, mark);
      expect(
        odd.filter((one) => one !== "<style>"),
        sheet,
      ).toEqual([]);
      expect(
        await page.locator("script, [src^='.'], link, a:not([href^='#'], [href^='tel:'], [href^='mailto:'])").count(),
        sheet,
      ).toBe(0);
      expect(text, sheet).toMatch(/hq\d+n\d+z/);
    }
    expect(errors).toEqual([]);
    expect(requests.filter((url) => !url.startsWith(fileAddress(parcels, "")) && !url.startsWith("data:"))).toEqual([]);
    await context.close();
  }, 600_000);
});

describe("the policy of every page", () => {
  it("lets a page run, load and send to nothing but files of the book", () => {
    const rules = new Map(
      contentSecurityPolicy.split("; ").map((rule) => [rule.split(" ")[0]!, rule.split(" ").slice(1)]),
    );
    expect(rules.get("default-src")).toEqual(["'none'"]);
    expect(rules.get("base-uri")).toEqual(["'none'"]);
    for (const [name, sources] of rules)
      for (const source of sources) {
        expect(["'none'", "'self'", "data:", "'wasm-unsafe-eval'"], name).toContain(source);
        if (source === "data:") expect(["img-src", "font-src"]).toContain(name);
      }
  });

  it.each(
    editions.flatMap((edition) => [
      ["demo", edition, () => folderOf(edition)] as const,
      ["hostile", edition, () => hostileOf(edition)] as const,
    ]),
  )(
    "stands first in every page of the %s %s edition, which has nothing that it refuses",
    async (_book, _edition, folder) => {
      const pages = (await filesOf(folder())).filter((file) => file.endsWith(".html"));
      expect(pages.length).toBeGreaterThan(200);
      for (const file of pages) {
        const text = await readFile(join(folder(), file), "utf8");
        const page = readPage(text);
        const policies = page.elements.filter(
          ({ properties }) => properties["http-equiv"]?.toLowerCase() === "content-security-policy",
        );
        expect(
          policies.map(({ properties }) => properties.content),
          file,
        ).toEqual([contentSecurityPolicy]);
        // Whatever loads stands below it.
        const before = text.slice(0, policies[0]!.tag.start);
        expect(before, file).not.toMatch(/<(?:script|link|img|style|body)\b/i);
        expect(refusedByPolicy(page), file).toEqual([]);
      }
    },
  );
});

describe.each(editions)("every page of the hostile %s edition", (edition) => {
  let watched: Watched;
  const dialogs: string[] = [];
  beforeAll(async () => {
    watched = await watchedPage(browser);
    watched.page.on("dialog", (dialog) => {
      dialogs.push(dialog.message());
      void dialog.dismiss();
    });
    await watchPolicy(watched.page);
  });
  afterAll(() => watched.context.close());

  it("shows its values as text: nothing runs, nothing is asked for, the policy is never called upon", async () => {
    const { page, requests, errors } = watched;
    const pages = (await filesOf(hostileOf(edition))).filter((file) => file.endsWith(".html") && file !== "404.html");
    const shown = new Set<string>();
    const broken = new Map<string, string>();
    for (const file of pages) {
      await page.goto(fileAddress(hostileOf(edition), file));
      const { odd, text } = await page.evaluate(lookOver, mark);
      expect(odd, file).toEqual([]);
      for (const [tag] of text.matchAll(/hq\d+n\d+z/g)) {
        const value = planted.get(tag);
        if (value === undefined) continue;
        if (seenIn(text, value)) shown.add(tag);
        else broken.set(tag, file);
      }
    }
    expect(dialogs).toEqual([]);
    expect(errors).toEqual([]);
    expect(
      requests.filter((url) => !url.startsWith(fileAddress(hostileOf(edition), "")) && !url.startsWith("data:")),
    ).toEqual([]);
    // Every value that is on some page is there whole on one.
    expect([...broken].filter(([tag]) => !shown.has(tag)).map(([tag, file]) => [file, planted.get(tag)])).toEqual([]);
    expect(shown.size).toBeGreaterThan(edition === "staff" ? 3500 : 2500);
  }, 600_000);

  it("is found by search, whose results are text", async () => {
    const { page, requests } = watched;
    await page.goto(fileAddress(hostileOf(edition), "index.html"));
    const box = page.getByRole("combobox").first();
    for (const query of [
      "basil-sweet",
      "script",
      `<img src=x onerror="window.${mark}=1">`,
      `hq"><svg onload=window.${mark}=1>`,
    ]) {
      await box.click();
      await box.fill(query);
      await page.waitForTimeout(600);
      const { odd } = await page.evaluate(lookOver, mark);
      expect(odd, query).toEqual([]);
    }
    await box.fill("script");
    await page.getByRole("option").first().waitFor();
    expect((await page.getByRole("option").allTextContents()).join("\n")).toMatch(/hq\d+n\d+z/);
    expect(dialogs).toEqual([]);
    expect(requests.filter((url) => url.includes("elsewhere"))).toEqual([]);
  });

  it("keeps to the words of an address as well", async () => {
    const { page } = watched;
    const payload = encodeURIComponent(`"><img src=x onerror=window.${mark}=1><script>window.${mark}=1</script>`);
    for (const file of ["index.html", "search.html", "worksheets/ec-reading.html", "crops/basil-sweet.html"])
      for (const address of [
        `?${payload}`,
        `?q=${payload}&reading=${payload}&units=${payload}`,
        `#${payload}`,
        `#q=${payload}`,
        `#reading=${payload}&scale=${payload}`,
      ]) {
        await page.goto(fileAddress(hostileOf(edition), file) + address);
        await page.waitForTimeout(50);
        expect((await page.evaluate(lookOver, mark)).odd, file + address).toEqual([]);
      }
    expect(dialogs).toEqual([]);
  });

  it("is harmless on paper: a PDF of it runs nothing and leads only where its words say", async () => {
    const { page } = watched;
    const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");
    const sheets =
      edition === "staff"
        ? ["crops/basil-sweet.html", "trials/viola-plates.html"]
        : ["sheets/growing-on/basil-sweet-pot.html", "crops/viola.html"];
    for (const file of sheets) {
      await page.goto(fileAddress(hostileOf(edition), file));
      const document = await getDocument({ data: new Uint8Array(await page.pdf({ preferCSSPageSize: true })) }).promise;
      expect(await document.getJSActions(), file).toBeNull();
      expect(await document.getOpenAction(), file).toBeNull();
      const text: string[] = [];
      for (let number = 1; number <= document.numPages; number++) {
        const one = await document.getPage(number);
        for (const { unsafeUrl = "", url = "" } of await one.getAnnotations())
          expect(`${unsafeUrl}${url}`, file).toMatch(/^(?:$|file:\/\/|https?:\/\/|mailto:)/);
        text.push(...(await one.getTextContent()).items.map((item) => ("str" in item ? item.str : "")));
      }
      expect(text.join(""), file).toContain("<script>");
    }
  });
});

/** Whether a text has a value whole; what begins a line may have a capital, and what stands in backticks is set apart. */
function seenIn(text: string, value: string): boolean {
  const plain = (words: string) => words.replaceAll("`", "").toLowerCase();
  return text.includes(value) || plain(text).includes(plain(value));
}
