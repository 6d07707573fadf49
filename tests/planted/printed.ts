import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { main } from "../../generator/cli.ts";
import { filesOf } from "../../site/folder.ts";
import type { Planted } from "../planted.ts";

/** Writes a planted book and all that lies beside it into a folder. */
export async function writeBook({ files, strays }: Pick<Planted, "files" | "strays">, folder: string): Promise<void> {
  const all = [...files.map((file) => ({ path: file.path, bytes: String(file) })), ...strays];
  for (const { path, bytes } of all) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), bytes);
  }
}

/** Every file below a folder by its name, with its bytes; none when there is no such folder. */
export async function bytesOf(folder: string): Promise<ReadonlyMap<string, Uint8Array>> {
  const names = await filesOf(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT") return [];
    throw error;
  });
  return new Map(await Promise.all(names.map(async (name) => [name, await readFile(join(folder, name))] as const)));
}

/** Runs a command as a person would, in `cwd`; what it said and how it ended. */
export async function run(
  cwd: string,
  ...args: readonly string[]
): Promise<{ code: number; out: string; err: string }> {
  const said = { out: "", err: "" };
  const code = await main([...args], {
    cwd,
    out: (text) => {
      said.out += `${text}\n`;
    },
    err: (text) => {
      said.err += `${text}\n`;
    },
  });
  return { code, ...said };
}
