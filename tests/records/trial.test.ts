import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { describe, expect, it } from "vitest";
import { readTrial } from "../../generator/evidence.ts";
import { check, load } from "../../generator/node.ts";
import { blocks, checked, trial, yardOf } from "../trials.ts";

const header = "block,treatment,port,value,reason";
const beside = trial("", { blocks: "", data: "one.csv", control: "" });

/** Every problem of a trial with this table beside it, `one.csv 2:5 rule`. */
function problems(table: string, record = beside): readonly string[] {
  const { files } = checked({ "trials/one.md": record, "trials/one.csv": table });
  return files.flatMap(({ basename, messages }) =>
    messages.map(({ line, column, ruleId }) => `${basename} ${line}:${column} ${ruleId}`),
  );
}

/** What a table comes to as fields of its trial. */
function fieldsOf(table: string) {
  const { blocks, deaths, excluded } = yardOf({ "trials/one.md": beside, "trials/one.csv": table }).trials.get(
    "one",
  )!.fields;
  return { blocks, deaths, excluded };
}

const rows = [
  "t-1,A,3N,9.5,",
  "t-1,B,3S,7,",
  "t-1,A,4N,died,slugs",
  't-1,B,4S,excluded,"late, by a week"',
  "t-2,A,3N,10.25,",
  "t-2,B,3S,0,",
];
const fields = {
  blocks: { "t-1": { A: [9.5], B: [7] }, "t-2": { A: [10.25], B: [0] } },
  deaths: [{ block: "t-1", treatment: "A", plants: 1, reason: "slugs" }],
  excluded: [{ block: "t-1", treatment: "B", port: "4S", reason: "late, by a week" }],
};

