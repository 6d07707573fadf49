import { acidDose } from "../../generator/worksheets/acid.ts";
import { hardnessAlkalinity, solutionCheck } from "../../generator/worksheets/analysis.ts";
import { labelToElement } from "../../generator/worksheets/bag.ts";
import { ecReading, meterCheck } from "../../generator/worksheets/meters.ts";
import { waterBlend } from "../../generator/worksheets/water.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about water and meters.
defineWorkSheet([ecReading, meterCheck, labelToElement, hardnessAlkalinity, waterBlend, solutionCheck, acidDose]);
