import type { Readable } from "../records/fields.ts";
import type { Reading } from "../records/index.ts";
import { leaves } from "../records/walk.ts";
import type { Batch, Lot } from "../records/yard.ts";
import { addDays, dateFault } from "../science/calendar.ts";
import { bodyOf, checkCharacter, trayCode } from "../science/labels.ts";
import { type Drafts, everyDraft } from "./drafts.ts";

/** Asks that batches, orders and lots agree with one another, and that no date is far ahead of the edition. */
export function checkBatches(drafts: Drafts): void {
  const { records } = drafts;
  for (const { fields, say } of records.batches.values()) {
    const crop = records.crops.get(fields.crop ?? "")?.fields;
    sayCode(fields, crop?.code, say);
    sayLot(fields, drafts, say);
    const order = records.orders.get(fields.order ?? "")?.fields;
    if (order?.crop && fields.crop && order.crop !== fields.crop)
      say(["order"], {
        rule: "order-crop",
        written: fields.order ?? "",
        expected: `an order for \`${fields.crop}\``,
        note: `\`orders/${fields.order}.md\` is for \`${order.crop}\`.`,
      });
    const bought = records.lots.get(fields.lot ?? "")?.fields.bought;
    if (bought !== undefined && fields.sown !== undefined && fields.sown < bought)
      say(["sown"], {
        rule: "date-order",
        written: fields.sown,
        expected: `${bought} or later`,
        note: `\`lots/${fields.lot}.md\` was bought on that day.`,
      });
    const seeds = fields.seeds ?? crop?.seed?.cell?.high;
    const most = fields.cells !== undefined && seeds !== undefined ? fields.cells * seeds : undefined;
    const up = fields.counted?.up;
    if (most !== undefined && up !== undefined && up > most)
      say(["counted", "up"], {
        rule: "count-over",
        written: String(up),
        expected: `at most ${most}, the seeds in ${fields.cells} cells`,
        note: "Count seeds that came up, not shoots: one cluster of chard gives several.",
      });
  }
  for (const { fields, say } of records.orders.values()) {
    sayLot(fields, drafts, say);
    const status = records.crops.get(fields.crop ?? "")?.fields.status;
    if (status === "retired")
      say(["crop"], {
        rule: "crop-retired",
        written: fields.crop ?? "",
        expected: "a crop that is still grown",
        note: `\`crops/${fields.crop}.md\` says that it is retired.`,
      });
  }
  sayFarDates(drafts);
}

type Say = Reading<unknown>["say"];

/** A lot must be of the crop that is sown from it, and fit to be eaten when shoot and seed coat go to the plate. */
function sayLot(
  { crop, lot: id }: { readonly crop?: string | undefined; readonly lot?: string | undefined },
  { records }: Drafts,
  say: Say,
): void {
  const lot: Readable<Lot> | undefined = records.lots.get(id ?? "")?.fields;
  if (!id || !crop || !lot) return;
  if (lot.crop && lot.crop !== crop)
    say(["lot"], {
      rule: "lot-crop",
      written: id,
      expected: `a lot of \`${crop}\``,
      note: `\`lots/${id}.md\` is seed of \`${lot.crop}\`.`,
    });
  if (records.crops.get(crop)?.fields.kind !== "micro") return;
  if (lot.treated === true || lot.food === false)
    say(["lot"], {
      rule: "lot-not-food",
      written: id,
      expected: "untreated seed that is supplied for food use",
      note: `\`lots/${id}.md\` says \`${lot.treated ? "treated: yes" : "food: no"}\`. Micro herbs are eaten days after sowing: such seed must not be used for them.`,
    });
}

/** A tray code, `LET02-28017-07-X`: the crop's letters, year and day of sowing, the tray, and a check character. */
function sayCode(batch: Readable<Batch>, cropCode: string | undefined, say: Say): void {
  const { code, sown } = batch;
  if (code === undefined) return;
  const match = /^([A-Z]{3}[0-9]{0,2})-(\d{5})-(\d{2})-([0-9A-Z])$/.exec(code);
  if (!match) {
    say(["code"], {
      rule: "code-form",
      written: code,
      expected: "a tray code, such as `BAS-27081-01-K`",
      note: "The crop's code, two digits of the year and three for its day, the tray from 00 to 99, and the check character.",
    });
    return;
  }
  const [, crop = "", day = "", tray = "", check = ""] = match;
  const body = `${crop}-${day}-${tray}`;
  const right = checkCharacter(bodyOf(body));
  if (check !== right)
    say(["code"], {
      rule: "code-wrong",
      written: code,
      expected: `\`${right}\` as the check character of \`${body}\``,
      note: "If the last sign is as the label has it, one of the others is misread. Look at the tray.",
    });
  if (cropCode !== undefined && crop !== cropCode)
    say(["code"], {
      rule: "code-crop",
      written: code,
      expected: `a code that starts with \`${cropCode}\``,
      note: `That is the tray code in \`crops/${batch.crop}.md\`.`,
    });
  if (sown === undefined) return;
  const wanted = trayCode({ crop, sown, tray: Number(tray) });
  if (wanted !== body)
    say(["code"], {
      rule: "code-date",
      written: code,
      expected: `\`${wanted}\` for a tray sown on ${sown}`,
      note: "The five digits in the middle are the year and the day of the year. One of the two is not right.",
    });
}

/** A date more than two years past the edition is more likely a slip of the year. */
function sayFarDates(drafts: Drafts): void {
  const edition = drafts.book?.fields.edition;
  if (edition === undefined) return;
  const last = addDays(edition, 731);
  for (const { schema, raw, say } of everyDraft(drafts)) {
    for (const { path, value, meta } of leaves(schema, raw)) {
      if (meta.form !== "date" || typeof value !== "string" || dateFault(value) || value <= last) continue;
      say(path, {
        rule: "date-far",
        written: value,
        expected: `a date up to ${last}`,
        note: `It is more than two years after the edition of ${edition}. Is the year right?`,
      });
    }
  }
}
