import { commandTargets } from "./commands.ts";
import { editionTargets } from "./editions.ts";
import { figureTargets } from "./figures.ts";
import { plainYamlTargets } from "./plain-yaml.ts";
import { proseTargets } from "./prose.ts";
import { recordTargets } from "./records.ts";
import { tableTargets } from "./tables.ts";
import type { Target } from "./target.ts";
import { worksheetTargets } from "./worksheets.ts";

/** Every part of the program that takes what people write, with made-up input for it. */
export const targets: readonly Target[] = [
  ...recordTargets,
  ...plainYamlTargets,
  ...figureTargets,
  ...proseTargets,
  ...tableTargets,
  ...editionTargets,
  ...worksheetTargets,
  ...commandTargets,
];
