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
    for (const name of ["check", "build", "worksheet", "explain", "print"]) expect(out).toContain(`  ${name} `);
  });

  it("names the nearest command", async () => {
    expect(await tierbook("chek")).toEqual({
      code: 2,
      out: "",
      err: "There is no command chek; did you mean check? See tierbook --help\n",
    });
  });

  it.each(["check", "build", "worksheet", "explain", "print"])("%s --help gives usage and an example", async (name) => {
    const { code, out } = await tierbook(name, "--help");
    expect(code).toBe(0);
    expect(out).toContain(`tierbook ${name}`);
    expect(out).toContain("Example: tierbook");
  });

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
