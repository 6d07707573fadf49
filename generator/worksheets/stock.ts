import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { daysBetween } from "../science/calendar.ts";
import { smallestWeighable, solubility } from "../science/tubs.ts";
import { amount, choice, date, each, fault, optional, shown, text, together, usually } from "./input.ts";
import { onceEach, saltName, weighedSaltInput } from "./shelf.ts";
import { dissolvedAnswer, dissolvedNotes, dissolvedRefusal, dissolvedWorking, solubilityFields } from "./tub-limits.ts";
import { ok, warn, worksheet } from "./worksheet.ts";
