import type { Lean } from "../figures.ts";
import { basisOf, type Library } from "../library.ts";
import type { Basis } from "../provenance.ts";
import { dayOfYear } from "../science/calendar.ts";
import { lightUnderSky } from "../science/light.ts";
import { dayLength, extraterrestrialRadiation } from "../science/season.ts";
import type { In, Mol, Span } from "../science/units.ts";
import { sourcesBlock } from "../told.ts";

/** Daylight in a month: its length on the 15th, and the light of a day, recorded or only bounded. */
export interface OutdoorMonth {
  /** 1 to 12. */
  readonly month: number;
  readonly day: In<"h">;
  /** Undefined where the book has no figure. */
  readonly light: Mol | undefined;
  /** What the recorded figure rests on. */
  readonly basis: Basis | undefined;
  /** From a sky overcast all day to a clear one; a bound and never an estimate. */
  readonly sky: Span<"mol/m²/day">;
}

/** Daylight where the yard stands, January first. */
export function outdoorMonths(library: Library, year: number): readonly OutdoorMonth[] {
  const { light } = library.book.fields;
  const latitude: number = library.book.fields.latitude;
  return monthKeys.map((key, index) => {
    const moment = { latitude, dayOfYear: dayOfYear(`${year}-${String(index + 1).padStart(2, "0")}-15`) };
    const recorded = light?.[key];
    return {
      month: index + 1,
      day: dayLength(moment),
      light: recorded,
      basis: recorded === undefined ? undefined : bookLean(library, `light.${key}`).basis,
      sky: lightUnderSky(extraterrestrialRadiation(moment)),
    };
  });
}

/** The book's light outdoors of a month, 1 to 12, as something leant on. */
export function outdoorLean(library: Library, month: number): Lean {
  return bookLean(library, `light.${monthKeys[month - 1]}`);
}

/** A figure of the book itself as something leant on. */
function bookLean(library: Library, path: string): Lean {
  return { record: "book", path, basis: basisOf(library, sourcesBlock(library.book), path) ?? "memory" };
}

const monthKeys = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"] as const;
