import { type OutputText, wordsOf } from "../../generator/guard.ts";
import { textsIn } from "../../generator/texts.ts";
import { type Canary, type Planted, signed } from "../planted.ts";

/** A canary in a file that may not have it. */
export interface Found extends Canary {
  readonly file: string;
}

/** What stood in some files: canaries, and the beacons, which show that the looking sees what is there. */
export interface Look {
  readonly found: readonly Found[];
  readonly beacons: ReadonlySet<string>;
  readonly texts: number;
}

/** Looks through all text of files for the canaries of a book, whatever stands between their letters and whatever case they have. */
export function look(planted: Planted, texts: Iterable<OutputText>): Look {
  const known = new Map(planted.canaries.map((canary) => [canary.word.toLowerCase(), canary]));
  const found = new Map<string, Found>();
  const beacons = new Set<string>();
  let count = 0;
  for (const { file, text } of texts) {
    count++;
    const words = wordsOf(text).join("");
    const seen = [...words.matchAll(/(?:canary|beacon)\d+qz/g)].map(([word]) => word);
    // Figures and initials are too short to be told from the letters of something packed, and figures from places in a drawing.
    const bare = text.replace(/[A-Za-z0-9+/]{64,}/g, " ");
    for (const [, figures = ""] of bare.matchAll(/(?<![\d.])(73[\s,]?\d{3})(?:\.41(?!\d)|\s*¤)/g))
      seen.push(figures.replace(/\D/g, ""));
    if (` ${wordsOf(bare).join(" ")} `.includes(` ${signed.toLowerCase()} `)) seen.push(signed.toLowerCase());
    for (const word of seen) {
      const canary = known.get(word);
      if (canary) found.set(`${word} ${file}`, { ...canary, file });
      else if (word.startsWith("beacon")) beacons.add(word);
    }
  }
  return { found: [...found.values()], beacons, texts: count };
}

/** All text of files by their names. */
export function* textsOf(files: Iterable<readonly [name: string, bytes: Uint8Array]>): Generator<OutputText> {
  for (const [name, bytes] of files) yield* textsIn(name, bytes);
}

/**
 * All that a PDF file says to whoever reads it or looks into it: its pages, what is said of it, its outline, its links, the
 * words that stand for its pictures, what is attached to it, and its bytes.
 */
export async function textsOfPaper(name: string, pdf: Uint8Array): Promise<readonly OutputText[]> {
  const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");
  const opening = getDocument({ data: new Uint8Array(pdf), verbosity: 0 });
  const file = await opening.promise;
  const said: unknown[] = [];
  for (let number = 1; number <= file.numPages; number++) {
    const page = await file.getPage(number);
    const { items } = await page.getTextContent();
    said.push(items.map((item) => ("str" in item ? item.str : "")).join(" "));
    said.push(await page.getAnnotations(), await page.getStructTree());
  }
  const { info, metadata } = await file.getMetadata();
  said.push(
    info,
    metadata?.getRaw(),
    await file.getOutline(),
    await file.getAttachments(),
    await file.getDestinations(),
  );
  await opening.destroy();
  return [
    ...textsIn(name, pdf),
    ...said.map((text) => ({ file: name, text: typeof text === "string" ? text : (JSON.stringify(text) ?? "") })),
  ];
}
