import { spawnSync } from "node:child_process";
import * as fs from "node:fs/promises";
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { batchOn } from "../generator/commands/batch.ts";
import { lineChanges } from "../generator/commands/line-changes.ts";
import { check } from "../generator/node.ts";
import { type Disk, put } from "../generator/put.ts";
import { yardOf } from "../generator/supply/plan.ts";

const demo = fileURLToPath(new URL("../content", import.meta.url));
const day = "2027-04-12";
let folder = "";

/** What of the demo's yard a batch of basil or of micro mustard needs. */
const needed = ["book.md", "sources", "lots/basil-2602.md", "gear/tray-104.md", "gear/tray-micro.md"];

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-batch-"));
  for (const name of [...needed, "crops/basil-sweet.md", "crops/micro-mustard.md"])
    await cp(join(demo, name), join(folder, name), { recursive: true });
  await fs.mkdir(join(folder, "batches"));
  await writeFile(file("bas-27070-01"), basil);
});
afterEach(() => rm(folder, { recursive: true, force: true }));

// Its check character was worked out by hand from ISO/IEC 7064 MOD 37,36, as in the tests of labels.
const basil = `---
code: BAS-27070-01-G   # tray by the door
crop: basil-sweet
lot: basil-2602
sown: 2027-03-11
cells: 104
seeds: 6
counted: { on: 2027-03-16, up: 99 }
moves:
  tray: { on: 2027-03-16, plants: 99 }
  # moved in the rain
  mister: { on: 2027-04-01, plants: 95 }
losses:
  damping-off: 4
by: JVQ
sources:
  demo: "*"
---

Left bench, базилик.
`;

const file = (id: string) => join(folder, "batches", `${id}.md`);
const text = (id = "bas-27070-01") => readFile(file(id), "utf8");

async function tierbook(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  return said((world) => main(["batch", ...args, "--content", folder], world));
}

async function said(run: (world: Parameters<typeof main>[1]) => Promise<number>) {
  const told = { out: "", err: "" };
  const code = await run({
    cwd: tmpdir(),
    out: (line) => {
      told.out += `${line}\n`;
    },
    err: (line) => {
      told.err += `${line}\n`;
    },
  });
  return { code, ...told };
}

describe("tierbook batch", () => {
  it("writes into a copy of the whole demo book, which is as sound as before", async () => {
    await rm(folder, { recursive: true });
    await cp(demo, folder, { recursive: true });
    const sow = ["--lot", "basil-2602", "--cells", "104", "--seeds", "6", "--tray", "tray-104", "--on", day];
    const { code, err, out } = await tierbook("new", "basil-sweet", ...sow, "--json");
    expect([code, err]).toEqual([0, ""]);
    const { file: path, changes } = JSON.parse(out) as { file: string; changes: { field: string; to: string }[] };
    const before = await readFile(join(folder, path), "utf8");
    expect((await tierbook("count", changes[0]!.to, "--up", "96", "--on", "2027-04-17")).code).toBe(0);
    expect(await readFile(join(folder, path), "utf8")).toBe(
      before.replace("sources:", "counted: { on: 2027-04-17, up: 96 }\nsources:"),
    );
  }, 60_000);
});

