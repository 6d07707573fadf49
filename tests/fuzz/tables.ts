import fc from "fast-check";
import { VFile } from "vfile";
import { judged } from "../../generator/commands/import-check.ts";
import { linesOf, printed } from "../../generator/commands/import-report.ts";
import { draftsOf } from "../../generator/commands/import-rows.ts";
import { kindNames } from "../../generator/library.ts";
import { check } from "../../generator/node.ts";
import type { Kind } from "../../generator/records/index.ts";
import { columnFor, namesFor } from "../../generator/writing/columns.ts";
import { delimiters, tableOf } from "../../generator/writing/table.ts";
import { checked, small } from "./book.ts";
import { expectPlainWords, expectTold, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, changed, changes, pieces } from "./text.ts";

const measured = small.find(({ path }) => path === "trials/cut-again.csv")!.text;
const others = small.filter(({ path }) => /^(?:book|crops.basil|gear.north|trials.cut-.*)\.md$/.test(path));

/** A table as spreadsheets write them, and as nobody should: odd cells, rows too long or too short, quotes never closed. */
function tables(words: readonly string[], cells: fc.Arbitrary<string>): fc.Arbitrary<string> {
  const cell = fc
    .tuple(cells, fc.constantFrom("", "", "", '"', "'", '""', " "))
    .map(([text, quote]) => (quote === '"' ? `"${text.replaceAll('"', '""')}"` : quote + text));
  const head = fc.array(fc.oneof({ weight: 8, arbitrary: fc.constantFrom(...words) }, { weight: 1, arbitrary: cell }), {
    minLength: 1,
    maxLength: 6,
  });
  return fc
    .tuple(
      head,
      fc.array(fc.array(cell, { maxLength: 7 }), { maxLength: 6 }),
      fc.constantFrom(",", ",", ",", ";", "\t"),
      fc.constantFrom("\n", "\r\n", "\r"),
      fc.constantFrom("", "", "\ufeff"),
    )
    .map(([first, rows, sign, end, mark]) => mark + [first, ...rows].map((row) => row.join(sign)).join(end));
}

const plant = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.constantFrom(
      "north",
      "low",
      "high",
      "1N",
      "1S",
      "2N",
      "2S",
      "31",
      "34.5",
      "0",
      "-1",
      "died",
      "excluded",
      "Died",
      "1,5",
      "1e400",
      "9".repeat(200),
      "snapped",
      "",
    ),
  },
  { weight: 1, arbitrary: fc.constantFrom(...pieces) },
  { weight: 1, arbitrary: anyText },
);

const value = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.constantFrom(
      "Basil",
      "basil",
      "BAS",
      "leaf",
      "herb",
      "1.2–1.6 mS/cm",
      "1.5",
      "2027-03-22",
      "Mar–May",
      "yes",
      "14 days",
      "=1+1",
      "-2",
      "@a",
      "#N/A",
      "../x",
      "con",
      "__proto__",
      "a;b|c",
      "leaf, stem",
      "12 °F",
      "",
    ),
  },
  { weight: 1, arbitrary: fc.constantFrom(...pieces) },
  { weight: 1, arbitrary: anyText },
);

const named = kindNames.map((kind) => namesFor(kind));
const shelf = (() => {
  const { library, files } = checked(small);
  if (!library) throw new Error("The base of the checker's cases is not sound");
  return { folder: "/nowhere", files, library };
})();

/** Reads a table of new records as `tierbook import` does, all but the writing. */
function imported(kind: Kind, bytes: Uint8Array, delimiter: string | undefined, text: string): string {
  const table = tableOf(bytes, delimiter);
  if ("refusal" in table) {
    expectPlainWords(table.refusal, text);
    hold(
      table.line >= 1 && table.line <= text.split(/\r\n|\r|\n/).length && table.column >= 1,
      `told at ${table.line}:${table.column}`,
    );
    return JSON.stringify(table);
  }
  const names = named.find((one) => one.kind === kind)!;
  const columns = table.header.map(({ text: head }) => {
    const column = columnFor(names, head);
    if ("why" in column) expectPlainWords(column.why, text);
    return "target" in column ? column : undefined;
  });
  const making = { kind, columns, defaults: {}, source: undefined };
  const drafts = draftsOf(table.rows, making, shelf);
  const { well, told, spoilt } = judged(drafts, making, shelf);
  const lines = linesOf(drafts, told, columns).map((line) => {
    hold(line.line >= 1 && line.column >= 1 && line.rows.length > 0, `told of no row: ${JSON.stringify(line)}`);
    return printed("table.csv", line, drafts.length);
  });
  expectPlainWords(lines.join("\n"), text);
  for (const draft of drafts.filter((one) => !well.includes(one)))
    hold(spoilt.length > 0 || told.has(draft.row.number), `row ${draft.row.number} left out without a word`);
  for (const { path } of well) hold(/^[a-z]+\/[a-z0-9]+(?:-[a-z0-9]+)*\.md$/.test(path), `a record at ${path}`);
  return JSON.stringify([lines, well.map(({ path, text: written }) => [path, written])]);
}

