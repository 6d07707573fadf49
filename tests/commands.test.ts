import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../generator/cli.ts";
import { worksheets } from "../generator/worksheets/index.ts";

const demo = fileURLToPath(new URL("../content", import.meta.url));

/** Runs one command line as a person would; gives its exit code and what it said. */
async function tierbook(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: "", err: "" };
  const code = await main(args, {
    cwd: tmpdir(),
    out: (text) => {
      said.out += `${text}\n`;
    },
    err: (text) => {
      said.err += `${text}\n`;
    },
  });
  return { code, ...said };
}

describe("tierbook", () => {
  it("lists its commands when asked for nothing, as a misuse", async () => {
    const { code, out } = await tierbook();
    expect(code).toBe(2);
    for (const name of ["check", "build", "plan", "week", "can", "worksheet", "explain", "print"])
      expect(out).toContain(`  ${name} `);
  });

  it("names the nearest command", async () => {
    expect(await tierbook("chek")).toEqual({
      code: 2,
      out: "",
      err: "There is no command chek; did you mean check? See tierbook --help\n",
    });
  });

  it.each(["check", "build", "plan", "week", "can", "worksheet", "explain", "print"])(
    "%s --help gives usage and an example",
    async (name) => {
      const { code, out } = await tierbook(name, "--help");
      expect(code).toBe(0);
      expect(out).toContain(`tierbook ${name}`);
      expect(out).toContain("Example: tierbook");
    },
  );

  it("names the nearest option", async () => {
    const { code, err } = await tierbook("check", "--contents", demo);
    expect([code, err.split(".")[0]]).toEqual([2, "Unexpected option --contents, expected --content"]);
  });

  it("says which folder is not there", async () => {
    const { code, err } = await tierbook("check", "--content", "/no/such/folder");
    expect(code).toBe(2);
    expect(err).toContain("There is no folder /no/such/folder");
  });
});

describe("tierbook check", () => {
  let folder = "";
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), "tierbook-check-"));
    await cp(demo, folder, { recursive: true });
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it("finds nothing that stops the demo book, from any working directory", async () => {
    const { code, out } = await tierbook("check", "--content", demo);
    expect(out).not.toContain(" error ");
    expect(code).toBe(0);
  });

  it("reports six planted faults six times, each at its line", async () => {
    const file = join(folder, "crops/parsley.md");
    const lines = (await readFile(file, "utf8")).split("\n");
    const plant = (start: string, written: string): number => {
      const index = lines.findIndex((line) => line.startsWith(start));
      expect(index, start).toBeGreaterThan(0);
      lines[index] = written;
      return index + 1;
    };
    const planted = [
      ["word-unknown", plant("kind:", "kind: herbe")],
      ["date-unreal", plant("reviewed:", "reviewed: 2027-02-29")],
      ["unit-missing", plant("  preferred:", "  preferred: 0.8–1.8")],
      ["decimal-comma", plant("  tolerated:", "  tolerated: 0,8–2.2 mS/cm")],
      ["field-misspelt", plant("status:", "statsu: trusted")],
      ["range-backwards", plant("  hours:", "  hours: 16–12 h")],
    ] as const;
    await writeFile(file, lines.join("\n"));
    const { code, out } = await tierbook("check", "--content", folder, "--json");
    const found = out
      .trim()
      .split("\n")
      .map(
        (line) => JSON.parse(line) as { file: string; line: number; rule: string; severity: string; message: string },
      );
    const errors = found.filter(({ file: name, severity }) => name === "crops/parsley.md" && severity === "error");
    for (const [rule, line] of planted)
      expect(
        errors.some((one) => one.rule === rule && one.line === line),
        `${rule} at ${line}`,
      ).toBe(true);
    // A misspelt name is also a name that is missing.
    expect(errors.filter(({ rule }) => rule !== "field-missing")).toHaveLength(6);
    expect(code).toBe(1);
  });
});