describe("tierbook batch move", () => {
  it("writes one line into the record and says what follows", async () => {
    const { code, out, err } = await tierbook("move", "BAS-27070-01-G", "tower", "--plants", "91", "--on", day);
    expect([code, err]).toEqual([0, ""]);
    expect(await text()).toBe(basil.replace("losses:", "  tower: { on: 2027-04-12, plants: 91 }\nlosses:"));
    expect(out).toContain("moves.tower: { on: 2027-04-12, plants: 91 }");
    // 99 came up and 91 are left: 8 ÷ 99 = 8.08 %.
    expect(out).toContain("Loss so far: 8 of 99 that came up, 8.1 %.");
    expect(out).toMatch(/Next: first cut, .* \(common practice\)\. Ready when you see: /);
  });

  it("takes the code in small letters and without dashes, losses and initials beside it", async () => {
    const { code, out } = await tierbook(
      "move",
      "bas2707001g",
      "Tower",
      "--plants",
      "91",
      "--on",
      day,
      "--lost",
      "grey mould=2",
      "--by",
      "AXR",
      "--json",
    );
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      file: "batches/bas-27070-01.md",
      written: true,
      changes: [
        { field: "moves.tower", from: null, to: "{ on: 2027-04-12, plants: 91 }" },
        { field: "losses.grey mould", from: null, to: "2" },
        { field: "by", from: "JVQ", to: "AXR" },
      ],
    });
    expect(await text()).toContain("  damping-off: 4\n  grey mould: 2\nby: AXR\n");
  });

  it("shows the change with --dry-run, and writes nothing", async () => {
    const { code, out } = await tierbook("move", "BAS-27070-01-G", "tower", "--plants", "91", "--on", day, "--dry-run");
    expect(code).toBe(0);
    expect(out).toContain("Would write batches/bas-27070-01.md\n  +   tower: { on: 2027-04-12, plants: 91 }\n");
    expect(await text()).toBe(basil);
  });

  it("is stopped by the checker before anything is written, at its line", async () => {
    const { code, err } = await tierbook("move", "BAS-27070-01-G", "tower", "--plants", "96", "--on", day);
    expect(code).toBe(1);
    expect(err).toContain("expected at most the 95 of `moves.mister.plants`");
    expect(err).toMatch(/13:\d+-13:\d+/);
    expect(await text()).toBe(basil);
    expect((await tierbook("move", "BAS-27070-01-G", "tower", "--plants", "91", "--on", "2027-03-30")).err).toContain(
      "date-order",
    );
  });

  it("does not write over what stands, unless that is asked for", async () => {
    const asked = ["move", "BAS-27070-01-G", "mister", "--plants", "94", "--on", "2027-04-02"];
    const { code, err } = await tierbook(...asked);
    expect([code, await text()]).toEqual([3, basil]);
    expect(err).toContain("says already `moves.mister: { on: 2027-04-01, plants: 95 }`");
    expect((await tierbook(...asked, "--correct")).out).toContain(
      "moves.mister: { on: 2027-04-01, plants: 95 } → { on: 2027-04-02, plants: 94 }",
    );
    expect(await text()).toBe(
      basil.replace("mister: { on: 2027-04-01, plants: 95 }", "mister: { on: 2027-04-02, plants: 94 }"),
    );
  });

  it.each([
    [
      ["move", "BAS-27070-01-6", "tower", "--plants", "9"],
      "does not fit: a sign is missing or misread. Did you mean BAS-27070-01-G? Look again at the tray",
    ],
    [["move", "BA5-27O70-01-G", "tower", "--plants", "9"], "Did you mean BAS-27070-01-G?"],
    [["move", "BAS-27070-01", "tower", "--plants", "9"], "Did you mean BAS-27070-01-G?"],
    [["move", "BAS-27700-01-G", "tower", "--plants", "9"], "Did you mean BAS-27070-01-G?"],
    [["move", "PAR-27032-01-8", "tower", "--plants", "9"], "There is no batch PAR-27032-01-8"],
    [["move", "базилик", "tower", "--plants", "9"], "expected the code on the tray"],
    [["move", "BAS-27070-01-G", "twer", "--plants", "9"], "did you mean tower?"],
    [["move", "BAS-27070-01-G", "tower"], "Missing --plants"],
    [["move", "BAS-27070-01-G", "tower", "--plants", "9½"], "Unexpected --plants 9½, expected a whole number"],
    [["move", "BAS-27070-01-G", "tower", "--plants", "9", "--lost", "aphids"], "expected a reason and a whole number"],
    [["move", "BAS-27070-01-G", "tower", "--plants", "9", "--on", "2027-02-29"], "2027 has no 29 February"],
    [
      ["cut", "BAS-27070-01-G", "320"],
      "Unexpected 320, expected a figure in g, such as 320 g. Write the unit beside the figure",
    ],
    [["cut", "BAS-27070-01-G", "1,2", "kg"], "expected a decimal point"],
    [["mvoe", "BAS-27070-01-G"], "expected one of new, count, move, cut, close"],
    [["count", "BAS-27070-01-G", "--plants", "3"], "Unexpected option --plants"],
  ])("tierbook batch %j is called wrongly, in one line", async (args, words) => {
    const { code, err } = await tierbook(...args);
    expect(err).toContain(words);
    expect([code, err.trim().split("\n").length, await text()]).toEqual([2, 1, basil]);
  });
});

