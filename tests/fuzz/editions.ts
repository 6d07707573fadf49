import fc from "fast-check";
import { exportCalendar } from "../../generator/calendar.ts";
import { customerEdition, staffEdition } from "../../generator/editions.ts";
import { exportCrops, exportPlan } from "../../generator/exports.ts";
import { agendaOf } from "../../generator/supply/agenda.ts";
import { bookPlan } from "../../generator/supply/planned.ts";
import { checked, small } from "./book.ts";
import { expectPlainWords, expectTold, hold } from "./promises.ts";
import { type Target, target } from "./target.ts";
import { type Change, changed, pieces } from "./text.ts";

/** Changes that leave most records sound: another figure, another day, another word. */
const mild: fc.Arbitrary<readonly Change[]> = fc.array(
  fc.tuple(
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.constantFrom("figure", "figure", "figure", "value", "line out", "put"),
    fc.oneof(
      { weight: 4, arbitrary: fc.integer({ min: 0, max: 1000 }).map(String) },
      {
        weight: 4,
        arbitrary: fc.constantFrom(
          "0",
          "0.001",
          "1",
          "2",
          "7",
          "100",
          "1600",
          "2026",
          "2028",
          "9999",
          "1000000",
          "2027-03-20",
          "2027-03-21",
          "2028-02-29",
          "9999-12-31",
          "1600-01-01",
        ),
      },
      { weight: 1, arbitrary: fc.constantFrom(...pieces) },
    ),
    fc.double({ min: 0, max: 1, noNaN: true }),
  ),
  { minLength: 1, maxLength: 3 },
);

/** Asks that a value has figures alone where it has numbers, and nothing of the program's inside in its texts. */
function expectShown(value: unknown, written: string): void {
  if (typeof value === "number") hold(Number.isFinite(value), `${value} in an edition`);
  else if (typeof value === "string") expectPlainWords(value, written);
  else if (typeof value === "object" && value !== null)
    for (const inner of Object.values(value)) expectShown(inner, written);
}

/** All that a sound book is made into, short of the pages. */
export const editionTargets: readonly Target[] = [
  target({
    name: "a book with figures changed",
    share: 3,
    cases: fc.array(fc.tuple(fc.nat(small.length - 1), mild), { minLength: 1, maxLength: 3 }),
    hold(all) {
      const files = small.map((file, index) => ({
        ...file,
        text: all.filter(([at]) => at === index).reduce((text, [, some]) => changed(text, some), file.text),
      }));
      const written = files.map(({ text }) => text).join("\n");
      const { library, files: told } = checked(files);
      expectTold(told, written);
      if (!library) return;
      expectShown(customerEdition(library), written);
      const staff = staffEdition(library);
      expectShown(staff, written);
      const plan = bookPlan(library);
      const texts = [
        ...exportCrops(staff),
        ...exportPlan(plan),
        exportCalendar(library.book.fields, agendaOf(library, plan).tasks),
      ];
      for (const { text } of texts) expectPlainWords(text, written);
    },
  }),
];