describe("tierbook worksheet", () => {
  it("lists every worksheet with its question", async () => {
    const { code, out } = await tierbook("worksheet", "--list");
    expect(code).toBe(0);
    expect(out.trim().split("\n")).toHaveLength(worksheets.size);
    for (const { id, question } of worksheets.values())
      expect(out).toMatch(new RegExp(`^${id} +${question.replace(/[.*+?^$()[\]{}|]/g, "\\$&")}$`, "m"));
  });

  it("answers from words as from JSON", async () => {
    const words = await tierbook("worksheet", "ec-reading", "reading=812", "scale=ppm500", "--json");
    const json = await tierbook("worksheet", "ec-reading", "--input", '{"reading":812,"scale":"ppm500"}', "--json");
    expect(words).toEqual(json);
    expect(JSON.parse(json.out)).toMatchObject({
      worksheet: "ec-reading",
      verdict: "ok",
      answer: { ec25: 1.624 },
      units: { ec25: "mS/cm" },
      refusal: null,
    });
  });

  it("exits 3 for a refusal, with the nearest thing that can be", async () => {
    const { code, out } = await tierbook("worksheet", "ec-reading", "reading=812", "--json");
    expect(code).toBe(3);
    expect(JSON.parse(out)).toMatchObject({ verdict: "refuse", refusal: { by: null, nearest: { at500: 1.624 } } });
  });

  it.each([
    ["a field that is missing", "{}", "reading"],
    ["a field out of bounds", '{"reading":-1}', "reading"],
    ["a field that is not there", '{"reading":1,"colour":2}', "colour"],
    ["a band with its ends turned round", '{"reading":1,"scale":"mS/cm","bandLow":2,"bandHigh":1}', "bandLow"],
  ])("exits 2 for %s, naming it in one line", async (_what, input, field) => {
    const { code, out, err } = await tierbook("worksheet", "ec-reading", "--input", input);
    expect([code, out]).toEqual([2, ""]);
    expect(err.trim().split("\n")).toHaveLength(1);
    expect(err).toContain(field);
  });

  it("names a nested field by its path", async () => {
    const { err } = await tierbook(
      "worksheet",
      "line-match",
      "--input",
      '{"crops":[{"id":"a","ec":[1,2],"ph":[5,6]},{"id":"b","ec":[3,2],"ph":[5,6]}]}',
    );
    expect(err).toContain("crops[1].ec");
  });

  it.each([...worksheets.keys()])("%s --help tells its inputs and an example that answers", async (id) => {
    const { code, out } = await tierbook("worksheet", id, "--help");
    expect(code).toBe(0);
    const example = /Example: tierbook worksheet \S+ --input '(.+)'$/m.exec(out)?.[1];
    expect(example).toBeDefined();
    const answered = await tierbook("worksheet", id, "--input", example!);
    expect([0, 3]).toContain(answered.code);
    expect(answered.out).toContain("Working");
  });

  it("is filled in by records, and what is typed wins", async () => {
    const from = ["worksheet", "feed-recipe", "--feed", "leaf-rain", "--content", demo, "--json"];
    const plain = await tierbook(...from);
    expect(plain.err).toBe("");
    const { answer } = JSON.parse(plain.out) as { answer: { stepwise: { gramsPerM3: Record<string, number> } } };
    // Worked by hand: calcium (130 − 3 in the rain) over 19.0 % in the bag.
    expect(answer.stepwise.gramsPerM3["calcium-nitrate"]).toBeCloseTo((130 - 3) / 0.19, 1);
    const hard = await tierbook(...from, "--water", "mains-hard");
    expect(JSON.parse(hard.out).answer.stepwise.gramsPerM3["calcium-nitrate"]).toBeCloseTo((130 - 118) / 0.19, 1);
    const typed = await tierbook(...from, "method=least-squares");
    expect(JSON.parse(typed.out).answer.chosen).toBe("least-squares");
  });

  it("says when a record cannot fill a worksheet in", async () => {
    const { code, err } = await tierbook("worksheet", "gust-check", "--feed", "leaf-rain", "--content", demo);
    expect(code).toBe(2);
    expect(err).toContain("gust-check");
  });
});

describe("tierbook explain", () => {
  it("tells value, basis and source of a figure, and what leans on it", async () => {
    const { code, out } = await tierbook("explain", "crops/basil-sweet", "stages.tray", "--content", demo, "--json");
    expect(code).toBe(0);
    const told = JSON.parse(out) as {
      figures: { path: string; text: string; basis: string }[];
      leaning: { worksheet: string }[];
    };
    expect(told.figures.map(({ path, basis }) => [path, basis])).toEqual([["stages.tray.days", "common-practice"]]);
    expect(told.figures[0]?.text).toMatch(/^16.days$/);
    expect(told.leaning.some(({ worksheet }) => worksheet === "sow-date")).toBe(true);
  });

  it("names the nearest path and the nearest record", async () => {
    expect((await tierbook("explain", "crops/basil-sweet", "stages.try", "--content", demo)).err).toContain(
      "did you mean stages.tray",
    );
    expect((await tierbook("explain", "crops/basil-swet", "--content", demo)).err).toContain(
      "did you mean crops/basil-sweet",
    );
    expect((await tierbook("explain", "crop/basil-sweet", "--content", demo)).err).toContain("did you mean crops");
  });
});

