import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { VFile } from "vfile";
import type { VFileMessage } from "vfile-message";
import { describe, expect, it } from "vitest";
import { check } from "../../generator/node.ts";
import { type Place, rules } from "../../generator/records/messages.ts";

const here = import.meta.dirname;
const cases = readdirSync(here, { withFileTypes: true })
  .filter((entry) => entry.isDirectory() && entry.name !== "base")
  .map(({ name }) => name)
  .sort();

describe("check", () => {
  it("has nothing to say about a clean book", () => {
    const { files, library } = verdict("base");
    expect(report(files)).toBe("");
    expect(library?.crops.get("basil")?.fields.ec?.preferred).toEqual({ low: 1.2, high: 1.6 });
  });

  it.each(cases)("reports %s as a person would want to be told", (name) => {
    const { files, library } = verdict(name);
    expect(report(files)).toBe(readFileSync(join(here, name, "report.txt"), "utf8"));
    expect(library === undefined).toBe(files.some(({ messages }) => messages.some(({ fatal }) => fatal === true)));
  });

  it("places every problem inside its file", () => {
    for (const name of cases) {
      for (const file of verdict(name).files) {
        const lines = String(file).split(/\r\n|\r|\n/);
        for (const message of file.messages) {
          const { start, end } = placeOf(message);
          expect(lines[start.line - 1], `${name} ${file.path}`).toBeDefined();
          expect(end.line).toBe(start.line);
          expect(end.column).toBeGreaterThanOrEqual(start.column);
          expect(end.column, `${name} ${message.reason}`).toBeLessThanOrEqual(lines[start.line - 1]!.length + 1);
        }
      }
    }
  });

  it("survives a line lost, doubled, cut short or garbled in any file", () => {
    const whole = book("base");
    const slip = fc.constantFrom<(line: string) => readonly string[]>(
      () => [],
      (line) => [line, line],
      (line) => [line.slice(0, line.length / 2)],
      (line) => [`${line}: ,`],
      (line) => [line.replace(/[a-z]/, "")],
      (line) => [line.replaceAll(/\d/g, "x")],
    );
    fc.assert(
      fc.property(fc.nat(), fc.nat(), slip, (which, at, change) => {
        const files = whole.map(({ path, value }) => new VFile({ path, value: value ?? "" }));
        const file = files[which % files.length]!;
        const lines = String(file).split("\n");
        const index = at % lines.length;
        file.value = lines.flatMap((line, number) => (number === index ? change(line) : [line])).join("\n");
        const { library } = check(files);
        const messages = files.flatMap((each) => each.messages);
        expect(library === undefined).toBe(messages.some(({ fatal }) => fatal === true));
        for (const message of messages) expect(message.reason).not.toMatch(/undefined|NaN|\[object/);
      }),
      { numRuns: 60 },
    );
  });

  it("keeps a case for every rule", () => {
    const told = new Set(
      cases.flatMap((name) => verdict(name).files.flatMap(({ messages }) => messages.map(({ ruleId }) => ruleId))),
    );
    expect(Object.keys(rules).filter((rule) => !told.has(rule))).toEqual([]);
  });

  it("names each case by the rule that it is about, or by what it tells of several", () => {
    const known = Object.keys(rules);
    for (const name of cases) {
      const text = readFileSync(join(here, name, "report.txt"), "utf8");
      if (known.includes(name)) expect(text).toContain(` ${name} `);
      else expect(text.trim().split("\n").length, name).toBeGreaterThan(1);
    }
  });
});

const checked = new Map<string, ReturnType<typeof check>>();

/** What the checker says of a case; each is asked once. */
function verdict(name: string): ReturnType<typeof check> {
  const known = checked.get(name);
  if (known) return known;
  const found = check(book(name));
  checked.set(name, found);
  return found;
}

/** The base book with the files of a case laid over it, and without those that the case takes away. */
function book(name: string): readonly VFile[] {
  const texts = textsIn(join(here, "base"));
  if (name !== "base") {
    const without = join(here, name, "without.txt");
    if (existsSync(without)) for (const path of readFileSync(without, "utf8").trim().split("\n")) texts.delete(path);
    if (existsSync(join(here, name, "given")))
      for (const [path, text] of textsIn(join(here, name, "given"))) texts.set(path, text);
  }
  return [...texts].sort(([a], [b]) => (a < b ? -1 : 1)).map(([path, value]) => new VFile({ path, value }));
}

function textsIn(folder: string): Map<string, Buffer> {
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((path) => /\.(?:md|csv)$/.test(path));
  return new Map(paths.map((path) => [path.replaceAll("\\", "/"), readFileSync(join(folder, path))]));
}

function report(files: readonly VFile[]): string {
  return files
    .flatMap(({ path, messages }) => [...messages].sort(byPlace).map((message) => `${path} ${lineOf(message)}\n`))
    .join("");
}

function lineOf(message: VFileMessage & { readonly field?: unknown }): string {
  const { fatal, ruleId, reason } = message;
  const { start, end } = placeOf(message);
  const severity = fatal === true ? "error" : fatal === false ? "warning" : "info";
  const field = String(message.field ?? "") || "-";
  const note = message.note ? ` — ${message.note}` : "";
  return `${start.line}:${start.column}-${end.line}:${end.column} ${severity} ${ruleId} ${field}: ${reason}${note}`;
}

/** The stretch of a message; every message of the checker has one. */
function placeOf({ place }: VFileMessage): Place {
  if (!place || !("start" in place)) throw new Error("a message without a stretch");
  return place;
}

function byPlace(a: VFileMessage, b: VFileMessage): number {
  return (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0);
}
