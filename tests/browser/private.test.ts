import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { VFile } from "vfile";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { weeksOf } from "../../generator/commands/print.ts";
import type { Library } from "../../generator/library.ts";
import { check, read } from "../../generator/node.ts";
import { papers } from "../../generator/paper.ts";
import { type Look, look, textsOf, textsOfPaper } from "../planted/looking.ts";
import { bytesOf, run, writeBook } from "../planted/printed.ts";
import { type Place, type Planted, plant } from "../planted.ts";
import { demo } from "./built.ts";

let out = "";
let planted: Planted;
let library: Library;

beforeAll(async () => {
  out = await mkdtemp(join(tmpdir(), "tierbook-private-"));
  // The emergency card is opened to customers, so that there is one of theirs to look through.
  const files = (await read(demo)).map(({ path, value }) => {
    const text =
      path === "guides/emergency.md" ? String(value).replace("audience: staff", "audience: everyone") : value;
    return new VFile({ path, value: text });
  });
  planted = plant(files);
  await writeBook(planted, join(out, "records"));
  const checked = check(await read(join(out, "records")));
  expect(checked.files.flatMap(({ messages }) => messages.filter(({ fatal }) => fatal === true).map(String))).toEqual(
    [],
  );
  library = checked.library!;
  expect(await run(out, "build", "--content", "records", "--out", "book")).toMatchObject({ code: 0, err: "" });
  expect(await run(out, "pack", "--content", "records", "--out", "parcels")).toMatchObject({ code: 0, err: "" });
});

afterAll(() => rm(out, { recursive: true, force: true }));

/** What stands in the files of a folder. */
async function lookIn(folder: string, wanted: (name: string) => boolean = () => true): Promise<Look> {
  const files = [...(await bytesOf(join(out, folder)))].filter(([name]) => wanted(name));
  expect(files.length, folder).toBeGreaterThan(0);
  return look(planted, textsOf(files));
}

/** What stands on sheets printed from the planted book, and all that is said on them. */
async function lookOnPaper(...args: readonly string[]): Promise<Look & { readonly said: string }> {
  const folder = `paper-${args.join("-")}`;
  const given = ["--content", "records", "--book", "book", "--out", folder];
  expect(await run(out, "print", ...args, ...given)).toMatchObject({ code: 0, err: "" });
  const sheets = [...(await bytesOf(join(out, folder)))];
  expect(sheets.length, args.join(" ")).toBeGreaterThan(0);
  const texts = await Promise.all(sheets.map(([name, bytes]) => textsOfPaper(name, bytes)));
  return { ...look(planted, texts.flat()), said: texts.flatMap((all) => all.map(({ text }) => text)).join("\n") };
}

describe("the planted book", () => {
  it("has canaries in every kind of place and of record", () => {
    const places = new Map<Place, number>();
    for (const { place } of planted.canaries) places.set(place, (places.get(place) ?? 0) + 1);
    expect(Object.fromEntries(places)).toEqual({
      "a private field": expect.toSatisfy((count: number) => count > 1500),
      "an unknown field": expect.toSatisfy((count: number) => count > 1500),
      "a key of the writer's own": expect.toSatisfy((count: number) => count > 10),
      "a price": expect.toSatisfy((count: number) => count > 40),
      initials: expect.toSatisfy((count: number) => count > 150),
      "an unknown heading": planted.files.filter(({ path }) => path.endsWith(".md")).length,
      "a private section": expect.toSatisfy((count: number) => count > 800),
      "a remark in the fields": expect.toSatisfy((count: number) => count > 2000),
      "a remark in the text": expect.toSatisfy((count: number) => count > 1500),
      "a remark among the links": planted.files.filter(({ path }) => path.endsWith(".md")).length,
      "the name of a record": planted.names.size,
      "the measurements of a trial": expect.toSatisfy((count: number) => count > 0),
      "the name of a file that is no record": planted.strays.length,
      "a file that is no record": planted.strays.length,
    });
    expect(planted.names.size).toBeGreaterThan(130);
    // Thirteen kinds, `book.md`, and the folders that hold no records.
    expect(new Set(planted.canaries.map(({ record }) => record.split("/")[0])).size).toBeGreaterThan(14);
  });
});

