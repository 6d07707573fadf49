import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { VFile } from "vfile";
import { check, read } from "../generator/node.ts";

/** The records that one begins from. */
const wanted = [
  "crops/basil-sweet",
  "crops/tomato-cherry",
  "crops/pea-shoots",
  "gear/line-bucket",
  "gear/tower-bucket",
  "batches/tom-27063-01",
  "orders/basil-wedding",
  "glossary/ph",
  "guides/unpacking",
];

const demo = fileURLToPath(new URL("../content", import.meta.url));

/** Writes a book of a few records of the demo book, of every kind, with all that they name: it is soon printed. */
export async function few(folder: string): Promise<string> {
  const all = new Map((await read(demo)).map((file) => [file.path, file]));
  const taken = new Set(["book.md", ...wanted.map((name) => `${name}.md`)]);
  for (let more = taken.size; more > 0; ) {
    const files = [...taken].map((path) => new VFile({ cwd: demo, path, value: String(all.get(path)) }));
    const said = check(files).files.flatMap(({ messages }) => messages.filter(({ fatal }) => fatal));
    const named = said.flatMap((message) => namedIn(`${message.reason} ${message.note ?? ""} ${message.actual ?? ""}`));
    const missing = named.filter((path) => all.has(path) && !taken.has(path));
    for (const path of missing) taken.add(path);
    more = missing.length;
    if (more === 0 && said.length > 0) throw new Error(said.map(String).join("\n"));
  }
  for (const path of taken) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), await readFile(join(demo, path)));
  }
  return folder;
}

function namedIn(text: string): readonly string[] {
  return [...text.matchAll(/\b([a-z]+)\/([a-z0-9-]+)/g)].map(([, kind, id]) => `${kind}/${id}.md`);
}
