import { asked } from "../figures.ts";
import { list } from "../format.ts";
import type { Library } from "../library.ts";
import { load } from "../node.ts";
import type { Kind } from "../records/index.ts";
import { nearest } from "../records/nearest.ts";
import { type Given, supplies } from "../supply/index.ts";
import { worksheets } from "../worksheets/index.ts";
import { type Outcome, run, type Worksheet } from "../worksheets/worksheet.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";
import { answerText, helpText } from "./worksheet-text.ts";

/** The option that names a record of each kind that can fill in a worksheet. */
const recordOptions = {
  crop: "crops",
  feed: "feeds",
  salt: "salts",
  water: "waters",
  gear: "gear",
  lot: "lots",
  batch: "batches",
  order: "orders",
} as const satisfies Readonly<Record<string, Kind>>;

type RecordOption = keyof typeof recordOptions;

export const worksheet: Command = {
  name: "worksheet",
  summary: "answers one question of the trade, with its working",
  help: `tierbook worksheet --list
tierbook worksheet <id> --help
tierbook worksheet <id> [--input JSON | name=value …] [--feed ID …] [--json]

Answers one question of the trade, with its working and its cautions.

  --list          every worksheet: id and question
  --input JSON    the whole input as JSON; - reads it from standard input
  name=value      one input a word; water.Ca=118 for one inside another
  --crop --feed --salt --water --gear --lot --batch --order ID
                  a record that fills in what is not given; more than one may be named
  --content DIR   the folder of those records (content)
  --json          the answer as one JSON object

Exit 0 answered, 3 refused (it cannot or must not be done), 2 not well put.

Example: tierbook worksheet ec-reading reading=812 scale=ppm500
Example: tierbook worksheet feed-recipe --feed leaf --water rain`,
  async run(args, world) {
    const { values, positionals } = read(args, {
      ...common,
      list: { type: "boolean", default: false },
      help: { type: "boolean", short: "h", default: false },
      input: { type: "string" },
      ...(Object.fromEntries(
        Object.keys(recordOptions).map((name) => [name, { type: "string", multiple: true }]),
      ) as Record<RecordOption, { type: "string"; multiple: true }>),
    });
    if (values.list) {
      const rows = [...worksheets.values()].map(({ id, question }) => ({ id, question }));
      world.out(
        values.json ? JSON.stringify(rows) : rows.map(({ id, question }) => `${id.padEnd(20)} ${question}`).join("\n"),
      );
      return 0;
    }
    const [id, ...words] = positionals;
    const sheet = sheetNamed(id);
    if (values.help) {
      world.out(helpText(sheet));
      return 0;
    }
    const typed =
      values.input === undefined
        ? fromWords(words)
        : fromJson(values.input === "-" ? await standardInput() : values.input);
    const named = (Object.keys(recordOptions) as RecordOption[]).flatMap((name) =>
      (values[name] ?? []).map((record) => [name, record] as const),
    );
    if (named.length === 0) return answer(sheet, typed, values.json, world);
    if (typeof typed !== "object" || typed === null || Array.isArray(typed))
      throw new Misuse("--input beside records must be a JSON object");
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    return answer(sheet, inputFrom(sheet, library, named, typed), values.json, world);
  },
};

/** An input filled in from records; what was typed wins over what they say. */
function inputFrom(
  sheet: Worksheet,
  library: Library,
  named: readonly (readonly [RecordOption, string])[],
  typed: object,
): unknown {
  const supply = supplies.get(sheet.id);
  if (!supply) throw new Misuse(`No record fills in ${sheet.id}; give its inputs as name=value`);
  const takes = [...supply.needs, ...(supply.may ?? [])];
  const given: { [K in Kind]?: unknown[] } = {};
  for (const [option, id] of named) {
    const kind = recordOptions[option];
    if (!takes.includes(kind)) {
      const others = (Object.keys(recordOptions) as RecordOption[])
        .filter((name) => takes.includes(recordOptions[name]))
        .map((name) => `--${name}`);
      throw new Misuse(
        `${sheet.id} reads nothing from a record of ${kind}${others.length > 0 ? `, expected ${list(others, "or")}` : ""}`,
      );
    }
    const shelf: ReadonlyMap<string, unknown> = library[kind];
    const page = shelf.get(id);
    if (!page) {
      const near = nearest(id, shelf.keys()) ?? [...shelf.keys()].find((other) => other.startsWith(`${id}-`));
      throw new Misuse(
        `There is no record ${kind}/${id}${near ? `; did you mean ${near}?` : `: there are ${list([...shelf.keys()]) || "none"}`}`,
      );
    }
    given[kind] = [...(given[kind] ?? []), page];
  }
  const missing = supply.needs.find((kind) => !given[kind]);
  if (missing) throw new Misuse(`${sheet.id} needs a record of ${missing} as well`);
  return { ...asked(library, (take) => supply.ask(take, given as Given, library)).input, ...typed };
}

function answer(sheet: Worksheet, input: unknown, json: boolean, { out, err }: World): number {
  const result = run(sheet, input);
  if ("faults" in result) {
    const faults = result.faults.map(({ field, reason }) => (field ? `${field}: ${reason}` : reason));
    const more = faults.length > 20 ? `; and ${faults.length - 20} more` : "";
    err(`${sheet.id}: ${faults.slice(0, 20).join("; ").replace(/\s+/g, " ")}${more}`);
    return 2;
  }
  out(json ? JSON.stringify(result.outcome satisfies Outcome) : answerText(sheet, result.outcome));
  return result.outcome.verdict === "refuse" ? 3 : 0;
}

function sheetNamed(id: string | undefined): Worksheet {
  if (id === undefined) throw new Misuse("Say which worksheet; `tierbook worksheet --list` names them");
  const sheet = worksheets.get(id);
  if (sheet) return sheet;
  const near = nearest(id, worksheets.keys());
  throw new Misuse(
    `There is no worksheet ${id}${near ? `; did you mean ${near}?` : "; `tierbook worksheet --list` names them"}`,
  );
}

function fromJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    const at = /position (\d+)/.exec((error as Error).message)?.[1];
    const where = at === undefined ? "" : ` from its sign ${Number(at) + 1} on`;
    throw new Misuse(`Unexpected --input ${text}, which is no JSON${where}; expected such as {"reading": 812}`);
  }
}

/** `water.Ca=118 salts=["a","b"]` as an input; a value that is not JSON is text. */
function fromWords(words: readonly string[]): unknown {
  const input: Record<string, unknown> = Object.create(null);
  for (const word of words) {
    const split = word.indexOf("=");
    if (split < 1) throw new Misuse(`Unexpected ${word}, expected name=value`);
    const steps = word.slice(0, split).split(".");
    const last = steps.pop()!;
    let inner = input;
    for (const step of steps) {
      inner[step] ??= Object.create(null);
      inner = inner[step] as Record<string, unknown>;
      if (typeof inner !== "object")
        throw new Misuse(`Unexpected ${word}: ${step} was given a value of its own before`);
    }
    inner[last] = fromText(word.slice(split + 1));
  }
  try {
    return JSON.parse(JSON.stringify(input));
  } catch {
    throw new Misuse(
      "Unexpected inputs within inputs, so deep that nobody can read them; expected a few levels at most",
    );
  }
}

function fromText(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

async function standardInput(): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString("utf8");
}