describe("customers meet no canary", () => {
  it("in any file of their edition, its search unpacked", async () => {
    const { found, beacons, texts } = await lookIn("book/customer");
    expect(found).toEqual([]);
    expect(texts).toBeGreaterThan(800);
    expect([...beacons].sort()).toEqual([...planted.beacons].sort());
  });

  it.each([
    ["pages", /^crops\/.*\.html$/],
    ["sheets", /^sheets\/.*\.html$/],
    ["the names that search knows", /^pack\/(?!.*pf_).*\.js$/],
    ["the index of the search", /pf_index\.js$/],
    ["the texts of the search", /pf_fragment\.js$/],
  ] as const)("in %s, where all words that they may read are seen", async (_what, name) => {
    const { found, beacons } = await lookIn("book/customer", (file) => name.test(file));
    expect(found).toEqual([]);
    expect(beacons.size).toBe(planted.beacons.length);
  });

  it("in the parcel, each file unpacked, or in a sheet that goes by message", async () => {
    const parcel = await lookIn("parcels", (name) => name === "customer.zip");
    const sheets = await lookIn("parcels/sheets");
    for (const { found, beacons } of [parcel, sheets]) {
      expect(found).toEqual([]);
      expect(beacons.size).toBe(planted.beacons.length);
    }
  });

  it("in what is exported for them", async () => {
    expect(await run(out, "export", "--content", "records", "--out", "figures")).toMatchObject({ code: 0, err: "" });
    for (const file of ["crops.json", "crops.csv"]) {
      const { found, beacons } = await lookIn("figures", (name) => name === file);
      expect(found).toEqual([]);
      expect(beacons.size, file).toBe(planted.beacons.length);
    }
  });

  it("in a calendar: there is none for them", async () => {
    const asked = ["export", "--calendar", "--edition", "customer", "--content", "records", "--out", "days"];
    const { code, out: said, err } = await run(out, ...asked);
    expect({ code, said }).toEqual({ code: 2, said: "" });
    expect(err).toContain("is for staff alone");
    expect([...(await bytesOf(join(out, "days"))).keys()]).toEqual([]);
    for (const folder of ["book/customer", "parcels/sheets", "figures"])
      expect([...(await bytesOf(join(out, folder))).keys()].filter((name) => name.endsWith(".ics"))).toEqual([]);
  });

  it("on their sheets as PDF files, in what is said of the files, or in their outlines", async () => {
    const some = ["parsley", "basil-sweet", "tomato-heritage", "micro-mustard"];
    const { found, beacons } = await lookOnPaper("growing-on", ...some);
    expect(found).toEqual([]);
    expect(beacons.size).toBe(some.length);
  });

  it("on the emergency card", async () => {
    const { found, said } = await lookOnPaper("emergency", "--edition", "customer");
    expect(found).toEqual([]);
    expect(said).toContain("People before plants");
  });

  it("on no paper but theirs", async () => {
    for (const what of Object.keys(papers).filter(
      (what) => papers[what]!.edition === "staff" && what !== "emergency",
    )) {
      const asked = ["--edition", "customer", "--content", "records", "--book", "book", "--out", "refused"];
      expect(await run(out, "print", what, ...asked), what).toMatchObject({ code: 2, out: "" });
    }
    expect([...(await bytesOf(join(out, "refused"))).keys()]).toEqual([]);
  });

  it("by the name of a file that only lies beside the records", async () => {
    const names = planted.strays.map(({ path }) => path.slice(path.lastIndexOf("/") + 1));
    for (const folder of ["book", "parcels"]) {
      const made = [...(await bytesOf(join(out, folder))).keys()].map((path) => path.slice(path.lastIndexOf("/") + 1));
      expect(made.filter((name) => names.includes(name))).toEqual([]);
    }
  });
});

/** Fails if anything that is for nobody was found, and if nothing that is for staff was: then the looking would be blind. */
function forStaff({ found }: Look): void {
  expect(found.filter(({ never }) => never)).toEqual([]);
  expect(found.length).toBeGreaterThan(0);
}

