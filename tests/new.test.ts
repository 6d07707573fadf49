import * as fs from "node:fs/promises";
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { newOn } from "../generator/commands/new.ts";
import { seatAt } from "../generator/commands/new-terminal.ts";
import { kindNames } from "../generator/library.ts";
import { load } from "../generator/node.ts";
import { type Kind, kinds, read } from "../generator/records/index.ts";
import { choiceOf, isOptional, wordOf } from "../generator/records/walk.ts";
import { idFor } from "../generator/writing/name.ts";
import { headingsOf, recordText, shapeOf } from "../generator/writing/record.ts";
import { fieldNamed, items, type Tree } from "../generator/writing/tree.ts";

const base = fileURLToPath(new URL("content/base", import.meta.url));
let folder = "";

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "tierbook-new-"));
  await cp(base, folder, { recursive: true });
});
afterEach(() => rm(folder, { recursive: true, force: true }));

type World = Parameters<typeof main>[1];

/** Runs a command line where nobody can be asked, or somebody gives these answers one after the other and then leaves. */
async function said(run: (world: World) => Promise<number>, answers?: readonly string[]) {
  const told = { out: "", err: "" };
  const left = [...(answers ?? [])];
  const code = await run({
    cwd: tmpdir(),
    out: (text) => {
      told.out += `${text}\n`;
    },
    err: (text) => {
      told.err += `${text}\n`;
    },
    ...(answers
      ? {
          ask: async () => {
            told.err += `> ${left[0] ?? ""}\n`;
            return left.shift();
          },
        }
      : {}),
  });
  return { code, left, ...told };
}

const tierbook = (...args: string[]) => said((world) => main(["new", ...args, "--content", folder], world));
const atTerminal = (args: readonly string[], answers: readonly string[]) =>
  said((world) => main(["new", ...args, "--content", folder], world), answers);

const text = (path: string) => readFile(join(folder, path), "utf8");
const allFiles = async () => (await readdir(folder, { recursive: true })).toSorted();

/** What is said of a crop that lacks nothing. */
const thyme = ["--name", "Tall thyme", "--botanical", "Thymus vulgaris", "--kind", "herb", "--code", "TTA"];
const facts = ["--status", "trial", "--reviewed", "2027-03-20", "--eaten", "leaf"];

/** Enough of each kind to be a record of its own in the base book. */
const enough: Readonly<Record<string, readonly string[]>> = {
  crops: [...thyme, ...facts],
  feeds: [
    ...["--name", "Half", "--version", "1", "--water", "rain", "--salts", "calcium-nitrate, magnesium-sulphate"],
    ...["N", "P", "K", "Ca", "Mg"].flatMap((ion) => ["--set", `targets.${ion}=60 mg/L`]),
    ...["ratio=1 %", "means=in", "heads=2", "tank=20 L", "coldest=5 °C"].flatMap((one) => ["--set", `stock.${one}`]),
    ...["--approved", "2027-03-01"],
  ],
  salts: ["--name", "Potassium nitrate", "--tub", "A", "--set", "analysis.K2O=46 %"],
  waters: ["--name", "Well", "--from", "well", "--sampled", "2027-03-01", "--set", "ions.Ca=30 mg/L"],
  gear: ["--kind", "tray", "--name", "Tray of 40", "--cells", "40"],
  lots: ["--crop", "basil", "--bought", "2027-01-05", "--treated", "no", "--food", "yes"],
  orders: [
    ...["--reference", "r 9", "--kind", "cut", "--crop", "basil", "--amount", "200 g/week", "--from", "2027-05-04"],
  ],
  sources: [
    ...["--kind", "published", "--title", "Of leaves", "--author", "Fern A. and Moss B."],
    ...["--year", "2001", "--locator", "pages 3–9"],
  ],
  guides: ["--title", "Tying a tower", "--summary", "Before a blow."],
  glossary: ["--term", "Blow"],
  news: ["--title", "New trays", "--on", "2027-03-20"],
};