/** What no edition may show of the demo yard's orders. */
const nobodys = ["order file", "standing 04", "one-off 31", "post 112", "38.00", "JVQ"];

function fits(out: string): void {
  for (const line of out.split("\n")) expect(line.length, line).toBeLessThanOrEqual(100);
}

describe("tierbook plan", { timeout: 60_000 }, () => {
  it("fits a page of text, tells every part, and nothing that is nobody's", async () => {
    const { code, out } = await tierbook("plan", "--content", demo);
    expect(code).toBe(0);
    fits(out);
    for (const head of ["Sow in 2027-W", "Kept from batches in hand", "Room left", "2027-W15  Mon 12 Apr 2027"])
      expect(out).toContain(head);
    for (const secret of nobodys) expect(out).not.toContain(secret);
  });

  it("gives the same as one object, with ids and dates", async () => {
    const { out } = await tierbook("plan", "--to", "2027-05-30", "--content", demo, "--json");
    const told = JSON.parse(out);
    expect(Object.keys(told)).toEqual([
      "edition",
      "demo",
      "from",
      "to",
      "method",
      "methodSaid",
      "sowings",
      "kept",
      "roomByWeek",
      "clashes",
      "cannotBe",
    ]);
    expect([told.from, told.to]).toEqual(["2027-04-12", "2027-05-30"]);
    expect(told.roomByWeek.map(({ place, counts }: { place: string; counts: string }) => [place, counts])).toEqual([
      ["bench", "trays"],
      ["mister", "plugs"],
      ["line-bucket", "ports"],
      ["line-main", "ports"],
    ]);
    expect(told.roomByWeek[0].weeks).toHaveLength(7);
    for (const { sown, week, codes, trays } of told.sowings) {
      expect(sown).toMatch(/^2027-\d\d-\d\d$/);
      expect(week).toMatch(/^2027-W\d\d$/);
      expect(codes).toHaveLength(trays ?? 1);
    }
    for (const secret of nobodys) expect(out).not.toContain(secret);
  });

  it.each([
    [["--from", "2027-02-30"], "Unexpected --from 2027-02-30, expected a day of the calendar: there is no 30 February"],
    [["--to", "2027-04-01"], "Unexpected --to 2027-04-01, expected a day from 2027-04-12 on"],
    [["--to", "2031-04-01"], "Unexpected --to 2031-04-01, expected at most two years after 2027-04-12"],
    [["basil"], "Unexpected basil, expected options alone"],
  ])("says what is amiss with %j", async (words, sentence) => {
    const { code, err } = await tierbook("plan", ...words, "--content", demo);
    expect([code, err.trim()]).toEqual([2, `${sentence}. See tierbook plan --help`]);
  });
});

