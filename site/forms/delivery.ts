import { baseDrain, baseDrift, rainDilution } from "../../generator/worksheets/bases.ts";
import { flowWindow, tubDaysLeft } from "../../generator/worksheets/delivery.ts";
import { oneHead } from "../../generator/worksheets/head.ts";
import { catchTest, injectorSetting, ratioWording } from "../../generator/worksheets/injector.ts";
import { pumpHeadSheet, waterUse } from "../../generator/worksheets/pumping.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about injectors, lines and bases.
defineWorkSheet([
  injectorSetting,
  ratioWording,
  flowWindow,
  catchTest,
  oneHead,
  tubDaysLeft,
  baseDrift,
  baseDrain,
  rainDilution,
  waterUse,
  pumpHeadSheet,
]);
