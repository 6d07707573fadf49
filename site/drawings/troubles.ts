import { fur } from "./leaves.ts";
import { betweenVeins, circle, dots, leaf, line, type Point, type Sketch, shape, sketch, solid } from "./pen.ts";
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

/** Signs that something is wrong, on a whole plant. Hatched is yellow or pale, solid is brown or dead. */
export const plantSigns = {
  tipburn: () =>
    sketch(
      120,
      fromAbove().map((one, index) =>
        index < 6 ? one.strokes : [...one.strokes, one.edge(-1, 0.6, 0.97, 0.5), one.edge(1, 0.6, 0.97, 0.5)],
      ),
    ),
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
  blossomEndRot: () =>
    sketch(120, [
      line("M60 6V24"),
      shape("M60 26C30 14 16 40 20 64C24 92 44 106 60 106C78 106 98 90 100 64C102 38 88 14 60 26z"),
      shape("M60 26L44 18L52 28L40 36L58 32L66 42L66 31L82 34L70 26L76 16z"),
      solid("M38 92C46 84 74 82 84 92C76 102 70 106 60 106C52 106 44 100 38 92z"),
    ]),
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
