import { feedRecipe } from "../../generator/worksheets/feed.ts";
import { tubSolubility, tubTopUp } from "../../generator/worksheets/stock.ts";
import { traceWeights } from "../../generator/worksheets/traces.ts";
import { defineWorkSheet } from "./work-sheet.ts";

// The forms about feed and tubs.
defineWorkSheet([feedRecipe, traceWeights, tubTopUp, tubSolubility]);
