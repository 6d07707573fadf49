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
stages:
  germination: { days: 7 days }
  tray: { days: 10–14 days }
  tower: { days: 20 days, winter: 30 days }
cutting:
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

describe("doingsOf(library) of an order", () => {
  const order = (kind: string, amount: string, rest: string) => ({
    "orders/o.md": `reference: one\nkind: ${kind}\ncrop: sorrel\namount: ${amount}\n${rest}`,
  });

  it("names each delivery of a standing order on its days, up to its last", () => {
    const library = yard(order("cut", "900 g/week", "from: 2027-04-14\nto: 2027-04-23\ndays: [Tue, Fri]"));
    expect(days(library, "orders")).toEqual(["2027-04-16 cut", "2027-04-20 cut", "2027-04-23 cut"]);
  });
  it("posts plugs on the first posting day from which no holiday and no Sunday is on the way", () => {
    // Sat 1 May: Mon 3 May is a holiday; Tue 4 May arrives on Thu 6 May.
    expect(days(yard(order("plug", "50 plugs", "from: 2027-05-01")), "orders")).toContain("2027-05-04 post");
  });
  it("sows on the last sowing day that is in time, and counts after it", () => {
    // 11 June less 7 + 14 + 20 days is 1 May, a Saturday: Thu 29 April, counted six days later. No batch is sown for it.
    const fields = order("cut", "900 g/week", "from: 2027-06-11");
    expect(days(yard(fields), "orders")).toEqual(["2027-04-29 sow", "2027-05-05 count", "2027-06-11 cut"]);
    // One is: nothing is left to sow.
    expect(days(yard({ ...fields, "batches/b.md": batch("order: o") }), "orders")).toEqual(["2027-06-11 cut"]);
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
  it("is in the order of the days, and leads to records that there are", () => {
    const { list } = doingsOf(library);
    expect(list.map(({ on }) => on)).toEqual(list.map(({ on }) => on).toSorted());
    for (const { of } of list) expect(library[of.shelf].has(of.id), `${of.shelf}/${of.id}`).toBe(true);
  });
});
