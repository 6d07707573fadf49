import { acidDose } from "./acid.ts";
import { airDryness, houseHeat, roomLoad } from "./air.ts";
import { hardnessAlkalinity, solutionCheck } from "./analysis.ts";
import { labelToElement } from "./bag.ts";
import { baseDrain, baseDrift, rainDilution } from "./bases.ts";
import { calendarDate, monthShift } from "./dates.ts";
import { flowWindow, tubDaysLeft } from "./delivery.ts";
import { dispatchDay, useBy } from "./dispatch.ts";
import { poolRecord, safeYield, trialSize } from "./evidence.ts";
import { feedRecipe } from "./feed.ts";
import { oneHead } from "./head.ts";
import { catchTest, injectorSetting, ratioWording } from "./injector.ts";
import { dilution, labelCode } from "./labels.ts";
import { towerLayout } from "./layout.ts";
import { lampPlan, lightTotal } from "./light.ts";
import { lineMatch } from "./line.ts";
import { ecReading, meterCheck } from "./meters.ts";
import { portsForOrder, unitCost } from "./orders.ts";
import { pumpHeadSheet, waterUse } from "./pumping.ts";
import { portCalendar, sowDate } from "./schedule.ts";
import { dayLength, growingDays } from "./season.ts";
import { cellsToSow, germinationTest, microPots } from "./seed.ts";
import { tubSolubility, tubTopUp } from "./stock.ts";
import { gustCheck, towerPortScore } from "./tower.ts";
import { traceWeights } from "./traces.ts";
import { groupSummary, pairedBlocks, twoShares } from "./trials.ts";
import { waterBlend } from "./water.ts";
import type { Worksheet } from "./worksheet.ts";

/** Every worksheet, in the order of a grower's day: water and feed, delivery, tower, light, air, dates, seed, orders, trials. */
const sheets: readonly Worksheet[] = [
  ecReading,
  meterCheck,
  labelToElement,
  hardnessAlkalinity,
  waterBlend,
  feedRecipe,
  traceWeights,
  tubTopUp,
  tubSolubility,
  solutionCheck,
  acidDose,
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
  lineMatch,
  towerPortScore,
  towerLayout,
  gustCheck,
  lightTotal,
  lampPlan,
  dayLength,
  growingDays,
  airDryness,
  roomLoad,
  houseHeat,
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
  groupSummary,
  pairedBlocks,
  twoShares,
  trialSize,
  poolRecord,
  safeYield,
  labelCode,
  dilution,
] as unknown as readonly Worksheet[];

export const worksheets: ReadonlyMap<string, Worksheet> = new Map(sheets.map((sheet) => [sheet.id, sheet]));
