import { calendarDate, monthShift } from "../../generator/worksheets/dates.ts";
import { dilution } from "../../generator/worksheets/labels.ts";
import { lightTotal } from "../../generator/worksheets/light.ts";
import { ecReading } from "../../generator/worksheets/meters.ts";
import { dayLength } from "../../generator/worksheets/season.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The few forms that customers have.
defineWorkSheet([ecReading, dilution, lightTotal, dayLength, monthShift, calendarDate]);
