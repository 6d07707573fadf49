import * as fs from "node:fs/promises";
import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { VFile } from "vfile";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { check } from "../generator/node.ts";
import { small } from "./fuzz/book.ts";

describe("names that lead out of the folder", () => {
  let around = "";
  beforeAll(async () => {
    around = await mkdtemp(join(tmpdir(), "tierbook-names-"));
    for (const { path, text } of small) {
      await fs.mkdir(dirname(join(around, "a/b/content", path)), { recursive: true });
      await writeFile(join(around, "a/b/content", path), text);
    }
  });
  afterAll(() => rm(around, { recursive: true, force: true }));

  const ids = [
    "../x",
    "../../x",
    "..\\x",
    "/tmp/x",
    "a/b",
    "%2e%2e%2fx",
    "x\0y",
    "x\u202e",
    "con:",
    ".",
    "..",
    "x.md",
    "X y",
    "__proto__",
  ];

  /** Every file around the book, to see that none has come. */
  const all = async () => (await readdir(around, { recursive: true })).sort();

  it.each(ids)("%j is no name of a record: refused with a sentence, and nothing is written", async (id) => {
    const before = await all();
    const table = join(around, "table.csv");
    await writeFile(table, `id,term\n"${id}",Odd\n`);
    const calls = [
      ["new", "term", id, "--term", "Odd"],
      ["import", "glossary", table],
      [
        "trial",
        "new",
        id,
        "--question",
        "Q",
        "--crop",
        "basil",
        "--treatments",
        "a,b",
        "--control",
        "b",
        "--through",
        "plant",
        "--measure",
        "g",
        "--worthwhile",
        "1 g",
        "--spread",
        "20 %",
        "--started",
        "2027-04-19",
        "--stop",
        "2027-08-10",
        "--blocks",
        "north",
        "--usual",
        "8",
      ],
      ["batch", "new", id, "--lot", "basil-1", "--cells", "84"],
      ["explain", `crops/${id}`],
      ["trial", "read", id],
      ["revert", `crops/${id}`],
    ];
    for (const call of calls) {
      const err: string[] = [];
      const code = await main([...call, "--content", "content"], {
        cwd: join(around, "a/b"),
        out: () => {},
        err: (text) => void err.push(text),
      });
      expect([1, 2, 3], `${call.slice(0, 3).join(" ")}: ${err.join(" ")}`).toContain(code);
      expect(err.join("\n")).toMatch(/\S \S/);
    }
    await rm(table);
    expect(await all()).toEqual(before);
  });

  it("a table of measurements outside of the trials is no table of a trial", () => {
    for (const data of [
      "../book.csv",
      "/etc/passwd",
      "a/../../b.csv",
      "https://elsewhere.example/a.csv",
      "C:\\a.csv",
    ]) {
      const files = small.map(
        ({ path, text }) =>
          new VFile({
            path,
            value:
              path === "trials/cut-again.md"
                ? text.replace("data: cut-again.csv", `data: ${JSON.stringify(data)}`)
                : text,
          }),
      );
      const { library, files: told } = check(files);
      expect(library, data).toBeUndefined();
      expect(told.flatMap(({ messages }) => messages.map(({ reason }) => reason)).join("\n")).toContain(
        `Unexpected \`${data}\``,
      );
    }
  });
});

it("a treatment that a spreadsheet would work out is no treatment", async () => {
  const folder = await mkdtemp(join(tmpdir(), "tierbook-treatment-"));
  try {
    for (const { path, text } of small) {
      await fs.mkdir(dirname(join(folder, path)), { recursive: true });
      await writeFile(join(folder, path), text);
    }
    for (const name of ["=1+1", "+x", "-x", "@x"]) {
      const err: string[] = [];
      const words = [
        "trial",
        "new",
        "odd",
        "--question",
        "Q",
        "--crop",
        "basil",
        `--treatments=a,${name}`,
        "--control",
        "a",
        "--through",
        "plant",
        "--measure",
        "g",
        "--worthwhile",
        "1 g",
        "--spread",
        "20 %",
        "--started",
        "2027-04-19",
        "--stop",
        "2027-08-10",
        "--blocks",
        "north",
        "--usual",
        "8",
      ];
      expect(
        await main([...words, "--content", folder], { cwd: folder, out: () => {}, err: (text) => void err.push(text) }),
      ).toBe(2);
      expect(err.join(" ")).toContain(`Unexpected ${name} in --treatments`);
    }
    expect((await readdir(join(folder, "trials"))).filter((name) => name.startsWith("odd"))).toEqual([]);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});
