import { date, list, number } from "../format.ts";
import type { Library, PageOf } from "../library.ts";
import { load } from "../node.ts";
import { type Amount, readAmount } from "../plan/demands.ts";
import type { Plan, Shortfall } from "../plan/plan.ts";
import { type Reply, reply, wordFor } from "../plan/promise.ts";
import { counted, type Names, toldDays, toldKept, toldMoved, toldShortfall, toldSowing } from "../plan/told.ts";
import type { Promised } from "../plan/yard.ts";
import { type Basis, weakest } from "../provenance.ts";
import { nearest } from "../records/nearest.ts";
import { daysBetween, isoWeek, type Weekday, weekdays } from "../science/calendar.ts";
import { loadSearch } from "../search.ts";
import { askAmount, askCrop, askKind, type Heard } from "../supply/asking.ts";
import { weeksAhead, yardOf } from "../supply/plan.ts";
import { namesOf } from "../supply/planned.ts";
import { report } from "./check.ts";
import { type Command, Misuse } from "./command.ts";
import { block, columns, wrapped } from "./layout.ts";
import { common, contentFolder, dayGiven, read } from "./options.ts";
import { keptData, shortfallData, sowingData, tightest } from "./plan-data.ts";

export const can: Command = {
  name: "can",
  summary: "whether the yard can promise one more order beside those recorded, and if not what it can",
  help: `tierbook can AMOUNT CROP --from DATE [--to DATE] [--days Tue,Fri]
             [--kind cut|bunch|pot|plug] [--content DIR] [--json]

Puts an order beside those recorded, all of which keep what they have, and answers yes, with when
to sow and how much; or no, with what is too late or full, the most that could be had on that day,
and the earliest day for all of it.

  AMOUNT          2400g/week, "40 bunches/week", "120 plugs", "1.5 kg"
  CROP            an id, a name, or what people call it
  --from DATE     the day of delivery, or the first of a standing order
  --to DATE       the last day of a standing order (none)
  --days DAYS     the days of the week on which it is delivered (once a week from the first day)
  --kind KIND     cut, bunch, pot or plug (told by the unit)
  --content DIR   the folder of records (content)
  --json          one object: ids, ISO dates, the unit in each name

Exit 0 yes, 1 no or problems in the records, 2 called wrongly.

Example: tierbook can 2400g/week basil --from 2027-06-08 --days Tue,Fri`,
  async run(args, world) {
    const { values, positionals } = read(args, {
      ...common,
      from: { type: "string" },
      to: { type: "string" },
      days: { type: "string" },
      kind: { type: "string" },
    });
    const [written, name] = amountAndCrop(positionals);
    const amount = heard(askAmount(written));
    if (values.from === undefined) throw new Misuse("Say from which day, such as --from 2027-06-08");
    const from = dayGiven("from", values.from);
    const to = values.to === undefined ? undefined : dayGiven("to", values.to);
    const days = values.days === undefined ? undefined : daysGiven(values.days);
    const kind = heard(askKind(amount, values.kind));
    if (!amount.weekly && to) throw new Misuse(`--to goes with an amount a week, not with ${amount.written}`);
    if (!amount.weekly && days) throw new Misuse(`--days goes with an amount a week, not with ${amount.written}`);
    if (to !== undefined && to < from) throw new Misuse(`Unexpected --to ${to}, expected a day from ${from} on`);
    const { library, files } = await load(await contentFolder(values.content, world));
    if (!library) {
      world.err(report(files));
      return 1;
    }
    const crop = heard(askCrop(library, name));
    const today = library.book.fields.edition;
    if (from < today)
      throw new Misuse(`Unexpected --from ${from}, expected a day from ${today} on, which is the day of the records`);
    const ahead = Math.ceil((daysBetween(today, from) + 1) / 7);
    if (ahead > 104) throw new Misuse(`Unexpected --from ${from}, expected at most two years after ${today}`);
    const { yard, leans } = yardOf(library, { weeks: Math.max(weeksAhead, ahead + weeksSeen) });
    const order: Promised = { id: asked, kind, crop: crop.id, written: amount.written, from, to, days, lot: undefined };
    const found = reply(yard, order, await loadSearch());
    if (found.verdict === "nothing")
      throw new Misuse(`Nothing is delivered from ${from}${to ? ` to ${to}` : ""}${days ? ` on ${list(days)}` : ""}`);
    const behind = leans.get(crop.id) ?? [];
    const basis = behind.length === 0 ? "memory" : weakest(behind.map((lean) => lean.basis));
    const given = { library, crop, order, amount, basis };
    world.out(values.json ? JSON.stringify(data(found, given)) : text(found, given));
    return found.verdict === "no" ? 1 : 0;
  },
};

