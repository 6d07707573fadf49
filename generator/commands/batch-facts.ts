import { type PageOf, valueAt } from "../library.ts";
import { type StageName, stageNames } from "../records/crop.ts";
import { kinds } from "../records/index.ts";
import { sentence } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { readAmount } from "../records/quantity.ts";
import { fieldNames } from "../records/walk.ts";
import { inline } from "../revise/words.ts";
import { type Change, edit, type Path, type Value } from "../revise.ts";
import { type Desk, type Drafted, textOf } from "./batch-desk.ts";
import { Misuse } from "./command.ts";

/** So many came up. */
export function counted(desk: Desk, batch: PageOf<"batches">, up: number): Drafted {
  return written(desk, batch, [{ path: ["counted"], value: { on: desk.on, up: String(up) } }]);
}

/** So many plants went on to a stage. */
export function moved(
  desk: Desk,
  batch: PageOf<"batches">,
  { stage, plants, lost = [] }: { stage: string | undefined; plants: number; lost: readonly string[] | undefined },
): Drafted {
  const name = stageNames.find((one) => one === stage?.toLowerCase());
  if (name === undefined) {
    const near = nearest(stage ?? "", stageNames);
    throw new Misuse(
      stage === undefined
        ? `Say where to: ${stageNames.join(", ")}`
        : `Unexpected ${stage}, expected one of ${stageNames.join(", ")}${near ? `; did you mean ${near}?` : ""}`,
    );
  }
  const strange = desk.library.crops.get(batch.fields.crop)!.fields.stages[name] === undefined;
  return written(
    desk,
    batch,
    [{ path: ["moves", name], value: { on: desk.on, plants: String(plants) } }, ...lossesOf(lost)],
    strange ? [`crops/${batch.fields.crop} knows no stage ${name}: is the word right?`] : [],
  );
}

/** So many grams were cut on the day. */
export function cut(desk: Desk, batch: PageOf<"batches">, typed: string): Drafted {
  if (typed === "") throw new Misuse("Say how much was cut, such as 320g");
  const read = readAmount(typed, "g", "320 g");
  if ("slip" in read)
    throw new Misuse(
      `${sentence(read.slip).replaceAll("`", "")}${read.slip.note ? `. ${read.slip.note.replaceAll("`", "")}` : ""}`.replace(
        /\.$/,
        "",
      ),
    );
  return written(desk, batch, [{ path: ["cuts", desk.on], value: `${read.value} g` }]);
}

/** Nothing of it is left. */
export function closed(desk: Desk, batch: PageOf<"batches">, lost: readonly string[]): Drafted {
  return written(desk, batch, [...lossesOf(lost), { path: ["closed"], value: desk.on }]);
}

/** `damping-off=3`: so many plants were lost for a reason. */
function lossesOf(lost: readonly string[]): readonly Change[] {
  return lost.map((text) => {
    const match = /^\s*(\S.*?)\s*=\s*(\d{1,7})\s*$/su.exec(text);
    if (!match)
      throw new Misuse(
        `Unexpected --lost ${text}, expected a reason and a whole number, such as --lost "damping-off=3"`,
      );
    return { path: ["losses", match[1]!], value: String(Number(match[2])) };
  });
}

/** The batch's record with these facts in it, and the initials of who wrote them. */
function written(
  desk: Desk,
  batch: PageOf<"batches">,
  facts: readonly Change[],
  notes: readonly string[] = [],
): Drafted {
  const { code } = batch.fields;
  if (batch.fields.closed !== undefined && !desk.correct)
    return {
      refusal: `${code} was closed on ${batch.fields.closed}. If that was wrong, or this was forgotten, add --correct`,
    };
  const stands = facts.find(({ path }) => at(batch, path) !== undefined);
  if (stands && !desk.correct)
    return {
      refusal: `${code} says already \`${stands.path.join(".")}: ${inline(at(batch, stands.path)!, false)}\`. If that is wrong, add --correct and say the whole of it`,
    };
  const changes = desk.by === undefined ? facts : [...facts, { path: ["by"], value: desk.by }];
  const revised = edit(textOf(batch.file), changes, (path) => orderIn(batch, path, changes));
  if ("refusal" in revised) return { refusal: `${batch.file.path}: ${revised.refusal}` };
  if (revised.text === textOf(batch.file)) return { refusal: `${code} says that already` };
  return {
    path: batch.file.path,
    text: revised.text,
    notes,
    facts: changes.flatMap(({ path, value }) => {
      const old = at(batch, path);
      const from = old === undefined ? undefined : inline(old, false);
      const to = inline(value, false);
      return from === to ? [] : [{ field: path.join("."), from, to }];
    }),
  };
}

/** What a field says as it was written. */
function at({ raw }: PageOf<"batches">, path: Path): Value | undefined {
  return path.reduce<unknown>(
    (value, step) => (value as Readonly<Record<string, unknown>> | undefined)?.[String(step)],
    raw,
  ) as Value | undefined;
}

/** Fields stand as the schema has them, stages as a plant passes through them, cuts by their days. */
function orderIn(batch: PageOf<"batches">, path: Path, changes: readonly Change[]): readonly string[] | undefined {
  if (path.length === 0) return fieldNames(kinds.batches);
  if (path[0] === "moves") return stageNames satisfies readonly StageName[];
  if (path[0] !== "cuts") return undefined;
  const days = changes.flatMap(({ path: [top, day] }) => (top === "cuts" ? String(day) : []));
  return [...new Set([...Object.keys((valueAt(batch.raw, "cuts") as object | undefined) ?? {}), ...days])].sort();
}