describe("tierbook batch count, cut and close", () => {
  it("writes counts, cuts by their days, and the closing, with the bytes around them as they were", async () => {
    const crlf = `\uFEFF${basil.replaceAll("\n", "\r\n").replace("counted: { on: 2027-03-16, up: 99 }\r\n", "")}`;
    await writeFile(file("bas-27070-01"), crlf);
    expect((await tierbook("count", "BAS-27070-01-G", "--up", "99", "--on", "2027-03-16")).code).toBe(0);
    expect((await tierbook("move", "BAS-27070-01-G", "tower", "--plants", "91", "--on", day)).code).toBe(0);
    expect((await tierbook("cut", "BAS-27070-01-G", "2.4 kg", "--on", "2027-05-10")).code).toBe(0);
    expect((await tierbook("cut", "BAS-27070-01-G", "320g", "--on", "2027-05-03")).code).toBe(0);
    const { out, code } = await tierbook("close", "BAS-27070-01-G", "--lost", "aphids=3", "--on", "2027-06-20");
    expect(code).toBe(0);
    expect(out).toContain("Cut: 2720 g on 2 days.");
    const added = `\uFEFF${basil
      .replace("losses:", "  tower: { on: 2027-04-12, plants: 91 }\nlosses:")
      .replace("by: JVQ", "  aphids: 3\ncuts:\n  2027-05-03: 320 g\n  2027-05-10: 2400 g\nclosed: 2027-06-20\nby: JVQ")
      .replaceAll("\n", "\r\n")}`;
    expect(await text()).toBe(added);
  });

  it("asks before it writes into a batch that is closed", async () => {
    await tierbook("close", "BAS-27070-01-G", "--on", day);
    const { code, err } = await tierbook("cut", "BAS-27070-01-G", "320g", "--on", day);
    expect([code, err]).toEqual([3, expect.stringContaining("was closed on 2027-04-12")]);
  });

  it("takes today from whoever starts it", async () => {
    const command = batchOn(fs, () => "2027-04-20");
    await said((world) => command.run(["cut", "BAS-27070-01-G", "320g", "--content", folder], world));
    expect(await text()).toContain("  2027-04-20: 320 g\n");
  });
});

describe("tierbook batch new", () => {
  const sow = ["new", "basil-sweet", "--lot", "basil-2602", "--cells", "208", "--on", day];

  it("writes a record in the form of the house, under the next free code of the day", async () => {
    const { code, out } = await tierbook(...sow, "--seeds", "6", "--tray", "tray-104", "--by", "JVQ");
    expect(code).toBe(0);
    expect(await text("bas-27102-01")).toBe(
      '---\ncode: BAS-27102-01-6\ncrop: basil-sweet\nlot: basil-2602\nsown: 2027-04-12\ncells: 208\nseeds: 6\ntray: tray-104\nby: JVQ\nsources:\n  demo: "*"\n---\n',
    );
    expect(out).toContain("It stands in 2 trays");
    // The first took two trays of 104 cells, 01 and 02.
    expect((await tierbook(...sow)).out).toContain("Wrote batches/bas-27102-03.md");
    expect((await tierbook("count", "BAS-27102-01-6", "--up", "190", "--on", "2027-04-17")).code).toBe(0);
  });

  it("knows the crop by the letters on its trays, and names the nearest crop and lot", async () => {
    expect((await tierbook("new", "bas", "--lot", "basil-2602", "--cells", "10", "--on", day)).code).toBe(0);
    expect((await tierbook("new", "basil-swet", "--lot", "basil-2602", "--cells", "10")).err).toContain(
      "did you mean basil-sweet?",
    );
    expect((await tierbook("new", "basil-sweet", "--lot", "basil-2603", "--cells", "10")).err).toContain(
      "did you mean basil-2602?",
    );
    expect((await tierbook("new", "basil-sweet", "--cells", "10")).err).toContain("Missing --lot");
  });

  it("does not sow seed for micro herbs that is treated or not for food", async () => {
    await writeFile(
      join(folder, "lots/mustard-bad.md"),
      '---\ncrop: micro-mustard\nbought: 2027-02-15\ntreated: yes\nfood: no\nsources:\n  demo: "*"\n---\n',
    );
    const { code, err } = await tierbook("new", "micro-mustard", "--lot", "mustard-bad", "--cells", "24", "--on", day);
    expect(code).toBe(1);
    expect(err).toContain("Micro herbs are eaten days after sowing");
    expect(await readdir(join(folder, "batches"))).toEqual(["bas-27070-01.md"]);
  });

  it("puts the caution first when seed of another crop is treated", async () => {
    await writeFile(
      join(folder, "lots/basil-treated.md"),
      '---\ncrop: basil-sweet\nbought: 2027-02-15\ntreated: yes\ntreatment: a fungicide\nfood: no\nsources:\n  demo: "*"\n---\n',
    );
    const { out } = await tierbook("new", "basil-sweet", "--lot", "basil-treated", "--cells", "24", "--on", day);
    expect(out).toMatch(/^Caution: lots\/basil-treated is treated with a fungicide\. Read its label/);
  });

  it("does not write over a record", async () => {
    await writeFile(file("bas-27102-01"), basil.replace("BAS-27070-01-G", "BAS-27070-02-E").replace("tray by", "t"));
    const before = await text("bas-27102-01");
    const { code } = await tierbook(...sow);
    expect(code).not.toBe(0);
    expect(await text("bas-27102-01")).toBe(before);
  });

  it("leans on what the newest batch leans on when the book is no demo, and else on memory", async () => {
    const book = join(folder, "book.md");
    await writeFile(book, (await readFile(book, "utf8")).replace("demo: yes\n", ""));
    await writeFile(file("bas-27070-01"), basil.replace('demo: "*"', 'common-practice: "*"'));
    await tierbook(...sow);
    expect(await text("bas-27102-01")).toContain('sources:\n  common-practice: "*"\n');
    await rm(join(folder, "batches"), { recursive: true });
    await fs.mkdir(join(folder, "batches"));
    await tierbook(...sow);
    expect(await text("bas-27102-01")).toContain('sources:\n  memory: "*"\n');
  });
});

