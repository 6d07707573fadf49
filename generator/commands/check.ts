import type { VFile } from "vfile";
import { reporter } from "vfile-reporter";
import { load } from "../node.ts";
import type { Command } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const check: Command = {
  name: "check",
  summary: "reads every record and says what is wrong, each problem at its line",
  help: `tierbook check [--content DIR] [--json] [--strict]

Reads every record and says what is wrong, all problems at once.

  --content DIR   the folder of records (content)
  --json          one object a line: file, line, column, rule, severity, message, note, field
  --strict        warnings count as problems

Exit 0 when nothing stops a build, 1 when something does, 2 when called wrongly.

Example: tierbook check --content ~/yard/records`,
  async run(args, world) {
    const { values, positionals } = read(args, { ...common, strict: { type: "boolean", default: false } });
    const folder = await contentFolder(positionals[0] ?? values.content, world);
    const { files } = await load(folder);
    if (values.json) for (const problem of problems(files)) world.out(JSON.stringify(problem));
    else world.out(report(files));
    const bad = problems(files).some(
      ({ severity }) => severity === "error" || (values.strict && severity === "warning"),
    );
    return bad ? 1 : 0;
  },
};

/** A problem as plain data, for editors and other programs. */
export interface Problem {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly rule: string;
  readonly severity: "error" | "warning" | "info";
  readonly message: string;
  readonly note: string | null;
  readonly field: string | null;
}

/** Every problem of some files, by file and then by place. */
export function problems(files: readonly VFile[]): readonly Problem[] {
  return files.flatMap((file) =>
    [...file.messages]
      .map((message) => ({
        file: file.path,
        line: message.line ?? 1,
        column: message.column ?? 1,
        rule: message.ruleId ?? "",
        severity:
          message.fatal === true
            ? ("error" as const)
            : message.fatal === false
              ? ("warning" as const)
              : ("info" as const),
        message: message.reason,
        note: message.note ?? null,
        field: (message as { field?: string }).field || null,
      }))
      .sort((a, b) => a.line - b.line || a.column - b.column),
  );
}

/** The report that a person reads; one line when there is nothing to say. */
export function report(files: readonly VFile[]): string {
  const told = files.filter(({ messages }) => messages.length > 0);
  if (told.length === 0)
    return `${files.filter(({ path }) => path.endsWith(".md")).length} records read, nothing wrong`;
  for (const { messages } of told)
    messages.sort((a, b) => (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0));
  // Without colours: these are escape sequences, and none passes to the terminal.
  return reporter(told, { verbose: true, color: false });
}
