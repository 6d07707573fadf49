import { list } from "../format.ts";
import { type Library, type Page, valueAt } from "../library.ts";
import { load } from "../node.ts";
import { covers } from "../provenance.ts";
import { type Kind, kinds } from "../records/index.ts";
import { nearest } from "../records/nearest.ts";
import { allSums } from "../sums.ts";
import { figurePaths, type Told, told } from "../told.ts";
import { report } from "./check.ts";
import { type Command, Misuse } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";

export const explain: Command = {
  name: "explain",
  summary: "tells where a figure comes from, and what leans on it",
  help: `tierbook explain <kind>/<id> [path] [--content DIR] [--json]

Tells a figure's value, its basis and its source, and every sum of the book that leans on it.
Without a path it tells every figure of the record.

  --content DIR   the folder of records (content)
  --json          one object

Example: tierbook explain crops/basil-sweet stages.tray`,
  async run(args, world) {
    const { values, positionals } = read(args, common);
    const [name, path = ""] = positionals;
    if (name === undefined)
      throw new Misuse("Say which record, such as `tierbook explain crops/basil-sweet stages.tray`");
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const page = pageNamed(library, name);
    const found = figurePaths(page).filter((figure) => path === "" || covers(path, figure));
    if (found.length === 0) throw new Misuse(notThere(page, path));
    const figures = found.flatMap((figure) => told(library, page, figure) ?? []);
    const leaning = [...allSums(library)].flatMap(([on, sum]) =>
      sum.from.some((lean) => lean.record === `${page.kind}/${page.id}` && found.includes(lean.path))
        ? [{ page: on, worksheet: sum.worksheet, question: sum.question, basis: sum.basis }]
        : [],
    );
    if (values.json)
      world.out(JSON.stringify({ record: `${page.kind}/${page.id}`, path: path || null, figures, leaning }));
    else
      world.out(
        [
          ...figures.map(sentence),
          leaning.length === 0
            ? "No sum of the book leans on it."
            : `Leaning on it:\n${leaning.map(({ page: on, worksheet, question }) => `  ${on}  ${worksheet}: ${question}`).join("\n")}`,
        ].join("\n\n"),
      );
    return 0;
  },
};

function sentence({ path, label, text, basis, cited, note }: Told): string {
  const sources = cited.map((source) => source.text || source.id.replaceAll("-", " "));
  return [
    `${path}  ${label}: ${text}`,
    `  ${basis.replaceAll("-", " ")}${sources.length > 0 && sources[0] !== basis.replaceAll("-", " ") ? `: ${list(sources)}` : ""}`,
    ...(note ? [`  ${note}`] : []),
  ].join("\n");
}

function pageNamed(library: Library, name: string): Page<unknown> {
  const [kind = "", id = ""] = name.replace(/\.md$/, "").split("/");
  if (!Object.hasOwn(kinds, kind)) {
    const near = nearest(kind, Object.keys(kinds));
    throw new Misuse(
      `There is no kind of record ${kind}${near ? `; did you mean ${near}?` : `: the kinds are ${list(Object.keys(kinds))}`}`,
    );
  }
  const shelf: ReadonlyMap<string, Page<unknown>> = library[kind as Kind];
  const page = shelf.get(id);
  if (page) return page;
  const near = nearest(id, shelf.keys()) ?? [...shelf.keys()].find((other) => other.startsWith(`${id}-`));
  throw new Misuse(`There is no record ${kind}/${id}${near ? `; did you mean ${kind}/${near}?` : ""}`);
}

function notThere(page: Page<unknown>, path: string): string {
  if (path !== "" && valueAt(page.fields, path) !== undefined)
    return `${page.kind}/${page.id} has ${path}, which is no figure`;
  const names = figurePaths(page).flatMap((figure) =>
    figure.split(".").map((_, index, steps) => steps.slice(0, index + 1).join(".")),
  );
  const near = nearest(path, new Set(names));
  return `${page.kind}/${page.id} has no figure ${path}${near ? `; did you mean ${near}?` : `: it has ${list(figurePaths(page))}`}`;
}