describe("a batch on the disk", () => {
  const move = ["move", "BAS-27070-01-G", "tower", "--plants", "91", "--on", day];
  const failing = (changes: Partial<Disk>): Disk => ({ ...fs, ...changes });
  const fails = (code: string) => () => Promise.reject(Object.assign(new Error(`${code}: no`), { code }));
  const run = (disk: Disk) => said((world) => batchOn(disk, () => day).run([...move, "--content", folder], world));

  it("is left as it is when another wrote it meanwhile", async () => {
    const other = basil.replace("plants: 95", "plants: 94");
    const { code, err } = await run(
      failing({
        realpath: (async (path: string) => {
          await writeFile(file("bas-27070-01"), other);
          return path;
        }) as Disk["realpath"],
      }),
    );
    expect([code, await text()]).toEqual([3, other]);
    expect(err).toContain("was changed since it was read. Nothing was written; do it again");
    expect(await readdir(join(folder, "batches"))).toEqual(["bas-27070-01.md"]);
  });

  it.each([
    ["EACCES", { open: fails("EACCES") }, "its folder may not be written to"],
    ["EROFS", { open: fails("EROFS") }, "its disk may only be read"],
    ["ENOSPC", { rename: fails("ENOSPC") }, "the disk is full"],
    ["EIO", { rename: fails("EIO") }, "the disk says: EIO: no"],
  ])("is left whole by %s, with one sentence", async (_code, changes, words) => {
    const { code, out, err } = await run(failing(changes as Partial<Disk>));
    expect([code, out, await text()]).toEqual([3, "", basil]);
    expect(err.trim().split("\n")).toHaveLength(1);
    expect(err).toContain(words);
    expect(await readdir(join(folder, "batches"))).toEqual(["bas-27070-01.md"]);
  });

  it("is left whole in a folder that may not be written to", async () => {
    await fs.chmod(join(folder, "batches"), 0o555);
    // Whoever may write everywhere is somebody else meanwhile.
    const mighty = process.geteuid?.() === 0;
    if (mighty) await fs.chmod(folder, 0o755);
    if (mighty) process.seteuid?.(65_534);
    const { code, err } = await tierbook(...move).finally(() => mighty && process.seteuid?.(0));
    await fs.chmod(join(folder, "batches"), 0o755);
    expect([code, await text()]).toEqual([3, basil]);
    expect(err).toContain("may not be written to");
  });

  it("is the old one when the program is killed before the new one has its name, and can be written after", async () => {
    const script = `
      import * as fs from "node:fs/promises";
      import { put } from ${JSON.stringify(new URL("../generator/put.ts", import.meta.url).href)};
      const file = process.argv[1];
      await put({ file, was: await fs.readFile(file), text: "new" }, { ...fs, rename: () => process.kill(process.pid, "SIGKILL") });`;
    const { signal } = spawnSync(process.execPath, ["--input-type=module", "-e", script, file("bas-27070-01")]);
    expect(signal).toBe("SIGKILL");
    expect(await text()).toBe(basil);
    expect(await readdir(join(folder, "batches"))).toHaveLength(2);
    // The draft that was left is no record, and stands in nobody's way.
    expect((await tierbook(...move)).code).toBe(0);
  });

  it("keeps its rights, and a link stays a link", async () => {
    const real = join(folder, "elsewhere.txt");
    await fs.rename(file("bas-27070-01"), real);
    await fs.chmod(real, 0o640);
    await fs.symlink(real, file("bas-27070-01"));
    expect(await put({ file: file("bas-27070-01"), was: await readFile(real), text: "new" })).toBeUndefined();
    expect([await readFile(real, "utf8"), (await fs.stat(real)).mode & 0o777]).toEqual(["new", 0o640]);
    expect((await fs.lstat(file("bas-27070-01"))).isSymbolicLink()).toBe(true);
  });

  it("is not put where a new one has come meanwhile, on a disk with links and on one without", async () => {
    for (const disk of [fs, failing({ link: fails("EPERM") })]) {
      const refusal = await put({ file: file("bas-27070-01"), was: undefined, text: "new" }, disk);
      expect(refusal?.refusal).toContain("there is a file of that name already");
      expect(await text()).toBe(basil);
    }
    expect(
      await put({ file: file("new"), was: undefined, text: "new" }, failing({ link: fails("EPERM") })),
    ).toBeUndefined();
    expect(await text("new")).toBe("new");
  });
});

