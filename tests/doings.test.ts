import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { beforeAll, describe, expect, it } from "vitest";
import type { Library } from "../generator/library.ts";
import { check, load } from "../generator/node.ts";
import { type Doing, doingsOf } from "../generator/supply/doings.ts";

/** A yard with one crop: seven days to come up, 10–14 in the tray, then the tower, longer in winter; cut from 20 days on. */
function yard(records: Readonly<Record<string, string>>, edition = "2027-04-12", latitude = "52°"): Library {
  const files = {
    "book.md": `name: Yard\nplace: Here\nlatitude: ${latitude}\ncontact: The slate\nedition: ${edition}\nsow: [Mon, Thu]\npost: [Mon, Tue, Wed]\nholidays: [2027-05-03]\ntransit: 2 days`,
    "crops/sorrel.md": `name: Sorrel
botanical: Rumex acetosa
kind: leaf
code: SOR
status: tried
reviewed: 2027-01-01
eaten: [leaves]
seed:
  count: 6
  standard: 90 %
stages:
  germination: { days: 7 days }
  tray: { days: 10–14 days }
  tower: { days: 20 days, winter: 30 days }
cutting:
  each: 50 g
  regrowth: 8–9 days
  window: 40–60 days
  most: 3`,
    "lots/one.md": "crop: sorrel\nbought: 2027-01-01\ntreated: no\nfood: yes",
    ...records,
  };
  const { library, files: read } = check(
    Object.entries(files).map(
      ([path, fields]) => new VFile({ path, value: `---\n${fields}\nsources:\n  common-practice: "*"\n---\n` }),
    ),
  );
  if (!library) throw new Error(read.flatMap(({ messages }) => messages.map(String)).join("\n"));
  return library;
}

const batch = (rest: string) => `code: SOR-27074-01-G\ncrop: sorrel\nlot: one\nsown: 2027-03-15\ncells: 100\n${rest}`;
const days = (library: Library, shelf?: string): readonly string[] =>
  doingsOf(library)
    .list.filter(({ of }) => shelf === undefined || of.shelf === shelf)
    .map(({ on, until, what, says }) =>
      [on, ...(until === on ? [] : [until]), what, ...(says.to ? [says.to] : [])].join(" "),
    );

describe("doingsOf(library) of a batch", () => {
  it("asks to count it on its day and to move it when the stage is over", () => {
    // 15 March + 6 days = 21 March; + 7 days = 22 March.
    expect(days(yard({ "batches/b.md": batch("") }))).toEqual(["2027-03-21 count", "2027-03-22 move tray"]);
  });
  it("gives the first and the last day of a stage that is a span", () => {
    // Moved on 10 April, in the tray for 10 to 14 days: 20 to 24 April.
    const moved = "counted: { on: 2027-03-22, up: 90 }\nmoves:\n  tray: { on: 2027-04-10, plants: 88 }";
    const { list } = doingsOf(yard({ "batches/b.md": batch(moved) }));
    expect(list).toEqual([
      {
        on: "2027-04-20",
        until: "2027-04-24",
        what: "move",
        crop: "sorrel",
        of: { shelf: "batches", id: "b" },
        says: { code: "SOR-27074-01-G", plants: 88, to: "tower" },
        basis: "common-practice",
      },
    ] satisfies readonly Doing[]);
  });
  it("counts the days of the half of the year in which the stage begins, and turns it round in the south", () => {
    const on = (day: string) => `counted: { on: 2027-03-22, up: 90 }\nmoves:\n  tower: { on: ${day}, plants: 80 }`;
    // 31 March is winter in the north: 30 days, 30 April. 1 April is summer: 20 days, 21 April.
    expect(days(yard({ "batches/b.md": batch(on("2027-03-31")) }))).toEqual(["2027-04-30 first-cut"]);
    expect(days(yard({ "batches/b.md": batch(on("2027-04-01")) }))).toEqual(["2027-04-21 first-cut"]);
    expect(days(yard({ "batches/b.md": batch(on("2027-04-01")) }, "2027-04-12", "-37°"))).toEqual([
      "2027-05-01 first-cut",
    ]);
  });
  it("asks for the next cut until it was cut as often as it may be, and says when the window closes", () => {
    const cut = (cuts: string) =>
      yard({ "batches/b.md": batch(`counted: { on: 2027-03-22, up: 90 }\ncuts:\n${cuts}`) });
    // 1 April + 8 to 9 days; the first cut + 60 days = 31 May.
    expect(days(cut("  2027-04-01: 500 g"))).toEqual(["2027-04-09 2027-04-10 next-cut", "2027-05-31 last-cut"]);
    expect(days(cut("  2027-04-01: 500 g\n  2027-04-05: 500 g\n  2027-04-09: 500 g"))).toEqual(["2027-05-31 last-cut"]);
  });
  it("is silent when it is closed, not yet sown, or when its crop has no such days", () => {
    expect(days(yard({ "batches/b.md": batch("closed: 2027-04-01") }))).toEqual([]);
    expect(days(yard({ "batches/b.md": batch("") }, "2027-03-14"))).toEqual([]);
  });
});

