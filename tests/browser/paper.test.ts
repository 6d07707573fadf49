import { mkdtemp, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openBrowser } from "../../generator/browser.ts";
import { main } from "../../generator/cli.ts";
import { weeksOf } from "../../generator/commands/print.ts";
import { load } from "../../generator/node.ts";
import { papers } from "../../generator/paper.ts";
import { bodyOf, checkCharacter } from "../../generator/science/labels.ts";
import { builtBook, demo, folderOf } from "./built.ts";
import { type Paper, paperOf } from "./pdf.ts";

let out = "";
beforeAll(async () => {
  out = await mkdtemp(join(tmpdir(), "tierbook-paper-test-"));
});
afterAll(() => rm(out, { recursive: true, force: true }));

/** Prints as a person would, from the book that is printed already. */
async function print(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: "", err: "" };
  const { folder } = await builtBook();
  const code = await main(["print", ...args, "--content", demo, "--book", folder, "--out", out], {
    cwd: out,
    out: (text) => {
      said.out += `${text}\n`;
    },
    err: (text) => {
      said.err += `${text}\n`;
    },
  });
  return { code, ...said };
}

/** A sheet that was printed. */
async function paper(name: string): Promise<Paper> {
  return paperOf(await readFile(join(out, `${name}.pdf`)));
}

/** What a sheet promises: its pages, its paper in mm, and the least size of its words and of its marks and imprint in points. */
const promises = [
  { what: "growing-on", id: "tomato-heritage-bed", pages: 1, size: [148, 210], body: 11, least: 8 },
  { what: "growing-on", id: "micro-celery-pot", pages: 1, size: [148, 210], body: 11, least: 8 },
  { what: "growing-on", id: "cucumber-soilless", pages: 1, size: [148, 210], body: 11, least: 8 },
  { what: "bench-card", id: "basil-sweet", pages: 1, size: [148, 210], body: 14, least: 8 },
  { what: "bench-card", id: "micro-mustard", pages: 1, size: [148, 210], body: 14, least: 8 },
  { what: "bench-card", id: "strawberry-alpine", pages: 1, size: [148, 210], body: 14, least: 8 },
  { what: "stock-mix", id: "leaf-rain", pages: 2, size: [210, 297], body: 11, least: 8 },
  { what: "stock-mix", id: "leaf-hard-mains", pages: 1, size: [210, 297], body: 11, least: 8 },
  { what: "sowing-list", id: "2027-W15", pages: 1, size: [297, 210], body: 11, least: 8 },
  { what: "pick-list", id: "2027-W21", pages: 1, size: [297, 210], body: 11, least: 8 },
  { what: "tower-map", id: "towers", pages: 1, size: [210, 297], body: 11, least: 8 },
  { what: "labels", id: "pea-27091-01", pages: 1, size: [210, 297], body: 11, least: 9 },
  { what: "emergency", id: "card", pages: 1, size: [210, 297], body: 13, least: 9 },
  { what: "trial-report", id: "viola-plates", pages: 1, size: [210, 297], body: 11, least: 8 },
  { what: "trial-report", id: "viola-plates-autumn", pages: 1, size: [210, 297], body: 11, least: 8 },
  { what: "trial-report", id: "basil-more-feed", pages: 1, size: [210, 297], body: 11, least: 8 },
  { what: "data-sheet", id: "viola-plates", pages: 1, size: [210, 297], body: 11, least: 8 },
] as const;

