import { join, relative, resolve } from "node:path";
import { ownWords } from "../build.ts";
import { exportCalendar } from "../calendar.ts";
import { editionFor } from "../editions.ts";
import { type Exported, exportCrops, exportPlan } from "../exports.ts";
import { leaks } from "../guard.ts";
import type { Library } from "../library.ts";
import { load } from "../node.ts";
import { replace } from "../put.ts";
import { jsonSchema } from "../records/describe.ts";
import { type Kind, kinds } from "../records/index.ts";
import { loadSearch } from "../search.ts";
import { agendaOf } from "../supply/agenda.ts";
import { bookPlan } from "../supply/planned.ts";
import { textsIn } from "../texts.ts";
import { report } from "./check.ts";
import { type Command, Misuse, type World } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const exporting: Command = {
  name: "export",
  summary: "writes crops and plan as tables, the days as a calendar, or the schemas for editors",
  help: `tierbook export [--content DIR] [--out DIR] [--edition staff|customer] [--json]
tierbook export --calendar [--content DIR] [--out DIR] [--json]
tierbook export --schema [--content DIR]

Writes crops.csv (one figure a line, with unit, basis and sources) and crops.json; for staff also
sowings.csv (one sowing of the plan a line) and room-by-week.csv (the room that is left).

  --content DIR   the folder of records (content)
  --out DIR       where the files go (export)
  --edition WHO   whose figures: customer, or staff for all of them (customer)
  --calendar      instead: yard.ics, everything that is to be done as days of a calendar (iCalendar),
                  for staff alone; read again from a later edition, it moves what has moved
  --schema        instead: the JSON Schema of each kind of record, into .schema/ beside the records,
                  so that an editor completes and checks the fields as one types
  --json          the names of the files written, as one object

Exit 0 written, 1 a problem in the records or a private value, 2 called wrongly, 3 it cannot be written.

Example: tierbook export --content ~/yard/records --edition staff --out ~/yard/figures`,
  async run(args, world) {
    const { values } = read(args, {
      ...common,
      out: { type: "string", default: "export" },
      edition: { type: "string" },
      calendar: { type: "boolean", default: false },
      schema: { type: "boolean", default: false },
    });
    const { edition = values.calendar ? "staff" : "customer" } = values;
    if (edition !== "customer" && edition !== "staff")
      throw new Misuse(`Unexpected --edition ${edition}, expected staff or customer`);
    if (values.calendar && edition === "customer")
      throw new Misuse("The calendar tells of orders and batches and is for staff alone; leave --edition customer out");
    if (values.calendar && values.schema) throw new Misuse("Say --calendar or --schema, not both");
    const content = await contentFolder(values.content, world);
    if (values.schema) return write(schemas(), join(content, ".schema"), values.json, world);
    const { library, files } = await load(content);
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const out = resolve(world.cwd, values.out);
    if (edition === "customer") return forCustomers(library, out, values.json, world);
    return write(await forStaff(library, values.calendar), out, values.json, world);
  },
};

/** What goes out of the house is looked through for what may not, as the printed edition is. */
async function forCustomers(library: Library, out: string, json: boolean, world: World): Promise<number> {
  const made = exportCrops(editionFor(library, "customer"));
  const texts = made.flatMap(({ name, text }) => textsIn(name, new TextEncoder().encode(text)));
  const found = leaks(library, texts, await ownWords());
  for (const { record, field, file, text } of found)
    world.err(`${record}: ${field} is private and would stand in ${file}: “${text}”`);
  if (found.length === 0) return write(made, out, json, world);
  world.err("Nothing was written.");
  return 1;
}

async function forStaff(library: Library, calendar: boolean): Promise<readonly Exported[]> {
  const search = await loadSearch();
  const plan = bookPlan(library, search);
  if (calendar) return [exportCalendar(library.book.fields, agendaOf(library, plan).tasks)];
  return [...exportCrops(editionFor(library, "staff", search)), ...exportPlan(plan)];
}

function schemas(): readonly Exported[] {
  const names = ["book", ...(Object.keys(kinds) as Kind[])] as const;
  return names.map((kind) => ({ name: `${kind}.json`, text: `${JSON.stringify(jsonSchema(kind), undefined, 2)}\n` }));
}

/** Writes all files or none. */
async function write(files: readonly Exported[], folder: string, json: boolean, world: World): Promise<number> {
  const { cwd, out, err } = world;
  const failed = await replace(files.map(({ name, text }) => ({ file: join(folder, name), content: text })));
  if (failed) {
    err(`${failed.refusal}.`);
    return 3;
  }
  const written = files.map(({ name }) => join(folder, name));
  out(json ? JSON.stringify({ written }) : written.map((file) => `Wrote ${relative(cwd, file)}`).join("\n"));
  return 0;
}
