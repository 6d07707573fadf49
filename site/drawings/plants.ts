import {
  at,
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

/** A branch's end: two leaves and a third between. */
function tip(foot: Point): readonly Stroke[] {
  return [-160, -20, -90].flatMap((angle) => leaf({ foot, angle, length: 20, width: 11 }).strokes);
}

/** A rosette as one looks down on it: seven outer leaves, then five, then three young ones in the middle. */
export function fromAbove(): readonly Leaf[] {
  const rings = [
    { count: 7, length: 54, width: 34, turn: 10 },
    { count: 5, length: 36, width: 25, turn: 40 },
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
