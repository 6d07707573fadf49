import type { PageOf } from "./library.ts";
import type { Told } from "./told.ts";

/** The figures of a crop that its bench card prints, by their paths: what the card shows, and what makes it an old card. */
export interface CardFigures {
  /** EC, pH, air by day, and the days of the stage that comes next; undefined where none is recorded. */
  readonly keys: readonly (string | undefined)[];
  readonly height: string | undefined;
  readonly store: string | undefined;
  readonly shelf: string | undefined;
  readonly lowest: string | undefined;
}

/** Which of a crop's figures its bench card prints. */
export function cardFigures(page: PageOf<"crops">, figures: Readonly<Record<string, Told>>): CardFigures {
  const has = (...paths: readonly string[]) => paths.find((path) => figures[path]);
  const { stages } = page.fields;
  const next = stages.tray ? "tray" : Object.keys(stages)[0];
  return {
    keys: [
      has("ec.preferred"),
      has("ph.preferred"),
      has("air.day"),
      has(`stages.${next}.days`, `stages.${next}.summer`),
    ],
    height: has("cutting.height", "micro.height"),
    store: has("keeping.temperature"),
    shelf: has("keeping.shelf"),
    lowest: has("air.lowest"),
  };
}

/** The paths of all of them, in the order of the card. */
export function onCard({ keys, height, store, shelf, lowest }: CardFigures): readonly string[] {
  return [...keys, height, store, shelf, lowest].flatMap((path) => path ?? []);
}
