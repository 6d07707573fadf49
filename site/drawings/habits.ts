import { at, type LeafForm, leaf, line, type Point, type Stroke, sketch, through } from "./pen.ts";
import { cup, fromAbove } from "./plants.ts";

/** How a plant stands. */
export const habits = {
  rosette: () =>
    sketch(
      120,
      fromAbove().flatMap((one) => one.strokes),
    ),
  bushy: () => {
    const arms: readonly (readonly [Point, Point])[] = [
      [
        [60, 76],
        [30, 52],
      ],
      [
        [60, 76],
        [90, 52],
      ],
      [
        [60, 58],
        [38, 28],
      ],
      [
        [60, 58],
        [82, 28],
      ],
      [
        [60, 46],
        [60, 18],
      ],
    ];
    return sketch(120, [
      line(`M60 88V44${arms.map(([from, to]) => `M${at(from)}Q${at([to[0], from[1] - 8])} ${at(to)}`).join("")}`),
      ...arms.flatMap(([, to]) => tip(to)),
      cup([60, 88]),
    ]);
  },
  clump: () => {
    const stalks = [-34, -22, -10, 2, 13, 25, 36];
    return sketch(120, [
      line(
        stalks
          .map(
            (lean) =>
              `M${at([60 + lean / 5, 88])}Q${at([60 + lean / 3, 62])} ${at([60 + lean, 46 + Math.abs(lean) / 4])}`,
          )
          .join(""),
      ),
      ...stalks.flatMap(
        (lean, index) =>
          leaf({
            foot: [60 + lean, 46 + Math.abs(lean) / 4],
            angle: -90 + lean * 1.1,
            length: index % 2 ? 24 : 30,
            width: 14,
          }).strokes,
      ),
      cup([60, 88]),
    ]);
  },
  trailing: () => {
    const hang: readonly (readonly Point[])[] = [
      [
        [34, 22],
        [50, 12],
        [66, 34],
        [62, 70],
        [68, 110],
      ],
      [
        [32, 22],
        [60, 8],
        [88, 30],
        [88, 58],
        [94, 84],
      ],
    ];
    const places: readonly (readonly [Point, number])[] = [
      [[61, 50], 150],
      [[62, 62], 25],
      [[62, 80], 160],
      [[66, 96], 20],
      [[68, 110], 90],
      [[84, 30], 20],
      [[87, 48], 165],
      [[90, 66], 20],
      [[94, 84], 80],
    ];
    return sketch(120, [
      line("M20 4V116M20 44L44 26M44 26L38 18L20 26"),
      line(hang.map(through).join("")),
      ...places.flatMap(([foot, angle]) => leaf({ foot, angle, length: 17, width: 13, form: "round" }).strokes),
    ]);
  },
  climbing: () => {
    const turns = [96, 78, 60, 42, 24];
    return sketch(120, [
      line("M60 2V90M50 2h20"),
      line(
        `M60 96${turns.map((y, index) => `C${at([index % 2 ? 40 : 80, y - 2])} ${at([index % 2 ? 40 : 80, y - 12])} ${at([60, y - 16])}`).join("")}`,
      ),
      ...turns.flatMap(
        (y, index) =>
          leaf({
            foot: [index % 2 ? 46 : 74, y - 8],
            angle: index % 2 ? -160 : -20,
            length: 26,
            width: 20,
            form: "round",
          }).strokes,
      ),
      cup([60, 94]),
    ]);
  },
  runner: () => {
    const mother: readonly LeafForm[] = [-165, -130, -95, -60].map((angle) => ({
      foot: [34, 82],
      angle,
      length: 34,
      width: 17,
    }));
    const young: readonly LeafForm[] = [-150, -95, -35].map((angle) => ({
      foot: [98, 84],
      angle,
      length: 17,
      width: 10,
    }));
    return sketch(120, [
      line("M34 82C50 60 78 62 98 84M98 84q-3 8-6 12M98 84q1 9 0 14M98 84q4 7 7 11"),
      ...[...mother, ...young].flatMap((form) => leaf(form).strokes),
      cup([34, 82]),
    ]);
  },
} as const;

/** A branch's end: two leaves and a third between. */
function tip(foot: Point): readonly Stroke[] {
  return [-160, -20, -90].flatMap((angle) => leaf({ foot, angle, length: 20, width: 11 }).strokes);
}
