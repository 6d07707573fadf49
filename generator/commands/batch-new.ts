import type { PageOf } from "../library.ts";
import { nearest } from "../records/nearest.ts";
import { inline, scalar } from "../revise/words.ts";
import { dateFault, type PlainDate } from "../science/calendar.ts";
import { bodyOf, checkCharacter, isAmbiguous, trayCode } from "../science/labels.ts";
import { batchCodes } from "../supply/sowing.ts";
import { gearOf } from "../supply/supply.ts";
import { type Desk, type Drafted, type Given, named, whole } from "./batch-desk.ts";
import { Misuse } from "./command.ts";

/** The record of a batch that was sown, under the next free code of its day. */
export function newBatch(desk: Desk, typed: string, given: Given): Drafted {
  const { library } = desk;
  const crop = cropTyped(desk, typed);
  if (given.lot === undefined) throw new Misuse("Missing --lot, expected the seed lot that it was sown from");
  const own = [...library.lots.values()].filter(({ fields }) => fields.crop === crop.id).map(({ id }) => id);
  const lot = named(library.lots, given.lot, "lot", nearest(given.lot, library.lots.keys()) ?? own[0]);
  const cells = whole("cells", given.cells);
  const sown = given.sown ?? desk.on;
  const fault = dateFault(sown);
  if (fault) throw new Misuse(`Unexpected --sown ${sown}: ${fault}`);
  const trays = gearOf(library.gear.values(), "tray");
  const tray =
    given.tray === undefined
      ? undefined
      : named(
          new Map(trays.map((one) => [one.id, one])),
          given.tray,
          "tray",
          nearest(
            given.tray,
            trays.map(({ id }) => id),
          ),
        );
  const count = tray ? Math.ceil(cells / tray.fields.cells) : 1;
  const first = firstFree(desk, crop.fields.code, sown, count);
  if (first === undefined)
    return {
      refusal: `There are no ${count} tray numbers in a row left for ${crop.fields.code} on ${sown}: they go from 01 to 99`,
    };
  const body = trayCode({ crop: crop.fields.code, sown, tray: first });
  const check = checkCharacter(bodyOf(body));
  const path = `batches/${body.toLowerCase()}.md`;
  if (desk.files.some((file) => file.path.toLowerCase() === path))
    return { refusal: `There is a record ${path} already, and it is not that of ${body}-${check}. Look at it first` };
  const facts = {
    code: `${body}-${check}`,
    crop: crop.id,
    lot: lot.id,
    order: given.order,
    sown,
    cells: String(cells),
    seeds: given.seeds === undefined ? undefined : String(whole("seeds", given.seeds)),
    tray: tray?.id,
    by: desk.by,
  };
  const lines = Object.entries(facts).flatMap(([field, value]) =>
    value === undefined ? [] : [{ field, from: undefined, to: scalar(value) }],
  );
  const sources = { field: "sources", from: undefined, to: inline({ [sourceFor(desk, given)]: "*" }, false) };
  return {
    path,
    text: `---\n${lines.map(({ field, to }) => `${field}: ${to}\n`).join("")}sources:\n  ${inline(sourceFor(desk, given), false)}: "*"\n---\n`,
    facts: [...lines, sources],
    cautions: cautionsOn(lot),
    notes: [...notesOnCode(body, check, count), ...(tray ? [] : [noTray])],
  };
}

const noTray = "No --tray was said, so it counts as one tray.";

/** The crop by its file's name, or by the letters on its trays. */
function cropTyped({ library }: Desk, typed: string): PageOf<"crops"> {
  const byCode = [...library.crops.values()].find(({ fields }) => fields.code === bodyOf(typed));
  const near =
    nearest(typed, library.crops.keys()) ??
    [...library.crops.values()].find(({ fields }) => fields.name.toLowerCase() === typed.toLowerCase())?.id;
  return byCode ?? named(library.crops, typed, "crop", near);
}

/** The first of so many tray numbers in a row that no batch of the crop and the day has. */
function firstFree({ library }: Desk, crop: string, sown: PlainDate, count: number): number | undefined {
  const taken = new Set([...library.batches.values()].flatMap((batch) => batchCodes(library, batch).map(bodyOf)));
  const free = (tray: number) => {
    const body = bodyOf(trayCode({ crop, sown, tray }));
    return !taken.has(`${body}${checkCharacter(body)}`);
  };
  for (let first = 1; first + count - 1 <= 99; first++)
    if (Array.from({ length: count }, (_, index) => first + index).every(free)) return first;
  return undefined;
}

/**
 * What the figures of a batch lean on, which are its weighings. No word of the language means "weighed here": a demo book
 * says `demo`; any other says what its newest batch says, and the first of all says `memory`, which claims the least.
 */
function sourceFor({ library }: Desk, { source }: Given): string {
  if (source !== undefined) return source;
  if (library.book.fields.demo === true) return "demo";
  const newest = [...library.batches.values()].toSorted((a, b) => (a.fields.sown < b.fields.sown ? 1 : -1))[0];
  const whole = Object.entries(newest?.fields.sources ?? {}).find(([, covered]) => covered === "*");
  return whole?.[0] ?? "memory";
}

function cautionsOn({ id, fields }: PageOf<"lots">): readonly string[] {
  if (!fields.treated) return [];
  const how = fields.treatment === undefined ? "" : ` with ${fields.treatment}`;
  return [`lots/${id} is treated${how}. Read its label before you touch it, and keep it from all food seed.`];
}

function notesOnCode(body: string, check: string, trays: number): readonly string[] {
  return [
    ...(trays > 1 ? [`It stands in ${trays} trays: ${body}-${check} is the first, and their numbers follow on.`] : []),
    ...(isAmbiguous(check) ? [`Its check character ${check} is easily misread by hand: print the label.`] : []),
  ];
}