describe("what batches say of a lot", () => {
  const fields = (rest: string) => `---\n${rest}\nsources:\n  common-practice: "*"\n---\n`;
  const yard = (lot: string, seed: string, batches: readonly string[]) => {
    const files = {
      "book.md": fields(
        "name: Yard\nplace: Here\nlatitude: 52°\ncontact: The slate\nedition: 2027-04-12\nsow: [Mon]\npost: [Mon]",
      ),
      "crops/sorrel.md": fields(
        `name: Sorrel\nbotanical: Rumex acetosa\nkind: leaf\ncode: SOR\nstatus: tried\nreviewed: 2027-01-01\neaten: [leaves]\n${seed}stages:\n  tray: { days: 10 days }`,
      ),
      "lots/one.md": fields(`crop: sorrel\nbought: 2027-01-01\ntreated: no\nfood: yes\n${lot}`.trim()),
      ...Object.fromEntries(
        batches.map((rest, index) => [
          `batches/b${index}.md`,
          fields(`crop: sorrel\nlot: one\nsown: 2027-03-15\ncells: 100\n${rest}`),
        ]),
      ),
    };
    const { library, files: read } = check(Object.entries(files).map(([path, value]) => new VFile({ path, value })));
    if (!library) throw new Error(read.flatMap(({ messages }) => messages.map(String)).join("\n"));
    return yardOf(library).yard;
  };
  const first =
    "code: SOR-27074-01-G\nseeds: 1\ncounted: { on: 2027-03-22, up: 80 }\nmoves:\n  mister: { on: 2027-04-01, plants: 60 }\n  tower: { on: 2027-04-08, plants: 56 }";
  const second =
    "code: SOR-27074-02-E\nseeds: 1\ncounted: { on: 2027-03-22, up: 60 }\nmoves:\n  mister: { on: 2027-04-01, plants: 56 }";

  it("is pooled: 80 and 60 of 2 × 100 cells are 70 %; 56 and 56 of the 140 that came up are 80 %", () => {
    expect(yard("", "", [first, second]).lots.get("one")).toMatchObject({
      germination: 0.7,
      germinationFrom: "batches",
      usable: 0.8,
    });
    expect(yard("", "", [first, second]).crops.get("sorrel")?.usable).toBe(0.8);
  });

  it("gives way to the lot's own tests and to what the records say is usable", () => {
    const tested = yard("tests:\n  2027-02-01: { up: 45, sown: 50 }\nusable: 95 %", "", [first]);
    expect(tested.lots.get("one")).toMatchObject({ germination: 0.9, germinationFrom: "tests", usable: 0.95 });
    const recorded = yard("", "seed:\n  usable: 90 %\n", [first]);
    expect(recorded.lots.get("one")?.usable).toBeUndefined();
    expect(recorded.crops.get("sorrel")?.usable).toBe(0.9);
  });

  it("is nothing where cells held several seeds, or nothing was counted or moved by the day", () => {
    const several = yard("", "", [first.replace("seeds: 1", "seeds: 6")]).lots.get("one");
    expect([several?.germination, several?.germinationFrom]).toEqual([undefined, undefined]);
    const later = yard("", "", ["code: SOR-27074-01-G\nseeds: 1\ncounted: { on: 2027-04-13, up: 80 }"]).lots.get("one");
    expect([later?.germination, later?.usable]).toEqual([undefined, undefined]);
  });
});

describe("lineChanges(before, after)", () => {
  it("names the lines that went and came, and no other", () => {
    expect(lineChanges("a\nb\nc\n", "a\nB\nc\nd\n")).toEqual(["- b", "+ B", "+ d"]);
    expect(lineChanges("", "a\n")).toEqual(["+ a"]);
    expect(lineChanges("a\n", "a\n")).toEqual([]);
  });
});
