import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { VFile } from "vfile";
import { describe, expect, it } from "vitest";
import { kindNames } from "../../generator/library.ts";
import { check } from "../../generator/node.ts";
import type { Kind } from "../../generator/records/index.ts";
import type { Rule } from "../../generator/records/messages.ts";
import { changedRows } from "../../site/edit/changes.ts";
import { type Around, checked, type Draft, leftToTheBook } from "../../site/edit/checked.ts";
import { askedFor, kindByFields, kindNamed } from "../../site/edit/kind.ts";
import { mendOf, nearWord } from "../../site/edit/mend.ts";
import { fileOf, original, originalOf } from "../../site/edit/original.ts";
import { plainGroups } from "../../site/edit/plain.ts";

const content = join(import.meta.dirname, "../content");
const cases = readdirSync(content).filter((name) => existsSync(join(content, name, "given")));

const left: ReadonlySet<string> = new Set<Rule>([...leftToTheBook]);

describe("checked()", () => {
  it("says of every record of the checker's own cases what the checker says, but for what it leaves to the book", () => {
    const seen = { records: 0, said: 0, single: 0 };
    for (const name of cases) {
      const { given, files, around } = caseOf(name);
      const book = check(files());
      for (const [path, bytes] of given) {
        if (!path.endsWith(".md")) continue;
        const told = book.files
          .find((file) => file.path === path)!
          .messages.map(({ line, column, ruleId, reason, note }) => `${line}:${column} ${ruleId} ${reason} ${note}`)
          .sort();
        const { problems } = checked(draftOf(path, originalOf(bytes)?.file ?? String(bytes)), around);
        const said = problems.map((one) => `${one.line}:${one.column} ${one.rule} ${one.message} ${one.note}`).sort();
        // The day on which a lot was bought stands in the lot's record.
        const unsaid = (line: string) => left.has(line.split(" ")[1]!) || line.endsWith("was bought on that day.");
        expect(said, `${name} ${path}`).toEqual(told.filter((line) => said.includes(line) || !unsaid(line)));
        seen.records++;
        seen.said += said.length;
        if (given.size === 1) seen.single++;
      }
    }
    expect(seen.records).toBeGreaterThan(100);
    expect(seen.single).toBeGreaterThan(45);
    expect(seen.said).toBeGreaterThan(140);
  }, 60_000);

  it("finds nothing wrong in a record of the demo book that the checker does not", () => {
    const folder = join(import.meta.dirname, "../../content");
    const files = textsIn(folder);
    const around = aroundOf(files);
    const told = new Map(
      check(filesOf(files)).files.map(({ path, messages }) => [path, messages.map(({ reason }) => reason)]),
    );
    const some = [...files].filter(([path], index) => path.endsWith(".md") && index % 6 === 0);
    expect(new Set(some.map(([path]) => path.split("/")[0])).size).toBeGreaterThan(10);
    for (const [path, bytes] of some) {
      const { problems } = checked(draftOf(path, String(bytes)), around);
      expect(told.get(path)).toEqual(expect.arrayContaining(problems.map(({ message }) => message)));
    }
  }, 60_000);

  it("tells places by line and column, also behind a mark and with Windows line ends", () => {
    const { around } = caseOf("field-missing");
    const text = "---\nterm: EC\naslo: [x]\n---\n\nText.\n";
    const plain = checked({ kind: "glossary", name: "ec.md", text }, around).problems;
    const windows = `\uFEFF${text.replaceAll("\n", "\r\n")}`;
    expect(plain[0]).toMatchObject({ rule: "field-misspelt", line: 3, column: 1, until: 5, severity: "error" });
    expect(checked({ kind: "glossary", name: "ec.md", text: windows }, around).problems).toEqual(plain);
  });

  it("knows the day of the edition, so that a year mistyped is told", () => {
    const { around } = caseOf("date-far");
    const text = "---\ntitle: News\non: 2207-04-01\naudience: staff\n---\n\nText.\n";
    const { problems } = checked({ kind: "news", name: "a.md", text }, around);
    expect(problems.map(({ rule }) => rule)).toContain("date-far");
  });
});