/** The order's own name while it is none of the records; a record's may not have these signs. */
const asked = "(asked)";

/** An order is looked at for so many weeks from its first day at least. */
const weeksSeen = 13;

interface Given {
  readonly library: Library;
  readonly crop: PageOf<"crops">;
  readonly order: Promised;
  readonly amount: Amount & { readonly written: string };
  readonly basis: Basis;
}

type Answer = Exclude<Reply, { readonly verdict: "nothing" }>;

function heard<Value>(said: Heard<Value>): Value {
  if ("fault" in said) throw new Misuse(said.fault);
  return said.value;
}

/** Words that were typed without quotes: the number with all words of an amount that follow it, and the rest is the crop. */
function amountAndCrop(words: readonly string[]): readonly [string, string] {
  if (words.length < 2)
    throw new Misuse("Say how much of what, such as `tierbook can 2400g/week basil --from 2027-06-08`");
  let end = 1;
  while (end < words.length - 1 && ofAmounts.test(words[end]!)) end++;
  return [words.slice(0, end).join(" "), words.slice(end).join(" ")];
}

const ofAmounts =
  /^(?:\/|(?:\d[\d.,]*)?(?:g|kg|bunch(?:es)?|pots?|plugs?|plants?|heads?|flowers?|fruits?)?\/?(?:a|per|each|every)?\/?(?:day|daily|week|weekly|month|monthly)?)$/i;

function daysGiven(written: string): readonly Weekday[] {
  const found = written
    .split(/[, ]+/)
    .filter((part) => part !== "")
    .map((part) => {
      const day = weekdays.find((one) => one.toLowerCase() === part.slice(0, 3).toLowerCase());
      const whole = day && (part.length === 3 || fullNames[day].startsWith(part.toLowerCase()));
      if (day && whole) return day;
      const near = nearest(part, weekdays);
      throw new Misuse(`Unexpected day ${part}, expected days such as Tue,Fri${near ? `; did you mean ${near}?` : ""}`);
    });
  if (found.length === 0) throw new Misuse("Unexpected --days without a day, expected days such as Tue,Fri");
  return weekdays.filter((day) => found.includes(day));
}

const fullNames: Readonly<Record<Weekday, string>> = {
  Mon: "monday",
  Tue: "tuesday",
  Wed: "wednesday",
  Thu: "thursday",
  Fri: "friday",
  Sat: "saturday",
  Sun: "sunday",
};

function namesWith({ library, crop, order }: Given): Names {
  const names = namesOf(library);
  return {
    ...names,
    order: (id) => (id === order.id ? `this order, ${crop.fields.name}, ${order.written}` : names.order(id)),
  };
}

/** The first day on which something is cut, posted or handed over for the order. */
function firstDay({ part }: Answer): string | undefined {
  return [...part.kept.map(({ from }) => from), ...part.sowings.map(({ need }) => need)].sort()[0];
}

function freeWith(answer: Answer, { order }: Given) {
  return tightest({ ...answer.before, places: answer.part.places }, isoWeek(order.from));
}

function data(answer: Answer, given: Given) {
  const { order, amount, basis } = given;
  const names = namesWith(given);
  const isNo = answer.verdict === "no";
  return {
    asked: {
      amount: amount.number,
      unit: wordFor[amount.unit],
      weekly: amount.weekly,
      crop: order.crop,
      kind: order.kind,
      from: order.from,
      to: order.to ?? null,
      days: order.days ?? [],
    },
    lookedFrom: answer.before.today,
    lookedTo: answer.before.until,
    verdict: answer.verdict,
    basis,
    allergens: given.crop.fields.allergens ?? [],
    firstOn: isNo ? null : (firstDay(answer) ?? null),
    sowings: isNo ? [] : answer.part.sowings.map((one) => ({ ...sowingData(one), order: null })),
    fromBatches: isNo ? [] : answer.part.kept.map((one) => ({ ...keptData(one), order: null })),
    leastFree: isNo ? [] : freeWith(answer, given),
    moves:
      answer.verdict === "if" ? answer.moved.map((one) => ({ ...one, was: one.was ?? null, is: one.is ?? null })) : [],
    mayDisturb: answer.verdict === "yes" ? answer.watch : [],
    cannotBe: isNo
      ? answer.part.shortfalls.map((one) => ({ ...shortfallData(one, toldShortfall(one, names)), order: null }))
      : [],
    mostOnThatDay: isNo ? { amount: answer.most, unit: wordFor[amount.unit], weekly: amount.weekly } : null,
    earliestForAll: isNo ? (answer.earliest ?? null) : null,
    triedTo: isNo ? answer.tried : null,
  };
}

