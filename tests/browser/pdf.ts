/** A word or a run of words on paper: its size, and how far it is from each edge, in points. */
export interface Word {
  readonly text: string;
  readonly points: number;
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

export interface Paper {
  readonly pages: readonly { readonly millimetres: readonly [number, number]; readonly words: readonly Word[] }[];
  readonly text: string;
}

/** A PDF file as it lies on the table: the size of each page in mm, and every piece of text with its size and place. */
export async function paperOf(pdf: Uint8Array): Promise<Paper> {
  const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");
  const opening = getDocument({ data: new Uint8Array(pdf), verbosity: 0 });
  const file = await opening.promise;
  const pages = await Promise.all(
    Array.from({ length: file.numPages }, async (_, index) => {
      const page = await file.getPage(index + 1);
      const [, , width, height] = page.view as [number, number, number, number];
      const { items } = await page.getTextContent();
      const words = items.flatMap((item) => {
        if (!("str" in item) || item.str.trim() === "") return [];
        const [a, b, , , x, y] = item.transform as [number, number, number, number, number, number];
        const points = Math.hypot(a, b);
        return [
          { text: item.str, points, left: x, right: width - x - item.width, bottom: y, top: height - y - points * 0.7 },
        ];
      });
      return { millimetres: [millimetres(width), millimetres(height)] as const, words };
    }),
  );
  await opening.destroy();
  return { pages, text: pages.flatMap(({ words }) => words.map(({ text }) => text)).join(" ") };
}

function millimetres(points: number): number {
  return Math.round((points / 72) * 25.4);
}
