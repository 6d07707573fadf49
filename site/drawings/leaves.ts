import {
  at,
  betweenVeins,
  circle,
  dots,
  type Leaf,
  type LeafForm,
  leaf,
  line,
  type Point,
  type Sketch,
  type Stroke,
  shape,
  sketch,
  solid,
  through,
  whole,
} from "./pen.ts";

/** Signs that something is wrong, on one leaf. Hatched is yellow or pale, solid is brown or dead. */
export const leafSigns = {
  saltBurn: () => onLeaf((one) => [one.edge(-1, 0.2, 0.99), one.edge(1, 0.2, 0.99)]),
  powderyMildew: () =>
    onLeaf((one) => [
      dots(
        (
          [
            [0.25, -0.4],
            [0.42, 0.45],
            [0.62, -0.35],
            [0.78, 0.2],
            [0.48, -0.05],
          ] as const
        ).flatMap((place) => cluster(one.on(place), 7)),
      ),
    ]),
  downyMildew: () => {
    const above = leaf({ ...broad, foot: [54, 100] });
    const below = leaf({ ...broad, foot: [158, 100] });
    const patch = (along: number, across: number) =>
      betweenVeins(along, across) &&
      ((across > 0 && along > 0.45 && along < 0.85) || (across < 0 && along > 0.25 && along < 0.65));
    const fuzz = (
      [
        [0.5, 0.35],
        [0.56, 0.6],
        [0.62, 0.4],
        [0.68, 0.25],
        [0.36, -0.4],
        [0.42, -0.65],
        [0.48, -0.35],
        [0.54, -0.55],
      ] as const
    )
      .map((place) => below.on(place))
      .map(([x, y]) => `M${Math.round(x) - 4} ${Math.round(y) - 4}l4 4 4-4m-4 4v-5`);
    return sketch(210, [above.strokes, above.hatch(patch), below.strokes, line(fuzz.join(""))], true);
  },
  greyLeaf: () =>
    onLeaf(
      (one) => [
        one.edge(-1, 0.6, 1, 0.97),
        one.edge(1, 0.66, 1, 0.97),
        fur(
          [
            [26, 46],
            [34, 32],
            [46, 22],
            [60, 18],
            [74, 22],
            [86, 32],
            [94, 46],
          ],
          [60, 62],
        ),
      ],
      { length: 74 },
    ),
  aphids: () =>
    onLeaf(
      (one) =>
        (
          [
            [0.26, 0.42],
            [0.34, -0.4],
            [0.46, 0.5],
            [0.52, -0.5],
            [0.62, 0.42],
            [0.7, -0.42],
            [0.8, 0.3],
          ] as const
        ).flatMap((place) => body(one.on(place))),
      { veins: false },
    ),
  thrips: () =>
    onLeaf(
      (one) => {
        const places = spread(one, 16);
        const beside = places.filter((_, index) => index % 3 === 0).map(([x, y]): Point => [x + 6, y + 6]);
        return [
          line(places.map(([x, y], index) => `M${x - 3} ${y}l${index % 2 ? "6-3" : "5 4"}`).join("")),
          dots(beside),
        ];
      },
      { veins: false },
    ),
  leafMiner: () =>
    onLeaf(
      (one) => {
        const places = [
          [0.18, 0.45],
          [0.32, 0.95],
          [0.47, 0.05],
          [0.62, 0.95],
          [0.74, 0.1],
          [0.84, 0.4],
        ] as const;
        const way = places.map((place) => one.on(place));
        return [line(through(way) + through(way.map(([x, y]) => [x - 1, y - 6])))];
      },
      { veins: false },
    ),
  fleaBeetle: () =>
    onLeaf((one) => spread(one, 14).map((point, index) => shape(circle(point, index % 3 ? 2.5 : 3.5))), {
      veins: false,
    }),
  rust: () =>
    onLeaf((one) => spread(one, 13).map((point, index) => solid(circle(point, index % 2 ? 3 : 2))), { veins: false }),
  spiderMite: () =>
    onLeaf(
      (one) => [
        dots(spread(one, 24)),
        line("M30 86L60 118L90 86M24 74L54 112M96 74L66 112M38 95L60 104L82 95M46 103L60 110L74 103"),
      ],
      { veins: false },
    ),
  whitefly: () =>
    onLeaf(
      (one) => [
        ...(
          [
            [0.26, -0.4],
            [0.42, 0.45],
            [0.6, -0.45],
            [0.72, 0.35],
          ] as const
        ).map((place) => moth(one.on(place))),
        moth([14, 38]),
        moth([106, 22]),
      ],
      { veins: false },
    ),
  caterpillar: () =>
    onLeaf((one) => {
      const [[x, y], hole] = [whole(one.on([0.55, 1])), whole(one.on([0.38, -0.45]))];
      return [
        { way: "blank", d: `M${x - 3} ${y - 17}h9v34h-9z` },
        shape(`M${x} ${y - 17}c-14-2-18 6-12 11c-12 2-12 13-2 14c-4 8 5 10 13 8`),
        shape(circle(hole, 7)),
        dots([
          [30, 114],
          [40, 117],
          [86, 114],
        ]),
      ];
    }),
  chilled: () =>
    onLeaf((one) =>
      (
        [
          [0.3, 0.4],
          [0.45, -0.45],
          [0.65, 0.3],
          [0.72, -0.25],
        ] as const
      ).map((place, index) => {
        const [x, y] = whole(one.on(place));
        return solid(
          index % 2
            ? `M${x - 8} ${y}q2-8 8-6q8 0 7 7q-3 7-9 4q-6 1-6-5z`
            : `M${x - 7} ${y - 3}q8-6 13 0q3 7-4 9q-9 2-9-9z`,
        );
      }),
    ),
} as const;

