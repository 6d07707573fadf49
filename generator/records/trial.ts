import type { z } from "zod";
import { amount, count, date, measured } from "./amounts.ts";
import { sources } from "./common.ts";
import {
  type Complain,
  group,
  list,
  mapping,
  nobody,
  type Readable,
  reference,
  sensible,
  shaped,
  text,
  word,
} from "./fields.ts";
import { ticked } from "./messages.ts";
import { nearest } from "./nearest.ts";
import { notBefore } from "./sense.ts";

/** A CSV file beside a trial: a name alone, so that nothing of another folder is read. */
export const dataName = /^[a-z0-9][a-z0-9.-]*\.csv$/;

const Fields = group({
  question: text().meta({ label: "Question" }),
  crop: reference("crops").meta({ label: "Crop" }),
  worthwhile: text().meta({
    label: "Worthwhile difference",
    help: "Agreed before sowing: the least that would change your mind.",
  }),
  measure: text().meta({ label: "Measured" }),
  figure: text()
    .meta({
      label: "Figure of the crop",
      help: "The field of the crop's record that the measure speaks of. The values must be in its unit.",
      example: "figure: cutting.pieces",
    })
    .optional(),
  through: word(["plant", "feed"]).meta({
    label: "Treatment reaches them through",
    help: "`feed` for anything in the water: then the unit is a tower fed apart.",
  }),
  isolated: count({ within: [0, 1000] })
    .meta({ label: "Towers fed apart" })
    .optional(),
  control: text().meta({ label: "Control", help: "The treatment that is done now." }).optional(),
  repeats: list(reference("trials"))
    .meta({ label: "Repeats", help: "Earlier runs of the same question, each sown on another date." })
    .optional(),
  started: date().meta({ label: "Started" }),
  stop: date().meta({ label: "Stops on" }),
  spread: amount("%", { within: [0, 200], usual: [2, 100], like: "20 %" })
    .meta({ label: "Spread expected", help: "Between plants of one treatment, as it was expected before sowing." })
    .optional(),
  places: mapping(text(), mapping(text(), text()))
    .meta({
      label: "Treatment of each port, by block",
      help: "Drawn by coin before planting. A port is a tier and a face, such as `3N`.",
      example: "places: { tower-2: { 3N: A, 3S: B } }",
    })
    .optional(),
  drawn: count({ within: [0, 4_294_967_295] })
    .meta({ label: "Drawn from", help: "The number that the coin tosses were drawn from, to draw them again." })
    .optional(),
  data: shaped(
    dataName,
    "the name of a CSV file beside this record, such as `viola-plates.csv`",
    "A file of another folder is not read: put it beside the record. Small letters, figures and hyphens.",
  )
    .meta({
      label: "Measurements in",
      help: "A CSV file beside this record, instead of `blocks`: block, treatment, port, value, reason.",
    })
    .optional(),
  blocks: mapping(text(), mapping(text(), list(measured())))
    .meta({ label: "Measured, by block and treatment" })
    .optional(),
  waiting: count({ within: [1, 100_000] })
    .meta({ label: "Not measured yet", help: "Plants of which nothing is said yet: rows of the file that are blank." })
    .optional(),
  deaths: list(
    group({
      block: text().meta({ label: "Block" }),
      treatment: text().meta({ label: "Treatment" }),
      plants: count({ within: [1, 100_000] }).meta({ label: "Plants" }),
      reason: text().meta({ label: "Reason" }),
    }),
  )
    .meta({ label: "Died, with the reason", help: "Those that are not among the values of `blocks` as `died`." })
    .optional(),
  excluded: list(
    group({
      block: text().meta({ label: "Block" }),
      treatment: text().meta({ label: "Treatment" }),
      port: text().meta({ label: "Port" }).optional(),
      value: measured().meta({ label: "Value" }).optional(),
      reason: text().meta({ label: "Reason" }),
    }),
  )
    .meta({ label: "Left out, with the reason", help: "Plants that were started and do not count." })
    .optional(),
  incidents: list(text()).meta({ label: "What went wrong" }).optional(),
  spoilt: text()
    .meta({
      label: "Spoilt by",
      help: "What reached one treatment and not the other, so that the run proves nothing.",
    })
    .optional(),
  signed: nobody(text()).meta({ label: "Edible parts signed by", reader: "nobody" }).optional(),
  decision: text().meta({ label: "Decision" }).optional(),
  sources: sources(),
});

/** A question put to plants, and what they answered. */
export const Trial = sensible(Fields, (trial, complain) => {
  const { started, stop } = trial;
  notBefore({ path: ["started"], day: started }, { path: ["stop"], day: stop }, complain);
  sayUnmeasured(trial, complain);
});
export type Trial = z.output<typeof Fields>;

/** The treatments of which something was measured, or died, and then those that were only drawn to the ports. */
export function treatmentsIn(trial: Pick<Readable<Trial>, "blocks" | "places">): readonly string[] {
  return [...new Set([...measuredIn(trial), ...drawnIn(trial)])];
}

function measuredIn({ blocks }: Pick<Readable<Trial>, "blocks">): readonly string[] {
  return Object.values(blocks ?? {}).flatMap((block) => Object.keys(block ?? {}));
}

function drawnIn({ places }: Pick<Readable<Trial>, "places">): readonly string[] {
  return Object.values(places ?? {}).flatMap((ports) => Object.values(ports ?? {}).flatMap((name) => name ?? []));
}

/**
 * A treatment that is named anywhere must be one that was measured, or it is a slip of the pen. While nothing is
 * measured, and where a file beside the record is still being filled in, what was drawn will do as well.
 */
function sayUnmeasured(trial: Readable<Trial>, complain: Complain): void {
  const measured = trial.data === undefined ? new Set(measuredIn(trial)) : new Set<string>();
  const known = measured.size > 0 ? [...measured] : treatmentsIn(trial);
  if (known.length === 0) return;
  const ask = (path: readonly (string | number)[], name: string | undefined) => {
    if (name === undefined || known.includes(name)) return;
    const near = nearest(name, known);
    complain(path, {
      rule: "trial-treatment",
      written: name,
      expected: `a treatment that is measured: ${ticked(known)}`,
      note: near ? `Did you mean \`${near}\`?` : "Capitals count. Correct the name, or write what was measured of it.",
    });
  };
  ask(["control"], trial.control);
  for (const [block, ports] of Object.entries(trial.places ?? {}))
    for (const [port, treatment] of Object.entries(ports ?? {})) ask(["places", block, port], treatment);
  for (const list of ["deaths", "excluded"] as const)
    for (const [index, item] of (trial[list] ?? []).entries()) ask([list, index, "treatment"], item?.treatment);
}