describe("the staff meet no canary of what is for nobody: prices, suppliers, people, remarks, unknown fields", () => {
  it("in any file of their edition, its search unpacked", async () => {
    const seen = await lookIn("book/staff");
    forStaff(seen);
    expect(seen.found.length).toBeGreaterThan(1000);
    for (const name of [/^pack\/.*pf_index\.js$/, /^pack\/.*pf_fragment\.js$/, /^crops\//, /^plan/])
      forStaff(await lookIn("book/staff", (file) => name.test(file)));
  });

  it("in their parcel, each file unpacked", async () => {
    forStaff(await lookIn("parcels", (name) => name === "staff.zip"));
  });

  it("in what is exported for them, or in their calendar", async () => {
    const given = ["--content", "records", "--out", "house"];
    expect(await run(out, "export", "--edition", "staff", ...given)).toMatchObject({ code: 0, err: "" });
    expect(await run(out, "export", "--calendar", ...given)).toMatchObject({ code: 0, err: "" });
    const files = [...(await bytesOf(join(out, "house"))).keys()];
    expect(files.sort()).toEqual(["crops.csv", "crops.json", "room-by-week.csv", "sowings.csv", "yard.ics"]);
    for (const file of files) {
      const { found, beacons } = await lookIn("house", (name) => name === file);
      expect(found.filter(({ never }) => never)).toEqual([]);
      expect(found.length + beacons.size, file).toBeGreaterThan(0);
    }
  });

  it.each(Object.keys(papers).filter((what) => papers[what]!.edition === "staff"))("on paper: %s", async (what) => {
    const ids = papers[what]!.ids(library, await weeksOf(library));
    const { found, beacons, said } = await lookOnPaper(what, ...ids.slice(0, 2));
    expect(found.filter(({ never }) => never)).toEqual([]);
    // The card for the wall names no record.
    if (what === "emergency") expect(said).toContain("People before plants");
    else expect(found.length + beacons.size).toBeGreaterThan(0);
  });
});

describe("a private name that is written where customers read", () => {
  /** What gets out, by where: the file that it is told with, and how it is written into the records. */
  const leaking: Readonly<Record<string, readonly [file: RegExp, record: string, spoil: (text: string) => string]>> = {
    "the title of a page": [
      /^crops\/parsley\.html$/,
      "crops/parsley.md",
      (text) => text.replace(/^name: .*$/m, "$& of SUPPLIER"),
    ],
    "a word of the search": [
      /^pack\/.+\.js$/,
      "guides/unpacking.md",
      (text) => text.replace(/^search:\n/m, "$&  - SUPPLIER\n"),
    ],
    "a sheet": [
      /^sheets\/growing-on\/sage-pot\.html$/,
      "crops/sage.md",
      (text) => text.replace(/^## Growing on in a pot\n+/m, "$&From SUPPLIER. "),
    ],
    "the list of what is kept offline": [/^sw\.js$/, "guides/frost-heat-late.md", (text) => text],
  };
  let supplier = "";
  let lot = "";

  beforeAll(async () => {
    const files = await read(demo);
    const found = files.find((file) => file.path.startsWith("lots/") && /^supplier: /m.test(String(file)))!;
    lot = found.path;
    supplier = /^supplier: (.+)$/m.exec(String(found))![1]!;
    const named = supplier.toLowerCase().replaceAll(" ", "-");
    const spoilt = files.map((file) => {
      const [, , spoil] = Object.values(leaking).find(([, record]) => record === file.path) ?? [];
      const text = spoil ? spoil(String(file)).replaceAll("SUPPLIER", supplier) : String(file);
      // A record of customers' own, called after the supplier.
      const path = file.path === "guides/frost-heat-late.md" ? `guides/${named}.md` : file.path;
      return new VFile({ path, value: text.replaceAll("guides/frost-heat-late", `guides/${named}`) });
    });
    await writeBook({ files: spoilt, strays: [] }, join(out, "leaking"));
  });

  /** Runs a command on the leaking records: it must end in 1 and leave `folder` byte for byte as it was. */
  async function refused(folder: string, ...args: readonly string[]): Promise<string> {
    const before = await bytesOf(join(out, folder));
    expect(before.size).toBeGreaterThan(0);
    const { code, out: said, err } = await run(out, ...args, "--content", "leaking", "--out", folder);
    expect({ code, said }).toEqual({ code: 1, said: "" });
    const after = await bytesOf(join(out, folder));
    expect([...after.keys()]).toEqual([...before.keys()]);
    for (const [name, bytes] of before) expect(Buffer.compare(after.get(name)!, bytes), name).toBe(0);
    return err;
  }

  it.each(["build", "pack"])(
    "stops %s, which names record, field and file, and leaves the last good files",
    async (command) => {
      const folder = command === "build" ? "book" : "parcels";
      const told = (await refused(folder, command, "--edition", "customer")).split("\n");
      const files = told
        .filter((line) => line.startsWith(`${lot}: supplier is private and stands in customer/`))
        .map((line) => /customer\/([^:]+):/.exec(line)![1]!);
      for (const [where, [file]] of Object.entries(leaking))
        expect(
          files.filter((name) => file.test(name)),
          where,
        ).not.toEqual([]);
    },
  );

  it("stops an export in the same way", async () => {
    const told = await refused("figures", "export");
    for (const file of ["crops.csv", "crops.json"])
      expect(told).toContain(`${lot}: supplier is private and would stand in ${file}: “${supplier}”`);
  });

  it("stops the printing of a sheet", async () => {
    const told = await refused(
      "paper-growing-on-parsley-basil-sweet-tomato-heritage-micro-mustard",
      "print",
      "growing-on",
      "sage-pot",
    );
    expect(told).toContain("something private would have reached customers");
  });
});