function text(answer: Answer, given: Given): string {
  const { crop, order, basis } = given;
  const names = namesWith(given);
  const days = order.days === undefined ? "" : `, on ${list(order.days)}`;
  const from = readAmount(order.written)?.weekly ? `from ${date(order.from)}` : `on ${date(order.from)}`;
  const what = `${order.written} of ${crop.fields.name} ${from}${order.to ? ` to ${date(order.to)}` : ""}${days}`;
  const sure = `Basis of the days and yields of ${crop.fields.name}: ${basis.replaceAll("-", " ")}. Looked at to ${date(answer.before.until)}.`;
  return [
    ...(answer.verdict === "no" ? noText(answer, what, given, names) : yesText(answer, what, given, names)),
    wrapped(sure),
  ].join("\n\n");
}

function yesText(answer: Exclude<Answer, { readonly verdict: "no" }>, what: string, given: Given, names: Names) {
  const { sowings, kept } = answer.part;
  const first = firstDay(answer);
  const items = (lines: readonly string[]) => lines.map((line) => wrapped(line, "    ", "  ")).join("\n");
  const head =
    answer.verdict === "yes"
      ? `Yes: ${what}, beside all orders recorded, which keep what they have.`
      : `Yes, if sowings of other orders are moved: ${what}. No other order is short of anything for it.`;
  return [
    wrapped(head),
    ...allergensOf(given),
    ...block("Sow", items(sowings.map((one) => toldSowing(one, names)))),
    ...block("From batches in hand", items(kept.map((one) => toldKept(one, names)))),
    ...(first === undefined
      ? []
      : [`${deeds[given.order.kind]} ${given.amount.weekly ? "first on" : "on"} ${date(first)}.`]),
    ...(answer.verdict === "if" ? block("Move", items(answer.moved.map((one) => toldMoved(one, names)))) : []),
    ...(answer.verdict === "yes" && answer.watch.length > 0
      ? [
          wrapped(
            `Take care: weighed afresh with it, ${list(answer.watch.map((id) => names.order(id)))} would get less. Before it is recorded, write in each batch in hand whose \`order\` it is.`,
          ),
        ]
      : []),
    `Left free from then on, at the least\n${columns(
      freeWith(answer, given).map(({ place, counts, free, week }) => [
        names.place(place).replace(/^the /, ""),
        `${number(Math.floor(free + 1e-9), 6)} ${counts}`,
        `in ${week}`,
      ]),
    )}`,
  ];
}

function allergensOf({ crop }: Given): readonly string[] {
  const { allergens = [] } = crop.fields;
  if (allergens.length === 0) return [];
  return [
    wrapped(
      `Allergen: ${list(allergens)}. Say so in writing when it is promised; which must be declared is for local food law.`,
    ),
  ];
}

const deeds: Readonly<Record<Promised["kind"], string>> = {
  cut: "Cut",
  bunch: "Cut",
  pot: "Handed over",
  plug: "Posted",
  trial: "Handed over",
};

function noText(answer: Extract<Answer, { readonly verdict: "no" }>, what: string, given: Given, names: Names) {
  const { amount } = given;
  const unit = `${wordFor[amount.unit]}${amount.weekly ? "/week" : ""}`;
  const on = amount.weekly ? "from" : "on";
  const open = answer.part.shortfalls.some(({ reason }) => "why" in reason && nearer.has(reason.why));
  return [
    wrapped(`No: ${what} cannot be had beside the orders recorded.`),
    answer.part.shortfalls.map((one) => shortText(one, answer.before, names)).join("\n"),
    ...(open
      ? [
          wrapped(
            answer.most > 0
              ? `The most that can be promised ${on} that day: ${number(answer.most, 12)} ${unit}.`
              : `Nothing of it can be promised ${on} that day.`,
          ),
          wrapped(
            answer.earliest === undefined
              ? `All of it: on no day up to ${date(answer.tried)}.`
              : `All of it can be promised ${on} ${date(answer.earliest)}.`,
          ),
        ]
      : []),
  ];
}

const nearer: ReadonlySet<string> = new Set(["late", "no-room", "no-day"]);

function shortText(short: Shortfall, { until }: Plan, names: Names): string {
  const { why, instead } = toldShortfall(short, names);
  const much = short.units === undefined || short.of === undefined ? "" : `${counted(short.units, short.of)}, `;
  const when =
    short.until === undefined ? `from ${date(short.from)}` : toldDays({ need: short.from, until: short.until });
  const to = short.until !== undefined && short.until > until ? " and on" : "";
  return wrapped(`${much}${when}${to}: ${why} ${instead ?? ""}`, "    ", "  ");
}