describe("mendOf()", () => {
  it("puts the nearest word in where the checker knows one, and that problem is gone", () => {
    let mended = 0;
    for (const name of cases) {
      const { given, around } = caseOf(name);
      for (const [path, bytes] of given) {
        if (!path.endsWith(".md")) continue;
        const { text } = original(String(bytes));
        const draft = draftOf(path, text);
        for (const problem of checked(draft, around).problems.filter((one) => nearWord(one) !== undefined)) {
          const mend = mendOf(text, problem);
          expect(mend, `${name} ${problem.message}`).toBeDefined();
          const after = text.slice(0, mend!.from) + mend!.put + text.slice(mend!.to);
          const still = checked({ ...draft, text: after }, around).problems;
          const at = ({ line, field }: typeof problem) => `${line} ${field}`;
          expect(still.filter((one) => one.message === problem.message && at(one) === at(problem))).toEqual([]);
          expect(still.length, `${name} ${problem.message}`).toBeLessThanOrEqual(
            checked(draft, around).problems.length,
          );
          mended++;
        }
      }
    }
    expect(mended).toBeGreaterThan(15);
  });

  it("changes the unit of a figure and leaves the figure", () => {
    const { around } = caseOf("field-missing");
    const text = "---\nec:\n  preferred: 1.2–1.6 mScm\n---\n";
    const problem = checked({ kind: "crops", name: "x.md", text }, around).problems.find(
      ({ rule }) => rule === "unit-unknown",
    );
    const mend = mendOf(text, problem!)!;
    expect(text.slice(0, mend.from) + mend.put + text.slice(mend.to)).toBe(
      "---\nec:\n  preferred: 1.2–1.6 mS/cm\n---\n",
    );
  });

  it("changes the address of a link and not its text", () => {
    const { around } = caseOf("link-broken");
    const text = "---\nterm: X\naudience: staff\n---\n\nSee [crops/basl](crops/basl).\n";
    const problem = checked({ kind: "glossary", name: "x.md", text }, around).problems.find(
      ({ rule }) => rule === "link-broken",
    );
    const mend = mendOf(text, problem!)!;
    expect(text.slice(0, mend.from) + mend.put + text.slice(mend.to)).toContain("[crops/basl](crops/basil)");
  });
});

describe("originalOf()", () => {
  it("gives nothing for bytes that are no UTF-8, so that they are never written back", () => {
    expect(originalOf(new Uint8Array([0x2d, 0xe9, 0x0a]))).toBeUndefined();
    expect(originalOf(new Uint8Array([0xff, 0xfe, 0x2d, 0x00]))).toBeUndefined();
  });

  it("takes every other file as it is, to the byte", () => {
    for (const text of ["", "a", "a\n", "\uFEFFa\r\nb\rc\nd", "---\n\n\n", "\u2028 é\n"]) {
      const bytes = new TextEncoder().encode(text);
      const found = originalOf(bytes)!;
      expect(found.text).not.toMatch(/\r|^\uFEFF/);
      expect(new TextEncoder().encode(fileOf(found, found.text))).toEqual(bytes);
    }
  });
});

describe("fileOf()", () => {
  it("keeps the end of every line that stood, and gives a new line the end of the one above", () => {
    const mixed = original("\uFEFFone\r\ntwo\nthree\rfour");
    expect(fileOf(mixed, "one\nnew\ntwo\nthree\nfour")).toBe("\uFEFFone\r\nnew\r\ntwo\nthree\rfour");
    expect(fileOf(mixed, "one\ntwo changed\nthree\nfour\n")).toBe("\uFEFFone\r\ntwo changed\r\nthree\rfour\r");
    expect(fileOf(mixed, "")).toBe("\uFEFF");
  });

  it("ends lines as the file does where the first of them are new", () => {
    expect(fileOf(original("a\r\nb\r\n"), "x\ny\na\nb\n")).toBe("x\r\ny\r\na\r\nb\r\n");
    expect(fileOf(original("a"), "a\nb\n")).toBe("a\nb\n");
  });
});

describe("changedRows()", () => {
  it("shows what goes out and what comes in, by line, between the lines that stay", () => {
    expect(changedRows("a\nb\nc\nd\ne\nf", "a\nB\nc\nd\ne\nf")).toEqual([
      [
        { kind: "same", line: 1, text: "a" },
        { kind: "out", line: 2, text: "b" },
        { kind: "in", line: 2, text: "B" },
        { kind: "same", line: 3, text: "c" },
      ],
    ]);
    expect(changedRows("a\nb\nc\nd\ne\nf\ng", "A\nb\nc\nd\ne\nf\nG").map((group) => group.length)).toEqual([3, 3]);
    expect(changedRows("a\nb", "a\nb")).toEqual([]);
  });

  it("shows two texts that have nothing in common as one for the other", () => {
    const lines = (word: string) => Array.from({ length: 3000 }, (_, index) => `${word} ${index}`).join("\n");
    const rows = changedRows(`top\n${lines("was")}`, `top\n${lines("now")}`).flat();
    expect(rows.filter(({ kind }) => kind === "in")).toHaveLength(3000);
    expect(rows.filter(({ kind }) => kind === "out")).toHaveLength(3000);
    expect(rows[0]).toEqual({ kind: "same", line: 1, text: "top" });
  });
});