describe("tierbook print", () => {
  beforeAll(async () => {
    for (const what of new Set(promises.map(({ what }) => what))) {
      const ids = promises.filter((one) => one.what === what).map(({ id }) => id);
      const { code, err } = await print(what, ...ids);
      expect(code, err).toBe(0);
    }
  });

  it.each(promises)("$what $id keeps to its paper", async ({ what, id, pages, size, body, least }) => {
    const printed = await paper(`${what}-${id}`);
    expect(printed.pages.map(({ millimetres }) => millimetres)).toEqual(Array.from({ length: pages }, () => size));
    const words = printed.pages.flatMap((page) => page.words);
    expect(words.length).toBeGreaterThan(3);
    // Nothing within 5 mm of an edge, where home printers do not reach.
    const reach = (5 / 25.4) * 72;
    expect(words.filter((word) => Math.min(word.left, word.right, word.bottom, word.top) < reach)).toEqual([]);
    expect(Math.min(...words.map(({ points }) => points))).toBeGreaterThanOrEqual(least - 0.05);
    const letters = new Map<number, number>();
    for (const { text, points } of words) {
      const size = Math.round(points * 2) / 2;
      letters.set(size, (letters.get(size) ?? 0) + text.length);
    }
    const [usual] = [...letters].sort(([, a], [, b]) => b - a)[0]!;
    // On a stock mix most letters are the hazards beneath the names of the salts; two labels say less than the line above.
    if (what !== "stock-mix" && id !== "pea-27091-01") expect(usual).toBeGreaterThanOrEqual(body);
  });

  it("prints the four figures of a bench card in 24 points or more", async () => {
    const { pages } = await paper("bench-card-basil-sweet");
    // The record: EC 1.0–1.6 mS/cm, pH 5.5–6.5, air by day 20–25 °C, sixteen days in the flood tray.
    for (const figure of ["1.0–1.6", "5.5–6.5", "20–25", "16"]) {
      const [word] = pages[0]!.words.filter(({ text }) => text === figure);
      expect(word?.points, figure).toBeGreaterThanOrEqual(24);
    }
  });

  it("prints weights in 20 points or more, a tub a page, and nothing to weigh when the recipe is refused", async () => {
    const { pages } = await paper("stock-mix-leaf-rain");
    // By hand, for 3 m³: calcium (130 − 3) ÷ 0.19 g/m³ of calcium nitrate; manganese 0.5 ÷ 0.325 g/m³ of its sulphate.
    for (const [page, weight] of [
      [0, "2005.3"],
      [1, "4.6"],
    ] as const) {
      const [word] = pages[page]!.words.filter(({ text }) => text.trim() === weight);
      expect(word?.points, weight).toBeGreaterThanOrEqual(19.95);
      // No other figure stands in the way of a weight: what a scale cannot weigh is by volume, in the same place.
      for (const { text, points } of pages[page]!.words) if (points > 19) expect(text).not.toContain("kg");
    }
    const refused = await paper("stock-mix-leaf-hard-mains");
    expect(refused.text).toContain("Do not mix this");
    expect(refused.text).not.toMatch(/\d\s*k?g\b/);
    expect(refused.text).not.toMatch(/weighed/);
  });

  it("prints codes in 14 points or more, twice", async () => {
    const { pages } = await paper("labels-pea-27091-01");
    const codes = pages[0]!.words.filter(({ text, points }) => text.trim() === "PEA-27091-01-L" && points > 10);
    expect(codes).toHaveLength(2);
    expect(Math.min(...codes.map(({ points }) => points))).toBeGreaterThanOrEqual(14);
  });

  it("cuts no corner off a code on a label: its last sign is the one that checks it", async () => {
    const browser = await openBrowser();
    try {
      const tab = await browser.newPage();
      await tab.emulateMedia({ media: "print" });
      await tab.goto(pathToFileURL(join(folderOf("staff"), "sheets/labels/pea-27091-01.html")).href);
      const cuts = await tab
        .locator(".stickers .code")
        .evaluateAll((all) => all.map((one) => getComputedStyle(one).clipPath));
      expect(cuts.length).toBeGreaterThan(0);
      expect(new Set(cuts)).toEqual(new Set(["none"]));
    } finally {
      await browser.close();
    }
  });

  it("labels every tray that a week sows twice, with its check character, on labels of 99.1 × 38.1 mm", async () => {
    const { library } = await load(demo);
    const weeks = await weeksOf(library!);
    const { week, trays } = weeks.toSorted((a, b) => b.trays - a.trays)[0]!;
    expect(trays).toBeGreaterThan(1);
    expect(await print("labels", "--week", week)).toMatchObject({ code: 0 });
    const { pages } = await paper(`labels-${week}`);
    expect(pages).toHaveLength(Math.ceil((2 * trays) / 14));
    const codes = pages.map(({ words }) =>
      words.filter(({ text }) => /^[A-Z]{3}\d*-\d{5}-\d\d-[0-9A-Z]$/.test(text.trim())),
    );
    const counts = new Map<string, number>();
    for (const { text } of codes.flat()) counts.set(text.trim(), (counts.get(text.trim()) ?? 0) + 1);
    expect(counts.size).toBe(trays);
    const html = await readFile(join(folderOf("staff"), "sheets/labels", `${week}.html`), "utf8");
    for (const [code, count] of counts) {
      expect(count, code).toBe(2);
      expect(code.at(-1), code).toBe(checkCharacter(bodyOf(code.slice(0, -2))));
      // The square code says the same in plain text: the code, the crop, the day.
      expect(html).toMatch(new RegExp(`aria-label="[^"]*${code} [A-Z ]+ \\d{4}-\\d{2}-\\d{2}"`));
    }
    // In points: 38.1 mm down is 108, 101.6 mm across is 288.
    for (const page of codes) {
      expect(Math.min(...page.map(({ points }) => points))).toBeGreaterThanOrEqual(14);
      const [top, left] = [Math.min(...page.map(({ top }) => top)), Math.min(...page.map(({ left }) => left))];
      for (const word of page) {
        const across = (word.left - left) / 288;
        const down = (word.top - top) / 108;
        expect(Math.abs(across - Math.round(across))).toBeLessThan(0.01);
        // A label with a name of two lines or an allergen stands its code a little higher.
        expect(Math.abs(down - Math.round(down))).toBeLessThan(0.16);
      }
    }
  });

  it("puts what keeps people safe first on the emergency card, and leaves room for a pencil", async () => {
    const { text } = await paper("emergency-card");
    const order = ["People before plants", "Main switch", "Pump off", "Chemical splash", "Replaces:"];
    const places = order.map((words) => text.indexOf(words));
    expect(Math.min(...places)).toBeGreaterThanOrEqual(0);
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    for (const words of ["local emergency number", "safety sheet", "licensed electrician"])
      expect(text).toContain(words);
  });

  it("says on every kind of paper of which day it is, and what it replaces", async () => {
    for (const [name, replaced] of [
      ["growing-on-cucumber-soilless", "Replaces:"],
      ["bench-card-basil-sweet", "Replaces:"],
      ["stock-mix-leaf-rain", "Replaces"],
      ["sowing-list-2027-W15", "Replaces:"],
      ["tower-map-towers", "Replaces:"],
      ["labels-pea-27091-01", "Replaces:"],
      ["trial-report-viola-plates", "Replaces:"],
      ["data-sheet-viola-plates", "Replaces:"],
      ["emergency-card", "Replaces:"],
    ] as const) {
      const { text } = await paper(name);
      expect(text, name).toContain("12 Apr 2027");
      expect(text, name).toContain(replaced);
    }
  });

  it("shows no interval and no chance for a trial of one tower against one", async () => {
    const { text } = await paper("trial-report-basil-more-feed");
    expect(text).toContain("Plants in one base are one answer, however many there are");
    expect(text).toContain("Take 8 towers off the line");
    expect(text).not.toMatch(/[Cc]hance of|times in 100|95\s?%|less plain/);
  });

  it("puts losses first on a trial report, then values, then the interval, and names nobody who signed", async () => {
    const { text } = await paper("trial-report-viola-plates-autumn");
    const order = [
      "Worth changing for",
      "Losses",
      "Where they stood",
      "Every value",
      "How far apart",
      "In words",
      "What else differed",
      "How far it goes",
      "Decision",
      "old → new",
      "Next",
    ];
    const places = order.map((words) => text.indexOf(words));
    expect(Math.min(...places)).toBeGreaterThanOrEqual(0);
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    // One plant of A died in tower-8, as the record has it; the other seventeen are measured.
    expect(text).toMatch(/A 18 1 .* 17 /);
    expect(text).toContain("1 died");
    const { library } = await load(demo);
    const signed = library!.trials.get("viola-plates-autumn")!.fields.signed!;
    expect(text).not.toContain(signed.split(",")[0]);
  });

  it("gives every plant of a trial a line on its data sheet, by block and port, and none its treatment", async () => {
    const { text } = await paper("data-sheet-viola-plates");
    const { library } = await load(demo);
    const rows = Object.entries(library!.trials.get("viola-plates")!.fields.places!).flatMap(([block, ports]) =>
      Object.keys(ports).map((port) => `${block} ${port}`),
    );
    expect(rows).toHaveLength(24);
    const said = text.replace(/\s+/g, " ");
    for (const row of rows) expect(said, row).toContain(row);
    expect(said).not.toMatch(/tower-\d+ \d[NESW] [AB]\b/);
    expect(said.indexOf("Nobody tastes")).toBeLessThan(said.indexOf("tower-2"));
  });

  it("writes the batch and the last day to plant into the blanks, and the months of the south", async () => {
    // The parsley bears 6 days: one for packing leaves 5 after posting on Mon 19 Apr 2027. Sown Mar–Jul is Sep–Jan there.
    const { code, out: said } = await print(
      "growing-on",
      "parsley-bed",
      "--batch",
      "PAR-27032-01-8",
      "--posted",
      "2027-04-19",
      "--south",
      "--json",
    );
    expect(code).toBe(0);
    expect(JSON.parse(said)).toEqual({ written: [join(out, "growing-on-parsley-bed.pdf")] });
    const { text } = await paper("growing-on-parsley-bed");
    for (const words of ["PAR-27032-01-8", "1 Feb 2027", "19 Apr 2027", "Plant by Sat 24 Apr 2027", "Sep–Jan"])
      expect(text).toContain(words);
    expect(text).not.toContain("Mar–Jul");
  });

  it("gives the same bytes from the same records", async () => {
    const file = join(out, "tower-map-towers.pdf");
    const before = await readFile(file);
    await print("tower-map", "towers");
    expect((await readFile(file)).equals(before)).toBe(true);
  });

  it.each([
    [["bench-cards"], "There is no paper bench-cards; did you mean bench-card? See tierbook print --help\n"],
    [
      ["bench-card", "basil-swet"],
      "There is no bench-card for basil-swet; did you mean basil-sweet? See tierbook print --help\n",
    ],
    [
      ["emergency", "--edition", "customer"],
      "The customer edition has no emergency card: its guide is for staff. See tierbook print --help\n",
    ],
    [["growing-on", "parsly"], "There is no growing-on for parsly; did you mean parsley? See tierbook print --help\n"],
    [
      ["tower-map", "--week", "2027-W15"],
      "--week goes with sowing-list and pick-list and labels, not with tower-map. See tierbook print --help\n",
    ],
    [
      ["growing-on", "chives", "--batch", "PAR-27032-01-8"],
      "The batch PAR-27032-01-8 is parsley; print only its sheets with --batch. See tierbook print --help\n",
    ],
  ])("says of %j what is wrong", async (args, err) => {
    expect(await print(...args)).toEqual({ code: 2, out: "", err });
  });

  it("has a page in the book for every id, and an id for every page", async () => {
    const { library } = await load(demo);
    const weeks = await weeksOf(library!);
    for (const [what, { edition, page, ids }] of Object.entries(papers)) {
      const wanted = ids(library!, weeks);
      for (const id of wanted) expect((await stat(join(folderOf(edition), page(id)))).isFile(), id).toBe(true);
      if (what === "emergency") continue;
      const built = await readdir(join(folderOf(edition), "sheets", what));
      expect(built.map((name) => name.replace(/\.html$/, "")).sort()).toEqual([...wanted].sort());
    }
  });
});

