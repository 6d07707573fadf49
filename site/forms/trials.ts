import { poolRecord, safeYield, trialSize } from "../../generator/worksheets/evidence.ts";
import { dilution, labelCode } from "../../generator/worksheets/labels.ts";
import { groupSummary, pairedBlocks, twoShares } from "../../generator/worksheets/trials.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about trials and labels.
defineWorkSheet([groupSummary, pairedBlocks, twoShares, trialSize, poolRecord, safeYield, labelCode, dilution]);