describe("the kind of a record", () => {
  const { around } = caseOf("field-missing");

  it("is what the address says, and a record that is not there has a nearest", () => {
    expect(askedFor("?record=crops/basil", around)).toMatchObject({ kind: "crops", name: "basil.md", known: true });
    expect(askedFor("?record=crops/basl", around)).toMatchObject({ known: false, near: "crops/basil" });
    for (const search of ["", "?record=", "?record=nothing/x", "?record=crops/../x", "?record=__proto__/x"])
      expect(askedFor(search, around)).toBeUndefined();
  });

  it("is known by the name where the book has one record so called", () => {
    expect(kindNamed("basil.md", around)).toBe("crops");
    expect(kindNamed("book.md", around)).toBe("book");
    expect(kindNamed("never.md", around)).toBeUndefined();
    const twice = { ids: { ...around.ids, feeds: ["basil"] } };
    expect(kindNamed("basil.md", twice)).toBeUndefined();
  });

  it("is told from the fields when they speak for another", () => {
    const files = caseOf("field-missing").texts;
    for (const [path, bytes] of files) {
      const kind = draftOf(path, "").kind;
      if (kind !== "book") expect([path, kindByFields(String(bytes), kind)]).toEqual([path, undefined]);
    }
    expect(kindByFields(String(files.get("feeds/leaf.md")), "crops")).toBe("feeds");
    expect(kindByFields("no record", "crops")).toBeUndefined();
  });
});

describe("plainGroups()", () => {
  it("gives figures and choices with unit, words and what they lean on, and no texts", () => {
    const text = [
      "---",
      "name: Sweet basil",
      "kind: herb",
      "ec: { preferred: 1.2–1.6 mS/cm }",
      "stages: { tray: { days: 14 days, ready: four leaves } }",
      'sources: { demo: "*", chen-2019: [ec] }',
      "history:",
      "  - { on: 2027-01-01, what: x, why: y }",
      "---",
      "",
    ].join("\n");
    const { reading } = checked({ kind: "crops", name: "basil.md", text }, caseOf("field-missing").around);
    expect(plainGroups(reading!)).toEqual([
      {
        name: "",
        fields: [expect.objectContaining({ path: ["kind"], label: "Kind", value: "herb", leansOn: undefined })],
      },
      {
        name: "ec",
        fields: [expect.objectContaining({ value: "1.2–1.6 mS/cm", unit: "mS/cm", leansOn: ["chen-2019"] })],
      },
      {
        name: "stages",
        fields: [expect.objectContaining({ label: "Days, tray", value: "14 days", leansOn: ["demo"] })],
      },
    ]);
  });
});

/** A case of the checker: the base book with its files laid over it, and what a page would know of that book. */
function caseOf(name: string) {
  const texts = textsIn(join(content, "base"));
  const without = join(content, name, "without.txt");
  if (existsSync(without)) for (const path of readFileSync(without, "utf8").trim().split("\n")) texts.delete(path);
  const given = textsIn(join(content, name, "given"));
  for (const [path, text] of given) texts.set(path, text);
  return { given, texts, around: aroundOf(texts), files: () => filesOf(texts) };
}

function textsIn(folder: string): Map<string, Buffer> {
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((path) => /\.(md|csv)$/.test(path));
  return new Map(paths.sort().map((path) => [path.replaceAll("\\", "/"), readFileSync(join(folder, path))]));
}

function filesOf(texts: ReadonlyMap<string, Buffer>): readonly VFile[] {
  return [...texts].sort(([a], [b]) => (a < b ? -1 : 1)).map(([path, value]) => new VFile({ path, value }));
}

function aroundOf(texts: ReadonlyMap<string, Buffer>): Around {
  const names = (kind: Kind) =>
    [...texts.keys()]
      .filter((path) => path.startsWith(`${kind}/`) && path.endsWith(".md"))
      .map((path) => path.slice(kind.length + 1, -3));
  const edition = /^edition: (\S+)/m.exec(String(texts.get("book.md")))?.[1] ?? "2027-04-12";
  return { ids: Object.fromEntries(kindNames.map((kind) => [kind, names(kind)])) as unknown as Around["ids"], edition };
}

function draftOf(path: string, text: string): Draft {
  const [kind = "", name = ""] = path.split("/");
  return path === "book.md" ? { kind: "book", name: path, text } : { kind: kind as Kind, name, text };
}
