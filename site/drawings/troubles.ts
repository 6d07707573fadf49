import {
  at,
  betweenVeins,
  circle,
  dots,
  type Leaf,
  leaf,
  line,
  type Point,
  type Sketch,
  type Stroke,
  shape,
  sketch,
  solid,
} from "./pen.ts";
import { cup, pair, roots, rosetteLeaves } from "./plants.ts";

/** Where leaves go yellow first, and whether their veins stay green. */
export function yellowing(first: "young" | "old", how: "between" | "whole"): Sketch {
  const places: readonly (readonly [Point, number, number])[] = [
    [[60, 88], -172, 46],
    [[60, 88], -8, 46],
    [[60, 62], -158, 42],
    [[60, 62], -22, 42],
    [[60, 42], -132, 34],
    [[60, 42], -48, 34],
  ];
  return sketch(120, [
    line("M60 116V40"),
    ...places.flatMap(([foot, angle, length], index) => {
      const one = leaf({ foot, angle, length, width: length * 0.5, veins: true });
      const yellow = first === "old" ? index < 2 : index > 3;
      return yellow ? [...one.strokes, one.hatch(how === "between" ? betweenVeins : undefined)] : one.strokes;
    }),
  ]);
}

/** Signs that something is wrong. Hatched is yellow or pale, solid is brown or dead. */
export const signs = {
  tipburn: () => {
    const leaves = rosetteLeaves([60, 96]).map((form) =>
      leaf({ ...form, length: form.length * 1.25, width: form.width * 1.35 }),
    );
    return sketch(120, [
      cup([60, 96]),
      ...leaves.flatMap((one, index) =>
        index > 3 ? [...one.strokes, one.edge(-1, 0.6, 0.98, 0.5), one.edge(1, 0.6, 0.98, 0.5)] : one.strokes,
      ),
    ]);
  },
  saltBurn: () => onLeaf((one) => [one.edge(-1, 0.2, 0.99), one.edge(1, 0.2, 0.99)]),
  dampingOff: () =>
    sketch(120, [
      line("M8 96H112"),
      line("M28 96V56"),
      ...pair([28, 56], 17, 13, "round"),
      line("M62 96C60 90 66 84 80 84L98 86"),
      ...[-30, 60].flatMap((angle) => leaf({ foot: [97, 86], angle, length: 14, width: 11, form: "round" }).strokes),
      solid("M59 96C58 88 62 83 68 82L68 87C65 88 64 92 65 96z"),
      line("M14 104h4M34 106h4M56 104h4M78 106h4M98 104h4"),
    ]),
  bolting: () =>
    sketch(
      210,
      [
        cup([54, 78]),
        ...rosetteLeaves([54, 78])
          .slice(0, 4)
          .flatMap((form) => leaf({ ...form, length: 38, width: 15 }).strokes),
        shape("M48 78L51 22H57L60 78z"),
        line("M52 70L54 28M56 70L55 28"),
        ...[
          [50, 52, -150],
          [58, 42, -30],
          [51, 34, -140],
        ].flatMap(([x, y, angle]) => leaf({ foot: [x!, y!], angle: angle!, length: 15, width: 5 }).strokes),
        ...[
          [54, 18],
          [48, 22],
          [60, 22],
          [54, 10],
        ].map(([x, y]) => shape(circle([x!, y!], 4))),
        cup([158, 78]),
        line("M158 78C156 60 168 44 160 22"),
        ...pair([161, 50], 13, 6),
        ...pair([161, 24], 15, 7),
      ],
      true,
    ),
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
        ).flatMap((place) => cluster(one.on(...place), 7)),
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
      .map((place) => below.on(...place))
      .map(([x, y]) => `M${Math.round(x)} ${Math.round(y)}v-5m0 5l-4-4m4 4l4-4`);
    return sketch(210, [above.strokes, above.hatch(patch), below.strokes, line(fuzz.join(""))], true);
  },
  greyStub: () =>
    sketch(120, [
      line("M52 116V56M68 116V56"),
      ...leaf({ foot: [52, 92], angle: -160, length: 36, width: 16 }).strokes,
      ...leaf({ foot: [68, 78], angle: -20, length: 36, width: 16 }).strokes,
      solid("M52 64V40C56 36 64 36 68 40V64C64 60 56 68 52 64z"),
      line("M54 38l-6-12M58 36l-3-17M62 36l2-19M66 38l7-13M51 46l-10-6M69 46l10-7M51 54l-9-1M69 54l9-2"),
      dots([
        [48, 26],
        [55, 18],
        [64, 16],
        [73, 24],
        [41, 40],
        [79, 39],
        [42, 53],
        [78, 52],
      ]),
    ]),
  greyLeaf: () =>
    onLeaf((one) => [
      one.edge(-1, 0.62, 1, 0.95),
      one.edge(1, 0.66, 1, 0.95),
      fur(
        [
          [40, 36],
          [46, 26],
          [54, 18],
          [62, 14],
          [68, 20],
          [75, 28],
          [80, 38],
        ],
        [60, 44],
      ),
    ]),
  greyBerry: () =>
    sketch(120, [
      shape("M60 26C92 22 100 48 88 74C80 92 68 106 60 108C52 106 40 92 32 74C20 48 28 22 60 26z"),
      shape("M60 28L46 16L48 28L30 28L44 36L40 46L54 38L60 48L66 38L80 46L76 36L90 28L72 28L74 16z"),
      line("M60 26V6"),
      dots([
        [40, 58],
        [52, 64],
        [46, 76],
        [60, 80],
        [64, 62],
        [54, 92],
        [36, 46],
      ]),
      solid("M72 62C84 54 92 58 90 70C86 82 78 90 70 88C62 82 64 68 72 62z"),
      fur(
        [
          [66, 58],
          [78, 50],
          [92, 54],
          [98, 68],
          [92, 82],
          [80, 94],
          [68, 96],
        ],
        [78, 74],
      ),
    ]),
  aphids: () =>
    onLeaf((one) =>
      (
        [
          [0.3, 0.25],
          [0.38, -0.3],
          [0.47, 0.3],
          [0.52, -0.2],
          [0.6, 0.3],
          [0.66, -0.35],
          [0.74, 0.15],
        ] as const
      ).flatMap((place, index) => body(one.on(...place), index)),
    ),
  thrips: () =>
    onLeaf((one) => {
      const places = spread(one, 15);
      return [
        line(places.map(([x, y], index) => `M${x} ${y}l${index % 2 ? "6-3" : "4 4"}`).join("")),
        dots(places.filter((_, index) => index % 3 === 0).map(([x, y]) => [x + 6, y + 5])),
      ];
    }),
  leafMiner: () =>
    onLeaf((one) => {
      const way = (
        [
          [0.22, 0.3],
          [0.34, 0.65],
          [0.42, 0.25],
          [0.52, 0.7],
          [0.6, 0.3],
          [0.7, 0.55],
          [0.76, 0.2],
        ] as const
      ).map((place) => one.on(...place));
      const trail = (off: number) =>
        `M${way.map(([x, y]) => `${Math.round(x + off)} ${Math.round(y - off)}`).join("L")}`;
      return [
        line(`${trail(0)}${trail(4)}`),
        dots(way.slice(0, 5).map(([x, y]) => [Math.round(x + 2), Math.round(y - 2)])),
      ];
    }),
  fleaBeetle: () => onLeaf((one) => spread(one, 14).map((point, index) => shape(circle(point, index % 3 ? 2.5 : 3.5)))),
  rust: () => onLeaf((one) => spread(one, 13).map((point, index) => solid(circle(point, index % 2 ? 3 : 2)))),
  spiderMite: () => {
    const one = leaf(broad);
    return sketch(120, [
      ...one.strokes,
      dots(spread(one, 22)),
      line("M22 88Q40 96 60 102M14 70Q30 96 60 108M98 88Q80 96 60 102M106 70Q90 96 60 108M22 88L14 70M98 88L106 70"),
    ]);
  },
  whitefly: () =>
    onLeaf((one) => [
      ...(
        [
          [0.3, -0.35],
          [0.45, 0.4],
          [0.62, -0.3],
          [0.72, 0.3],
        ] as const
      ).map((place) => moth(one.on(...place))),
      moth([14, 34]),
      moth([104, 26]),
    ]),
  caterpillar: () => {
    const one = leaf({ ...broad, veins: true });
    const [bite, hole] = [one.on(0.6, 1), one.on(0.4, -0.45)];
    return sketch(120, [
      ...one.strokes,
      { way: "leaf", d: `M${Math.round(bite[0]) - 1} ${Math.round(bite[1]) - 16}c-22 4-18 12-10 15c-12 6-6 16 13 15` },
      shape(circle(hole, 7)),
      dots([
        [24, 112],
        [32, 115],
        [92, 113],
      ]),
    ]);
  },
  blossomEndRot: () =>
    sketch(120, [
      line("M60 6V24"),
      shape("M60 26C30 14 16 40 20 64C24 92 44 106 60 106C78 106 98 90 100 64C102 38 88 14 60 26z"),
      shape("M60 26L44 18L52 28L40 36L58 32L66 42L66 31L82 34L70 26L76 16z"),
      solid("M38 92C46 84 74 82 84 92C76 102 70 106 60 106C52 106 44 100 38 92z"),
    ]),
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
        const [x, y] = one.on(...place).map(Math.round) as unknown as Point;
        return solid(
          index % 2
            ? `M${x - 8} ${y}q2-8 8-6q8 0 7 7q-3 7-9 4q-6 1-6-5z`
            : `M${x - 7} ${y - 3}q8-6 13 0q3 7-4 9q-9 2-9-9z`,
        );
      }),
    ),
  mouldOrHairs: () => {
    const seeds = (x: number): readonly Point[] => [
      [x - 26, 88],
      [x, 86],
      [x + 26, 88],
      [x - 13, 74],
      [x + 13, 73],
    ];
    const drawn = (points: readonly Point[]) => points.map((point) => shape(circle(point, 6)));
    const root = ([x, y]: Point) =>
      `M${x} ${y - 6}v-18M${x} ${y - 10}h-5m5 0h5M${x} ${y - 14}h-6m6 0h6M${x} ${y - 18}h-5m5 0h5`;
    return sketch(
      210,
      [
        line("M12 97H96M116 97H200"),
        line(
          "M28 88Q40 60 67 73M41 74Q54 44 80 88M54 86Q30 58 22 70M67 73Q70 50 92 62M28 88Q50 96 54 86M54 86Q66 98 80 88M41 74Q54 66 67 73",
        ),
        drawn(seeds(54)),
        line(
          [
            [132, 88],
            [158, 86],
            [184, 88],
          ]
            .map(([x, y]) => root([x!, y!]))
            .join(""),
        ),
        drawn(seeds(158).slice(0, 3)),
      ],
      true,
    );
  },
  rootRot: roots,
} as const;

