import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import fc from "fast-check";
import { commands, main } from "../../generator/cli.ts";
import { worksheets } from "../../generator/worksheets/index.ts";
import { checked, small, type Written } from "./book.ts";
import { calls, words } from "./calls.ts";
import { expectPlainWords, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { anyText, pieces } from "./text.ts";
import { oddInputs } from "./worksheets.ts";

/** A book deep in a folder of its own, so that whatever climbs out of it is seen. */
const top = mkdtempSync(join(tmpdir(), "tierbook-fuzz-"));
const yard = join(top, "a/b/c/d/e/f/yard");
process.once("exit", () => rmSync(top, { recursive: true, force: true }));

const table =
  "id,name,botanical,kind,code,status,reviewed,eaten,stages.tray.days\nsorrel,Sorrel,Rumex acetosa,leaf,SOR,trial,2027-03-01,leaf,10 days\n";
const others: readonly Written[] = [
  { path: "broken/book.md", text: "---\nname: [\n---\n" },
  { path: "table.csv", text: table },
  { path: "odd.csv", text: "id,name\n../../../x,Sorrel\n" },
];

/** Every file below the top, with what it says. */
function standing(): ReadonlyMap<string, string> {
  const names = existsSync(top) ? readdirSync(top, { recursive: true, encoding: "utf8" }) : [];
  return new Map(
    names
      .filter((name) => statSync(join(top, name)).isFile())
      .map((name) => [name, readFileSync(join(top, name), "latin1")]),
  );
}

let clean: ReadonlyMap<string, string> | undefined;

function setUp(): void {
  rmSync(top, { recursive: true, force: true });
  for (const { path, text } of [...small.map((one) => ({ ...one, path: `content/${one.path}` })), ...others]) {
    mkdirSync(dirname(join(yard, path)), { recursive: true });
    writeFileSync(join(yard, path), text);
  }
  clean = standing();
}

interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Calls the program as a person would, who answers what they are asked with these words and then leaves. */
async function call(words: readonly string[], answers: readonly string[]): Promise<Said> {
  const out: string[] = [];
  const err: string[] = [];
  const left = [...answers];
  const code = await main(words, {
    cwd: yard,
    out: (text) => void out.push(text),
    err: (text) => void err.push(text),
    ...(answers.length > 0 ? { ask: async () => left.shift() } : {}),
  });
  return { code, out: out.join("\n"), err: err.join("\n") };
}

async function holdCall({
  words,
  answers,
}: {
  readonly words: readonly string[];
  readonly answers: readonly string[];
}): Promise<void> {
  if (!clean) setUp();
  const written = [...words, ...answers].join(" ");
  const first = await call(words, answers);
  const { code, out, err } = first;
  hold([0, 1, 2, 3].includes(code), `exit code ${code}`);
  hold(code === 0 || `${out}${err}`.trim() !== "", `exit code ${code} without a word`);
  hold(code !== 2 || words.length === 0 || err.trim() !== "", "called wrongly, and nobody says how");
  // biome-ignore lint/suspicious/noControlCharactersInRegex: just these must not reach a terminal
  const control = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]|\p{Cs}/u.exec(out + err);
  hold(
    !control,
    `a control sign ${JSON.stringify(control?.[0])} reaches the terminal: ${JSON.stringify(out + err).slice(0, 500)}`,
  );
  expectPlainWords(out + err, written);
  if (words.includes("--json") && code === 0 && !words.includes("--help") && !words.includes("-h"))
    for (const line of out
      .trim()
      .split("\n")
      .filter((one) => one !== ""))
      JSON.parse(line);
  const after = standing();
  const changed = [...new Set([...after.keys(), ...clean!.keys()])].filter(
    (name) => after.get(name) !== clean!.get(name),
  );
  if (changed.length === 0) {
    const again = await call(words, answers);
    hold(JSON.stringify(again) === JSON.stringify(first), "the same words were answered in two ways");
    return;
  }
  clean = undefined;
  for (const name of changed) hold(after.has(name) && name.startsWith("a/b/c/d/e/f/yard/"), `wrote or lost ${name}`);
  const content = changed.filter((name) => name.startsWith("a/b/c/d/e/f/yard/content/"));
  if (content.length === 0) return;
  hold(code === 0 || (code === 1 && words.includes("--partial")), `wrote ${content.join(", ")} with exit code ${code}`);
  const path =
    /^a\/b\/c\/d\/e\/f\/yard\/content\/(?:[a-z]+\/[a-z0-9]+(?:-[a-z0-9]+)*\.(?:md|csv)|\.schema\/[a-z]+\.json)$/;
  for (const name of content) hold(path.test(name), `wrote ${name}`);
  const files = [...after]
    .filter(([name]) => /\/content\/.*\.(?:md|csv)$/.test(name))
    .map(([name]) => ({ path: name.replace(/^.*\/content\//, ""), text: readFileSync(join(top, name), "utf8") }));
  hold(checked(files).library !== undefined, "the book is no longer sound");
}

/** Words that some command may take, and words that none does. */
const word: fc.Arbitrary<string> = fc
  .oneof(
    {
      weight: 8,
      arbitrary: fc.constantFrom(...words),
    },
    { weight: 1, arbitrary: fc.constantFrom(...pieces) },
    { weight: 1, arbitrary: anyText },
  )
  .map((text) => (text.startsWith("/") || text === "-" ? `x${text}` : text));

/** Words for one command: its own options mostly, with and without values. */
function wordsFor(name: string, help: string): fc.Arbitrary<readonly string[]> {
  const options = [...new Set([...help.matchAll(/--[a-z][a-z-]*/g)].map(([option]) => option))].sort();
  const part = fc.oneof(
    { weight: 3, arbitrary: fc.tuple(fc.constantFrom(...options), word).map((pair): readonly string[] => pair) },
    {
      weight: 1,
      arbitrary: fc
        .tuple(fc.constantFrom(...options), word)
        .map(([option, value]): readonly string[] => [`${option}=${value}`]),
    },
    { weight: 1, arbitrary: fc.constantFrom(...options).map((option): readonly string[] => [option]) },
    { weight: 3, arbitrary: word.map((one): readonly string[] => [one]) },
  );
  return fc.array(part, { maxLength: 7 }).map((all) => safe([name, ...all.flat()]));
}

/** Words that a command takes, with a few of them changed, left out or put in. */
const nearlyRight: fc.Arbitrary<readonly string[]> = fc
  .tuple(
    fc.constantFrom(...calls),
    fc.array(fc.tuple(fc.nat(40), word, fc.constantFrom("instead", "before", "gone", "within", "swapped")), {
      maxLength: 3,
    }),
  )
  .map(([call, all]) =>
    safe(
      all.reduce<readonly string[]>((now, [at, one, deed]) => {
        const place = 1 + (at % Math.max(1, now.length - 1));
        const old = now[place] ?? "";
        if (deed === "gone") return now.toSpliced(place, 1);
        if (deed === "before") return now.toSpliced(place, 0, one);
        if (deed === "swapped") return now.toSpliced(place, 1).concat(old);
        const cut = old.indexOf("=") + 1;
        return now.toSpliced(place, 1, deed === "within" ? old.slice(0, cut || old.length / 2) + one : one);
      }, call),
    ),
  );

/** Printing a book takes its time: what prints is given one that is not sound. Watching one never ends: it is given none. */
function safe(words: readonly string[]): readonly string[] {
  if (words[0] === "watch") return [...words.filter((one) => one !== "--"), "--content", "none", "--content=none"];
  if (!["build", "pack", "print"].includes(words[0] ?? "")) return words;
  return [...words.filter((one) => one !== "--"), "--content", "broken", "--content=broken"];
}

/** A worksheet's input as words, `water.Ca=118`. */
function asWords(input: unknown, path = ""): readonly string[] {
  if (typeof input !== "object" || input === null || Array.isArray(input))
    return path === ""
      ? [JSON.stringify(input) ?? ""]
      : [`${path}=${typeof input === "string" ? input : JSON.stringify(input)}`];
  return Object.entries(input).flatMap(([key, inner]) => asWords(inner, path === "" ? key : `${path}.${key}`));
}

/** The command line. */
export const commandTargets: readonly Target[] = [
  target({
    name: "the words of every command",
    share: 7,
    cases: fc.record({
      words: fc.oneof(
        { weight: 24, arbitrary: nearlyRight },
        { weight: 12, arbitrary: fc.constantFrom(...commands).chain(({ name, help }) => wordsFor(name, help)) },
        { weight: 1, arbitrary: fc.array(word, { maxLength: 3 }) },
      ),
      answers: fc.oneof(fc.constant([]), fc.array(word, { minLength: 1, maxLength: 12 })),
    }),
    hold: holdCall,
  }),
  target({
    name: "the inputs of every worksheet as words",
    share: 8,
    cases: fc
      .constantFrom(...worksheets.values())
      .chain((sheet) => fc.tuple(fc.constant(sheet.id), oddInputs(sheet), fc.boolean()))
      .map(([id, input, json]) => ({
        words: [
          "worksheet",
          id,
          ...asWords(input).map((one) => (one.startsWith("-") ? ` ${one}` : one)),
          ...(json ? ["--json"] : []),
        ],
        answers: [],
      })),
    hold: holdCall,
  }),
];
