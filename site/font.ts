import { readFile, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import subsetFont from "subset-font";

/**
 * The signs that the book prints: Latin with the commoner accents, and what the trade writes figures with. The typeface
 * has no µ, arrows or shapes; those come from the reader's own device, and the signs of the tubs are drawn.
 */
export const signs = [
  ...range(0x20, 0x7e),
  ..."ÄÅÉÖØÜßàáâäåçèéêëíîïñóôöøùúûüœ",
  ..."–—‘’“”•…£€·",
  ..."−×÷±≈≤≥°²³½¤\u00a0\u2009",
].join("");

/**
 * Writes the two weights of the book's typeface with the signs of the trade and no others, as `styles/type/*.woff2`.
 * Run it with `node site/font.ts` when a sign is added.
 */
export async function writeFonts(): Promise<void> {
  for (const weight of [400, 700] as const) {
    const font = await subsetFont(await readFile(family(weight)), signs, { targetFormat: "woff2" });
    await writeFile(new URL(`./styles/type/text-${weight}.woff2`, import.meta.url), font);
  }
}

function family(weight: 400 | 700): URL {
  const name = `atkinson-hyperlegible-next-latin-${weight}-normal.woff2`;
  return new URL(import.meta.resolve(`@fontsource/atkinson-hyperlegible-next/files/${name}`));
}

function range(from: number, to: number): readonly string[] {
  return Array.from({ length: to - from + 1 }, (_, index) => String.fromCodePoint(from + index));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await writeFonts();