/** A line for the crop with one tower of so many tiers of four ports, fed as in the checker's sound book. */
function tower(tiers: number): Readonly<Record<string, string>> {
  const of = (path: string) =>
    /^---\n([\s\S]*?)\nsources:/.exec(
      readFileSync(fileURLToPath(new URL(`content/base/${path}.md`, import.meta.url)), "utf8"),
    )![1]!;
  const alike = ["feeds/leaf", "gear/dosing", "waters/rain"];
  const salts = ["calcium-nitrate", "magnesium-sulphate", "potassium-phosphate"].map((id) => `salts/${id}`);
  return {
    ...Object.fromEntries([...alike, ...salts].map((path) => [`${path}.md`, of(path)])),
    "gear/north.md": of("gear/north").replace(/^crops:.*$/m, "crops: [sorrel]"),
    "gear/mast.md": `kind: tower\nname: Mast\nline: north\ntiers: ${tiers}\nfaces: 4\nbottom: 0.4 m\npitch: 15 cm\nfed: top\nbase: 40 L`,
  };
}

describe("doingsOf(library) of an order", () => {
  const order = (kind: string, amount: string, rest: string) => ({
    "orders/o.md": `reference: one\nkind: ${kind}\ncrop: sorrel\namount: ${amount}\n${rest}`,
  });
  // Planted on 15 Mar, in winter: 30 days, cut from 14 Apr and for at least 40 days.
  const planted = (plants: number) => ({
    "batches/b.md": batch(`moves:\n  tower: { on: 2027-03-15, plants: ${plants} }`),
  });

  it("names each delivery of a standing order on its days, up to its last, and the batch that it is cut from", () => {
    // 900 g a week ÷ (7 ÷ 9 × 50 g × 0.92) = 25.2: 26 ports of the 30 that stand.
    const fields = order("cut", "900 g/week", "from: 2027-04-14\nto: 2027-04-23\ndays: [Tue, Fri]");
    const library = yard({ ...tower(10), ...fields, ...planted(30) });
    expect(days(library, "orders")).toEqual(["2027-04-16 cut", "2027-04-20 cut", "2027-04-23 cut"]);
    for (const { says } of doingsOf(library).list.filter(({ of }) => of.shelf === "orders"))
      expect(says).toEqual({ amount: "900 g/week", by: ["SOR-27074-01-G"] });
  });
  it("says what cannot be, for as long as it is wanted, and why", () => {
    // A new sowing takes 7 + 14 + 20 days from Mon 12 Apr: Sun 23 May.
    const library = yard({ ...tower(10), ...order("cut", "900 g", "from: 2027-05-14") });
    const [cannot, ...more] = doingsOf(library).list;
    expect(more).toEqual([]);
    expect(cannot).toMatchObject({ on: "2027-05-14", until: "2027-05-14", what: "cannot", of: { id: "o" } });
    expect(cannot!.says.why).toContain("Sun 23 May 2027");
    expect(cannot!.says.instead).toBe("No batch in hand would make it.");
    const standing = yard({ ...tower(10), ...order("cut", "900 g/week", "from: 2027-04-14\nto: 2027-04-23") });
    expect(days(standing)).toEqual(["2027-04-14 2027-04-23 cannot"]);
  });
  it("says from which day more stands on a line than it has ports", () => {
    // Ten tiers of four faces are 40 ports; 46 plants stand there today, and until 14 Apr + 40 days.
    const clash = doingsOf(yard({ ...tower(10), ...planted(46) })).list.find(({ what }) => what === "clash");
    expect(clash).toMatchObject({ on: "2027-04-12", of: { shelf: "gear", id: "north" } });
    expect(clash!.says.why).toContain("6 ports more");
    expect(doingsOf(yard({ ...tower(10), ...planted(40) })).list.filter(({ what }) => what === "clash")).toEqual([]);
  });
  it("posts plugs on the first posting day from which no holiday and no Sunday is on the way", () => {
    // Sat 1 May: Mon 3 May is a holiday; Tue 4 May arrives on Thu 6 May. Sown on Mon 12 Apr they are ready on 3 May.
    const library = yard(order("plug", "50 plugs", "from: 2027-05-01"));
    expect(days(library, "orders")).toEqual(["2027-04-12 sow", "2027-04-18 count", "2027-05-04 post"]);
  });
  it("sows on the last sowing day that is in time, and counts after it", () => {
    // 11 June less 7 + 14 + 20 days is 1 May, a Saturday: Thu 29 April, counted six days later. No batch is sown for it.
    const fields = { ...tower(10), ...order("cut", "900 g/week", "from: 2027-06-11\nto: 2027-06-18") };
    expect(days(yard(fields), "orders")).toEqual([
      "2027-04-29 sow",
      "2027-05-05 count",
      "2027-06-11 cut",
      "2027-06-18 cut",
    ]);
    // One is, and at the latest it is on the tower on 26 Apr and cut from 16 May to 25 June: nothing is left to sow.
    expect(days(yard({ ...fields, "batches/b.md": batch("order: o") }), "orders")).toEqual([
      "2027-06-11 cut",
      "2027-06-18 cut",
    ]);
  });
});