describe("guides", () => {
  it("print short ones on A5, long ones on A4, two sides at most, in 11 points, and break between steps", async () => {
    const browser = await openBrowser();
    try {
      const tab = await browser.newPage();
      const sizes = new Set<number>();
      for (const name of (await readdir(join(folderOf("staff"), "guides"))).filter((file) => file.endsWith(".html"))) {
        await tab.goto(pathToFileURL(join(folderOf("staff"), "guides", name)).href);
        await writeFile(join(out, "guide.pdf"), await tab.pdf({ preferCSSPageSize: true }));
        const { pages, text } = await paper("guide");
        sizes.add(pages[0]!.millimetres[0]);
        expect(pages.length, name).toBeLessThanOrEqual(pages[0]!.millimetres[0] === 148 ? 1 : 2);
        expect(text, name).toContain("Replaces:");
        expect(text, name).toContain(`1 / ${pages.length}`);
        const letters = pages.flatMap(({ words }) => words);
        const small = letters.filter(({ points }) => points < 10.9).reduce((sum, { text }) => sum + text.length, 0);
        const all = letters.reduce((sum, { text }) => sum + text.length, 0);
        expect(small / all, name).toBeLessThan(0.25);
        await tab.emulateMedia({ media: "print" });
        const whole = await tab.evaluate(() =>
          [...document.querySelectorAll(".guide li")].every((step) => getComputedStyle(step).breakInside === "avoid"),
        );
        expect(whole, name).toBe(true);
        await tab.emulateMedia({});
      }
      expect([...sizes].sort()).toEqual([148, 210]);
    } finally {
      await browser.close();
    }
  }, 60_000);
});