describe("tierbook week", { timeout: 60_000 }, () => {
  it("tells a week day by day, every sowing of the plan with its lot, cells, trays and codes", async () => {
    const planned = JSON.parse((await tierbook("plan", "--content", demo, "--json")).out);
    const { code, out } = await tierbook("week", "2027-W17", "--content", demo, "--json");
    expect(code).toBe(0);
    const told = JSON.parse(out);
    expect(told.days.map(({ on }: { on: string }) => on)).toEqual(
      [26, 27, 28, 29, 30].map((day) => `2027-04-${day}`).concat("2027-05-01", "2027-05-02"),
    );
    const sowings = planned.sowings.filter(({ week }: { week: string }) => week === "2027-W17");
    const sown = told.days.flatMap(({ tasks }: { tasks: { what: string }[] }) =>
      tasks.filter(({ what }) => what === "sow"),
    );
    expect(sowings.length).toBeGreaterThan(0);
    expect(sown).toHaveLength(sowings.length);
    for (const { order, sown: on, lot, cells, trays, codes } of sowings)
      expect(sown).toContainEqual(
        expect.objectContaining({ record: `orders/${order}`, from: on, lot, cells, trays, codes }),
      );
    for (const secret of nobodys) expect(out).not.toContain(secret);
  });

  it("is that of the edition when none is named, with what is overdue", async () => {
    const { out } = await tierbook("week", "--content", demo);
    fits(out);
    expect(out).toMatch(/^Week 2027-W15: Mon 12 Apr 2027 to Sun 18 Apr 2027\n\nOverdue\n/);
  });

  it("tells of a week that is over what the records say was done, and of nothing else", async () => {
    const { code, out } = await tierbook("week", "2027-W12", "--content", demo);
    expect(code).toBe(0);
    fits(out);
    expect(out).toMatch(/^Week 2027-W12: Mon 22 Mar 2027 to Sun 28 Mar 2027\. It is over/);
    expect(out).toContain("Sown: Curly kale; 24 cells; lot kale-2601; KAL-27084-01-2");
    const told = JSON.parse((await tierbook("week", "2027-W12", "--content", demo, "--json")).out);
    expect(told.done).toContainEqual({
      on: "2027-03-25",
      what: "sow",
      record: "batches/kal-27084-01",
      title: "Sown: Curly kale",
      facts: ["24 cells", "lot kale-2601", "KAL-27084-01-2"],
    });
    expect(told.done.every(({ on }: { on: string }) => on >= "2027-03-22" && on <= "2027-03-28")).toBe(true);
    expect(told.days.flatMap(({ tasks }: { tasks: unknown[] }) => tasks)).toEqual([]);
    expect((await tierbook("week", "1999-W01", "--content", demo)).out).toContain("No record tells of anything done.");
  });

  it.each([
    ["2027-W53", "Unexpected 2027-W53, expected an ISO week such as 2027-W16: 2027 has weeks 1 to 52, not 53"],
    ["W16", "Unexpected W16, expected an ISO week such as 2027-W16: a week is written year-W-week, such as 2027-W12"],
    ["2027-W41", "2027-W41 is after the plan, which looks from Mon 12 Apr 2027 to Sun 10 Oct 2027"],
  ])("%s is no week of the plan, and it says why", async (asked, sentence) => {
    const { code, out, err } = await tierbook("week", asked, "--content", demo);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain(sentence);
    expect(err.trim().split("\n")).toHaveLength(1);
  });
});

describe("tierbook can", { timeout: 60_000 }, () => {
  const ask = (...words: string[]) => tierbook("can", ...words, "--content", demo);

  it("exits 1 for what cannot be, with why, the most on that day and the first day for all", async () => {
    const { code, out } = await ask("100", "plugs", "basil", "--from", "2027-05-10");
    expect(code).toBe(1);
    fits(out);
    expect(out).toMatch(/^No: 100 plugs of Sweet basil on Mon 10 May 2027 cannot be had/);
    // One spare in twenty. Sown on the day of the edition, a Monday, a plug is ready 5 + 16 + 9 days later.
    expect(out.replace(/\s+/g, " ")).toContain("105 plugs, Mon 10 May 2027: Sown today it is ready on Wed 12 May 2027");
    expect(out).toMatch(/promised (?:on|from) that day/);
    expect(out).toMatch(/All of it/);
  });

  it("exits 0 for what can be, with what to sow when, as one object", async () => {
    const { code, out } = await ask("1.5", "kg", "Genovese", "basil", "--from", "2027-09-14", "--json");
    expect(code).toBe(0);
    const told = JSON.parse(out);
    expect(told).toMatchObject({
      asked: { amount: 1500, unit: "g", weekly: false, crop: "basil-sweet", kind: "cut", from: "2027-09-14" },
      // 1,500 over 32 × 0.92 is 50.95.
      verdict: "yes",
    });
    const ports = [...told.sowings, ...told.fromBatches].reduce((sum, { units }) => sum + units, 0);
    expect(ports).toBe(51);
    expect(told.leastFree.length).toBeGreaterThan(0);
    for (const secret of nobodys) expect(out).not.toContain(secret);
  });

  it.each([
    [["2,4 kg", "basil"], "Unexpected 2,4 kg, expected a decimal point: write 2.4 kg if that is meant"],
    [["2,400 g", "basil"], "write 2.400 g or 2400 g, whichever is meant"],
    [["2400", "basil"], "Unexpected 2400 without a unit: write it beside the number"],
    [["2 400 g/week", "basil"], "write 2400 g/week"],
    [["200g/day", "basil"], "write 1400 g/week if it is wanted on all seven days"],
    [["200 g per day", "basil"], "write 1400 g/week"],
    [["9 kg/month", "basil"], "expected an amount a week"],
    [["0 g", "basil"], "expected more than nothing"],
    [["2.5 bunches", "basil"], "expected a whole number of bunches"],
    [["-3 kg", "basil"], "-3"],
    [["20 plgs", "basil"], "did you mean plugs?"],
    [["9999999 kg", "basil"], "expected at most 1000 kg"],
    [["2400g/week", "bazel"], "There is no crop bazel; did you mean Sweet basil (basil-sweet)?"],
    [["2400g/week", "lettuce"], "Oakleaf lettuce (lettuce-oakleaf); say which by its id"],
    [["2400g/week", "basil", "--kind", "plug"], "Unexpected 2400 g/week for kind plug, expected 120 plugs"],
    [["2400g/week", "basil", "--kind", "pott"], "expected cut, bunch, pot or plug; did you mean pot?"],
    [["2400g/week", "basil", "--days", "Tue,Fryday"], "Unexpected day Fryday, expected days such as Tue,Fri"],
    [["2400 g", "basil", "--days", "Tue"], "--days goes with an amount a week"],
    [["2400 g", "basil", "--to", "2027-08-01"], "--to goes with an amount a week"],
    [["2400g/week", "basil", "--to", "2027-05-01"], "Unexpected --to 2027-05-01, expected a day from 2027-06-08 on"],
    [["basil"], "Say how much of what"],
  ])("%j is a sentence that says what to write", async (words, sentence) => {
    const { code, out, err } = await ask(...words, "--from", "2027-06-08");
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain(sentence);
    expect(err.trim().split("\n")).toHaveLength(1);
  });

  it.each([
    ["2027-04-11", "Unexpected --from 2027-04-11, expected a day from 2027-04-12 on"],
    ["2027-13-01", "there is no month 13"],
    ["2032-01-01", "expected at most two years after 2027-04-12"],
  ])("--from %s is no day that it can look at", async (from, sentence) => {
    const { code, err } = await ask("2400g/week", "basil", "--from", from);
    expect(code).toBe(2);
    expect(err).toContain(sentence);
  });
});

