import { mkdir, rename, writeFile } from "node:fs/promises";
import { join, relative, resolve } from "node:path";
import { editionFor } from "../editions.ts";
import { type Exported, exportCrops } from "../exports.ts";
import { load } from "../node.ts";
import { jsonSchema } from "../records/describe.ts";
import { type Kind, kinds } from "../records/index.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const exporting: Command = {
  name: "export",
  summary: "writes the crops as CSV and JSON, or the schemas that editors check records with",
  help: `tierbook export [--content DIR] [--out DIR] [--edition staff|customer] [--json]
tierbook export --schema [--content DIR]

Writes crops.csv (one figure a line, with unit, basis and sources) and crops.json.

  --content DIR   the folder of records (content)
  --out DIR       where the files go (export)
  --edition WHO   whose figures: customer, or staff for all of them (customer)
  --schema        instead: the JSON Schema of each kind of record, into .schema/ beside the records,
                  so that an editor completes and checks the fields as one types
  --json          the names of the files written, as one object

Example: tierbook export --content ~/yard/records --edition staff --out ~/yard/figures`,
  async run(args, world) {
    const { values } = read(args, {
      ...common,
      out: { type: "string", default: "export" },
      edition: { type: "string", default: "customer" },
      schema: { type: "boolean", default: false },
    });
    if (values.edition !== "customer" && values.edition !== "staff") {
      throw new Misuse(`Unexpected --edition ${values.edition}, expected staff or customer`);
    }
    const content = await contentFolder(values.content, world);
    if (values.schema) return write(schemas(), join(content, ".schema"), values.json, world);
    const { library, files } = await load(content);
    if (!library) {
      world.err(report(files));
      return 1;
    }
    return write(exportCrops(editionFor(library, values.edition)), resolve(world.cwd, values.out), values.json, world);
  },
};

function schemas(): readonly Exported[] {
  const names = ["book", ...(Object.keys(kinds) as Kind[])] as const;
  return names.map((kind) => ({ name: `${kind}.json`, text: `${JSON.stringify(jsonSchema(kind), undefined, 2)}\n` }));
}

/** Writes each file whole or not at all. */
async function write(files: readonly Exported[], folder: string, json: boolean, { cwd, out }: World): Promise<number> {
  await mkdir(folder, { recursive: true });
  for (const { name, text } of files) {
    const draft = join(folder, `.${name}-${process.pid}`);
    await writeFile(draft, text);
    await rename(draft, join(folder, name));
  }
  const written = files.map(({ name }) => join(folder, name));
  out(json ? JSON.stringify({ written }) : written.map((file) => `Wrote ${relative(cwd, file)}`).join("\n"));
  return 0;
}
