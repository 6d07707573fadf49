import { cp, mkdir, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { demo } from "../fuzz/book.ts";
import { noCell } from "./cell.ts";
import { amiss, openYard, type Yard } from "./yard.ts";

interface Case {
  /** The first file that is written, below the disk. */
  readonly file: string;
  readonly words: readonly string[];
}

const to = (folder: string) => ["--out", `disk/${folder}`];
const of = (folder: string) => ["--content", folder];

/** Commands that make files anew each time. */
const making: readonly Case[] = [
  { file: "parcels/staff.zip", words: ["pack", ...of("book"), ...to("parcels")] },
  { file: "paper/growing-on-parsley-pot.pdf", words: ["print", "growing-on", ...of("book"), ...to("paper")] },
  { file: "export/crops.csv", words: ["export", ...of("book"), ...to("export")] },
  { file: "staff/crops.csv", words: ["export", "--edition", "staff", ...of("records"), ...to("staff")] },
  { file: "calendar/yard.ics", words: ["export", "--calendar", ...of("records"), ...to("calendar")] },
  { file: "records/.schema/book.json", words: ["export", "--schema", ...of("disk/records")] },
];

const code = "BAS-27060-01-W";
const counting = ["batch", "count", code, "--up", "200", "--on", "2027-03-09", "--correct"];
const moving = ["batch", "move", code, "tower", "--plants", "20", "--on", "2027-04-02"];
const sowing = ["batch", "new", "basil", "--lot", "basil-1", "--cells", "84", "--sown", "2027-03-01"];
const asking = ["--question", "Pinched once, or left alone?", "--crop", "viola", "--treatments", "pinched,plain"];
const measuring = ["--control", "plain", "--through", "plant", "--measure", "Flowers a plant a week", "--usual", "8"];
const blocks = ["--worthwhile", "1.5 flowers a plant a week", "--blocks", "tower-2,tower-5,tower-8,tower-11"];
const days = ["--spread", "20 %", "--started", "2027-04-19", "--stop", "2027-08-10"];

/** Commands that add records to a book or change them. */
const writing: readonly Case[] = [
  { file: "records/glossary/plug.md", words: ["new", "term", "plug", "--term", "Plug", ...of("disk/records")] },
  { file: "records/glossary/odd.md", words: ["import", "glossary", "table.csv", ...of("disk/records")] },
  { file: "records/batches/bas-27060-02.md", words: [...sowing, ...of("disk/records")] },
  { file: "records/batches/bas-1.md", words: [...counting, ...of("disk/records")] },
  { file: "records/batches/bas-1.md", words: [...moving, ...of("disk/records")] },
  {
    file: "records/batches/bas-1.md",
    words: ["batch", "cut", code, "200 g", "--on", "2027-04-28", ...of("disk/records")],
  },
  { file: "records/batches/bas-1.md", words: ["batch", "close", code, "--on", "2027-04-30", ...of("disk/records")] },
  {
    file: "yard/trials/odd.csv",
    words: ["trial", "new", "odd", ...asking, ...measuring, ...blocks, ...days, ...of("disk/yard")],
  },
  {
    file: "violas/crops/viola.md",
    words: ["trial", "apply", "viola-plates-autumn", "--yes", "--on", "2027-05-02", ...of("disk/violas")],
  },
  { file: "applied/crops/viola.md", words: ["revert", "crops/viola", "--yes", ...of("disk/applied")] },
];

const named = (cases: readonly Case[]) => cases.map((one) => [one.words.slice(0, 3).join(" "), one] as const);

/** What of the demo's yard the trials of violas need. */
const violas = [
  "book.md",
  "sources",
  "trials",
  "crops/viola.md",
  "crops/basil-sweet.md",
  "gear/tray-72.md",
  "gear/tray-104.md",
];

describe.skipIf(noCell)(`a command${noCell ? `, left out as ${noCell},` : ""}`, { timeout: 240_000 }, () => {
  let yard: Yard;
  let good: Awaited<ReturnType<typeof disk>>;
  const disk = () => yard.cell.files(join(yard.folder, "disk"));
  const call = (words: readonly string[], env = {}) => yard.cell.tierbook(words, { cwd: yard.folder, env });

  beforeAll(async () => {
    yard = await openYard();
    for (const name of violas) {
      await mkdir(dirname(join(yard.folder, "violas", name)), { recursive: true });
      await cp(join(demo, name), join(yard.folder, "violas", name), { recursive: true });
    }
    const rows = Array.from({ length: 4 }, (_, row) => `t${row},T${row} ${"x".repeat(3000)}`);
    await writeFile(join(yard.folder, "table.csv"), `id,term\nodd,Odd\n${rows.join("\n")}\n`);
    yard.cell.sh(`cd ${yard.folder}; cp -r records violas disk; cp -r violas disk/applied; cp -r ${demo} disk/yard`);
    const applied = ["trial", "apply", "viola-plates-autumn", "--yes", "--on", "2027-05-02", ...of("disk/applied")];
    for (const words of [applied, ...making.map(({ words }) => words)])
      expect(await call(words), words.join(" ")).toMatchObject({ code: 0, err: "" });
    good = await disk();
  }, 240_000);
  afterAll(() => yard?.close());

  describe.each([
    ["is full", () => yard.leave(0), "could not be written: the disk is full"],
    ["may only be read", () => yard.lock(), "could not be written: its disk may only be read"],
  ])("whose disk %s", (_what, spoil, why) => {
    it.each(named([...making, ...writing]))("%s says so in one line and leaves all as it was", async (_name, one) => {
      spoil();
      const said = await call(one.words);
      expect(amiss(said, join(yard.folder, "disk", one.file), why)).toEqual([]);
      expect(await disk()).toEqual(good);
    });
  });

  it.each([
    ["import, in the third row", { words: writing[1]!.words, file: "records/glossary/t" }, 8],
    ["export, in the second table", making[2]!, 4],
    ["export --schema, in a later kind", { ...making[5]!, file: "records/.schema/" }, 12],
    ["pack, in the zip", making[0]!, 300],
  ])("whose disk gets full within %s, leaves none of it", async (_name, { file, words }, free) => {
    yard.leave(free);
    const said = await call(words);
    expect(
      amiss(said, join(yard.folder, "disk", file.replace(/crops\.csv$/, "crops.json")), "the disk is full"),
    ).toEqual([]);
    expect(await disk()).toEqual(good);
  });

  it.each(named(making.slice(0, 2)))(
    "%s that finds no room to print the book in says where",
    async (_name, { words }) => {
      yard.leave();
      const tmp = join(yard.folder, "tmp");
      yard.cell.sh(`mount -t tmpfs -o size=300k tmpfs ${tmp}`);
      expect(
        amiss(await call(words, { TMPDIR: tmp }), `${tmp}/tierbook-`, "could not be written: the disk is full"),
      ).toEqual([]);
      expect([...(await yard.cell.files(tmp))!.keys()].filter((name) => name.startsWith("tierbook"))).toEqual([]);
      yard.cell.sh(`mount -o remount,ro ${tmp}`);
      expect(amiss(await call(words, { TMPDIR: tmp }), `${tmp}/tierbook-`, "its disk may only be read")).toEqual([]);
      yard.cell.sh(`umount ${tmp}`);
      expect(await disk()).toEqual(good);
    },
  );

  it("that watches a book writes nothing, on a disk that may be written and on one that may not", async () => {
    for (const spoil of [() => yard.leave(), () => yard.lock()]) {
      spoil();
      const words = ["watch", ...of("disk/records"), "--port", "0"];
      const said = await yard.cell.tierbook(words, { cwd: yard.folder, until: 20_000 });
      expect([said.code, said.err]).toEqual([0, ""]);
      expect(said.out).toContain("Open http://localhost:");
      expect(await disk()).toEqual(good);
    }
  });

  it("is right again as soon as there is room", async () => {
    yard.leave();
    for (const { words } of making) expect(await call(words), words.join(" ")).toMatchObject({ code: 0, err: "" });
    expect(await disk()).toEqual(good);
    for (const { words } of writing) expect(await call(words), words.join(" ")).toMatchObject({ code: 0, err: "" });
    const now = (await disk())!;
    for (const { file } of writing) expect(now.get(file), file).not.toBe(good!.get(file));
    const same = (name: string) => name.replace("applied/", "violas/");
    // What was taken back is what it was before.
    expect(now.get("applied/crops/viola.md")).toBe(good!.get(same("applied/crops/viola.md")));
    expect((await call(["check", ...of("disk/records")])).code).toBe(0);
  });
});
