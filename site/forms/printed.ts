import { worksheets } from "../../generator/worksheets/index.ts";
import { type Outcome, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";

/** A worksheet by its id. @throws RangeError for an unknown id. */
export function sheetNamed(id: string): Worksheet {
  const sheet = worksheets.get(id);
  if (!sheet) throw new RangeError(`There is no worksheet ${id}`);
  return sheet;
}

/** What a worksheet answers to an input; undefined when the input is not whole. */
export function answered(sheet: Worksheet, input: unknown): Outcome | undefined {
  const result = run(sheet, input);
  return "outcome" in result ? result.outcome : undefined;
}

/** What a person must say anew each time: it is neither printed as said nor kept in an address. */
export const neverKept: ReadonlySet<string> = new Set(["trainedPerson"]);

/** The example of a worksheet, with nothing said in anybody's place. */
export function exampleOf(sheet: Worksheet): Readonly<Record<string, unknown>> {
  const example = Object.entries(sheet.example as object).filter(([name]) => !neverKept.has(name));
  return Object.fromEntries(example);
}
