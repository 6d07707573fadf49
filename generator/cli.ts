import { batch } from "./commands/batch.ts";
import { build } from "./commands/build.ts";
import { can } from "./commands/can.ts";
import { check } from "./commands/check.ts";
import { type Command, Misuse, type World } from "./commands/command.ts";
import { diskTrouble } from "./commands/disk-trouble.ts";
import { explain } from "./commands/explain.ts";
import { exporting } from "./commands/export.ts";
import { importing } from "./commands/import.ts";
import { making } from "./commands/new.ts";
import { pack } from "./commands/pack.ts";
import { planning } from "./commands/plan.ts";
import { print } from "./commands/print.ts";
import { really } from "./commands/really.ts";
import { revert } from "./commands/revert.ts";
import { trial } from "./commands/trial.ts";
import { visible } from "./commands/visible.ts";
import { watch } from "./commands/watch.ts";
import { week } from "./commands/week.ts";
import { worksheet } from "./commands/worksheet.ts";
import { nearest } from "./records/nearest.ts";

/** Every verb of the command line, in the order of use. */
export const commands: readonly Command[] = [
  check,
  build,
  watch,
  making,
  importing,
  batch,
  planning,
  week,
  can,
  really,
  trial,
  revert,
  worksheet,
  explain,
  print,
  exporting,
  pack,
];

/**
 * Runs one command and gives its exit code. Anything thrown that is not a misuse is a slip of the program, and says so.
 * Whatever is said passes through `visible`, so that no record can speak to the terminal itself.
 */
export async function main(args: readonly string[], terminal: World): Promise<number> {
  const world = visibly(terminal);
  const [verb, ...rest] = args;
  if (verb === undefined || verb === "help" || verb === "--help" || verb === "-h") {
    world.out(overview());
    return verb === undefined ? 2 : 0;
  }
  const command = commands.find(({ name }) => name === verb);
  try {
    const odd = rest.find((word) => word.includes("\0"));
    if (odd !== undefined) throw new Misuse(`Unexpected ${odd}, expected a word without the sign NUL`);
    if (!command) {
      const near = nearest(
        verb,
        commands.map(({ name }) => name),
      );
      throw new Misuse(`There is no command ${verb}${near ? `; did you mean ${near}?` : ""}`);
    }
    const asksHelp = rest.includes("--help") || rest.includes("-h");
    if (asksHelp && (command.name !== "worksheet" || rest.every((word) => word.startsWith("-")))) {
      world.out(command.help);
      return 0;
    }
    return await command.run(rest, world);
  } catch (error) {
    const trouble = diskTrouble(error);
    if (trouble !== undefined) {
      world.err(trouble);
      return 3;
    }
    if (!(error instanceof Misuse)) throw error;
    const message = shortened(error.message);
    world.err(`${message}${message.endsWith("?") ? "" : "."} See tierbook ${command ? `${command.name} ` : ""}--help`);
    return 2;
  }
}

/** What is longer than a line is no word, and what is longer than a page no sentence, that anybody wants to see again whole. */
function shortened(message: string): string {
  const text = message.replace(/\S{200,}/g, (word) => `${word.slice(0, 100)}…`);
  return text.length > 3000 ? `${text.slice(0, 3000)}…` : text;
}

function visibly({ out, err, ask, ...world }: World): World {
  return {
    ...world,
    out: (text) => out(visible(text)),
    err: (text) => err(visible(text)),
    ...(ask ? { ask: (question) => ask(visible(question)) } : {}),
  };
}

function overview(): string {
  const width = Math.max(...commands.map(({ name }) => name.length));
  return [
    "tierbook <command> [options]",
    "",
    ...commands.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`),
    "",
    "tierbook <command> --help says more, with an example.",
  ].join("\n");
}
