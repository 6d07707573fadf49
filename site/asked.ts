import { edition, ofEdition } from "./edition.ts";
import { type Figures, labelOf, slug } from "./figures.ts";
import { words } from "./words.ts";

/**
 * The figures of a page that a search may be asked for by name, as `basil ec` asks: figures set off by `~`, their
 * parts by `|`. They are what it is about, its label, itself with its unit, the letter of its basis, and the place on the page.
 */
export function askedFigures(figures: Figures): string {
  return askable()
    .flatMap(([about, path, place]) => {
      const figure = figures[path];
      return figure && !found(figures, about, path)
        ? [[about, labelOf(figure), figure.text, words.basis[figure.basis].letter, slug(place)].join("|")]
        : [];
    })
    .join("~");
}

/** What a search calls it, the figure's path, and the part of the page where it stands; the first path of each wins. */
const askable = ofEdition((): readonly (readonly [about: keyof typeof words.asked, path: string, place: string])[] => {
  const inHouse = edition.audience === "staff";
  const { crop } = words;
  const likes = inHouse ? crop.likes : "";
  const sowing = inHouse ? crop.figures : crop.seed;
  return [
    ["ec", "ec.preferred", likes],
    ["ec", "ec", ""],
    ["ph", "ph.preferred", likes],
    ["ph", "ph", ""],
    ["air", "air.day", likes],
    ["lowest", "air.lowest", ""],
    ["roots", "roots", likes],
    ["light", "light.best", likes],
    ["light", "light.need", likes],
    ["spacing", "spacing", ""],
    ["sowing", "seed.temperature", sowing],
    ["depth", "seed.depth", sowing],
    ["store", "keeping.temperature", crop.cut],
    ["keeps", "keeping.shelf", crop.cut],
    ["cut", "cutting.height", crop.cut],
  ];
});

/** Whether an earlier path has said the same. */
function found(figures: Figures, about: string, path: string): boolean {
  const first = askable().find((one) => one[0] === about && figures[one[1]]);
  return first !== undefined && first[1] !== path;
}
