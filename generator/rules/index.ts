import { checkBatches } from "./batches.ts";
import { checkCrops } from "./crops.ts";
import { type Drafts, everyDraft, type Known } from "./drafts.ts";
import { checkLines } from "./lines.ts";
import { checkProse } from "./prose.ts";
import { checkNames, checkReferences } from "./references.ts";
import { checkSources } from "./sources.ts";
import { checkTrials } from "./trials.ts";
import { checkTubs } from "./tubs.ts";

export type { Drafts, Known } from "./drafts.ts";

/** Says what is wrong between the records of a book, and in their prose, each at its file and line. */
export function checkLibrary(drafts: Drafts, known: Known): void {
  for (const draft of everyDraft(drafts)) {
    checkSources(draft, known);
    checkReferences(draft, drafts, known);
    checkProse(draft, drafts, known);
  }
  checkNames(drafts);
  checkCrops(drafts);
  checkLines(drafts);
  checkTubs(drafts);
  checkBatches(drafts);
  checkTrials(drafts);
}
