import { bases } from "../provenance.ts";
import type { Told } from "../told.ts";

/** How many figures of each kind of record rest on what, the strongest basis first. */
export function surenessOf(
  pages: readonly { readonly kind: string; readonly figures: Readonly<Record<string, Told>> }[],
) {
  return [...new Set(pages.map(({ kind }) => kind))].map((kind) => {
    const all = pages.filter((page) => page.kind === kind).flatMap((page) => Object.values(page.figures));
    return {
      kind,
      figures: all.length,
      byBasis: bases.map((basis) => ({ basis, count: all.filter((figure) => figure.basis === basis).length })),
    };
  });
}
