import {
  at,
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
} from "./pen.ts";

/** The forms that seed leaves come in. */
export type SeedForm = "round" | "notched" | "strap";

/** The two seed leaves open on their plug, and nothing between them yet. */
export function seedLeaves(form: SeedForm): Sketch {
  return sketch(120, [plug([60, 76]), seedling([60, 76], 0, { form, stem: 30, size: 1.7 })]);
}

/** A young plant with so many true leaves, over its two seed leaves. */
export function trueLeaves(count: number): Sketch {
  return sketch(120, [plug([60, 84]), seedling([60, 84], count)]);
}

/** A plug ready to move, with roots at its foot, beside one that is not. */
export function plugReady(count: number): Sketch {
  const few = Math.max(0, Math.min(count - 2, 1));
  return sketch(
    210,
    [
      plug([54, 58], [-9, -3, 3, 9]),
      seedling([54, 58], count, { size: 0.8 }),
      plug([158, 58]),
      seedling([158, 58], few, { size: 0.8 }),
    ],
    true,
  );
}

/** White roots that hang below the cup. */
export function hangingRoots(): Sketch {
  return sketch(120, [seedling([60, 40], 4, { size: 0.55 }), cup([60, 40]), hanging([60, 66], 46)]);
}

/** Sound roots beside rotten ones. */
export function roots(): Sketch {
  const rotten: readonly Point[][] = [
    [
      [150, 48],
      [147, 64],
      [150, 82],
    ],
    [
      [158, 48],
      [160, 70],
      [156, 94],
    ],
    [
      [166, 48],
      [169, 62],
      [165, 80],
    ],
  ];
  return sketch(
    210,
    [
      cup([54, 20]),
      hanging([54, 46], 48),
      cup([158, 20]),
      ...rotten.map(([top, middle, foot]) =>
        solid(
          `M${at([top![0] - 3, top![1]])}Q${at([middle![0] - 5, middle![1]])} ${at(foot!)}q4 4 5-3Q${at([middle![0] + 5, middle![1]])} ${at([top![0] + 3, top![1]])}z`,
        ),
      ),
      dots([
        [152, 92],
        [164, 90],
        [161, 100],
      ]),
    ],
    true,
  );
}

/** A cup in its port, from the middle of its rim. */
export function cup([x, y]: Point): Stroke {
  return shape(`M${x - 18} ${y}h36l-7 26h-22z`);
}

/** Sound roots hanging from a foot. */
export function hanging([x, y]: Point, length: number): Stroke {
  const strands = [-9, -5, -1, 3, 8];
  return line(
    strands
      .map((off, index) => {
        const down = length * [0.75, 1, 0.88, 0.96, 0.7][index]!;
        return `M${x + off} ${y}c${off - 3} ${down * 0.3} ${off + 5} ${down * 0.6} ${off} ${down}${index % 2 ? `m-1 ${-down * 0.45}l5 6` : `m1 ${-down * 0.5}l-6 5`}`;
      })
      .join(""),
  );
}

/** Leaves in a pair to the left and right of a point. */
export function pair(foot: Point, length: number, width: number, form: LeafForm["form"] = "oval"): readonly Stroke[] {
  return [-155, -25].flatMap((angle) => leaf({ foot, angle, length, width, form }).strokes);
}

/** A seedling on its plug: two seed leaves below, true leaves in pairs above, an odd one at the top. */
export function seedling(
  [x, y]: Point,
  count: number,
  {
    form = "round",
    stem = 18,
    size = 1,
  }: { readonly form?: SeedForm; readonly stem?: number; readonly size?: number } = {},
): readonly Stroke[] {
  const height = (stem + Math.ceil(count / 2) * 15) * Math.min(size, 1);
  const low = y - stem * Math.min(size, 1) * 0.8;
  const seedSize = form === "strap" ? [20, 5] : [14, 12];
  const strokes: Stroke[] = [line(`M${at([x, y])}V${at([x, y - height]).split(" ")[1]}`)];
  const seeds = [-170, -10].flatMap(
    (angle) => leaf({ foot: [x, low], angle, length: seedSize[0]! * size, width: seedSize[1]! * size, form }).strokes,
  );
  const leaves = Array.from({ length: count }, (_, index) => {
    const level = Math.floor(index / 2);
    const alone = index === count - 1 && count % 2 === 1;
    const angle = alone ? -84 : index % 2 ? -32 - level * 12 : -148 + level * 12;
    const foot: Point = [x, low - 13 * size * (level + 1)];
    return leaf({ foot, angle, length: (32 - level * 3) * size, width: (17 - level) * size }).strokes;
  }).flat();
  return [...strokes, ...seeds, ...leaves];
}

/** A plug from the middle of its top, with roots at its foot or none. */
function plug([x, y]: Point, feet: readonly number[] = []): readonly Stroke[] {
  return [
    shape(`M${x - 16} ${y}h32l-5 30h-22z`),
    dots([
      [x - 8, y + 9],
      [x + 3, y + 7],
      [x + 8, y + 16],
      [x - 3, y + 19],
    ]),
    line(
      feet
        .map((off, index) => `M${x + off} ${y + 30}q${index % 2 ? 4 : -4} 5 ${off / 3} ${index % 2 ? 14 : 11}`)
        .join(""),
    ),
  ];
}

/** A rosette as one looks down on it: six outer leaves, then four, then three young ones in the middle. */
export function fromAbove(): readonly Leaf[] {
  const rings = [
    { count: 6, length: 54, width: 38, turn: 15 },
    { count: 4, length: 37, width: 28, turn: 45 },
    { count: 3, length: 22, width: 17, turn: 90 },
  ];
  return rings.flatMap(({ count, length, width, turn }) =>
    Array.from({ length: count }, (_, index) =>
      leaf({ foot: [60, 60], angle: turn + (index * 360) / count, length, width, form: "round" }),
    ),
  );
}

/** The leaves of a rosette from the side, the outer ones first. */
export function rosetteLeaves([x, y]: Point): readonly LeafForm[] {
  return [
    { angle: -158, length: 50, width: 20, bend: -0.1 },
    { angle: -22, length: 50, width: 20, bend: 0.1 },
    { angle: -128, length: 50, width: 20 },
    { angle: -52, length: 50, width: 20 },
    { angle: -106, length: 38, width: 16 },
    { angle: -74, length: 38, width: 16 },
    { angle: -90, length: 26, width: 11 },
  ].map((form) => ({ ...form, foot: [x, y] as const }));
}
