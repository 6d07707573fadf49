import type { Library, PageOf } from "../library.ts";
import { labelOf } from "../told.ts";

/** What a trial did to the record of its crop, an entry a figure, the oldest first. */
export interface Changed {
  /** The figure's path and what it is called. */
  readonly figure: string;
  readonly label: string;
  readonly on: string;
  readonly was: string | undefined;
  readonly now: string;
  /** Stands beside the figure only, as a trial figure of so many plants. */
  readonly provisional: { readonly n: number; readonly range: string } | undefined;
}

/** The figures that a trial changed, and those that it stands beside. Changes that name no figure are told by their words. */
export function changedFor(library: Library, { id, fields }: PageOf<"trials">): readonly Changed[] {
  const page = library.crops.get(fields.crop);
  const crop = page?.fields;
  const labelled = (figure: string | undefined, otherwise = "") => ({
    figure: figure ?? otherwise,
    label: page && figure !== undefined ? labelOf(page, figure) : otherwise,
  });
  return [
    ...(crop?.history ?? [])
      .filter(({ trial }) => trial === id)
      .map(({ figure, on, was, now, what }) => ({
        ...labelled(figure, what),
        on,
        was,
        now: now ?? what,
        provisional: undefined,
      })),
    ...(crop?.provisional ?? [])
      .filter(({ trial }) => trial === id)
      .map(({ figure, on, says, n, range }) => ({
        ...labelled(figure),
        on,
        was: undefined,
        now: says,
        provisional: { n, range },
      })),
  ].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
}
