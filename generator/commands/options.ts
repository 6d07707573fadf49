import { stat } from "node:fs/promises";
import { resolve } from "node:path";
import { type ParseArgsOptionsConfig, parseArgs } from "node:util";
import { nearest } from "../records/nearest.ts";
import { dateFault, type PlainDate } from "../science/calendar.ts";
import { Misuse, type World } from "./command.ts";

/** Options that most commands have. */
export const common = {
  content: { type: "string", default: "content" },
  json: { type: "boolean", default: false },
} as const satisfies ParseArgsOptionsConfig;

/** Reads a command's words. @throws Misuse for an option that it does not have. */
export function read<const Options extends ParseArgsOptionsConfig>(args: readonly string[], options: Options) {
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (error) {
    const unknown = /Unknown option '(-+)([^']+)'/.exec((error as Error).message);
    if (!unknown) throw new Misuse((error as Error).message.split(". ")[0] ?? "The words make no sense");
    const near = nearest(unknown[2] ?? "", Object.keys(options));
    throw new Misuse(`Unexpected option ${unknown[1]}${unknown[2]}${near ? `, expected --${near}` : ""}`);
  }
}

/** A folder of records, wherever the command was called. @throws Misuse when there is no such folder. */
export async function contentFolder(given: string, { cwd }: World): Promise<string> {
  const folder = resolve(cwd, given);
  const found = await stat(folder).catch(() => undefined);
  if (!found?.isDirectory()) throw new Misuse(`There is no folder ${folder}; say where the records are with --content`);
  return folder;
}

/** A day that was given to an option. @throws Misuse when there is no such day. */
export function dayGiven(option: string, written: string): PlainDate {
  const fault = dateFault(written);
  if (fault) throw new Misuse(`Unexpected --${option} ${written}, expected a day of the calendar: ${fault}`);
  return written;
}
