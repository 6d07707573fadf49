import type { Take } from "../figures.ts";
import type { Library, Page, PageOf } from "../library.ts";
import type { GearKind, GearOf } from "../records/gear.ts";
import type { Kind } from "../records/index.ts";

/** The records that a question is asked of, by kind, in the order in which they were named. */
export type Given = { readonly [K in Kind]?: readonly PageOf<K>[] };

/** How records fill in a worksheet: what must be named, what may be, and the input that they give. */
export interface Supply {
  /** Kinds of which at least one record must be named. */
  readonly needs: readonly Kind[];
  /** Kinds that may be named besides. */
  readonly may?: readonly Kind[];
  /** The input, read through `take`; a field that is not recorded is left undefined. */
  ask(take: Take, given: Given, library: Library): Readonly<Record<string, unknown>>;
}

/** A piece of gear of one kind. */
export type GearPage<Type extends GearKind> = Page<GearOf<Type>>;

/** The gear of one kind among some records, in their order. */
export function gearOf<Type extends GearKind>(pages: Iterable<PageOf<"gear">>, kind: Type): readonly GearPage<Type>[] {
  return [...pages].filter(({ fields }) => fields.kind === kind) as unknown as readonly GearPage<Type>[];
}

/** Both ends of a band as the worksheets write it. */
export function pair(
  band: { readonly low: number; readonly high: number } | undefined,
): readonly [number, number] | undefined {
  return band && [band.low, band.high];
}
