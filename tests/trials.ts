import { VFile } from "vfile";
import type { Library } from "../generator/library.ts";
import { check } from "../generator/node.ts";

const book = `name: Yard
place: Here
latitude: 52°
contact: The slate
edition: 2027-04-12
sow: [Mon, Thu]
post: [Mon, Tue, Wed]
sources: { memory: "*" }`;

const crop = `name: Viola
botanical: Viola tricolor
kind: flower
code: VIO
status: tried
reviewed: 2027-01-01
eaten: [flower]
stages:
  germination: { days: 10–14 days }
  tray: { summer: 30–40 days, winter: 50–60 days }
cutting: { pieces: 10–30 /week, bunch: 25 g }
sources: { common-practice: "*" }`;

/** The fields of a trial of A against B, which is done now; `more` wins over them, and a blank one leaves a field out. */
export function trial(blocks: string, more: Readonly<Record<string, string>> = {}): string {
  const fields = {
    question: "A or B?",
    crop: "viola",
    worthwhile: "1.5 flowers a plant a week",
    measure: "Flowers a plant a week",
    figure: "cutting.pieces",
    through: "plant",
    control: "B",
    started: "2026-04-13",
    stop: "2026-08-04",
    signed: "WKZ",
    blocks,
    sources: "{}",
    ...more,
  };
  return Object.entries(fields)
    .filter(([, value]) => value !== "")
    .map(([name, value]) => `${name}: ${value}`)
    .join("\n");
}

/** Blocks of three plants a side, all of B with the mean 8 and all of A that much above it. */
export function blocks(...differences: readonly number[]): string {
  const plants = (mean: number) =>
    `[${[mean - 1, mean, mean + 1].map((value) => Number(value.toFixed(6))).join(", ")}]`;
  const rows = differences.map((by, index) => `block-${index + 1}: { A: ${plants(8 + by)}, B: ${plants(8)} }`);
  return `{ ${rows.join(", ")} }`;
}

/** What the checker says of a yard with these files, `trials/one.md` or `trials/one.csv`. */
export function checked(files: Readonly<Record<string, string>>): ReturnType<typeof check> {
  const texts = { "book.md": book, "crops/viola.md": crop, ...files };
  return check(
    Object.entries(texts).map(
      ([path, text]) => new VFile({ path, value: path.endsWith(".md") ? `---\n${text.trim()}\n---\n` : text }),
    ),
  );
}

/** A yard with these trials. */
export function yardOf(files: Readonly<Record<string, string>>): Library {
  const { library, files: read } = checked(files);
  if (!library)
    throw new Error(read.flatMap(({ path, messages }) => messages.map((each) => `${path} ${each}`)).join("\n"));
  return library;
}