describe("sowing lists", () => {
  it("name the allergen, the lot's fitness for food and every tray of an order, in its week", async () => {
    // Mustard for Fri 11 Jun 2027 takes nine days: Wed 2 Jun. Mon 31 May is a holiday: Thu 27 May, day 147 of the year.
    const html = await readFile(join(folderOf("staff"), "sheets/sowing-list/2027-W21.html"), "utf8");
    const text = html.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
    for (const words of ["Thu 27", "Allergen: mustard", "food-use, untreated", "140 pots", "MUS-27147-01-"])
      expect(text).toContain(words);
    // 140 pots of which 93 % are fit to sell: 151, seven trays of 24.
    expect(text).toMatch(/ 151 7 × 24 .* to MUS-27147-07-/);
  });

  it("say of a promise that no sowing can keep why, and never date a sowing in the past", async () => {
    const html = await readFile(join(folderOf("staff"), "sheets/sowing-list/2027-W15.html"), "utf8");
    expect(html.replace(/<[^>]*>/g, " ")).toMatch(/Salad rocket, 1100 g.*15\s*days late/s);
  });
});

describe("growing-on sheets", () => {
  it("are one for every crop and way of growing, of 220 words or fewer, and whole", async () => {
    const folder = join(folderOf("customer"), "sheets/growing-on");
    const names = await readdir(folder);
    expect(names.length).toBeGreaterThan(200);
    for (const name of names) {
      const html = await readFile(join(folder, name), "utf8");
      const [main = ""] = /<main[\s\S]*<\/main>/.exec(html) ?? [];
      // The imprint at the foot and words for screen readers alone are not read by whoever plants.
      const read = main.replace(/<footer[\s\S]*?<\/footer>|<span class="unseen">[^<]*<\/span>/g, " ");
      const words = read
        .replace(/<[^>]*>/g, " ")
        .split(/\s+/)
        .filter((word) => /[\p{L}\p{N}]/u.test(word));
      expect(words.length, name).toBeLessThanOrEqual(220);
      expect(words.length, name).toBeGreaterThan(100);
      const troubles = /<h2>Trouble<\/h2>(.*?)<\/section>/s.exec(main)?.[1]?.match(/<li>/g) ?? [];
      expect(troubles, name).toHaveLength(2);
      for (const heading of ["Today", "Growing", "First pick", "Trouble", "Eat", "Ask"])
        expect(read, `${name}: ${heading}`).toContain(`<h2>${heading}</h2>`);
      if (!name.endsWith("-soilless.html")) expect(read, name).not.toMatch(/\bEC\b|mS\/cm|\bpH\b/);
    }
  });

  it("name what must be declared", async () => {
    const html = await readFile(join(folderOf("customer"), "sheets/growing-on/micro-mustard-pot.html"), "utf8");
    expect(html.replace(/<[^>]*>/g, " ")).toMatch(/Allergen\s+mustard/);
  });
});
