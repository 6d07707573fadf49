import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import type { Library } from "./library.ts";
import type { Made } from "./put.ts";
import type { Audience } from "./shown.ts";

/** A kind of paper: the edition that has it, where its pages are, and the ids that a book has of it. */
export interface Paper {
  readonly edition: Audience;
  readonly says: string;
  page(id: string): string;
  ids(library: Library, weeks: readonly Week[]): readonly string[];
}

/** A week that has a sowing list: how many trays are to be sown and labelled in it, and how many deliveries leave the yard. */
export interface Week {
  readonly week: string;
  readonly trays: number;
  readonly deliveries: number;
}

const sheet = (what: string) => (id: string) => `sheets/${what}/${id}.html`;

/** Every kind of paper by its name on the command line. The pages themselves are the site's. */
export const papers: Readonly<Record<string, Paper>> = {
  "growing-on": {
    edition: "customer",
    says: "A5, for the parcel: parsley-bed, parsley-pot, parsley-soilless; parsley for all three",
    page: sheet("growing-on"),
    ids: ({ crops }) =>
      [...crops.values()]
        .filter(({ fields }) => fields.audience === "everyone")
        .flatMap(({ id, sections }) =>
          systems
            .filter(([heading]) => sections.some((section) => section.heading === heading))
            .map(([, system]) => `${id}-${system}`),
        ),
  },
  "bench-card": {
    edition: "staff",
    says: "A5, to laminate, by crop",
    page: sheet("bench-card"),
    ids: ({ crops }) => [...crops.keys()],
  },
  "stock-mix": {
    edition: "staff",
    says: "A4, a page a tub, by feed",
    page: sheet("stock-mix"),
    ids: ({ feeds }) => [...feeds.keys()],
  },
  "sowing-list": {
    edition: "staff",
    says: "A4 wide, by week",
    page: sheet("sowing-list"),
    ids: (_library, weeks) => weeks.map(({ week }) => week),
  },
  "pick-list": {
    edition: "staff",
    says: "A4 wide, what to cut, pack and post, by week",
    page: sheet("pick-list"),
    ids: (_library, weeks) => weeks.filter(({ deliveries }) => deliveries > 0).map(({ week }) => week),
  },
  "tower-map": {
    edition: "staff",
    says: "A4, by tower",
    page: sheet("tower-map"),
    ids: ({ gear }) => [...gear.values()].filter(({ fields }) => fields.kind === "tower").map(({ id }) => id),
  },
  labels: {
    edition: "staff",
    says: "A4, two for each tray, by batch or by the week of sowing",
    page: sheet("labels"),
    ids: ({ batches }, weeks) => [
      ...[...batches.values()].filter(({ fields }) => fields.closed === undefined).map(({ id }) => id),
      ...weeks.filter(({ trays }) => trays > 0).map(({ week }) => week),
    ],
  },
  "trial-report": {
    edition: "staff",
    says: "A4, by trial",
    page: sheet("trial-report"),
    ids: ({ trials }) => [...trials.keys()],
  },
  "data-sheet": {
    edition: "staff",
    says: "A4, to measure a trial by, by trial whose places are drawn",
    page: sheet("data-sheet"),
    ids: ({ trials }) =>
      [...trials.values()].filter(({ fields }) => Object.keys(fields.places ?? {}).length > 0).map(({ id }) => id),
  },
  emergency: {
    edition: "staff",
    says: "A4, for the wall",
    page: () => "emergency.html",
    ids: ({ guides }) => ([...guides.values()].some(({ fields }) => fields.kind === "emergency") ? ["card"] : []),
  },
};

const systems = [
  ["Growing on in a soil bed", "bed"],
  ["Growing on in a pot", "pot"],
  ["Growing on without soil", "soilless"],
] as const;

/** What is written into the blanks of a sheet, by the name of the blank, and the half of the world whose months it has. */
export interface Filling {
  readonly blanks: Readonly<Record<string, string>>;
  readonly south: boolean;
}

/**
 * Pages of a built book as PDF files in the folder `out`, not yet written, made with the network off. The same page gives
 * the same bytes: the file says that it was made on `day`, an ISO date.
 */
export async function printPaper(
  browser: Browser,
  pages: readonly { readonly page: string; readonly name: string }[],
  { book, out, day, filling }: { book: string; out: string; day: string; filling: Filling },
): Promise<readonly Made[]> {
  const context = await browser.newContext({ offline: true, colorScheme: "light", locale: "en-GB" });
  try {
    const tab = await context.newPage();
    const made: Made[] = [];
    for (const { page, name } of pages) {
      await tab.goto(pathToFileURL(join(book, page)).href);
      await tab.evaluate(fill, filling);
      const content = dated(await tab.pdf({ preferCSSPageSize: true, printBackground: true, tagged: true }), day);
      made.push({ file: join(out, `${name}.pdf`), content });
    }
    return made;
  } finally {
    await context.close();
  }
}

/** As much of the page as `fill` touches. */
declare const document: {
  querySelectorAll(selector: string): Iterable<{ textContent: string; readonly dataset: { readonly south?: string } }>;
  readonly fonts: Iterable<{ load(): Promise<unknown> }>;
};

/** Runs in the page: writes into the blanks, and puts the months of the south in place of those of the north. */
function fill({ blanks, south }: Filling): Promise<unknown> {
  for (const [name, text] of Object.entries(blanks))
    for (const blank of document.querySelectorAll(`[data-fill="${name}"]`)) blank.textContent = text;
  if (south)
    for (const months of document.querySelectorAll("[data-south]")) months.textContent = months.dataset.south ?? "";
  // Every face that there is, as a page that was only just opened may not have asked for them yet.
  return Promise.allSettled([...document.fonts].map((face) => face.load())).then(() => undefined);
}

/**
 * A PDF file with nothing in it of when and by which run it was made: its dates are a day of the book, and the names of its
 * parts, which a browser numbers from wherever it has got to, count from one. All in place, as a PDF counts its own bytes.
 */
function dated(pdf: Uint8Array, day: string): Uint8Array {
  const stamp = `D:${day.replaceAll("-", "")}000000+00'00'`;
  const text = Buffer.from(pdf).toString("latin1");
  const parts = [...new Set(text.match(partName))].sort();
  const numbers = new Map(parts.map((part, index) => [part, `(node${String(index + 1).padStart(8, "0")})`]));
  return Buffer.from(
    text
      .replace(partName, (part) => numbers.get(part) ?? part)
      .replace(/\/(CreationDate|ModDate) ?\(([^)]*)\)/g, (whole, _name: string, was: string) =>
        was.length === stamp.length ? whole.replace(was, stamp) : whole,
      ),
    "latin1",
  );
}

const partName = /\(node\d{8}\)/g;
