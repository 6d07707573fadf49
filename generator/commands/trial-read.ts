import { type Proposal, readTrial, type TreatmentReading, type TrialReading } from "../evidence.ts";
import { fixed, list, number } from "../format.ts";
import { load } from "../node.ts";
import { nearest } from "../records/nearest.ts";
import { report } from "./check.ts";
import { Misuse } from "./command.ts";
import { common, contentFolder, read } from "./options.ts";
import type { TrialDeed } from "./trial.ts";

/** Reads a trial: what each treatment showed, how they compare, and how far the result goes. */
export const trialRead: TrialDeed = {
  help: `tierbook trial read ID [--content DIR] [--json]

Reads a trial: what each treatment showed, losses first, how far they lie apart, and whether the record of the crop may
change for it.

  --content DIR   the folder of records (content)
  --json          the reading as one object

Exit 0 read, 1 the checker stops it, 3 it cannot answer its question, 2 called wrongly.

Example: tierbook trial read viola-plates`,
  async run(args, world) {
    const { values, positionals } = read(args, common);
    const [id, ...rest] = positionals;
    if (id === undefined) throw new Misuse("Say which trial, such as `tierbook trial read viola-plates`");
    if (rest.length > 0) throw new Misuse(`Unexpected ${rest[0]} behind ${id}`);
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    if (!library.trials.has(id)) {
      const near = nearest(id, library.trials.keys());
      throw new Misuse(
        `There is no trial ${id}${near ? `; did you mean ${near}?` : `: there are ${list([...library.trials.keys()]) || "none"}`}`,
      );
    }
    const reading = readTrial(library, id);
    world.out(
      values.json
        ? JSON.stringify(reading, (_, value) => value ?? null)
        : readingText(reading, library.trials.get(id)!.fields.question),
    );
    return reading.refusal ? 3 : 0;
  },
};

/** A reading on the screen: the question, every treatment with every value, what it comes to, and what may follow. */
function readingText(reading: TrialReading, question: string): string {
  const { groups, lines, words, standing, because, refusal, proposal } = reading;
  const why = refusal ? because.filter((reason) => reason !== refusal.why) : because;
  return [
    question,
    "",
    ...groups.flatMap(groupText),
    "",
    ...lines,
    "",
    ...(refusal ? [`Refused: ${refusal.why}`, refusal.offer, ""] : []),
    `${words}. ${standings[standing]}`,
    ...why.map((reason) => `  ${reason}`),
    ...(proposal ? ["", proposalText(proposal, standing)] : []),
  ].join("\n");
}

const standings = {
  change: "The record of the crop may change.",
  provisional: "Provisional: it stands beside the record as a trial figure, and changes nothing in it.",
  note: "A note: it stands on the trial's own page, and goes no further.",
} as const;

function groupText(group: TreatmentReading): readonly string[] {
  const { treatment, control, started, measured, died, excluded, values } = group;
  const counts = `${started} started, ${died} died, ${excluded.length > 0 ? `${excluded.length} left out, ` : ""}${measured} measured`;
  const { median, lowest, highest, mean } = group;
  const places = Math.max(
    0,
    ...Object.values(values)
      .flat()
      .map((value) => (String(value).split(".")[1] ?? "").length),
  );
  const middle =
    median === undefined
      ? []
      : [
          `median ${number(median)}`,
          `${fixed(lowest!, places)} to ${fixed(highest!, places)}`,
          ...(mean === undefined ? [] : [`mean ${number(mean, 3)}`]),
        ];
  return [
    `${treatment}${control ? " (done now)" : ""}: ${[counts, ...middle].join("; ")}`,
    ...Object.entries(values).map(
      ([block, all]) =>
        `  ${block}: ${all.map((value) => (value === "died" ? value : fixed(value, places))).join(", ")}`,
    ),
  ];
}

function proposalText(
  { crop, path, was, now, treatment, n, low, high, mean, from }: Proposal,
  standing: TrialReading["standing"],
): string {
  const of = `${n.plants} plants of ${treatment} in ${n.blocks} blocks, ${list(from)}: ${number(low)} to ${number(high)}, mean ${number(mean, 3)}`;
  return standing === "change"
    ? `It would change ${path} of crops/${crop} from ${was ?? "nothing"} to ${now} (${of}).`
    : `Beside ${path} of crops/${crop}, which is ${was ?? "not recorded"}, it would stand as ${now} (${of}).`;
}