describe("tierbook export", { timeout: 60_000 }, () => {
  let folder = "";
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), "tierbook-export-"));
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));
  const write = (...words: string[]) => tierbook("export", "--content", demo, "--out", folder, "--json", ...words);
  const namesOf = (out: string) => (JSON.parse(out).written as string[]).map((file) => file.split("/").at(-1));

  it("writes nothing for customers when a private name stands in what they would get, and says whose it is", async () => {
    const spoilt = join(folder, "spoilt");
    await cp(demo, spoilt, { recursive: true });
    const parsley = join(spoilt, "crops/parsley.md");
    await writeFile(
      parsley,
      (await readFile(parsley, "utf8")).replace("name: Parsley", "name: Parsley of seed house S2"),
    );
    const { code, err } = await tierbook("export", "--content", spoilt, "--out", join(folder, "for-customers"));
    expect(code).toBe(1);
    expect(err).toContain("lots/basil-2602.md: supplier is private and would stand in crops.json: “seed house S2”");
    await expect(readFile(join(folder, "for-customers/crops.json"))).rejects.toThrow();
  });

  it("gives customers the crops alone, and staff the plan as well", async () => {
    expect(namesOf((await write()).out)).toEqual(["crops.csv", "crops.json"]);
    expect(namesOf((await write("--edition", "staff")).out)).toEqual([
      "crops.csv",
      "crops.json",
      "sowings.csv",
      "room-by-week.csv",
    ]);
    const sowings = await readFile(join(folder, "sowings.csv"), "utf8");
    expect(sowings).toMatch(/^sown,week,crop,order,lot,cells,trays,/);
    // A cell that a spreadsheet would work out begins with an apostrophe.
    for (const cell of sowings.split(/[\r\n,]+/)) expect(cell).not.toMatch(/^[=+\-@\t]/);
    const room = (await readFile(join(folder, "room-by-week.csv"), "utf8")).trim().split("\r\n");
    expect(room[0]).toBe("week,place,name,counts,room,least free");
    expect(room).toHaveLength(1 + 4 * 26);
    for (const secret of nobodys) expect(sowings).not.toContain(secret);
  });

  it("writes the calendar for staff alone", async () => {
    expect(namesOf((await write("--calendar")).out)).toEqual(["yard.ics"]);
    const calendar = await readFile(join(folder, "yard.ics"), "utf8");
    expect(calendar).toMatch(/^BEGIN:VCALENDAR\r\n/);
    const uids = [...calendar.matchAll(/\r\nUID:(.*(?:\r\n .*)*)/g)].map(([, uid]) => uid);
    expect(uids.length).toBeGreaterThan(20);
    expect(new Set(uids).size).toBe(uids.length);
    for (const secret of nobodys) expect(calendar.replaceAll("\r\n ", "")).not.toContain(secret);
    const refused = await write("--calendar", "--edition", "customer");
    expect(refused.code).toBe(2);
    expect(refused.err).toContain("for staff alone");
  });
});
