import { mkdtemp, readdir, readFile, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../../generator/cli.ts";
import { load } from "../../generator/node.ts";
import { papers } from "../../generator/paper.ts";
import { sowingWeeks } from "../../generator/supply/sowing.ts";
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
  { what: "growing-on", id: "tomato-heritage-bed", pages: 1, size: [148, 210], body: 11, least: 7 },
  { what: "growing-on", id: "micro-celery-pot", pages: 1, size: [148, 210], body: 11, least: 7 },
  { what: "growing-on", id: "cucumber-soilless", pages: 1, size: [148, 210], body: 11, least: 7 },
  { what: "bench-card", id: "basil-sweet", pages: 1, size: [148, 210], body: 14, least: 7 },
  { what: "bench-card", id: "micro-mustard", pages: 1, size: [148, 210], body: 14, least: 7 },
  { what: "bench-card", id: "strawberry-alpine", pages: 1, size: [148, 210], body: 14, least: 7 },
  { what: "stock-mix", id: "leaf-rain", pages: 2, size: [210, 297], body: 11, least: 7 },
  { what: "stock-mix", id: "leaf-hard-mains", pages: 1, size: [210, 297], body: 11, least: 7 },
  { what: "sowing-list", id: "2027-W15", pages: 1, size: [297, 210], body: 11, least: 7 },
  { what: "tower-map", id: "towers", pages: 1, size: [210, 297], body: 11, least: 7 },
  { what: "labels", id: "pea-27091-01", pages: 1, size: [210, 297], body: 11, least: 11 },
  { what: "trial-report", id: "viola-plates", pages: 1, size: [210, 297], body: 11, least: 7 },
  { what: "trial-report", id: "basil-more-feed", pages: 1, size: [210, 297], body: 11, least: 7 },
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
    // On a stock mix most letters are the hazards beneath the names of the salts.
    if (what !== "stock-mix") expect(usual).toBeGreaterThanOrEqual(body);
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
    const codes = pages[0]!.words.filter(({ text }) => text.includes("PEA-27091-01-L"));
    expect(codes).toHaveLength(2);
    expect(Math.min(...codes.map(({ points }) => points))).toBeGreaterThanOrEqual(14);
  });

  it("shows no interval and no chance for a trial of one tower against one", async () => {
    const { text } = await paper("trial-report-basil-more-feed");
    expect(text).toContain("n = 1");
    expect(text).not.toMatch(/Chance of it|at least|at most/);
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
    [["growing-on", "parsly"], "There is no growing-on for parsly; did you mean parsley? See tierbook print --help\n"],
    [["labels", "--week", "2027-W15"], "--week goes with sowing-list, not with labels. See tierbook print --help\n"],
    [
      ["growing-on", "chives", "--batch", "PAR-27032-01-8"],
      "The batch PAR-27032-01-8 is parsley; print only its sheets with --batch. See tierbook print --help\n",
    ],
  ])("says of %j what is wrong", async (args, err) => {
    expect(await print(...args)).toEqual({ code: 2, out: "", err });
  });

  it("has a page in the book for every id, and an id for every page", async () => {
    const { library } = await load(demo);
    const weeks = sowingWeeks(library!).map(({ week }) => week);
    for (const [what, { edition, page, ids }] of Object.entries(papers)) {
      const wanted = ids(library!, weeks);
      for (const id of wanted) expect((await stat(join(folderOf(edition), page(id)))).isFile(), id).toBe(true);
      if (what === "emergency") continue;
      const built = await readdir(join(folderOf(edition), "sheets", what));
      expect(built.map((name) => name.replace(/\.html$/, "")).sort()).toEqual([...wanted].sort());
    }
  });
});

describe("sowing lists", () => {
  it("name the allergen, the lot's fitness for food and every tray of an order, in its week", async () => {
    // Mustard for Fri 11 Jun 2027 takes nine days: Wed 2 Jun, so it is sown on the Monday before, day 151 of the year.
    const html = await readFile(join(folderOf("staff"), "sheets/sowing-list/2027-W22.html"), "utf8");
    const text = html.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
    for (const words of ["31 May 2027", "Allergen: mustard", "food-use, untreated", "140 pots", "MUS-27151-01-"])
      expect(text).toContain(words);
    // 140 pots of which 93 % are fit to sell: 151, seven trays of 24.
    expect(text).toMatch(/ 151 7 .* to MUS-27151-07-/);
  });

  it("say of a promise that no sowing can keep why, and never date a sowing in the past", async () => {
    const html = await readFile(join(folderOf("staff"), "sheets/sowing-list/2027-W15.html"), "utf8");
    expect(html.replace(/<[^>]*>/g, " ")).toMatch(/Sweet basil, 1200 g.*19\s*days late/s);
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
