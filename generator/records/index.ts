import type { z } from "zod";
import { Crop } from "./crop.ts";
import { Feed, Salt, Water } from "./feed.ts";
import { Gear } from "./gear.ts";
import { Trial } from "./trial.ts";
import { Guide, News, Source, Term } from "./words.ts";
import { Batch, Lot, Order } from "./yard.ts";

/** Every kind of record: the folder that it is in, and its schema. `book.md` stands beside them. */
export const kinds = {
  crops: Crop,
  feeds: Feed,
  salts: Salt,
  waters: Water,
  gear: Gear,
  lots: Lot,
  batches: Batch,
  orders: Order,
  trials: Trial,
  sources: Source,
  guides: Guide,
  glossary: Term,
  news: News,
} as const satisfies Readonly<Record<string, z.ZodType>>;

export type Kind = keyof typeof kinds;
export type FieldsOf<K extends Kind> = z.output<(typeof kinds)[K]>;

export { type Entry, type Join, type Path, parse, type Reading, read } from "./parse.ts";
export { dataName } from "./trial.ts";
export { Book } from "./yard.ts";
