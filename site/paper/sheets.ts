import { customer, ofEdition, staff } from "../edition.ts";
import { nameOf } from "../names.ts";
import { words } from "../words.ts";
import { systems } from "./growing-on.ts";

export type What = keyof typeof words.paper.kinds;

/** A sheet of paper that this edition prints: what it is, of which record, and the paper that it wants. */
export interface Sheet {
  readonly what: What;
  readonly id: string;
  readonly title: string;
  readonly paper: "a5" | "a4" | "landscape" | "stickers";
  /** The page that it stands for, if there is one. */
  readonly of?: string;
}

/** Every sheet of this edition, in the order of their kinds. */
export const sheets = ofEdition((): readonly Sheet[] => [
  ...(customer?.crops ?? []).flatMap((crop) =>
    systems
      .filter((system) => crop.prose.some(({ heading }) => words.growing[heading]?.id === system))
      .map((system) => ({
        what: "growing-on" as const,
        id: `${crop.id}-${system}`,
        title: words.paper.growing.name(crop.name, words.paper.growing.systems[system]!),
        paper: "a5" as const,
        of: `/crops/${crop.id}`,
      })),
  ),
  ...(staff ? forStaff(staff) : []),
]);

function forStaff(book: NonNullable<typeof staff>): readonly Sheet[] {
  return [
    ...book.crops.map(({ id, name }) => sheet("bench-card", id, name, "a5", `/crops/${id}`)),
    ...book.feeds.map(({ id, name }) => sheet("stock-mix", id, name, "a4", `/feeds/${id}`)),
    ...book.weeks.map(({ week }) => sheet("sowing-list", week, words.paper.sowing.title(week), "landscape", "/orders")),
    ...book.weeks
      .filter(({ days }) => book.picks.some(({ on }) => days.includes(on)))
      .map(({ week }) => sheet("pick-list", week, words.plan.pick.title(week), "landscape", `/weeks/${week}`)),
    ...book.gear
      .filter(({ planting }) => planting)
      .map(({ id, name }) => sheet("tower-map", id, name, "a4", `/gear/${id}`)),
    ...book.batches
      .filter(({ closed }) => closed === undefined)
      .map(({ id, code, crop }) => sheet("labels", id, `${code}, ${nameOf(crop)}`, "stickers", `/batches/${id}`)),
    ...book.weeks
      .filter(({ week }) => book.plan.sowings.some((one) => one.week === week))
      .map(({ week }) => sheet("labels", week, words.paper.labels.week(week), "stickers", "/orders")),
    ...book.trials.map(({ id, question }) => sheet("trial-report", id, question, "a4", `/trials/${id}`)),
    ...book.trials
      .filter(({ rows }) => rows.length > 0)
      .map(({ id, question }) => sheet("data-sheet", id, question, "a4", `/trials/${id}`)),
  ];
}

function sheet(what: What, id: string, title: string, paper: Sheet["paper"], of: string): Sheet {
  return { what, id, title, paper, of };
}
