import * as fs from "node:fs/promises";
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { trialOn } from "../generator/commands/trial.ts";
import { load } from "../generator/node.ts";
import type { Disk } from "../generator/put.ts";

const base = fileURLToPath(new URL("./content/base", import.meta.url));
let folder = "";

const viola = `---
name: Viola
botanical: Viola tricolor
kind: flower
code: VIO
status: tried
reviewed: 2027-01-01
eaten: [flower]
uneaten: [seed, root]
stages:
  germination: { days: 10–14 days }
  tray: { days: 42 days }
cutting: { pieces: 10–30 /week }
form: { mass: 0.12 kg, trail: 0 cm, roots: 1 }
tower: { zone: ZONE, why: Hand height }
cautions:
  identity: Know the species before a flower goes on a plate.
sources: { common-practice: "*" }
---
`;

const towers = `---
kind: tower
name: Towers 1 to 14
line: north
isolate: Own lever at each base
count: 14
tiers: 10
faces: 4
bottom: 0.45 m
pitch: 15 cm
fed: top
base: 40 L
drinks: 6.2 L/day
pins: { 5E: basil }
sources: { common-practice: "*" }
---
`;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-trial-new-"));
  await cp(base, folder, { recursive: true });
  await rm(join(folder, "trials"), { recursive: true });
  await fs.mkdir(join(folder, "trials"));
  await writeFile(join(folder, "crops/viola.md"), viola.replace("ZONE", "middle"));
  await writeFile(
    join(folder, "crops/cress.md"),
    viola.replace("ZONE", "none").replace("Viola\n", "Cress\n").replace("VIO", "CRE"),
  );
  await writeFile(join(folder, "gear/towers.md"), towers);
});
afterEach(() => rm(folder, { recursive: true, force: true }));

/** A trial that can be planned, as somebody would type it; an undefined option is left out. */
const asked: Readonly<Record<string, string | undefined>> = {
  question: "Viola pinched once, or left alone?",
  crop: "viola",
  treatments: "pinched,plain",
  control: "plain",
  through: "plant",
  measure: "Flowers a plant a week, counted each Tuesday",
  worthwhile: "1.5 flowers a plant a week",
  usual: "8",
  spread: "20 %",
  started: "2027-04-19",
  stop: "2027-08-10",
  blocks: "tower-2,tower-5,tower-8,tower-11",
};

const words = (over: Readonly<Record<string, string | undefined>>) =>
  Object.entries({ ...asked, ...over }).flatMap(([option, value]) =>
    value === undefined ? [] : [`--${option}`, value],
  );

