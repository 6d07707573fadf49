import { date, number, quantity, shortDate } from "../format.ts";
import type { Library } from "../library.ts";
import { load } from "../node.ts";
import { freeByWeek } from "../plan/plan.ts";
import { counted, roomUnit, toldDays, toldSeeding } from "../plan/told.ts";
import { daysBetween, mondayOf, type PlainDate } from "../science/calendar.ts";
import { loadSearch } from "../search.ts";
import { weeksAhead } from "../supply/plan.ts";
import { type BookPlan, bookPlan, namesOf } from "../supply/planned.ts";
import { report } from "./check.ts";
import { type Command, Misuse } from "./command.ts";
import { block, columns, wrapped } from "./layout.ts";
import { common, contentFolder, dayGiven, read } from "./options.ts";
import { holderData, keptData, roomData, shortfallData, sowingData } from "./plan-data.ts";

export const planning: Command = {
  name: "plan",
  summary: "what to sow when, what is kept from batches in hand, what room is left, what cannot be",
  help: `tierbook plan [--from DATE] [--to DATE] [--content DIR] [--json]

Plans all orders together: sowings week by week, plants kept from batches in hand, the room that
is left in each week, what stands already and is too much, and what cannot be, with the nearest
that can.

  --from DATE     the day that counts as today (the edition's)
  --to DATE       the last day that is looked at (26 weeks on)
  --content DIR   the folder of records (content)
  --json          one object: ids, ISO dates, the unit in each name

Exit 0 planned, 1 problems in the records, 2 called wrongly.

Example: tierbook plan --from 2027-04-12 --to 2027-08-01`,
  async run(args, world) {
    const { values, positionals } = read(args, { ...common, from: { type: "string" }, to: { type: "string" } });
    if (positionals.length > 0) throw new Misuse(`Unexpected ${positionals[0]}, expected options alone`);
    const from = values.from === undefined ? undefined : dayGiven("from", values.from);
    const to = values.to === undefined ? undefined : dayGiven("to", values.to);
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const today = from ?? library.book.fields.edition;
    const plan = bookPlan(library, await loadSearch(), { today, weeks: weeksTo(today, to) });
    world.out(values.json ? JSON.stringify(data(library, plan)) : text(library, plan));
    return 0;
  },
};

/** Weeks from a day to the last that is looked at. @throws Misuse when there is none, or more than two years. */
function weeksTo(today: PlainDate, to: PlainDate | undefined): number {
  if (to === undefined) return weeksAhead;
  const days = daysBetween(today, to) + 1;
  if (days < 1) throw new Misuse(`Unexpected --to ${to}, expected a day from ${today} on`);
  if (days > 7 * 104) throw new Misuse(`Unexpected --to ${to}, expected at most two years after ${today}`);
  return days / 7;
}

function data(library: Library, plan: BookPlan) {
  return {
    edition: library.book.fields.edition,
    demo: library.book.fields.demo ?? false,
    from: plan.today,
    to: plan.until,
    method: plan.method,
    methodSaid: plan.said.method,
    sowings: plan.sowings.map((one) => ({ ...sowingData(one), codes: one.codes, basis: one.basis })),
    kept: plan.kept.map(keptData),
    roomByWeek: roomData(plan),
    clashes: plan.clashes.map(({ place, on, by, most, holders, why, instead }) => ({
      place,
      counts: roomUnit(place),
      on,
      tooMany: by,
      tooManyAtMost: most,
      heldBy: holders.map(holderData),
      why,
      instead: instead ?? null,
    })),
    cannotBe: plan.shortfalls.map((one) => shortfallData(one, one)),
  };
}

function text(library: Library, plan: BookPlan): string {
  const names = namesOf(library);
  const { name, edition, demo = false } = library.book.fields;
  const weeks = [...new Set(plan.sowings.map(({ week }) => week))];
  return [
    [
      wrapped(`Plan of ${name}${demo ? " (a demo: an invented yard)" : ""}`),
      `${plan.said.span}; records of ${date(edition)}`,
      wrapped(plan.said.method),
    ].join("\n"),
    ...(weeks.length === 0 ? ["Nothing to sow."] : []),
    ...weeks.map(
      (week) =>
        `Sow in ${week}\n${plan.sowings
          .filter((one) => one.week === week)
          .flatMap((one) => [
            wrapped(
              `${date(one.sown)}: ${names.crop(one.crop)}, ${toldSeeding(one)}${one.guessed ? " (the newest; the order names none)" : ""}`,
              "    ",
              "  ",
            ),
            wrapped(
              `for ${one.said}, ${toldDays(one)}; ready ${shortDate(one.ready)}${one.line === undefined ? "" : `, ${names.place(one.line)}`}${one.late > 0 ? `, ${quantity(one.late, "days")} late` : ""}; ${one.basis.replaceAll("-", " ")}`,
              "    ",
            ),
          ])
          .join("\n")}`,
    ),
    ...block(
      "Kept from batches in hand",
      plan.kept
        .map(({ batch, order, of, units, from, until }) =>
          wrapped(
            `${names.batch(batch)}: ${counted(units, of)} for ${names.order(order)}, ${toldDays({ need: from, until })}`,
            "    ",
            "  ",
          ),
        )
        .join("\n"),
    ),
    `Room left, the least of each week\n${roomText(plan)}`,
    ...block(
      "Too much already",
      plan.clashes.map(({ why, instead }) => wrapped(`${why} ${instead ?? ""}`, "    ", "  ")).join("\n"),
    ),
    ...block(
      "Cannot be",
      plan.shortfalls
        .map(({ order, units, of, from, until, why, instead }) => {
          const much = units === undefined || of === undefined ? "" : `, ${counted(units, of)}`;
          const when = until === undefined ? `from ${date(from)}` : toldDays({ need: from, until });
          return wrapped(`${names.order(order)}${much}, ${when}: ${why} ${instead ?? ""}`, "    ", "  ");
        })
        .join("\n"),
    ),
  ].join("\n\n");
}

/** A line a week, with the Monday that it begins on or the day from which it is looked at. */
function roomText(plan: BookPlan): string {
  const free = plan.places.map(({ place }) => freeByWeek(plan, place));
  const weeks = [...(free[0]?.keys() ?? [])];
  const rows = weeks.map((week, index) => [
    week,
    date(index === 0 ? plan.today : mondayOf(week)),
    ...free.map((one) => amount(one.get(week))),
  ]);
  const heads = plan.places.map(({ place, name }) => `${name.replace(/^the /, "")} (${roomUnit(place)})`);
  const rooms = plan.places.map(({ room }) => (room === undefined ? "not recorded" : `of ${number(room, 6)}`));
  return columns(
    [["week", "from", ...heads], ["", "", ...rooms], ...rows],
    plan.places.map((_, index) => index + 2),
  );
}

function amount(free: number | undefined): string {
  return free === undefined ? "—" : number(Math.floor(free + 1e-9), 6);
}
