import { readdirSync, readFileSync } from "node:fs";
import { VFile } from "vfile";
import { describe, expect, it } from "vitest";
import { at, rules, sentence, tell, ticked } from "../../generator/records/messages.ts";

describe("rules", () => {
  it("has at least 55 rules, each with a name of small words", () => {
    const names = Object.keys(rules);
    expect(names.length).toBeGreaterThanOrEqual(55);
    for (const name of names) expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  it("has no rule that nothing tells", () => {
    const source = ["records", "rules", "measurements", "."]
      .flatMap((folder) => {
        const path = new URL(`../../generator/${folder}/`, import.meta.url);
        return readdirSync(path)
          .filter((name) => name.endsWith(".ts") && name !== "messages.ts")
          .map((name) => readFileSync(new URL(name, path), "utf8"));
      })
      .join("\n");
    expect(Object.keys(rules).filter((rule) => !source.includes(`"${rule}"`))).toEqual([]);
  });
});

describe("sentence", () => {
  it("says what was written and what was expected", () => {
    expect(sentence({ written: "1.8", expected: "a figure in mS/cm" })).toBe(
      "Unexpected `1.8`, expected a figure in mS/cm",
    );
    expect(sentence({ expected: "`name`" })).toBe("Missing `name`");
    expect(sentence({ written: " ", expected: "a value" })).toBe("Unexpected blank, expected a value");
  });

  it("keeps what was written on one line, short, and inside its backticks", () => {
    const text = sentence({ written: `a\nb \`${"c".repeat(300)}` });
    expect(text).not.toContain("\n");
    expect(text.length).toBeLessThan(110);
    expect(text.match(/`/g)).toHaveLength(2);
  });
});

describe("tell", () => {
  it("keeps rule, place, field, severity and note", () => {
    const file = new VFile({ path: "crops/basil.md", value: "---\n" });
    const place = { start: { line: 2, column: 5 }, end: { line: 2, column: 8 } };
    tell(file, { rule: "unit-missing", written: "1.8", expected: "a unit", note: "Write it." }, place, ["ec", 0]);
    expect(file.messages[0]).toMatchObject({
      reason: "Unexpected `1.8`, expected a unit",
      ruleId: "unit-missing",
      source: "tierbook",
      place,
      field: "ec.0",
      fatal: true,
      note: "Write it.",
    });
    at(file, 1, { rule: "section-long", written: "100 words" });
    at(file, 1, { rule: "section-unknown", written: "Extra" });
    expect(file.messages.map(({ fatal }) => fatal)).toEqual([true, false, undefined]);
  });
});

describe("ticked", () => {
  it("lists words", () => {
    expect(ticked([])).toBe("");
    expect(ticked(["a"])).toBe("`a`");
    expect(ticked(["a", "b", "c"])).toBe("`a`, `b` or `c`");
    expect(ticked(["a", "b", "c"], "and", 2)).toBe("`a`, `b` and 1 more");
  });
});
