import { asked, type Take } from "../../figures.ts";
import type { Library, PageOf } from "../../library.ts";
import { stageDays } from "../../plan/passage.ts";
import type { Yard } from "../../plan/yard.ts";
import { weakest } from "../../provenance.ts";
import { type StageName, stageNames } from "../../records/crop.ts";
import { addDays, dayNumber, type PlainDate, seasonMonth } from "../../science/calendar.ts";
import type { Span } from "../../science/units.ts";
import type { BookPlan } from "../planned.ts";
import { type Days, type Deed, type Doing, type DoingFacts, oneDay } from "./doing.ts";

/** The next thing of an open batch: count it, move it on, cut it, or cut it for the last time. */
export function ofBatch(library: Library, batch: PageOf<"batches">, yard: Yard, plan: BookPlan): readonly Doing[] {
  const { crop, closed, code, counted, sown, moves, cells } = batch.fields;
  const today = library.book.fields.edition;
  if (sown > today || (closed !== undefined && closed <= today)) return [];
  const page = library.crops.get(crop)!;
  const plants = lastPlants(moves) ?? counted?.up ?? cells;
  const doing = (what: Deed, days: (take: Take) => Days | undefined, facts: DoingFacts = {}): readonly Doing[] => {
    let due: Days | undefined;
    const { from } = asked(library, (take) => {
      due = days(take);
      return {};
    });
    if (!due) return [];
    const basis = from.length > 0 ? { basis: weakest(from.map(({ basis }) => basis)) } : {};
    const of = { shelf: "batches", id: batch.id } as const;
    return [{ ...due, what, crop, of, says: { code, plants, ...facts }, ...basis }];
  };
  const counting = doing("count", (take) => {
    const day = take(page, "seed.count");
    return counted || day === undefined ? undefined : oneDay(addDays(sown, day));
  });
  const cuts = Object.keys(batch.fields.cuts ?? {}).sort();
  if (cuts.length > 0) return [...counting, ...ofCuts(library, page, cuts, doing)];

  const next = nextStage(library, page, batch);
  const stageEnds = (take: Take) => {
    const days = daysIn(take, page, next.now, { since: next.since, yard });
    return days && after(next.since, days);
  };
  if (next.to === undefined) return [...counting, ...doing("first-cut", stageEnds)];
  const posted = plan.kept
    .filter(({ batch: id, of }) => id === batch.id && of === "plugs")
    .reduce((sum, { units }) => sum + units, 0);
  if (next.to === "tower" && posted >= plants) return counting;
  return [...counting, ...doing("move", stageEnds, { to: next.to })];
}

/** The next cut of a batch that has been cut, and the last day of its window. */
function ofCuts(
  { book }: Library,
  page: PageOf<"crops">,
  cuts: readonly PlainDate[],
  doing: (what: Deed, days: (take: Take) => Days | undefined) => readonly Doing[],
): readonly Doing[] {
  const past = cuts.filter((day) => day <= book.fields.edition);
  const [first, last] = [past[0], past.at(-1)];
  if (first === undefined || last === undefined) return [];
  const most = page.fields.cutting?.most;
  return [
    ...(most !== undefined && past.length >= most
      ? []
      : doing("next-cut", (take) => {
          const days = take(page, "cutting.regrowth");
          return days && after(last, days);
        })),
    ...doing("last-cut", (take) => {
      const days = take(page, "cutting.window");
      return days && oneDay(addDays(first, Math.floor(days.high)));
    }),
  ];
}

/** The stage that a batch is in, since when, and the next stage of its crop; none when it is cut where it stands. */
function nextStage({ book }: Library, { fields }: PageOf<"crops">, batch: PageOf<"batches">) {
  const passed = stageNames.filter((name) => {
    const move = batch.fields.moves?.[name];
    return move !== undefined && move.on <= book.fields.edition;
  });
  const now = passed.at(-1);
  const since = now === undefined ? batch.fields.sown : batch.fields.moves![now]!.on;
  const stages = stageNames.filter((name) => fields.stages[name] !== undefined);
  const here = now ?? "germination";
  const to = stages.find((name) => stageNames.indexOf(name) > stageNames.indexOf(here));
  return { now: here, since, to };
}

/**
 * How long a stage takes that begins on a day [days]: as the plan counts it at the longer end, and in the same proportion at
 * the shorter end of the record's range. Undefined when the record has no days for it.
 */
function daysIn(
  take: Take,
  crop: PageOf<"crops">,
  stage: StageName,
  { since, yard }: { since: PlainDate; yard: Yard },
): Span | undefined {
  const { days, summer, winter } = crop.fields.stages[stage] ?? {};
  const planned = yard.crops.get(crop.id)?.stages.find(({ name }) => name === stage);
  if (!planned) return undefined;
  const month = seasonMonth(Number(since.slice(5, 7)), yard.latitude);
  const inSummer = month >= 4 && month <= 9;
  const [own, other] = inSummer ? ([summer, winter] as const) : ([winter, summer] as const);
  const span = own
    ? take(crop, `stages.${stage}.${inSummer ? "summer" : "winter"}`)
    : days
      ? take(crop, `stages.${stage}.days`)
      : other && take(crop, `stages.${stage}.${inSummer ? "winter" : "summer"}`);
  if (!span) return undefined;
  const high = stageDays(planned, dayNumber(since), yard.latitude);
  const low = span.high === 0 ? 0 : (Math.ceil(span.low) * high) / Math.ceil(span.high);
  return { ...span, low: Math.min(high, Math.ceil(low - 1e-9)), high };
}

/** From the first whole day on which so many days are over to the last. */
function after(day: PlainDate, { low, high }: Span): Days {
  return { on: addDays(day, Math.ceil(low)), until: addDays(day, Math.ceil(high)) };
}

function lastPlants(moves: PageOf<"batches">["fields"]["moves"]): number | undefined {
  return stageNames.map((name) => moves?.[name]?.plants).findLast((plants) => plants !== undefined);
}