interface Told {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function plan(
  over: Readonly<Record<string, string | undefined>> = {},
  more: readonly string[] = [],
  answers?: readonly string[],
  id = "viola-pinched",
): Promise<Told> {
  const said = { out: "", err: "" };
  const left = [...(answers ?? [])];
  const code = await main(["trial", "new", id, ...words(over), ...more, "--content", folder], {
    cwd: folder,
    out: (text) => {
      said.out += `${text}\n`;
    },
    err: (text) => {
      said.err += `${text}\n`;
    },
    ...(answers ? { ask: () => Promise.resolve(left.shift()) } : {}),
  });
  return { code, ...said };
}

const written = async () => (await readdir(join(folder, "trials"))).sort();
const text = (name: string) => readFile(join(folder, "trials", name), "utf8");

describe("tierbook trial new", () => {
  it("writes a record that the checker has nothing against, and a row for each plant with nothing in it", async () => {
    const { code, out, err } = await plan();
    expect(err).toBe("");
    expect(code).toBe(0);
    expect(await written()).toEqual(["viola-pinched.csv", "viola-pinched.md"]);
    const { library, files } = await load(folder);
    expect(files.filter(({ path }) => path.includes("viola-pinched")).flatMap(({ messages }) => messages)).toEqual([]);
    const { fields } = library!.trials.get("viola-pinched")!;
    expect(fields).toMatchObject({
      control: "plain",
      drawn: 20_270_419,
      data: "viola-pinched.csv",
      started: "2027-04-19",
    });
    expect(fields.blocks).toBeUndefined();
    const [head, ...rows] = (await text("viola-pinched.csv")).trimEnd().split("\n");
    expect(head).toBe("block,treatment,port,value,reason");
    expect(rows).toHaveLength(24);
    for (const row of rows) {
      const [block, treatment, port, value, reason] = row.split(",");
      expect(fields.places![block!]![port!]).toBe(treatment);
      expect([value, reason]).toEqual(["", ""]);
    }
    expect(Object.values(fields.places!).map((ports) => Object.keys(ports).length)).toEqual([6, 6, 6, 6]);
    // Cautions before anything, then the places, then what it could show.
    expect(out.indexOf("Caution: Nobody tastes")).toBe(0);
    expect(out.indexOf("Caution: Know the species")).toBeGreaterThan(0);
    expect(out.indexOf("Caution: Know the species")).toBeLessThan(out.indexOf("Wrote trials/viola-pinched.md"));
    expect(out).toContain("Raise 13 of pinched and 13 of plain");
    // 1.5 ÷ 8 is 18.75 %: (2.8 × 16.3 ÷ 18.75)² = 5.9, so 6 blocks and 2; or 3 × (32.3 ÷ 18.75)² = 8.9 plants.
    expect(out).toContain("You want 19\u202f% (1.5 of 8): take 8 blocks or 9 plants of each in each block.");
  });

  it("reads again as measured once the table is filled in, and not before", async () => {
    await plan();
    const filled = (await text("viola-pinched.csv")).replace(
      /^(tower.*,)(pinched|plain)(,\w+),,$/gm,
      (_, block, treatment, port) => `${block}${treatment}${port},${treatment === "plain" ? 7 : 9},`,
    );
    await writeFile(join(folder, "trials/viola-pinched.csv"), filled);
    const { library } = await load(folder);
    expect(library!.trials.get("viola-pinched")!.fields.blocks!["tower-2"]).toEqual({
      pinched: [9, 9, 9],
      plain: [7, 7, 7],
    });
    // Rows that are blank yet wait, and the others stand; the trial is read when none does.
    await writeFile(join(folder, "trials/viola-pinched.csv"), filled.replace(/,9,$/m, ",,"));
    const again = await load(folder);
    expect(again.library!.trials.get("viola-pinched")!.fields).toMatchObject({
      waiting: 1,
      blocks: { "tower-2": { pinched: [9, 9], plain: [7, 7, 7] } },
    });
  });

  it("writes nothing on a dry run, and the same places as it would write", async () => {
    const { out } = await plan({}, ["--dry-run", "--json"]);
    expect(await written()).toEqual([]);
    const dry = JSON.parse(out);
    expect(dry).toMatchObject({
      written: false,
      files: ["trials/viola-pinched.md", "trials/viola-pinched.csv"],
      unit: "port",
    });
    expect(dry.cautions[0]).toContain("Nobody tastes");
    const wet = JSON.parse((await plan({}, ["--json"])).out);
    expect(wet.blocks).toEqual(dry.blocks);
    expect(JSON.parse((await plan({ coin: "7" }, ["--json", "--dry-run"], undefined, "other")).out).blocks).not.toEqual(
      dry.blocks,
    );
  });

  it("gives a port to one trial at a time", async () => {
    await plan();
    const second = JSON.parse((await plan({}, ["--json"], undefined, "viola-late")).out);
    const { library } = await load(folder);
    const first = library!.trials.get("viola-pinched")!.fields.places!;
    for (const { name, places } of second.blocks)
      expect(Object.keys(places).filter((port) => first[name]![port] !== undefined)).toEqual([]);
  });

  it("plans a trial of the feed on towers that are fed apart, and not on a shared line", async () => {
    const shared = await plan({ through: "feed", blocks: "tower-3,tower-4" });
    expect(shared.code).toBe(3);
    expect(shared.err).toContain("n = 1 for the whole site");
    expect(shared.err).toContain("8 buckets");
    expect(await written()).toEqual([]);
    const [, offered] = /--blocks ([\w,-]+)/.exec(shared.err)!;
    const { code, out } = await plan({ through: "feed", blocks: offered, isolated: "8" });
    expect(code).toBe(0);
    expect(out).toContain("Nothing is tried on a line that other plants drink from");
    const { library } = await load(folder);
    expect(library!.trials.get("viola-pinched")!.fields).toMatchObject({ through: "feed", isolated: 8 });
  });

  it.each([
    [{ blocks: "tower-3=pinched,tower-4=plain" }, "tower-3 has pinched alone and tower-4 has plain alone"],
    [{ blocks: "tower-3" }, "One tower is one block, n = 1"],
    [{ blocks: undefined }, "There is no block"],
    [{ plants: "30" }, "and 30 are wanted"],
    [{ crop: "cress" }, "is not planted on towers"],
  ])("refuses %j and offers what would do", async (over, why) => {
    const { code, out, err } = await plan(over);
    expect(code).toBe(3);
    expect(out).toBe("");
    expect(err).toContain(why);
    expect(err.trimEnd().split("\n").length).toBeGreaterThanOrEqual(2);
    expect(await written()).toEqual([]);
  });

  it("tells everything that is wrong at once, and writes nothing", async () => {
    const { code, out, err } = await plan({
      crop: "violla",
      treatments: "A",
      through: "plan",
      started: "2027-02-30",
      stop: undefined,
      worthwhile: "some",
      blocks: "tower-99",
      spread: "wide",
      coin: "0",
    });
    expect({ code, out }).toEqual({ code: 2, out: "" });
    for (const word of [
      "Missing --stop",
      "There is no crop violla; did you mean viola",
      "Unexpected --treatments A, expected two to four",
      "Unexpected --through plan, expected plant or feed",
      "Unexpected --started 2027-02-30",
      "Unexpected --worthwhile some",
      "tower-99",
      "Unexpected --spread wide",
      "Unexpected --coin 0",
    ])
      expect(err).toContain(word);
    expect(err.trimEnd().split("\n")).toHaveLength(1);
    expect(await written()).toEqual([]);
  });

  it("asks on a terminal for what was not said, and again when an answer will not do", async () => {
    const { code, err } = await plan(
      { control: undefined, stop: undefined, spread: undefined },
      [],
      ["both", "plain", "", "2027-01-01", "2027-08-10", ""],
    );
    expect(code).toBe(0);
    expect(err).toContain("Unexpected --control both, expected pinched or plain.");
    expect(err).toContain("Expected an answer.");
    expect(err).toContain("Unexpected --stop 2027-01-01, expected 2027-04-19 or later.");
    expect(await text("viola-pinched.md")).not.toContain("spread:");
  });

  it("writes nothing when whoever was asked has left", async () => {
    const { code, err } = await plan({ control: undefined }, [], []);
    expect(code).toBe(3);
    expect(err).toContain("Nothing was written");
    expect(await written()).toEqual([]);
  });

  it("writes over nothing, neither the record nor the table", async () => {
    await plan();
    const before = await text("viola-pinched.csv");
    const { code, err } = await plan({ coin: "9" });
    expect(code).toBe(3);
    expect(err).toContain("already");
    expect(await text("viola-pinched.csv")).toBe(before);
  });

  it("takes the table away again when the record cannot be put", async () => {
    let puts = 0;
    const full: Disk = {
      ...fs,
      link: (async (from: string, to: string) => {
        puts++;
        if (to.endsWith(".md")) throw Object.assign(new Error("full"), { code: "ENOSPC" });
        return fs.link(from, to);
      }) as Disk["link"],
    };
    let err = "";
    const code = await trialOn(full, () => "2027-04-12").run(
      ["new", "viola-pinched", ...words({}), "--content", folder],
      {
        cwd: folder,
        out: () => {},
        err: (text) => {
          err += text;
        },
      },
    );
    expect(code).toBe(3);
    expect(err).toContain("the disk is full");
    expect(puts).toBe(2);
    expect(await written()).toEqual([]);
  });

  it("reads what was typed back from the record, whatever signs are in it", async () => {
    const question = 'Is "A" # better: yes, or no?';
    const { code } = await plan({ question, treatments: "it's A,on: B", control: "on: B" });
    expect(code).toBe(0);
    const { library } = await load(folder);
    const { fields } = library!.trials.get("viola-pinched")!;
    expect(fields.question).toBe(question);
    expect(fields.control).toBe("on: B");
    expect(new Set(Object.values(fields.places!["tower-2"]!))).toEqual(new Set(["it's A", "on: B"]));
  });
});
