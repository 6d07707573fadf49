import { ecReading } from "./meters.ts";
import type { Worksheet } from "./worksheet.ts";

/** Every worksheet, in the order of a grower's day: water and feed, delivery, tower, light, air, dates, seed, orders, trials. */
const sheets: readonly Worksheet[] = [ecReading] as unknown as readonly Worksheet[];

export const worksheets: ReadonlyMap<string, Worksheet> = new Map(sheets.map((sheet) => [sheet.id, sheet]));
