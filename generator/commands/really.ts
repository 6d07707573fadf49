import { reviewsOf } from "../closeouts/reviews.ts";
import { type Closeouts, type CropCloseout, closeoutsOf, type Part, usesOf } from "../closeouts.ts";
import { date } from "../format.ts";
import type { Library } from "../library.ts";
import { load } from "../node.ts";
import { loadSearch } from "../search.ts";
import { askCrop } from "../supply/asking.ts";
import { bookPlan } from "../supply/planned.ts";
import { report } from "./check.ts";
import { type Command, Misuse } from "./command.ts";
import { block, wrapped } from "./layout.ts";
import { common, contentFolder, read } from "./options.ts";

export const really: Command = {
  name: "really",
  summary: "how each crop really does here, by closed batches, and which figures want a review",
  help: `tierbook really [CROP] [--content DIR] [--json]

Puts closed batches together, crop by crop, summer and winter apart: germination, losses, days in
each stage, days to the first cut, and what was cut, each beside what the record says. What open
batches have behind them is said apart. Then what wants a review or a trial, the strongest first.

  CROP            an id, a name, or what people call it (all crops)
  --content DIR   the folder of records (content)
  --json          one object: ids, ISO dates, the unit beside each figure

Exit 0 told, 1 problems in the records, 2 called wrongly.

Example: tierbook really basil`,
  async run(args, world) {
    const { values, positionals } = read(args, common);
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const asked = positionals.length === 0 ? undefined : askCrop(library, positionals.join(" "));
    if (asked && "fault" in asked) throw new Misuse(asked.fault);
    const all = closeoutsOf(library, usesOf(library, bookPlan(library, await loadSearch())));
    const found = asked ? of(all, asked.value.id) : all;
    const crop = asked?.value.fields.name;
    world.out(values.json ? JSON.stringify(data(library, found)) : text(library, found, crop));
    return 0;
  },
};

/** The same of one crop alone. */
function of({ crops, suggestions }: Closeouts, id: string): Closeouts {
  const own = crops.filter(({ crop }) => crop === id);
  return {
    crops: own,
    suggestions: suggestions.filter(({ crop }) => crop === id),
    closed: own.reduce((all, { closed }) => all + closed, 0),
    open: own.reduce((all, { open }) => all + open, 0),
  };
}

function text(library: Library, { crops, suggestions, closed, open }: Closeouts, crop: string | undefined): string {
  const { name, edition, demo = false } = library.book.fields;
  const old = crop === undefined ? reviewsOf(library).old : [];
  return [
    [
      wrapped(`How ${crop ?? "each crop"} really does: ${name}${demo ? " (a demo: an invented yard)" : ""}`),
      `Records of ${date(edition)}; ${closed} closed, ${open} still open`,
    ].join("\n"),
    ...(crops.length === 0 ? ["No batch shows anything yet."] : crops.map(cropText)),
    ...block(
      "What wants a second look",
      suggestions
        .map(({ kind, said, about }) =>
          wrapped(
            `${kind}: ${said}${about?.now ? ` Might say ${about.now.path}: ${about.now.text}` : ""}`,
            "    ",
            "  ",
          ),
        )
        .join("\n"),
    ),
    ...block(
      "Not looked at for a year",
      old.map(({ record, name, age }) => wrapped(`${record}, ${name}: ${age} ago`, "    ", "  ")).join("\n"),
    ),
  ].join("\n\n");
}

function cropText({ name, parts }: CropCloseout): string {
  return [name, ...parts.flatMap(partText)].join("\n");
}

function partText({ half, closed, open, measures, losses }: Part): readonly string[] {
  return [
    `  ${half}: ${closed} closed, ${open} open`,
    ...measures.map(({ said, record, n }) =>
      wrapped(
        [
          `${said.label}: ${said.here}`,
          ...(record ? [`the record says ${record.text}, ${record.basis.replaceAll("-", " ")}`] : []),
          ...(n > 0 || record ? [said.verdict] : []),
          ...(said.open === "" ? [] : [`${said.open[0]!.toLowerCase()}${said.open.slice(1)}`]),
        ].join("; "),
        "        ",
        "    ",
      ),
    ),
    ...(losses.said.length === 0 ? [] : [wrapped(`Lost: ${losses.said.join(" ")}`, "        ", "    ")]),
  ];
}

function data(library: Library, { crops, suggestions, closed, open }: Closeouts) {
  return {
    edition: library.book.fields.edition,
    demo: library.book.fields.demo ?? false,
    closed,
    open,
    crops: crops.map(({ crop, closed, open, from, to, parts, cultivars }) => ({
      crop,
      closed,
      open,
      sownFrom: from,
      sownTo: to,
      parts: parts.map(partData),
      cultivars: cultivars.map(({ cultivar, parts }) => ({ cultivar, parts: parts.map(partData) })),
    })),
    suggestions: suggestions.map(({ kind, crop, uses, about, said }) => ({
      kind,
      crop,
      ordersOfThePlan: uses,
      half: about?.half ?? null,
      what: about ? (about.measure.stage ?? about.measure.what) : null,
      field: about?.now?.path ?? about?.record.path ?? null,
      recordSays: about?.record.text ?? null,
      mightSay: about?.now?.text ?? null,
      batches: about?.batches ?? [],
      said,
    })),
    notLookedAt: reviewsOf(library).old.map(({ record, on, age }) => ({ record, on, age })),
  };
}

function partData({ half, closed, open, cells, planted, measures, losses }: Part) {
  return {
    half,
    closed,
    open,
    cells,
    planted: planted ?? null,
    measures: measures.map(({ what, stage, unit, values, n, middle, low, high, mean, record, verdict, basis }) => ({
      what,
      stage: stage ?? null,
      unit,
      batches: n,
      middle: middle ?? null,
      low: low ?? null,
      high: high ?? null,
      mean: mean ?? null,
      values: values.map(({ batch, value, closed }) => ({ batch, value, closed })),
      basis,
      record: record
        ? { field: record.path ?? null, low: record.low, high: record.high, basis: record.basis, text: record.text }
        : null,
      verdict,
    })),
    lostByStage: losses.stages.map(({ stage, lost, of, batches }) => ({ stage, lost, of, batches })),
    lostByReason: losses.reasons,
    batchesWithoutReasons: losses.silent,
  };
}
