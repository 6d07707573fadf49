import { drawingWords } from "./drawings/words.ts";
import { editWords } from "./edit/words.ts";
import { formWords } from "./forms/words.ts";
import { paperWords } from "./paper/words.ts";
import { planWords } from "./plan/words.ts";
import { band, crop, growing, life, tower } from "./words/crop.ts";
import { doings, home } from "./words/days.ts";
import { figures, listed, others, sources, sure, topics } from "./words/figures.ts";
import { asked, filter, index, missing, searchKinds } from "./words/finding.ts";
import { edition, foot, nav, search } from "./words/frame.ts";
import { emergency, glossary, guides, news, papers } from "./words/pages.ts";
import { gear, gearKeys, list, lists, orders, waters } from "./words/records.ts";
import { recipe, sum } from "./words/sums.ts";
import {
  basis,
  elementNames,
  feeding,
  kind,
  kinds,
  methodNames,
  nearestNames,
  pollination,
  stages,
  stagesOut,
  status,
  zones,
} from "./words/trade.ts";

export { todayWords } from "./words/days.ts";
export { filterWords, searchWords } from "./words/finding.ts";
export { themeWords, updateWords } from "./words/frame.ts";
export { bagNames, elementNames, methodNames, nearestNames } from "./words/trade.ts";

/** Every word of the interface. What the book knows is in its records; what its pages say around it is here. */
export const words = {
  searchKinds,
  asked,
  drawings: drawingWords,
  paper: paperWords,
  plan: planWords,
  forms: formWords,
  edit: editWords,
  skip: "Skip to the card",
  search,
  nav,
  demo: "Demo. An invented yard: no figure here is anyone’s own.",
  edition,
  keep: "Keep it in the house.",
  foot,
  status,
  also: "also",
  reviewed: "Last reviewed",
  notRecorded: "not recorded",
  yes: "yes",
  no: "no",
  kinds,
  kind,
  stages,
  stagesOut,
  zones,
  pollination,
  feeding,
  basis,
  crop,
  growing,
  band,
  life,
  tower,
  papers,
  figures,
  listed,
  topics,
  sources,
  others,
  sure,
  sum,
  elements: elementNames,
  nearest: nearestNames,
  methods: methodNames,
  recipe,
  filter,
  list,
  gear,
  gearKeys,
  orders,
  waters,
  home,
  doings,
  guides,
  glossary,
  news,
  index,
  emergency,
  missing,
  lists,
  licences: "This book holds work of others. Whose, and under which licence, stands below, as each of them wrote it.",
  count: (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`,
} as const;
