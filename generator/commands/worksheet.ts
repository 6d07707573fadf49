import { nearest } from "../records/nearest.ts";
import { worksheets } from "../worksheets/index.ts";
import { run, type Worksheet } from "../worksheets/worksheet.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { read } from "./options.ts";
import { answerText, helpText } from "./worksheet-text.ts";

export const worksheet: Command = {
  name: "worksheet",
  summary: "answers one question of the trade, with its working",
  help: `tierbook worksheet --list
tierbook worksheet <id> --help
tierbook worksheet <id> [--input JSON | name=value …] [--json]

Answers one question of the trade, with its working and its cautions.

  --list          every worksheet: id and question
  --input JSON    the whole input as JSON; - reads it from standard input
  name=value      one input a word; water.Ca=118 for one inside another
  --json          the answer as one JSON object

Exit 0 answered, 3 refused (it cannot or must not be done), 2 not well put.

Example: tierbook worksheet ec-reading reading=812 scale=ppm500`,
  async run(args, world) {
    const { values, positionals } = read(args, {
      list: { type: "boolean", default: false },
      help: { type: "boolean", short: "h", default: false },
      input: { type: "string" },
      json: { type: "boolean", default: false },
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
    const input =
      values.input === undefined
        ? fromWords(words)
        : fromJson(values.input === "-" ? await standardInput() : values.input);
    return answer(sheet, input, values.json, world);
  },
};

function answer(sheet: Worksheet, input: unknown, json: boolean, { out, err }: World): number {
  const result = run(sheet, input);
  if ("faults" in result) {
    err(
      `${sheet.id}: ${result.faults
        .map(({ field, reason }) => (field ? `${field}: ${reason}` : reason))
        .join("; ")
        .replace(/\s+/g, " ")}`,
    );
    return 2;
  }
  out(json ? JSON.stringify(result.outcome) : answerText(sheet, result.outcome));
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
    throw new Misuse(`--input is not JSON: ${(error as Error).message.replace(/\s+/g, " ")}`);
  }
}

/** `water.Ca=118 salts=["a","b"]` as an input; a value that is not JSON is text. */
function fromWords(words: readonly string[]): unknown {
  const input: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
  for (const word of words) {
    const split = word.indexOf("=");
    if (split < 1) throw new Misuse(`Unexpected ${word}, expected name=value`);
    const steps = word.slice(0, split).split(".");
    const last = steps.pop()!;
    let inner = input;
    for (const step of steps) {
      inner[step] ??= Object.create(null);
      inner = inner[step] as Record<string, unknown>;
    }
    inner[last] = parsed(word.slice(split + 1));
  }
  return JSON.parse(JSON.stringify(input));
}

function parsed(text: string): unknown {
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