describe("the text of a new record", () => {
  const cases = kindNames.flatMap((kind): readonly (readonly [name: string, kind: Kind, tree: Tree])[] => {
    const choice = choiceOf(kinds[kind]);
    if (!choice) return [[kind, kind, {}]];
    const words = choice.options.map((option) => wordOf(option, choice.discriminator));
    return words.map((word) => [`${kind}, ${word}`, kind, { [choice.discriminator]: word }]);
  });

  it("is of every kind", () => expect(new Set(cases.map(([, kind]) => kind)).size).toBe(Object.keys(kinds).length));

  it.each(cases)("of %s names in each comment a field that is known, with an example that will do", (_, kind, tree) => {
    const whole = recordText({ kind, tree, source: undefined, guided: true });
    const shape = shapeOf(kinds[kind], tree);
    const comments = whole.split("\n").filter((line) => line.startsWith("# "));
    const leans = whole.includes("\nsources:");
    expect(comments.map((line) => /^# (\w+):/.exec(line)?.[1])).toEqual(
      Object.keys(shape).filter((name) => isOptional(shape[name]!) && !(leans && name === "sources")),
    );
    // What a record without its required fields is told of is not about the comments.
    const known = new Set(saidOf(kind, whole));
    for (const comment of comments) {
      const opened = whole.replace(`\n${comment}\n`, `\n${comment.slice(2)}\n`);
      expect(opened).not.toBe(whole);
      expect(
        saidOf(kind, opened).filter((said) => !known.has(said) && !said.startsWith("field-blank")),
        comment,
      ).toEqual([]);
    }
    const all = whole.replace(/^# /gm, "");
    expect(saidOf(kind, all).filter((said) => /^(?:field-unknown|field-misspelt|yaml|key|type)/.test(said))).toEqual(
      [],
    );
  });

  function saidOf(kind: Kind, value: string): readonly string[] {
    const file = new VFile({ path: `${kind}/record.md`, value });
    expect(read(file, kinds[kind]), value).toBeDefined();
    return file.messages.map(
      (message) => `${message.ruleId} ${(message as { field?: string }).field}: ${message.reason}`,
    );
  }

  it("has what cannot be left out first, in the order of the schema, and the headings of its kind", () => {
    const tree = { also: ["tall one"], name: "Tall thyme", kind: "herb", seed: { days: "5 days", coldest: "4 °C" } };
    const written = recordText({ kind: "crops", tree, source: "common-practice", guided: true });
    expect(written).toMatch(
      /^---\nname: Tall thyme\nkind: herb\nstages: \{\}\nalso: \[tall one\]\nseed:\n {2}coldest: 4 °C\n {2}days: 5 days\n\n## What else a crop may say/,
    );
    expect(written).toContain('\n\nsources:\n  common-practice: "*"\n---\n\n## Feed and light\n\n## On the tower\n');
    for (const heading of headingsOf("crops")) expect(written).toContain(`\n## ${heading}\n`);
  });

  it("leans on memory where something must be leant on, and on nothing where that may be left out", () => {
    for (const kind of kindNames) {
      const written = recordText({ kind, tree: {}, source: undefined, guided: true });
      const { sources } = shapeOf(kinds[kind], {});
      expect(written.includes("\nsources:"), kind).toBe(sources !== undefined && !isOptional(sources));
    }
  });

  it("puts text in quotes where YAML would take it for something else", () => {
    const tree = { name: 'A: "b" # c', also: ["yes, no", "~"], trouble: { "leaf spot": { sign: "- x", first: "[y" } } };
    const file = new VFile({
      path: "crops/a.md",
      value: recordText({ kind: "crops", tree, source: undefined, guided: true }),
    });
    expect(read(file, kinds.crops)?.raw).toMatchObject(tree);
  });
});

describe("idFor", () => {
  it.each<[Kind, Tree, string]>([
    ["crops", { name: "Été basil, “tall”" }, "ete-basil-tall"],
    ["lots", { crop: "basil", bought: "2027-01-05" }, "basil-2027-01-05"],
    ["orders", { crop: "basil", kind: "cut", from: "2027-05-04", reference: "secret 4" }, "basil-cut-2027-05-04"],
    ["sources", { author: "Fern A. and Moss B.", year: "2001" }, "fern-2001"],
    ["sources", { title: "Our own" }, "our-own"],
    ["crops", { name: "базилик" }, ""],
    ["crops", { name: `${"long ".repeat(20)}name` }, "long-long-long-long-long-long-long-long-long-long-long-long"],
  ])("names %s of %j %s", (kind, tree, id) => expect(idFor(kind, tree)).toBe(id));
});

describe("fieldNamed", () => {
  it.each([
    ["ec.preferred", ["ec", "preferred"], false],
    ["eaten", ["eaten"], true],
    ["notes.light.best", ["notes", "light.best"], false],
    ["trouble.aphids.sign", ["trouble", "aphids", "sign"], false],
    ["history.0.on", ["history", 0, "on"], false],
  ])("%s is a field", (dotted, path, many) => expect(fieldNamed("crops", dotted)).toMatchObject({ path, many }));

  it.each([
    ["ec.prefered", "ec.preferred"],
    ["ec", "one of its parts: ec.preferred, ec.tolerated, ec.seedling, ec.fruiting"],
    ["name.first", "name"],
    ["xyzzy", "a field of crops"],
    ["constructor", "a field of crops"],
  ])("%s is none, and %s is said", (dotted, expected) => expect(fieldNamed("crops", dotted)).toEqual({ expected }));

  it("parts a list at semicolons, and at commas only where there are none", () => {
    expect(items("leaf, flower")).toEqual(["leaf", "flower"]);
    expect(items("a violet, which is none; monkshood;")).toEqual(["a violet, which is none", "monkshood"]);
    expect(items("leaf\nflower")).toEqual(["leaf", "flower"]);
  });
});

describe("tierbook new", () => {
  it.each(Object.keys(enough))("writes one of %s into a book that is as sound as before", async (kind) => {
    const before = await allFiles();
    const { code, err, out } = await tierbook(kind, ...enough[kind]!, "--json");
    expect([code, err]).toEqual([0, ""]);
    const { file, written } = JSON.parse(out) as { file: string; written: boolean };
    expect(written).toBe(true);
    expect(await allFiles()).toEqual([...before, file].toSorted());
    const { library, files } = await load(folder);
    expect(library).toBeDefined();
    expect(files.find(({ path }) => path === file)?.messages).toEqual([]);
  });

  it("writes what it was told, in lists and in fields within fields", async () => {
    const within = ["--set", "ec.preferred=1.0–1.6 mS/cm", "--set", "trouble.aphids.sign=Sticky"];
    const more = ["--set", "trouble.aphids.first=Rinse", "--also", "long thyme, of the wall", "--also", "wall thyme"];
    const { code, out } = await tierbook("crop", "wall-thyme", ...thyme, ...facts, ...within, ...more);
    expect(code).toBe(0);
    expect(out).toBe(
      "Wrote crops/wall-thyme.md\nWhat else a crop may say stands in it as comments, and its headings wait for text.\n",
    );
    expect(await text("crops/wall-thyme.md")).toContain(`---
name: Tall thyme
botanical: Thymus vulgaris
kind: herb
code: TTA
status: trial
reviewed: 2027-03-20
eaten: [leaf]
stages: {}
also: ["long thyme, of the wall", wall thyme]
ec:
  preferred: 1.0–1.6 mS/cm
trouble:
  aphids:
    sign: Sticky
    first: Rinse

## What else a crop may say: take the # away and write what is so.
# search: […]`);
  });

  it("tells all that is missing at once, and all that will not do, and writes nothing", async () => {
    const before = await allFiles();
    const { code, out, err } = await tierbook(
      "crop",
      "--code",
      "tt",
      "--kind",
      "herbb",
      "--set",
      "ec.preferred=1,4",
      "--name",
      "sweet Basil",
    );
    expect([code, out]).toEqual([2, ""]);
    expect(err).toBe(`--botanical: Missing \`botanical\` (botanical name).
--status: Missing \`status\`, such as \`status: trial\`.
--reviewed: Missing \`reviewed\` (last reviewed), such as \`reviewed: 2027-03-22\`.
--eaten: Missing \`eaten\` (parts eaten).
--name: Unexpected \`sweet Basil\`, expected a name of its own. \`crops/basil.md\` has the same: nobody could tell them apart.
--kind: Unexpected \`herbb\`, expected \`leaf\`, \`herb\`, \`fruit\`, \`flower\` or \`micro\`. Did you mean \`herb\`?
--code: Unexpected \`tt\`, expected three capitals and up to two digits, such as \`BAS\` or \`LET02\`.
--set ec.preferred=: Unexpected \`1,4\`, expected a decimal point. Write \`1.4\` if that is meant. A comma is not guessed at.
Nothing was written.
`);
    expect(await allFiles()).toEqual(before);
  });

  it("tells what is missing within a mapping that must be there", async () => {
    const { code, err } = await tierbook("feed", "--name", "Half");
    expect(code).toBe(2);
    for (const path of ["targets.N", "targets.Mg", "stock.ratio", "stock.coldest"])
      expect(err).toContain(`--set ${path}=: Missing`);
  });

  it("exits 1 when nothing is missing and the checker stops it all the same", async () => {
    const { code, err } = await tierbook(
      "lot",
      "--crop",
      "basl",
      "--bought",
      "2027-01-05",
      "--treated",
      "no",
      "--food",
      "yes",
    );
    expect(code).toBe(1);
    expect(err).toBe(
      "--crop: Unexpected `basl`, expected a file of `crops/`. Did you mean `basil`?\nNothing was written.\n",
    );
  });

  it("asks first which gear it is, since that settles the rest", async () => {
    const { code, err } = await tierbook("gear", "--name", "Tray of 40");
    expect(code).toBe(2);
    expect(err).toMatch(/^--kind: Missing `kind`, which is `line`, .* or `room`\.\nNothing was written\.\n$/);
    const known = await tierbook("gear", "--cells", "40", "--kind", "tray");
    expect(known.err).toBe("--name: Missing `name`.\nNothing was written.\n");
  });

  it("writes over nothing, whatever the capitals", async () => {
    const basil = await text("crops/basil.md");
    const named = await tierbook("crop", "basil", ...thyme, ...facts);
    expect([named.code, named.err]).toEqual([
      3,
      "There is a file crops/basil.md already, and nothing is written over it. Say another name behind the kind.\n",
    ]);
    const made = await tierbook("crop", ...thyme, ...facts, "--name", "Basil");
    expect(made.err).toContain("--name is said twice");
    const again = await tierbook("crop", "--name", "Basil", ...thyme.slice(2), ...facts);
    expect([again.code, again.err]).toEqual([3, named.err]);
    expect(await text("crops/basil.md")).toBe(basil);
  });

  it("asks for a name of the file when none can be made", async () => {
    const cyrillic = ["--name", "Чабрец", ...thyme.slice(2), ...facts];
    const { code, err } = await tierbook("crop", ...cyrillic);
    expect(code).toBe(2);
    expect(err).toContain("No file name can be made from what a crop says here.");
    expect((await tierbook("crop", "chabrets", ...cyrillic)).code).toBe(0);
  });

  it("shows the record and writes nothing when it is dry", async () => {
    const before = await allFiles();
    const { code, out } = await tierbook("term", "--term", "Blow", "--dry-run");
    expect(code).toBe(0);
    expect(out).toMatch(/^Would write glossary\/blow\.md\n\n---\nterm: Blow\n\n## What else a term may say/);
    expect(await allFiles()).toEqual(before);
  });

  it("leans on the source that is named, which must be there", async () => {
    expect((await tierbook("salt", ...enough.salts!, "--source", "leaf-herbs")).code).toBe(0);
    expect(await text("salts/potassium-nitrate.md")).toContain('sources:\n  leaf-herbs: "*"\n');
    const { code, err } = await tierbook("water", ...enough.waters!, "--source", "leaf-herb");
    expect(code).toBe(1);
    expect(err).toContain("Did you mean `leaf-herbs`?");
  });

  it("says what should be looked at twice", async () => {
    const { code, out } = await tierbook("crop", ...thyme, ...facts, "--set", "ec.preferred=4–5 mS/cm");
    expect(code).toBe(0);
    expect(out).toContain("Unexpected `4–5 mS/cm`, expected 0.3 to 3.5 mS/cm. It may be right.");
  });

  it("makes the folder of a kind that the book has nothing of yet", async () => {
    await rm(join(folder, "news"), { recursive: true });
    expect((await tierbook("news", ...enough.news!)).code).toBe(0);
    expect(await text("news/2027-03-20-new-trays.md")).toContain("title: New trays");
  });

  it("says no more than what stops a book that is not sound", async () => {
    await writeFile(join(folder, "crops", "basil.md"), "---\nname: x\n---\n");
    const { code, err } = await tierbook("term", "--term", "Blow");
    expect(code).toBe(1);
    expect(err).toContain("Nothing was written: mend what stops the book first.");
  });

  it("says why the disk would not have it", async () => {
    const full: typeof fs = {
      ...fs,
      open: async () => {
        throw Object.assign(new Error("x"), { code: "ENOSPC" });
      },
    };
    const before = await allFiles();
    const { code, err } = await said((world) =>
      newOn(full).run(["term", "--term", "Blow", "--content", folder], world),
    );
    expect(code).toBe(3);
    expect(err).toContain("could not be written: the disk is full. Nothing was changed.");
    expect(await allFiles()).toEqual(before);
  });

  it.each([
    [["batch"], "A batch has its own deed, which makes its code: tierbook batch new CROP --lot LOT --cells N"],
    [["trial"], "A trial has its own deed, which plans its blocks and draws its places: tierbook trial new"],
    [["corp"], "Unexpected corp, expected crop"],
    [[], "Say first what is to be written: crop, feed, salt, water, gear, lot, order, source, guide, term, news"],
    [["crop", "--botanicl", "x"], "Unexpected option --botanicl, expected --botanical"],
    [["crop", "--ec", "1"], "Unexpected --ec, expected one of its parts: ec.preferred"],
    [["crop", "--set", "ec.prefered=1"], "Unexpected --set ec.prefered, expected ec.preferred"],
    [["crop", "--set", "sources.memory=*"], "Unexpected --set sources.memory, expected --source NAME"],
    [["crop", "--set", "ec"], "Unexpected --set ec, expected PATH=VALUE"],
    [
      ["crop", "Tall_Thyme"],
      "Unexpected ID Tall_Thyme, expected small letters, digits and hyphens, such as tall-thyme",
    ],
    [["crop", "a", "b"], "Unexpected b behind a"],
    [["term", "--source", "memory"], "Unexpected --source, for a term has no figures"],
    [["term", "--ask", "ec"], "Unexpected --ask ec, expected a field of a term"],
  ])("%j is a sentence that says what to write", async (words, sentence) => {
    const { code, out, err } = await tierbook(...words);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain(sentence);
    expect(err.trim().split("\n")).toHaveLength(1);
  });
});

describe("tierbook new at a terminal", () => {
  it("asks for what is missing, says at once what will not do, and asks again", async () => {
    const names = ["Sweet basil", "Tall thyme", "", "herbb", "herb", "bas", "BAS", "TTA"];
    const days = ["trial", "2027-02-30", "2027-03-20", "leaf", "5 days", "16", "16 days", "", "", ""];
    const { code, err, left } = await atTerminal(["crop", "--botanical", "Thymus vulgaris"], [...names, ...days]);
    expect([code, left]).toEqual([0, []]);
    expect(err).toBe(await readFile(new URL("new/interview.txt", import.meta.url), "utf8"));
    expect(await text("crops/tall-thyme.md")).toContain(
      "eaten: [leaf]\nstages:\n  germination:\n    days: 5 days\n  tray:\n    days: 16 days\n\n## What else",
    );
    expect((await load(folder)).library).toBeDefined();
  });

  it("writes nothing when whoever was asked has left, and says so", async () => {
    const before = await allFiles();
    const { code, out, err } = await atTerminal(["crop"], ["Tall thyme", "Thymus vulgaris"]);
    expect([code, out]).toEqual([3, ""]);
    expect(err).toContain("Nothing was written: it was stopped before all was answered.");
    expect(await allFiles()).toEqual(before);
  });

  it("asks for a record of another kind, and tells at once when there is none", async () => {
    const { code, err } = await atTerminal(["lot"], ["basl", "basil", "2027-01-05", "perhaps", "no", "yes"]);
    expect(code).toBe(0);
    expect(err).toContain("> basl\n  Unexpected `basl`, expected a file of `crops/`. Did you mean `basil`?\n> basil\n");
    expect(err).toContain("> perhaps\n  Unexpected `perhaps`, expected `yes` or `no`.\n");
  });

  it("asks for what a first answer calls for, and for fields that are wished for", async () => {
    const answers = ["published", "Of leaves", "", "part", "Fern A.", "pages 3–9"];
    const { code, left } = await atTerminal(["source", "--ask", "year", "--ask", "read"], answers);
    expect([code, left]).toEqual([0, []]);
    expect(await text("sources/of-leaves.md")).toMatch(
      /^---\nkind: published\ntitle: Of leaves\nauthor: Fern A\.\nlocator: pages 3–9\nread: part\n\n/,
    );
  });

  it("asks again for what was left blank and cannot be after all", async () => {
    const answers = ["published", "Of leaves", "", "Fern A.", "pages 3–9"];
    const { code, err, left } = await atTerminal(["source", "--ask", "author"], answers);
    expect([code, left]).toEqual([0, []]);
    expect(err).toContain("Missing `author`. A published value needs something that one can look up");
    expect(await text("sources/of-leaves.md")).toContain("author: Fern A.\nlocator: pages 3–9\n");
  });

  it("tells of an option that will not do, and asks for it instead", async () => {
    const { code, err } = await atTerminal(["crop", ...thyme, ...facts, "--by", "Made Up"], ["", "", "", "", "", "MU"]);
    expect(code).toBe(0);
    expect(err).toContain("Unexpected `Made Up`, expected one to four letters");
    expect(await text("crops/tall-thyme.md")).toContain("by: MU\n");
  });

  it("asks for the parts of a mapping that was begun", async () => {
    const { code, left } = await atTerminal(
      ["crop", ...thyme, ...facts, "--ask", "tower.zone"],
      ["", "", "", "", "", "middle", "It is cool there"],
    );
    expect([code, left]).toEqual([0, []]);
    expect(await text("crops/tall-thyme.md")).toContain("tower:\n  zone: middle\n  why: It is cool there\n");
  });

  it("asks for another name of the file when that is taken", async () => {
    await cp(join(folder, "glossary", "ec.md"), join(folder, "glossary", "blow.md"));
    await writeFile(join(folder, "glossary", "blow.md"), "---\nterm: Storm\n---\n\nWind.\n");
    const { code, err } = await atTerminal(["term"], ["Blow", "blow", "Blow!", "a-blow"]);
    expect(code).toBe(0);
    expect(err).toContain(
      "Name of the file\n  There is a file glossary/blow.md already.\n> blow\n  There is a file glossary/blow.md already.\n> Blow!\n  Unexpected Blow!, expected small letters, digits and hyphens, such as blow.\n> a-blow\n",
    );
    expect(await text("glossary/a-blow.md")).toContain("term: Blow\n");
  });
});

describe("seatAt", () => {
  it("gives lines in their order, those that were typed ahead too, and undefined after the last", async () => {
    const input = new PassThrough();
    const seat = seatAt(input, new PassThrough());
    const first = seat.ask("a ");
    input.write("one\r\ntwo\r\n");
    expect([await first, await seat.ask("b ")]).toEqual(["one", "two"]);
    const last = seat.ask("c ");
    input.end();
    expect([await last, await seat.ask("d ")]).toEqual([undefined, undefined]);
    seat.close();
  });

  it("takes Ctrl-C for leaving", async () => {
    const input = new PassThrough();
    const seat = seatAt(input, new PassThrough());
    const asked = seat.ask("a ");
    input.write("half\u0003");
    expect(await asked).toBeUndefined();
  });
});
