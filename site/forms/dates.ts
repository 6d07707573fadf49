import { calendarDate, monthShift } from "../../generator/worksheets/dates.ts";
import { dispatchDay, useBy } from "../../generator/worksheets/dispatch.ts";
import { portsForOrder, unitCost } from "../../generator/worksheets/orders.ts";
import { portCalendar, sowDate } from "../../generator/worksheets/schedule.ts";
import { cellsToSow, germinationTest, microPots } from "../../generator/worksheets/seed.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about dates, seed and orders.
defineWorkSheet([
  sowDate,
  calendarDate,
  monthShift,
  portCalendar,
  germinationTest,
  cellsToSow,
  microPots,
  portsForOrder,
  dispatchDay,
  useBy,
  unitCost,
]);
