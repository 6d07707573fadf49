import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { createContext, runInContext } from "node:vm";
import { build } from "esbuild";
import { beforeAll, describe, expect, it } from "vitest";
import { answerText } from "../../generator/commands/worksheet-text.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { run } from "../../generator/worksheets/worksheet.ts";

interface Case {
  readonly id: string;
  readonly worksheet: string;
  readonly input: unknown;
}

const cases = JSON.parse(readFileSync(new URL("cases.json", import.meta.url), "utf8")) as Case[];
const asked: readonly Case[] = [
  ...cases,
  ...[...worksheets.values()].map(({ id, example }) => ({ id: `${id} example`, worksheet: id, input: example })),
];

/** What a person would read, or the faults that they would be told. */
function said({ worksheet, input }: Case): string {
  const sheet = worksheets.get(worksheet)!;
  const result = run(sheet, input);
  return "outcome" in result ? answerText(sheet, result.outcome) : JSON.stringify(result.faults);
}

const entry = `
import { answerText } from "./generator/commands/worksheet-text.ts";
import { worksheets } from "./generator/worksheets/index.ts";
import { run } from "./generator/worksheets/worksheet.ts";
globalThis.said = (text) => {
  const { worksheet, input } = JSON.parse(text);
  const sheet = worksheets.get(worksheet);
  const result = run(sheet, input);
  return "outcome" in result ? answerText(sheet, result.outcome) : JSON.stringify(result.faults);
};`;

describe("every worksheet in a bare context, as in a browser", () => {
  let elsewhere: (text: string) => string;

  beforeAll(async () => {
    const { outputFiles } = await build({
      stdin: { contents: entry, resolveDir: fileURLToPath(new URL("../..", import.meta.url)), loader: "ts" },
      bundle: true,
      write: false,
      format: "iife",
      platform: "browser",
      target: "es2023",
    });
    // Nothing of Node is in this context: no process, no require, no file, no clock of ours.
    const context = createContext({});
    runInContext(outputFiles[0]!.text, context);
    elsewhere = runInContext("said", context) as typeof elsewhere;
  });

  it.each(asked.map((one) => [one.id, one] as const))("%s reads the same", (_id, one) => {
    expect(elsewhere(JSON.stringify(one))).toBe(said(one));
  });
});
