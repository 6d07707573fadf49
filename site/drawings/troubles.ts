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
} from "./pen.ts";
import { cup, fromAbove, pair, roots, rosetteLeaves } from "./plants.ts";

/** Where leaves go yellow first, and whether their veins stay green. */
export function yellowing(first: "young" | "old", how: "between" | "whole"): Sketch {
  const places: readonly (readonly [Point, number, number])[] = [
    [[60, 98], -172, 58],
    [[60, 98], -8, 58],
    [[60, 56], -145, 54],
    [[60, 56], -35, 54],
  ];
  return sketch(120, [
    line("M60 118V54"),
    ...places.map(([foot, angle, length], index) => {
      const yellow = (first === "old") === index < 2;
      const one = leaf({ foot, angle, length, width: length * 0.58, veins: how === "between" || !yellow });
      return yellow ? [...one.strokes, one.hatch(how === "between" ? betweenVeins : undefined)] : one.strokes;
    }),
  ]);
}

/** Signs that something is wrong. Hatched is yellow or pale, solid is brown or dead. */
export const signs = {
  tipburn: () =>
    sketch(
      120,
      fromAbove().map((one, index) =>
        index < 7 ? one.strokes : [...one.strokes, one.edge(-1, 0.6, 0.97, 0.5), one.edge(1, 0.6, 0.97, 0.5)],
      ),
    ),
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
        cup([54, 80]),
        ...rosetteLeaves([54, 80])
          .slice(0, 2)
          .flatMap((form) => leaf({ ...form, length: 40, width: 15 }).strokes),
        ...(
          [
            [50, 66, -150],
            [59, 56, -28],
            [51, 44, -148],
            [57, 36, -30],
          ] as const
        ).flatMap(([x, y, angle]) => leaf({ foot: [x, y], angle, length: 20, width: 8 }).strokes),
        shape("M46 80L51 22H57L62 80z"),
        line("M52 72L53.5 28M57 72L55 28"),
        ...(
          [
            [48, 19],
            [60, 19],
            [51, 11],
            [57, 11],
            [54, 20],
          ] as const
        ).map((bud) => shape(circle(bud, 4))),
        cup([158, 80]),
        line("M158 80C152 58 170 42 161 16"),
        ...pair([161, 48], 13, 6),
        ...pair([161, 18], 15, 7),
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
        ).flatMap((place) => body(one.on(...place))),
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
        const way = places.map((place) => one.on(...place));
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
        ).map((place) => moth(one.on(...place))),
        moth([14, 38]),
        moth([106, 22]),
      ],
      { veins: false },
    ),
  caterpillar: () =>
    onLeaf((one) => {
      const [[x, y], hole] = [one.on(0.55, 1), one.on(0.38, -0.45)].map(
        ([across, down]): Point => [Math.round(across), Math.round(down)],
      ) as [Point, Point];
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
    const seeds: readonly Point[] = [
      [28, 88],
      [54, 89],
      [80, 88],
      [41, 72],
      [67, 71],
    ];
    const rooted: readonly Point[] = [
      [132, 60],
      [158, 56],
      [184, 60],
    ];
    const root = ([x, y]: Point) =>
      `M${x} ${y}V97${[14, 20, 26].map((down, index) => `M${x - 7 + index} ${y + down - 2}L${x} ${y + down}L${x + 7 - index} ${y + down - 2}`).join("")}`;
    return sketch(
      210,
      [
        line("M10 97H98M114 97H202"),
        line(
          "M20 66Q40 52 67 71M41 72Q58 46 90 64M54 89Q22 78 16 80M28 88Q46 60 41 72M67 71Q76 60 80 88M28 88Q40 98 54 89M54 89Q70 98 80 88M41 72Q54 84 67 71M41 72L54 89L67 71M80 88Q88 74 96 76",
        ),
        ...seeds.map((seed) => shape(circle(seed, 7))),
        line(rooted.map(root).join("")),
        ...rooted.map((seed) => shape(circle(seed, 7))),
      ],
      true,
    );
  },
  rootRot: roots,
} as const;

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
function body([px, py]: Point): readonly Stroke[] {
  const [x, y] = [Math.round(px), Math.round(py)];
  return [
    line(`M${x - 6} ${y - 1}h12M${x - 6} ${y + 5}l12-1M${x - 1} ${y - 5}l-3-5M${x + 1} ${y - 5}l3-5`),
    shape(`M${x} ${y - 6}c4 3 6 12 0 13c-6-1-4-10 0-13z`),
  ];
}

/** A whitefly with its wings spread a little. */
function moth([px, py]: Point): Stroke {
  const [x, y] = [Math.round(px), Math.round(py)];
  return shape(`M${x} ${y - 4}c-6 1-9 7-6 11c4 0 6-5 6-11c0 6 2 11 6 11c3-4 0-10-6-11z`);
}
