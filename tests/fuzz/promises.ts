import type { VFile } from "vfile";
import { problems, report } from "../../generator/commands/check.ts";
import type { Place } from "../../generator/records/messages.ts";

/** Words of the program's inside that nobody may be shown. */
const inside =
  /\bundefined\b|\bNaN\b|-?\bInfinity\b|\[object|Cannot (?:read|set|access|convert)|is not (?:a function|iterable|defined)|Maximum call stack|Invalid (?:array|string|Date|time)|\bat .+\.(?:ts|js|mjs):\d+|\b(?:Type|Range|Reference|Syntax)Error\b|Invalid input|slip \{|Unexpected token|\bZod/;

/** Asks that a text shows nothing of the program's inside, but for what somebody wrote. */
export function expectPlainWords(text: string, written: string): void {
  const match = inside.exec(text.split(written).join(" "));
  if (match && !written.includes(match[0]))
    throw new Error(`Unexpected ${JSON.stringify(match[0])} in ${JSON.stringify(text.slice(0, 2000))}`);
}

/** Asks that every message of a file stands inside it, on one line, and is a sentence. */
export function expectPlaced(file: VFile): void {
  const lines = String(file)
    .replace(/^\uFEFF/, "")
    .split(/\r\n|\r|\n/);
  for (const message of file.messages) {
    const { start, end } = message.place as Place;
    const said = `${message.ruleId} ${message.reason}`;
    hold(message.file === file.path, `${said}: of the file ${message.file}`);
    hold(Number.isInteger(start.line) && start.line >= 1 && start.line <= lines.length, `${said}: line ${start.line}`);
    hold(end.line === start.line, `${said}: goes over lines`);
    hold(start.column >= 1 && end.column >= start.column, `${said}: columns ${start.column} to ${end.column}`);
    const room = lines[start.line - 1]!.length + 1;
    hold(end.column <= room, `${said}: column ${end.column} of ${room}`);
    hold(/^(?:Unexpected|Missing) \S/.test(message.reason), `${said}: no sentence`);
    hold(message.reason.length < 600, `${said}: too long to read`);
  }
}

/** Asks all that is promised of files that were checked. */
export function expectTold(files: readonly VFile[], written: string): void {
  for (const file of files) if (String(file) !== "") expectPlaced(file);
  for (const problem of problems(files)) {
    const { file, line, column, rule, message, note } = problem;
    hold(file !== "" && rule !== "" && message !== "", `half a problem: ${JSON.stringify(problem)}`);
    hold(line >= 1 && column >= 1, `a problem without a place: ${JSON.stringify(problem)}`);
    expectPlainWords(`${message}\n${note ?? ""}`, written);
  }
  expectPlainWords(report(files), written);
}

/** Where a value is not plain JSON: undefined, not a number, infinite. */
export function strays(value: unknown, path = ""): readonly string[] {
  if (value === null || typeof value === "string" || typeof value === "boolean") return [];
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path} ${value}`];
  if (typeof value !== "object") return [`${path} ${typeof value}`];
  return Object.entries(value).flatMap(([key, inner]) => strays(inner, `${path}.${key}`));
}

/** A value that cannot be changed, so that whoever tries is found out. */
export function frozen<Value>(value: Value): Value {
  if (typeof value === "object" && value !== null) for (const inner of Object.values(value)) frozen(inner);
  return Object.freeze(value);
}

export function hold(holds: boolean, said: string): void {
  if (!holds) throw new Error(said);
}
