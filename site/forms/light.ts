import { airDryness, houseHeat, roomLoad } from "../../generator/worksheets/air.ts";
import { lampPlan, lightTotal } from "../../generator/worksheets/light.ts";
import { dayLength, growingDays } from "../../generator/worksheets/season.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about light, air and warmth.
defineWorkSheet([lightTotal, lampPlan, dayLength, growingDays, airDryness, roomLoad, houseHeat]);