describe("measurements beside a trial", () => {
  it.each<[string, string]>([
    ["as they are", [header, ...rows, ""].join("\n")],
    [
      "from a spreadsheet that marks the start and ends lines its own way",
      `\uFEFF${[header, ...rows].join("\r\n")}\r\n`,
    ],
    [
      "parted by tabs",
      [header, ...rows]
        .join("\n")
        .replaceAll('"late, by a week"', "late; by a week")
        .replaceAll(",", "\t")
        .replaceAll(";", ","),
    ],
    [
      "parted by semicolons",
      [header, ...rows]
        .map((row) => row.replaceAll('"late, by a week"', "late@ by a week").replaceAll(",", ";").replaceAll("@", ","))
        .join("\n"),
    ],
    [
      "with empty rows between and blanks around",
      [
        header,
        "",
        ...rows.map((row) =>
          ` ${row.replaceAll(",", " , ")}`.replace('"late ,  by', '"late, by').replace(' , "', ',"'),
        ),
        ",,,,",
        "",
      ].join("\n"),
    ],
    [
      "in another order of columns",
      [
        "value,reason,block,treatment,port",
        ...rows.map((row) => row.replace(/^([^,]+),([^,]+),([^,]+),([^,]+),(.*)$/, "$4,$5,$1,$2,$3")),
      ].join("\n"),
    ],
  ])("are read %s", (_, table) => expect(fieldsOf(table)).toEqual(fields));

  it("are the same as if they stood in the record", () => {
    const of = [1.9, 2.4, 2.1, 2.6];
    const table = of.flatMap((by, index) =>
      [7, 8, 9].flatMap((b) => [
        `block-${index + 1},A,,${Number((b + by).toFixed(6))},`,
        `block-${index + 1},B,,${b},`,
      ]),
    );
    const inside = readTrial(yardOf({ "trials/one.md": trial(blocks(...of)) }), "one");
    const record = trial("", { blocks: "", data: "one.csv" });
    const outside = readTrial(
      yardOf({ "trials/one.md": record, "trials/one.csv": [header, ...table].join("\n") }),
      "one",
    );
    expect(outside).toEqual(inside);
    expect(outside.standing).toBe("provisional");
  });

  it("are told all at once, each at its own cell, counted in letters and not in bytes", () => {
    const table = [
      header,
      'Ätna,A,3N,"8,5",',
      "Ätna,A,4N,9 g,",
      'Ätna,"B",5N, about 7,',
      "Ätna,B,6N,,forgot",
      "Ätna,A,8N,,",
      "Ätna,B,7N,died,",
    ].join("\n");
    expect(problems(table)).toEqual([
      "one.md 12:7 trial-waiting",
      "one.csv 2:11 decimal-comma",
      "one.csv 3:11 unit-unexpected",
      "one.csv 4:13 figure-hedged",
      "one.csv 5:11 data-blank",
      "one.csv 7:16 data-reason",
    ]);
  });

  it("tells nobody's name for a treatment at its cell of the table, not in the record", () => {
    const places = trial("", { blocks: "", data: "one.csv", places: "{ t-1: { 3N: A, 3S: B } }" });
    expect(problems([header, "t-1,B,3N,9,", "t-1,B,3S,7,"].join("\n"), places)).toEqual(["one.csv 2:5 data-place"]);
    expect(problems([header, "t-1,A,3N,9,", "t-1,B,3S,7,"].join("\n"), places)).toEqual([]);
  });

  it("of a trial through the feed stand by tower and port", () => {
    const fed = trial("", { blocks: "", data: "one.csv", through: "feed", places: "{ block-1: { t-1: A, t-2: B } }" });
    const good = [header, "block-1,A,t-1 3N,9,", "block-1,B,t-2 3N,7,"];
    expect(problems(good.join("\n"), fed)).toEqual([]);
    expect(problems([...good, "block-1,A,t-2 4N,9,"].join("\n"), fed)).toEqual(["one.csv 4:9 data-place"]);
  });

  it("that are no table are told where they stop being one", () => {
    expect(problems("\uFEFFblock,treatment,prot,value\n")).toEqual(["one.csv 1:17 field-misspelt"]);
    expect(problems("")).toEqual(["one.csv 1:1 data-column"]);
    expect(problems("tower-2,A,3N,8\n")).toEqual(expect.arrayContaining(["one.csv 1:1 data-column"]));
    expect(problems(`${header}\nt-1,A,3N,9,\nt-1,B,"3S,7,\nt-2,A,3N,9,\n`)).toEqual(["one.csv 3:7 data-syntax"]);
    const wide = new VFile({ path: "trials/one.csv", value: new Uint8Array(Buffer.from(header, "utf16le")) });
    const { files } = checked({ "trials/one.md": beside });
    const { files: all } = check([...files.map(({ path, value }) => new VFile({ path, value })), wide]);
    expect(all.at(-1)!.messages.map(({ ruleId }) => ruleId)).toContain("file-unreadable");
  });

  it("stay beside the trials: no path leads out of the folder", () => {
    for (const path of [
      "../orders/prices.csv",
      "/etc/hosts.csv",
      "more/one.csv",
      "..\\one.csv",
      "One.csv",
      "one.txt",
    ]) {
      const { files } = checked({ "trials/one.md": trial("", { blocks: "", data: path, control: "" }) });
      expect(
        files.flatMap(({ messages }) => messages.map(({ ruleId }) => ruleId)),
        path,
      ).toEqual(["text-form"]);
    }
  });

  it("count in one trial only", () => {
    const { files } = checked({
      "trials/one.md": beside,
      "trials/two.md": beside,
      "trials/one.csv": [header, ...rows].join("\n"),
    });
    const told = files.flatMap(({ path, messages }) =>
      messages.map(({ ruleId, reason }) => `${path} ${ruleId} ${reason}`),
    );
    expect(told).toEqual([
      "trials/two.md data-missing Unexpected `one.csv`, expected a file that no other trial reads",
    ]);
  });

  it("are found on the disk, and told when no trial names them", async () => {
    const folder = await mkdtemp(join(tmpdir(), "trials-"));
    try {
      await cp(fileURLToPath(new URL("../content/base", import.meta.url)), folder, { recursive: true });
      const { library } = await load(folder);
      const again = library!.trials.get("cut-again")!.fields;
      expect(again.blocks).toEqual({ north: { low: [31], high: [34.5] } });
      expect(again.excluded![0]!.reason).toBe("planted a week late, by oversight");
      await writeFile(join(folder, "trials", "spare.csv"), await readFile(join(folder, "trials", "cut-again.csv")));
      const { files } = await load(folder);
      expect(files.flatMap(({ path, messages }) => messages.map(({ ruleId }) => `${path} ${ruleId}`))).toEqual([
        "trials/spare.csv data-unread",
      ]);
    } finally {
      await rm(folder, { recursive: true });
    }
  });
});
