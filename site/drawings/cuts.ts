import { at, circle, leaf, line, type Point, type Stroke, shape, sketch } from "./pen.ts";
import { cup, pair } from "./plants.ts";

/** Where to cut. */
export const cuts = {
  tips: () => {
    const pairs = [104, 80, 40, 24];
    return sketch(120, [
      line("M60 118V14"),
      ...pairs.flatMap((y, index) => pair([60, y], [32, 32, 26, 18][index]!, [15, 15, 13, 9][index]!)),
      leaf({ foot: [60, 18], angle: -90, length: 14, width: 8 }).strokes,
      cutLine(60, 22, 98),
    ]);
  },
  outer: () => {
    const stalks: readonly (readonly [Point, number])[] = [
      [[22, 54], -132],
      [[98, 54], -48],
      [[32, 40], -112],
      [[88, 40], -68],
      [[48, 32], -98],
      [[72, 32], -82],
    ];
    return sketch(120, [
      line(
        stalks
          .map(([to]) => `M${at([60 + (to[0] - 60) / 8, 92])}Q${at([60 + (to[0] - 60) / 1.6, 78])} ${at(to)}`)
          .join(""),
      ),
      ...stalks.flatMap(([foot, angle]) => leaf({ foot, angle, length: 30, width: 19 }).strokes),
      cup([60, 92]),
      line("M31 82l13-7M89 82l-13-7"),
      scissors([30, 84], 1),
    ]);
  },
  lowest: () =>
    sketch(120, [
      line("M60 112V34"),
      ...[-165, -15].flatMap(
        (angle, index) =>
          leaf({ foot: [60, 86 - index * 8], angle: angle + (index ? 40 : -40), length: 42, width: 17 }).strokes,
      ),
      ...[-150, -30, -125, -55, -90].flatMap((angle) => leaf({ foot: [60, 42], angle, length: 38, width: 16 }).strokes),
      line("M50 84l6 12M70 76l-6 12"),
    ]),
  head: () =>
    sketch(120, [
      line("M52 84V106M68 84V106"),
      ...[-172, -8, -150, -30].flatMap(
        (angle, index) => leaf({ foot: [60, 84], angle, length: 50 - index * 2, width: 26 }).strokes,
      ),
      shape("M32 66C26 34 44 16 62 16C82 18 96 40 88 68C80 86 40 86 32 66z"),
      line("M62 16C44 32 42 56 52 80M62 16C82 36 78 60 70 80M44 26C36 40 34 54 40 70"),
      cutLine(99, 12, 104),
      shape("M42 106h36l-3 12h-30z"),
    ]),
  crown: () => {
    const stalks = [-26, -16, -6, 5, 15, 25];
    return sketch(120, [
      line(
        stalks.map((lean) => `M${at([60 + lean / 3, 96])}Q${at([60 + lean / 2, 66])} ${at([60 + lean, 40])}`).join(""),
      ),
      ...stalks.flatMap((lean) => leaf({ foot: [60 + lean, 42], angle: -90 + lean, length: 32, width: 14 }).strokes),
      cup([60, 96]),
      shape("M118 84H80a5.5 5.5 0 0 0 0 11H118M118 73H82a5.5 5.5 0 0 0 0 11H118"),
      cutLine(72, 16, 84),
    ]);
  },
  mat: () => {
    const stems = [24, 35, 46, 57, 68, 79, 90];
    return sketch(120, [
      line(stems.map((x, index) => `M${x} 92q${index % 2 ? 3 : -3} -28 0 ${-52 - (index % 3) * 3}`).join("")),
      ...stems.flatMap((x, index) => pair([x, 40 - (index % 3) * 3], 11, 8, "notched")),
      shape("M12 92H104V103H12z"),
      line("M18 98l6 3M32 96l6 4M46 98l6 2M60 96l6 4M74 98l6 2M88 96l6 4"),
      cutLine(78, 12, 106),
    ]);
  },
} as const;

/** A broken line to cut along, with scissors at its left end. */
function cutLine(y: number, from: number, to: number): readonly Stroke[] {
  const dashes = Array.from(
    { length: Math.floor((to - from - 8) / 9) },
    (_, index) => `M${from + 12 + index * 9} ${y}h5`,
  );
  return [line(dashes.join("")), scissors([from + 6, y], 1)];
}

/** Scissors whose blades meet a point, from the left with 1, from the right with −1. */
function scissors([x, y]: Point, side: 1 | -1): Stroke {
  const s = side;
  return line(
    `M${x} ${y + 3}l${-13 * s}-8M${x} ${y - 3}l${-13 * s} 8${circle([x - 16 * s, y - 7], 3)}${circle([x - 16 * s, y + 7], 3)}`,
  );
}
