import { describe, expect, it } from "vitest";
import type { z } from "zod";
import { amount, count, date, measured, months, span } from "../../generator/records/amounts.ts";
import { flag, keyWord, list, mapping, shaped, slipOf, text, word } from "../../generator/records/fields.ts";

function ruleOf(schema: z.ZodType, value: unknown): string | undefined {
  const issues = schema.safeParse(value).error?.issues ?? [];
  const all = issues.flatMap((issue) =>
    issue.code === "invalid_union"
      ? [issue, ...issue.errors.flat()]
      : issue.code === "invalid_key"
        ? issue.issues
        : [issue],
  );
  return all.map(({ message }) => slipOf(message)?.rule).find((rule) => rule !== undefined);
}

describe("span and amount", () => {
  it("hold their bounds, ends included", () => {
    const ec = span("mS/cm", { within: [0, 10] });
    expect(ec.parse("0–10 mS/cm")).toEqual({ low: 0, high: 10 });
    expect(ruleOf(ec, "0–10.1 mS/cm")).toBe("value-impossible");
    expect(ruleOf(ec, "-0.1 mS/cm")).toBe("value-impossible");
    expect(ruleOf(ec, ["1 mS/cm"])).toBe("type-wrong");
    expect(ruleOf(amount("days"), "5–8 days")).toBe("single-expected");
  });

  it("know a likely figure for sentences", () => {
    expect(amount("%", { within: [0.01, 10], like: "1 %" }).meta()?.like).toBe("1 %");
    expect(amount("mg/L", { usual: [0.8, 4] }).meta()?.like).toBe("4 mg/L");
    expect(amount("days").meta()?.like).toBe("14 days");
  });
});

describe("count", () => {
  it("reads whole numbers only", () => {
    expect(count().parse("84")).toBe(84);
    expect(count().parse(84)).toBe(84);
    expect(ruleOf(count(), "84.5")).toBe("whole-expected");
    expect(ruleOf(count(), "-1")).toBe("value-impossible");
    expect(ruleOf(count(), "84 plugs")).toBe("unit-unexpected");
    expect(ruleOf(count(), "3–5")).toBe("single-expected");
  });
});

describe("date", () => {
  it("reads days of the calendar, in one form", () => {
    expect(date().parse("2028-02-29")).toBe("2028-02-29");
    expect(ruleOf(date(), "2027-02-29")).toBe("date-unreal");
    expect(ruleOf(date(), "2027-2-1")).toBe("date-form");
    expect(ruleOf(date(), "22/03/2027")).toBe("date-form");
    expect(ruleOf(date(), ["2027-02-01"])).toBe("type-wrong");
  });
});

describe("months", () => {
  it("reads a month or a season, over the turn of the year too", () => {
    expect(months().parse("Mar–May")).toEqual({ from: 3, to: 5 });
    expect(months().parse("October to February")).toEqual({ from: 10, to: 2 });
    expect(months().parse("sep")).toEqual({ from: 9, to: 9 });
    for (const wrong of ["spring", "Ma–Ju", "Mar–May–Sep", ""]) expect(ruleOf(months(), wrong)).toBe("month-unknown");
  });
});

describe("measured", () => {
  it("reads a number, or that the plant died", () => {
    expect(measured().parse("31.5")).toBe(31.5);
    expect(measured().parse(31)).toBe(31);
    expect(measured().parse("died")).toBe("died");
    expect(ruleOf(measured(), "dead")).toBe("number-unreadable");
  });
});

describe("flag, word, shaped and the rest", () => {
  it("read their words", () => {
    expect(["yes", "true", true].map((value) => flag().parse(value))).toEqual([true, true, true]);
    expect(["no", "false", false].map((value) => flag().parse(value))).toEqual([false, false, false]);
    expect(ruleOf(flag(), "maybe")).toBe("word-unknown");
    expect(word(["top", "base"]).parse("top")).toBe("top");
    expect(ruleOf(word(["top", "base"]), "Top")).toBe("word-unknown");
    expect(ruleOf(text(), ["a"])).toBe("type-wrong");
    expect(ruleOf(list(text()), "a")).toBe("type-wrong");
    expect(ruleOf(shaped(/^[A-Z]{3}$/, "three capitals"), "bas")).toBe("text-form");
  });

  it("check the keys of a mapping without asking for them all", () => {
    const moves = mapping(keyWord(["tray", "tower"], "stage-unknown"), text());
    expect(moves.parse({ tray: "x" })).toEqual({ tray: "x" });
    expect(ruleOf(moves, { shed: "x" })).toBe("stage-unknown");
  });
});
