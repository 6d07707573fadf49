import { towerLayout } from "../../generator/worksheets/layout.ts";
import { lineMatch } from "../../generator/worksheets/line.ts";
import { gustCheck, towerPortScore } from "../../generator/worksheets/tower.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about what stands where on a tower.
defineWorkSheet([lineMatch, towerPortScore, towerLayout, gustCheck]);
