import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { parse } from "yaml";
import { kinds } from "../../generator/records/index.ts";

// What reading a folder of records takes at the very least: each file read, its YAML parsed and held against a schema, and nothing said.
const folder = process.argv[2]!;
let read = 0;
for (const kind of Object.keys(kinds) as (keyof typeof kinds)[])
  for (const name of await readdir(join(folder, kind)).catch(() => [])) {
    if (!name.endsWith(".md")) continue;
    const [, front = ""] = (await readFile(join(folder, kind, name), "utf8")).split(/^---$/m);
    kinds[kind].safeParse(parse(front, { schema: "failsafe" }));
    read++;
  }
console.log(read);