/** Tables that are long in every way. */
const bombs: readonly ((size: number) => string)[] = [
  (size) => `block,treatment,value\n${"north,low,1\n".repeat(size / 12)}`,
  (size) => `block,treatment,value\n${",".repeat(size)}`,
  (size) => `${"name,".repeat(size / 5)}\n1`,
  (size) => `block,treatment,value\n"${"a\n".repeat(size / 2)}`,
  (size) => `block,treatment,value\nnorth,low,${"9".repeat(size)}\n`,
  (size) => `name\n${'""'.repeat(size / 2)}`,
  (size) => `name;${'"'.repeat(size)}`,
  (size) => "\n".repeat(size),
  (size) => `name\n${"basil\n".repeat(size / 6)}`,
];

/** CSV files: measurements beside a trial, and new records. */
export const tableTargets: readonly Target[] = [
  target({
    name: "measurements of a trial",
    share: 14,
    cases: fc.oneof(
      tables(["block", "treatment", "port", "value", "reason", "Value", "vlaue"], plant),
      changes.map((all) => changed(measured, all)),
    ),
    hold(text) {
      const read = () => {
        const files = [...others, { path: "trials/cut-again.csv", text }].map(
          ({ path, text: value }) => new VFile({ path, value }),
        );
        check(files);
        expectTold(
          files.filter(({ path }) => path.startsWith("trials/cut-again")),
          text,
        );
        return JSON.stringify(files.map(({ messages }) => messages));
      };
      const [first, second] = [read(), read()];
      hold(first === second, "the same table was read in two ways");
    },
  }),
  target({
    name: "a table of new records",
    share: 10,
    cases: fc
      .constantFrom(...kindNames)
      .chain((kind) =>
        fc.tuple(
          fc.constant(kind),
          tables([...named.find((one) => one.kind === kind)!.byName.keys()], value),
          fc.constantFrom(undefined, undefined, ...delimiters),
        ),
      ),
    hold([kind, text, delimiter]) {
      const read = () => imported(kind, new TextEncoder().encode(text), delimiter, text);
      const [first, second] = [read(), read()];
      hold(first === second, "the same table was read in two ways");
    },
  }),
  target({
    name: "a table that is long",
    share: 0.1,
    cases: fc
      .tuple(fc.constantFrom(...bombs.keys()), fc.constantFrom(1000, 19_000, 200_000, 5_000_000), fc.boolean())
      .map(([which, size, beside]) => ({ which, size, beside })),
    hold({ which, size, beside }) {
      const text = bombs[which]!(size);
      if (!beside) return void imported("crops", new TextEncoder().encode(text), undefined, text);
      const files = [...others, { path: "trials/cut-again.csv", text }].map(
        ({ path, text: put }) => new VFile({ path, value: put }),
      );
      check(files);
      expectTold(
        files.filter(({ path }) => path.startsWith("trials/cut-again")),
        text,
      );
    },
  }),
  target({
    name: "a table of any bytes",
    share: 2,
    cases: fc.oneof(
      fc.uint8Array({ maxLength: 200 }),
      fc
        .constantFrom([0x50, 0x4b, 3, 4], [0xff, 0xfe, 65, 0], [0xd0, 0xcf, 0x11, 0xe0], [0xef, 0xbb, 0xbf])
        .map((all) => Uint8Array.from(all)),
    ),
    hold: (bytes) => void imported("crops", bytes, undefined, new TextDecoder().decode(bytes)),
  }),
];
