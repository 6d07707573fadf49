import { inputOf } from "../figures.ts";
import type { Library } from "../library.ts";
import { supplies } from "./index.ts";
import type { Given, Supply } from "./supply.ts";

/** What one record of the book knows of what a worksheet asks. */
export interface Fill {
  /** `feeds/leaf`; `book` when no one record is named. */
  readonly record: string;
  readonly input: Readonly<Record<string, unknown>>;
}

/**
 * What the records of the book know of what each worksheet asks, by the worksheet's id: one fill for each record that has
 * something to say, in the order of the records. What no record says is left out of an input.
 */
export function fillsOf(library: Library): Readonly<Record<string, readonly Fill[]>> {
  const found = [...supplies].map(([id, supply]) => [id, fills(library, supply)] as const);
  return Object.fromEntries(found.filter(([, fills]) => fills.length > 0));
}

function fills(library: Library, supply: Supply): readonly Fill[] {
  const { needs, may = [] } = supply;
  const asking = (given: Given) =>
    inputOf(
      () => {},
      (take) => supply.ask(take, given, library),
    );
  const none = needs.length > 0 ? {} : asking({});
  const book = Object.keys(none).length > 0 && may.length === 0 ? [{ record: "book", input: none }] : [];
  // Where a question needs two records, the first of the second kind stands in until another is chosen.
  const [first, ...others] = needs;
  const besides = Object.fromEntries(others.map((kind) => [kind, [...library[kind].values()].slice(0, 1)]));
  // A record that adds nothing to what all of them say has nothing of its own to fill in.
  const seen = new Set([text({}), text(none)]);
  const found = (first ? [first] : may).flatMap((kind) =>
    ([...library[kind].values()] as readonly { readonly id: string }[]).flatMap((page) => {
      const input = asking({ ...besides, [kind]: [page] } as Given);
      if (seen.has(text(input))) return [];
      seen.add(text(input));
      return [{ record: `${kind}/${page.id}`, input }];
    }),
  );
  return [...book, ...found];
}

function text(value: object): string {
  return JSON.stringify(value);
}