/** Grey fur that stands off a dead patch: hairs with a head each. */
export function fur(heads: readonly Point[], [x, y]: Point): readonly Stroke[] {
  const foot = (head: Point): Point => [head[0] + (x - head[0]) * 0.45, head[1] + (y - head[1]) * 0.45];
  return [line(heads.map((head) => `M${at(foot(head))}L${at(head)}`).join("")), dots(heads)];
}

/** The leaf that signs are drawn on. */
const broad = { foot: [60, 108], angle: -90, length: 92, width: 66, veins: true } as const;

function onLeaf(marks: (one: Leaf) => readonly (Stroke | readonly Stroke[])[], form: Partial<LeafForm> = {}): Sketch {
  const one = leaf({ ...broad, ...form });
  return sketch(120, [line("M60 118V106"), one.strokes, ...marks(one)]);
}

/** Points strewn over a leaf, the same each time; by the golden angle, so that none meet. */
function spread(one: Leaf, count: number): readonly Point[] {
  return Array.from({ length: count }, (_, index): Point => {
    const far = 0.36 * Math.sqrt((index + 0.5) / count);
    const turn = index * 2.39996;
    return whole(one.on([0.52 + far * Math.cos(turn), 2.1 * far * Math.sin(turn)]));
  });
}

/** A patch of powder. */
function cluster([x, y]: Point, count: number): readonly Point[] {
  return Array.from({ length: count }, (_, index): Point => {
    const turn = (index * 2 * Math.PI) / (count - 1);
    const far = index === count - 1 ? 0 : 7;
    return whole([x + far * Math.cos(turn), y + far * Math.sin(turn)]);
  });
}

/** An aphid from above. */
function body(place: Point): readonly Stroke[] {
  const [x, y] = whole(place);
  return [
    line(`M${x - 6} ${y - 1}h12M${x - 6} ${y + 5}l12-1M${x - 1} ${y - 5}l-3-5M${x + 1} ${y - 5}l3-5`),
    shape(`M${x} ${y - 6}c4 3 6 12 0 13c-6-1-4-10 0-13z`),
  ];
}

/** A whitefly with its wings spread a little. */
function moth(place: Point): Stroke {
  const [x, y] = whole(place);
  return shape(`M${x} ${y - 4}c-6 1-9 7-6 11c4 0 6-5 6-11c0 6 2 11 6 11c3-4 0-10-6-11z`);
}