/** The leaf that signs are drawn on. */
const broad = { foot: [60, 108], angle: -90, length: 92, width: 66, veins: true } as const;

function onLeaf(marks: (one: Leaf) => readonly (Stroke | readonly Stroke[])[]): Sketch {
  const one = leaf(broad);
  return sketch(120, [line("M60 118V106"), ...one.strokes, ...marks(one)]);
}

/** Points strewn over a leaf, the same each time; by the golden angle, so that none meet. */
function spread(one: Leaf, count: number): readonly Point[] {
  return Array.from({ length: count }, (_, index): Point => {
    const far = 0.36 * Math.sqrt((index + 0.5) / count);
    const turn = index * 2.39996;
    const [x, y] = one.on(0.52 + far * Math.cos(turn), 2.1 * far * Math.sin(turn));
    return [Math.round(x), Math.round(y)];
  });
}

/** A patch of powder. */
function cluster([x, y]: Point, count: number): readonly Point[] {
  return Array.from({ length: count }, (_, index): Point => {
    const turn = (index * 2 * Math.PI) / (count - 1);
    const far = index === count - 1 ? 0 : 7;
    return [Math.round(x + far * Math.cos(turn)), Math.round(y + far * Math.sin(turn))];
  });
}

/** Grey fur that stands off a dead patch: hairs with a head each. */
function fur(heads: readonly Point[], [x, y]: Point): readonly Stroke[] {
  const foot = (head: Point): Point => [head[0] + (x - head[0]) * 0.45, head[1] + (y - head[1]) * 0.45];
  return [line(heads.map((head) => `M${at(foot(head))}L${at(head)}`).join("")), dots(heads)];
}

/** An aphid from above. */
function body([px, py]: Point, index: number): readonly Stroke[] {
  const [x, y] = [Math.round(px), Math.round(py)];
  return [
    line(`M${x - 7} ${y - 2}l14 4M${x - 7} ${y + 3}l14-4M${x - 2} ${y - 6}l-3-5M${x + 2} ${y - 6}l3-5`),
    shape(`M${x} ${y - 7}c5 3 6 13 0 ${index % 2 ? 14 : 13}c-6 0-5-10 0-13z`),
  ];
}

/** A whitefly with its wings folded. */
function moth([px, py]: Point): Stroke {
  const [x, y] = [Math.round(px), Math.round(py)];
  return shape(`M${x} ${y - 4}l6 10h-12zm0 0v10`);
}
