import { describe, expect, it } from "vitest";
import { customerEdition, staffEdition } from "../generator/editions.ts";
import { leaks, partsOf, wordsOf } from "../generator/guard.ts";
import { bind, kindNames, type Library, type Shelves } from "../generator/library.ts";
import { Book, type Entry, type Kind, kinds, parse } from "../generator/records/index.ts";
import { canaryFiles, faults } from "./canaries.ts";

function libraryOf(audience: "everyone" | "staff"): Library {
  const records = Object.fromEntries(kindNames.map((kind) => [kind, [] as Entry<never>[]])) as unknown as Record<
    Kind,
    Entry<never>[]
  >;
  let book: Entry<Book> | undefined;
  for (const file of canaryFiles(audience)) {
    if (file.path === "book.md") book = parse(file, Book);
    else {
      const kind = file.path.split("/")[0] as Kind;
      const entry = parse(file, kinds[kind]);
      if (entry) records[kind].push(entry as Entry<never>);
    }
  }
  return bind({ book, records } as Shelves)!;
}

const canary = /canary[a-z0-9]+/g;

describe("canaries", () => {
  it.each(canaryFiles("everyone").map((file) => [file.path, file] as const))("%s is a sound record", (_path, file) => {
    expect(faults(file)).toEqual([]);
  });
});

describe.each(["everyone", "staff"] as const)("a library whose records are for %s", (audience) => {
  const library = libraryOf(audience);
  const { secret, open } = partsOf(library);
  const outward = JSON.stringify(customerEdition(library));

  it("has a canary in many private fields of every kind", () => {
    for (const kind of kindNames) {
      const found = secret.filter(({ record, text }) => record.startsWith(`${kind}/`) && text.includes("canary"));
      expect(found.length, kind).toBeGreaterThan(1);
    }
  });

  it("lets no private canary into the customer edition", () => {
    const private_ = new Set(secret.flatMap(({ text }) => text.toLowerCase().match(canary) ?? []));
    const public_ = new Set(open.flatMap((text) => text.toLowerCase().match(canary) ?? []));
    const shown = new Set(outward.toLowerCase().match(canary) ?? []);
    expect([...shown].filter((word) => private_.has(word) && !public_.has(word))).toEqual([]);
  });

  it("shows customers nothing at all of a record that is for staff", () => {
    if (audience === "everyone") expect(outward).toContain("canaryopeningcrops");
    else expect(outward.match(/canaryopening[a-z]+/g) ?? []).toEqual([]);
  });

  it("names record, field and file of every private canary that is planted in an output", () => {
    // A reference to a record that customers may open anyway gives nothing away.
    const planted = secret.filter(({ text }) => /canary/.test(text.toLowerCase()) && !open.includes(text));
    for (const { record, field, text } of planted) {
      const file = `crops/${record.length}.html`;
      const found = leaks(library, [{ file, text: `<p>Before ${text} after</p>` }], []);
      expect(
        found.some((leak) => leak.record === record && leak.field === field && leak.file === file),
        `${record} ${field} ${text}`,
      ).toBe(true);
    }
  });
});

describe("leaks", () => {
  const library = libraryOf("staff");

  it("finds a value whatever its case, spacing and markup", () => {
    const [first] = partsOf(library).secret.filter(({ field }) => field === "supplier");
    const shouted = `A  ${first!.text.toUpperCase()}\u202fB`;
    expect(leaks(library, [{ file: "x.js", text: shouted }], []).some(({ field }) => field === "supplier")).toBe(true);
  });

  it("lets words pass that the interface itself uses", () => {
    const [first] = partsOf(library).secret.filter(({ field }) => field === "supplier");
    expect(leaks(library, [{ file: "x.html", text: first!.text }], [first!.text])).toEqual([]);
  });
});

describe("wordsOf", () => {
  it("splits figures from their units and drops signs", () =>
    expect(wordsOf("12.40 ¤/kg, Ca(NO₃)₂")).toEqual(["12", "40", "kg", "ca", "no3", "2"]));
});

describe("the staff edition", () => {
  it("shows no price, supplier or person: what is for nobody stays in the records", () => {
    const library = libraryOf("everyone");
    const inward = JSON.stringify(staffEdition(library)).toLowerCase();
    const never = partsOf(library).secret.filter((secret) => secret.never);
    expect(never.length).toBeGreaterThan(30);
    const words = never.flatMap(({ text }) => text.toLowerCase().match(canary) ?? []);
    expect(words.filter((word) => inward.includes(word))).toEqual([]);
  });

  it("has no figure of a field that is for nobody", () => {
    const library = libraryOf("everyone");
    const salts = staffEdition(library).salts.flatMap(({ figures }) => Object.keys(figures));
    expect(salts).toContain("stock");
    expect(salts).not.toContain("price");
  });
});
