import { describeKind } from "../records/describe.ts";
import type { Readable } from "../records/fields.ts";
import type { GearOf } from "../records/gear.ts";
import type { Reading } from "../records/index.ts";
import { ticked } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { faceNames, towerNames } from "../records/tower-names.ts";
import type { Trial } from "../records/trial.ts";
import type { Drafts } from "./drafts.ts";

/** Asks that a trial speaks of a figure of its crop, repeats runs of the same question, and stands in ports that are there. */
export function checkTrials(drafts: Drafts): void {
  for (const trial of drafts.records.trials.values()) {
    sayFigure(trial);
    sayRepeats(trial, drafts);
    sayPorts(trial, drafts);
    sayWaiting(trial, drafts);
  }
}

type Draft = Reading<Trial>;

function sayFigure({ fields: { figure }, say }: Draft): void {
  if (figure === undefined) return;
  const known = measurable();
  if (known.includes(figure)) return;
  const near = nearest(figure, known);
  say(["figure"], {
    rule: "trial-figure",
    written: figure,
    expected: "a figure of a crop's record, such as `cutting.pieces`",
    note: near
      ? `Did you mean \`${near}\`?`
      : "It is a path, with points between the names. Leave the line out when the measure is of no figure that the record holds.",
  });
}

/** The fields of a crop that a measurement can fill: one figure, or both ends of one. */
function measurable(): readonly string[] {
  return describeKind("crops")
    .filter(({ figure, form }) => figure && form !== "months")
    .map(({ path }) => path);
}

function sayRepeats({ id, fields, say }: Draft, { records }: Drafts): void {
  for (const [index, name] of (fields.repeats ?? []).entries()) {
    if (name === undefined) continue;
    const complain = (expected: string, note: string) =>
      say(["repeats", index], { rule: "trial-repeats", written: name, expected, note });
    const earlier = records.trials.get(name)?.fields;
    if (name === id) complain("an earlier run", "A run does not repeat itself.");
    else if (earlier?.crop && fields.crop && earlier.crop !== fields.crop)
      complain(`a trial of \`${fields.crop}\``, `\`trials/${name}.md\` is of \`${earlier.crop}\`: another question.`);
    else if (earlier?.started && fields.started && earlier.started >= fields.started)
      complain(
        `a run that started before ${fields.started}`,
        `\`trials/${name}.md\` started on ${earlier.started}. Two runs count as two only when each was sown on its own date; the later names the earlier.`,
      );
  }
}

/** After the day on which a trial stops, what is still blank was forgotten. */
function sayWaiting({ fields: { waiting, stop, data }, say }: Draft, { book }: Drafts): void {
  const today = book?.fields.edition;
  if (waiting === undefined || stop === undefined || today === undefined || stop >= today) return;
  say([data === undefined ? "waiting" : "data"], {
    rule: "trial-waiting",
    written: `${waiting} not measured`,
    expected: "a figure, `died` or `excluded` for each plant",
    note: `The trial stopped on ${stop}. Until every row says something it is not read.`,
  });
}

/** Asks of every tower and port that is named whether it is there. A block that is no tower of the yard is left alone. */
function sayPorts({ fields, say }: Draft, { records }: Drafts): void {
  const towers = new Map(
    [...records.gear.values()].flatMap(({ id, fields }) => {
      if (fields.kind !== "tower") return [];
      const tower = fields as Readable<GearOf<"tower">>;
      return towerNames(id, tower).map((name) => [name, { ...tower, id }] as const);
    }),
  );
  const sayTower = (path: readonly string[], name: string) => {
    if (towers.has(name) || !/^tower-\d+$/.test(name)) return;
    const near = nearest(name, towers.keys());
    say(path, {
      rule: "trial-port",
      written: name,
      expected: "a tower of the yard",
      note: near ? `Did you mean \`${near}\`?` : "No record of `gear/` speaks of it.",
      on: "key",
    });
  };
  for (const [block, ports] of Object.entries(fields.places ?? {})) {
    const tower = towers.get(block);
    if (towers.size > 0) sayTower(["places", block], block);
    for (const port of Object.keys(ports ?? {})) {
      if (fields.through === "feed" && towers.size > 0) sayTower(["places", block, port], port);
      if (!tower || fields.through === "feed") continue;
      const { tiers = 30, faces = 4 } = tower;
      const [, tier, face] = /^([1-9]\d?)([NESW])$/.exec(port) ?? [];
      if (face && Number(tier) <= tiers && (faceNames(faces) as readonly string[]).includes(face)) continue;
      say(["places", block, port], {
        rule: "trial-port",
        written: port,
        expected: `a port of ${block}, a tier of 1 to ${tiers} and a face of ${ticked(faceNames(faces))}`,
        note: `So \`gear/${tower.id}.md\` has it. Tier 1 is the lowest.`,
        on: "key",
      });
    }
  }
}
