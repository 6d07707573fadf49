/** How a stroke of the pen is laid down: a line, an outline that hides what is behind it, bare paper, solid ink, dots. */
export type Way = "line" | "leaf" | "blank" | "solid" | "dots";

/** One pass of the pen, as the `d` of an SVG path. */
export interface Stroke {
  readonly way: Way;
  readonly d: string;
}

/** A finished drawing. A pair has a word under each half. */
export interface Sketch {
  readonly width: number;
  readonly strokes: readonly Stroke[];
  readonly pair?: true;
}

export const line = (d: string): Stroke => ({ way: "line", d });
export const solid = (d: string): Stroke => ({ way: "solid", d });
export const shape = (d: string): Stroke => ({ way: "leaf", d });

/** Round dots at some points. */
export const dots = (points: readonly Point[]): Stroke => ({
  way: "dots",
  d: points.map((point) => `M${at(point)}h0`).join(""),
});

export type Point = readonly [x: number, y: number];

/** A leaf, and how to draw on it: `along` runs from its foot, 0, to its tip, 1; `across` from its left edge, −1, to its right, 1. */
export interface Leaf {
  readonly strokes: readonly Stroke[];
  on(place: Point): Point;
  /** Slanting lines where `where` holds; for yellow and pale. */
  hatch(where?: (along: number, across: number) => boolean): Stroke;
  /** Solid ink between two distances from the midrib, on the side named; for brown and dead. */
  edge(side: -1 | 1, from: number, to: number, depth?: number): Stroke;
}

export interface LeafForm {
  readonly foot: Point;
  /** Which way it points [°], 0 to the right, −90 up. */
  readonly angle: number;
  readonly length: number;
  readonly width: number;
  readonly form?: "oval" | "round" | "notched" | "strap";
  readonly veins?: boolean;
  /** How far the tip hangs to its right, as a part of its length. */
  readonly bend?: number;
}

/** Where side veins leave the midrib. */
const veinStarts = [0.25, 0.45, 0.65];
const veinRise = 0.2;

/** Draws a leaf. */
export function leaf({ foot, angle, length, width, form = "oval", veins = false, bend = 0 }: LeafForm): Leaf {
  const turn = (angle * Math.PI) / 180;
  const place = (along: number, off: number): Point => {
    const aside = off + bend * length * along ** 2;
    const u = along * length;
    return [
      foot[0] + u * Math.cos(turn) - aside * Math.sin(turn),
      foot[1] + u * Math.sin(turn) + aside * Math.cos(turn),
    ];
  };
  const { first, second, lift, end } = forms[form];
  const high = (width / 2 / 0.75) * lift;
  const halfAt = (along: number): number => {
    let [low, top] = [0, 1];
    for (let step = 0; step < 20; step++) {
      const middle = (low + top) / 2;
      if (bezier(middle, 0, first, second, end) < along) low = middle;
      else top = middle;
    }
    return bezier(low, 0, high, high, 0);
  };
  const on = ([along, across]: Point) => place(along, across * halfAt(along));
  const side = (sign: number) => `C${at(place(first, sign * high))} ${at(place(second, sign * high))} `;
  const back = `C${at(place(second, high))} ${at(place(first, high))} ${at(foot)}z`;
  const rib = `M${at(foot)}Q${at(place(0.5, 0))} ${at(place(end * 0.86, 0))}`;
  const branches = veins
    ? veinStarts.map((start) =>
        [-0.75, 0.75].map((to) => `M${at(on([start, 0]))}L${at(on([start + veinRise, to]))}`).join(""),
      )
    : [];
  return {
    strokes: [shape(`M${at(foot)}${side(-1)}${at(place(end, 0))}${back}`), line(rib + branches.join(""))],
    on,
    hatch: (where = () => true) => line(hatched(place, halfAt, length, width, where)),
    edge: (sign, from, to, depth = 0.34) => {
      const steps = Array.from({ length: 5 }, (_, index) => from + ((to - from) * index) / 4);
      const outer = steps.map((along) => at(on([along, sign])));
      const inner = steps.map((along, index) => at(on([along, sign * (1 - depth * (index % 2 ? 1 : 0.7))])));
      return solid(`M${[...outer, ...inner.reverse()].join("L")}z`);
    },
  };
}

/** Away from the veins of a leaf. */
export function betweenVeins(along: number, across: number): boolean {
  const far = Math.abs(across);
  return far > 0.22 && veinStarts.every((start) => Math.abs(along - start - (veinRise * far) / 0.75) > 0.07);
}

/** A stem or root through some points, drawn in one go. */
export function through(points: readonly Point[]): string {
  const [first, second, ...rest] = points;
  if (!first || !second) return "";
  const turns = rest.map((point, index) => {
    const before = points[index + 1]!;
    return `Q${at(before)} ${at(index === rest.length - 1 ? point : [(before[0] + point[0]) / 2, (before[1] + point[1]) / 2])}`;
  });
  return `M${at(first)}${rest.length === 0 ? `L${at(second)}` : turns.join("")}`;
}

export const circle = ([x, y]: Point, r: number): string =>
  `M${at([x - r, y])}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0-${2 * r} 0z`;

/** The same strokes elsewhere would be other numbers; so drawings are given their place, and this joins their parts. */
export function sketch(width: number, parts: readonly (Stroke | readonly Stroke[])[], pair?: true): Sketch {
  const strokes: Stroke[] = [];
  for (const stroke of parts.flat()) {
    const last = strokes.at(-1);
    if (last?.way === stroke.way && stroke.way !== "leaf")
      strokes[strokes.length - 1] = { ...last, d: last.d + stroke.d };
    else strokes.push(stroke);
  }
  return { width, strokes, ...(pair ? { pair } : {}) };
}

/** A point moved to whole units. */
export const whole = ([x, y]: Point): Point => [Math.round(x), Math.round(y)];

/** A point, to a whole unit: finer is not to be seen. */
export function at([x, y]: Point): string {
  const near = (value: number) => String(Math.round(value));
  return `${near(x)} ${near(y)}`;
}

const forms = {
  oval: { first: 0.2, second: 0.75, lift: 1, end: 1 },
  round: { first: 0.02, second: 1, lift: 1, end: 1 },
  notched: { first: 0.1, second: 1.2, lift: 1.05, end: 0.8 },
  strap: { first: 0.1, second: 0.9, lift: 0.9, end: 1 },
} as const;

function bezier(step: number, a: number, b: number, c: number, d: number): number {
  const left = 1 - step;
  return left ** 3 * a + 3 * left ** 2 * step * b + 3 * left * step ** 2 * c + step ** 3 * d;
}

function hatched(
  place: (along: number, off: number) => Point,
  halfAt: (along: number) => number,
  length: number,
  width: number,
  where: (along: number, across: number) => boolean,
): string {
  const lines: string[] = [];
  const gap = 5;
  for (let start = -width / 2; start < length + width / 2; start += gap) {
    let from: Point | undefined;
    let last: Point | undefined;
    for (let off = -width / 2; off <= width / 2; off += 0.5) {
      const along = (start + off) / length;
      const half = along > 0.03 && along < 0.97 ? halfAt(along) - 1.5 : 0;
      const inside = half > 0 && Math.abs(off) < half && where(along, off / half);
      const point = place(along, off);
      if (inside) {
        from ??= point;
        last = point;
      }
      if (from && last && (!inside || off + 0.5 > width / 2)) {
        if (Math.hypot(last[0] - from[0], last[1] - from[1]) > 1.5) lines.push(`M${at(from)}L${at(last)}`);
        from = undefined;
      }
    }
  }
  return lines.join("");
}
