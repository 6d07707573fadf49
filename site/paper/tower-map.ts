import type { Sum } from "../figures.ts";
import { nameOf } from "../names.ts";
import { answerAt } from "../sums.ts";

export const faces = ["N", "E", "S", "W"] as const;

/** The shapes that tell crops apart without colour, drawn in a square of 20. */
export const shapes = [
  "M10 2a8 8 0 1 0 .01 0z",
  "M3 3h14v14H3z",
  "M10 2l8.5 15h-17z",
  "M10 1l9 9-9 9-9-9z",
  "M7 2h6v5h5v6h-5v5H7v-5H2V7h5z",
  "M1.5 3h17L10 18z",
  "M6 2h8l5 8-5 8H6L1 10z",
  "M2 6h16v8H2z",
] as const;

/** A crop on a map: its sign, its letters, and how many to carry to one tower. */
export interface Carried {
  readonly id: string;
  readonly name: string;
  readonly shape: string;
  readonly hollow: boolean;
  readonly count: number;
}

/** One port of a map. */
export interface Port {
  readonly crop: string | undefined;
  /** Short of light. */
  readonly amber: boolean;
  /** It stays there whatever else is planted. */
  readonly pinned: boolean;
}

/** The tiers from the top down, as one stands before the tower. */
export function tiersDown(planting: Sum): readonly { readonly tier: number; readonly ports: readonly Port[] }[] {
  const map = table(answerAt(planting, "map"));
  const amber = answerAt(planting, "amber");
  const short = new Set(
    (Array.isArray(amber) ? (amber as readonly { tier: number; face: string }[]) : []).map(
      ({ tier, face }) => `${tier}${face}`,
    ),
  );
  const pins = new Set(
    ((planting.input.pins ?? []) as readonly { tier: number; face: string }[]).map(
      ({ tier, face }) => `${tier}${face}`,
    ),
  );
  return Object.keys(map)
    .map(Number)
    .sort((a, b) => b - a)
    .map((tier) => ({
      tier,
      ports: faces.map((face) => {
        const crop = map[tier]?.[face];
        const port = `${tier}${face}`;
        return { crop: crop ?? undefined, amber: short.has(port), pinned: pins.has(port) };
      }),
    }));
}

/** What to carry to one tower, the crop with most plants first. */
export function carried(planting: Sum): readonly Carried[] {
  const counts = new Map<string, number>();
  for (const { ports } of tiersDown(planting))
    for (const { crop } of ports) if (crop) counts.set(crop, (counts.get(crop) ?? 0) + 1);
  return [...counts]
    .sort(([a, many], [b, few]) => few - many || (a < b ? -1 : 1))
    .map(([id, count], index) => ({
      id,
      name: nameOf(id),
      shape: shapes[index % shapes.length]!,
      hollow: index >= shapes.length,
      count,
    }));
}

/** Why each port has what it has: ports of one crop with one reason together, from the top. */
export function reasons(
  planting: Sum,
): readonly { readonly crop: string; readonly ports: string; readonly why: string }[] {
  const why = table(answerAt(planting, "why"));
  const found = new Map<string, { crop: string; ports: string[]; why: string }>();
  for (const { tier, ports } of tiersDown(planting)) {
    ports.forEach(({ crop }, index) => {
      const face = faces[index]!;
      const reason = why[tier]?.[face];
      if (!crop || !reason) return;
      const key = `${crop} ${reason}`;
      const group = found.get(key) ?? { crop: nameOf(crop), ports: [], why: reason };
      group.ports.push(`${tier}${face}`);
      found.set(key, group);
    });
  }
  return [...found.values()].map(({ ports, ...said }) => ({ ...said, ports: ports.join(" ") }));
}

function table(value: unknown): Readonly<Record<number, Readonly<Record<string, string | undefined>>>> {
  return typeof value === "object" && value !== null ? (value as Record<number, Record<string, string>>) : {};
}