describe("doingsOf(library) of the demo book", () => {
  let library: Library;
  beforeAll(async () => {
    library = (await load(fileURLToPath(new URL("../content", import.meta.url)))).library!;
  });

  it("looks thirteen weeks ahead of the edition and no further", () => {
    const { from, until, list } = doingsOf(library);
    expect([from, until]).toEqual([library.book.fields.edition, "2027-07-11"]);
    expect(list.filter(({ on }) => on > until)).toEqual([]);
  });
  it("has the service of the pH pen on the day of its record", () => {
    const pen = doingsOf(library).list.filter(({ of }) => of.shelf === "gear" && of.id === "meter-ph");
    expect(pen).toEqual([
      { on: "2027-04-12", until: "2027-04-12", what: "service", of: { shelf: "gear", id: "meter-ph" }, says: {} },
    ]);
  });
  it("has the stock to mix on the day that the plan has drawn it, or six weeks after it was made", () => {
    const mixes = doingsOf(library).list.filter(({ what }) => what === "mix");
    expect(mixes.map(({ of }) => of.id)).toEqual(["tub-a", "tub-b"]);
    // Made on 29 March: no later than 10 May.
    for (const { on, says } of mixes) {
      expect(on > "2027-04-12" && on <= "2027-05-10", on).toBe(true);
      expect(says.litres).toBeGreaterThan(0);
    }
  });
  it("has the salt to order of which there is too little, and no salt that nobody counted", () => {
    const orders = doingsOf(library).list.filter(({ what }) => what === "order");
    expect(orders.map(({ of }) => of.id)).toEqual(["potassium-nitrate"]);
    for (const { of } of orders) expect(library.salts.get(of.id)!.fields.counted).toBeDefined();
  });
  it("is in the order of the days, and leads to records that there are", () => {
    const { list } = doingsOf(library);
    expect(list.map(({ on }) => on)).toEqual(list.map(({ on }) => on).toSorted());
    for (const { of } of list) expect(library[of.shelf].has(of.id), `${of.shelf}/${of.id}`).toBe(true);
  });
});
