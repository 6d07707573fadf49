import { VFile } from "vfile";
import type { Library } from "../../generator/library.ts";
import { check } from "../../generator/node.ts";

const book = `name: Yard
place: Here
latitude: 52°
contact: The slate
edition: 2027-04-12
sow: [Mon, Thu]
post: [Mon, Tue, Wed]`;

/** A library of these records beside the book's own; `more` is added to the book. */
export function libraryOf(records: Readonly<Record<string, string>>, more = ""): Library {
  const files = { "book.md": `${book}\n${more}`, ...records };
  const { library, files: read } = check(
    Object.entries(files).map(
      ([path, fields]) => new VFile({ path, value: `---\n${fields.trim()}\nsources:\n  common-practice: "*"\n---\n` }),
    ),
  );
  const wrong = read.flatMap(({ messages }) => messages.filter(({ fatal }) => fatal === true).map(String));
  if (!library || wrong.length > 0) throw new Error(wrong.join("\n"));
  return library;
}

/** A leaf crop that needs 12 mol/m²/day; `light` and `tower` say more of it. */
export const crop = (light: string, tower: string) => `name: Sorrel
botanical: Rumex acetosa
kind: leaf
code: SOR
status: tried
reviewed: 2027-01-01
eaten: [leaves]
light: { need: 12 mol/m²/day${light} }
stages:
  tray: { days: 14 days }
  tower: { ${tower} }`;

export const line = (crops: string, more = "") => `kind: line
name: Line
feed: leaf
injector: injector
ec: 1.3 mS/cm
ph: 5.8–6.2
crops: [${crops}]
${more}`;

/** A salt on the shelf; `more` says what is on hand. */
export const salt = (name: string, tub: "A" | "B", analysis: string, more = "") =>
  `name: ${name}\nanalysis: { ${analysis} }\ntub: ${tub}\n${more}`;

/** The five salts of the feed, with whatever more is said of each. */
export const shelf = (more: Readonly<Record<string, string>> = {}) =>
  Object.fromEntries(
    (
      [
        ["calcium-nitrate", "A", "nNitrate: 14.4 %, nAmmonium: 1.1 %, Ca: 19.0 %"],
        ["monopotassium-phosphate", "B", "P: 22.7 %, K: 28.2 %"],
        ["magnesium-sulphate", "B", "Mg: 9.8 %, S: 13.0 %"],
        ["potassium-nitrate", "B", "nNitrate: 13.7 %, K: 38.4 %"],
        ["potassium-sulphate", "B", "K: 43.2 %, S: 18.0 %"],
      ] as const
    ).map(([id, tub, analysis]) => [`salts/${id}.md`, salt(id, tub, analysis, more[id])]),
  );

/** The other records that a line must have: an injector, and a feed of five salts on water that brings nothing. */
export const behind = {
  ...shelf(),
  "gear/injector.md": `kind: injector
name: Injector
least: 0.2 %
most: 2 %
heads: 2
means: to
slowest: 10 L/h`,
  "waters/rain.md": `name: Rain
from: rain
sampled: 2027-01-01
ions: { NO3N: 0 mg/L, NH4N: 0 mg/L, P: 0 mg/L, K: 0 mg/L, Ca: 0 mg/L, Mg: 0 mg/L, S: 0 mg/L, Na: 0 mg/L, Cl: 0 mg/L, HCO3: 0 mg/L }`,
  "feeds/leaf.md": `name: Leaf
version: 1
targets: { N: 150 mg/L, P: 45.4 mg/L, K: 190 mg/L, Ca: 133 mg/L, Mg: 49 mg/L }
water: rain
salts: [calcium-nitrate, monopotassium-phosphate, magnesium-sulphate, potassium-nitrate, potassium-sulphate]
stock: { ratio: 1 %, means: to, heads: 2, tank: 30 L, coldest: 5 °C }
approved: 2027-03-01`,
} as const;
