import { date } from "../format.ts";
import { load } from "../node.ts";
import { addDays, isoWeek, mondayOf, type PlainDate, weekdayOf, weekFault } from "../science/calendar.ts";
import { loadSearch } from "../search.ts";
import { type Agenda, agendaOf, type Task } from "../supply/agenda.ts";
import { type Done, doneIn } from "../supply/done.ts";
import { bookPlan } from "../supply/planned.ts";
import { report } from "./check.ts";
import { type Command, Misuse } from "./command.ts";
import { block, wrapped } from "./layout.ts";
import { common, contentFolder, read } from "./options.ts";

export const week: Command = {
  name: "week",
  summary: "what one week asks, day by day: sow, count, move, cut, post, check",
  help: `tierbook week [WEEK] [--content DIR] [--json]

Tells what an ISO week asks, day by day: what to sow with lot, cells, trays and codes, what to
count, move on, cut, hand over and post, and which checks are due. Of a week that is over, and of
the days of this one that are, it tells what the records say was done.

  WEEK            the ISO week, 2027-W16 (the week of the edition)
  --content DIR   the folder of records (content)
  --json          one object: ids, ISO dates, the unit in each name

Exit 0 told, 1 problems in the records, 2 called wrongly or a week after the plan.

Example: tierbook week 2027-W16`,
  async run(args, world) {
    const { values, positionals } = read(args, common);
    const [written, ...more] = positionals;
    if (more.length > 0) throw new Misuse(`Unexpected ${more[0]}, expected one week`);
    const fault = written === undefined ? undefined : weekFault(written);
    if (fault) throw new Misuse(`Unexpected ${written}, expected an ISO week such as 2027-W16: ${fault}`);
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const asked = written ?? isoWeek(library.book.fields.edition);
    const agenda = agendaOf(library, bookPlan(library, await loadSearch()));
    if (asked > isoWeek(agenda.until))
      throw new Misuse(
        `${asked} is after the plan, which looks from ${date(agenda.from)} to ${date(agenda.until)}, ${isoWeek(agenda.from)} to ${isoWeek(agenda.until)}`,
      );
    const found = weekOf(agenda, asked, (from, to) => doneIn(library, from, to));
    world.out(values.json ? JSON.stringify(data(found, agenda)) : text(found, agenda));
    return 0;
  },
};

interface Week {
  readonly week: string;
  readonly days: readonly { readonly on: PlainDate; readonly tasks: readonly Task[] }[];
  /** Due before the first day of the plan and not recorded as done; only in the week of that day. */
  readonly overdue: readonly Task[];
  /** What was done on its days before the first of the plan. */
  readonly done: readonly Done[];
}

/** Each task on the first of its days in the week; in the first week of all none of it on a day that is over. */
function weekOf(
  { from, tasks }: Agenda,
  asked: string,
  done: (from: PlainDate, to: PlainDate) => readonly Done[],
): Week {
  const monday = mondayOf(asked);
  const yesterday = addDays(from, -1);
  const first = monday < from ? from : monday;
  const sunday = addDays(monday, 6);
  return {
    week: asked,
    done: monday > yesterday ? [] : done(monday, [sunday, yesterday].sort()[0]!),
    overdue: isoWeek(from) === asked ? tasks.filter(({ until }) => until < from) : [],
    days: Array.from({ length: 7 }, (_, day) => addDays(monday, day)).map((on) => ({
      on,
      tasks: tasks.filter(
        (task) => task.until >= first && task.on <= sunday && (task.on === on || (on === first && task.on < first)),
      ),
    })),
  };
}

function data({ week, days, overdue, done }: Week, { until, doingsUntil }: Agenda) {
  return {
    week,
    from: days[0]!.on,
    to: days[6]!.on,
    planTo: until,
    doingsTo: doingsUntil,
    overdue: overdue.map(taskData),
    done: done.map(({ on, what, of, title, facts }) => ({ on, what, record: `${of.shelf}/${of.id}`, title, facts })),
    days: days.map(({ on, tasks }) => ({ on, weekday: weekdayOf(on), tasks: tasks.map(taskData) })),
  };
}

function taskData({ key, what, of, crop, on, until, title, facts, says, basis }: Task) {
  return {
    key,
    what,
    record: `${of.shelf}/${of.id}`,
    crop: crop ?? null,
    from: on,
    to: until,
    lot: says.lot ?? null,
    cells: says.cells ?? null,
    trays: says.trays ?? null,
    codes: says.codes ?? (says.code === undefined ? [] : [says.code]),
    plants: says.plants ?? null,
    units: says.units ?? null,
    unitsOf: says.counts ?? null,
    moveTo: says.to ?? null,
    neededFrom: says.need ?? null,
    metBy: says.by ?? [],
    title,
    facts,
    basis: basis ?? null,
  };
}

function text({ week, days, overdue, done }: Week, { from, doingsUntil }: Agenda): string {
  const last = days[6]!.on;
  const past = days.flatMap(({ on }) =>
    block(
      date(on),
      done
        .filter((one) => one.on === on)
        .map(({ title, facts }) => wrapped([title, ...facts].join("; "), "      ", "  "))
        .join("\n"),
    ),
  );
  if (last < from)
    return [
      `Week ${week}: ${date(days[0]!.on)} to ${date(last)}. It is over; this is what the records say was done`,
      ...(past.length === 0 ? ["No record tells of anything done."] : past),
    ].join("\n\n");
  const told = [
    ...(past.length > 0 ? ["Done already", ...past, "To do"] : []),
    ...block("Overdue", overdue.map((task) => `  ${date(task.until)}\n${taskText(task, task.until)}`).join("\n")),
    ...days.flatMap(({ on, tasks }) => block(date(on), tasks.map((task) => taskText(task, on)).join("\n"))),
  ];
  return [
    `Week ${week}: ${date(days[0]!.on)} to ${date(last)}`,
    ...(told.length === 0 ? ["Nothing is to be done that any record tells of."] : told),
    ...(last > doingsUntil
      ? [
          wrapped(
            `After ${date(doingsUntil)} only sowings and what becomes of them are told: batches in hand, deliveries and checks are looked at no further.`,
          ),
        ]
      : []),
  ].join("\n\n");
}

/** A task as it stands under a day, or among those that are overdue. */
function taskText({ on, until, title, facts, basis }: Task, under: PlainDate): string {
  const began = on < under ? [`from ${date(on)}`] : [];
  const ends = until > under ? [`to ${date(until)}`] : [];
  const due = until < under || (under === on && until === on) ? [] : [...began, ...ends];
  const sure = basis === undefined ? [] : [basis.replaceAll("-", " ")];
  const said = [[title, ...due].join(", "), ...facts, ...sure].join("; ").replaceAll(".; ", ". ");
  return wrapped(said, "      ", "  ");
}
