/** A straight scale: where a value stands on it [%], and the round numbers that are written below it. */
export interface Scale {
  at(value: number): number;
  readonly ticks: readonly number[];
}

/** A scale that holds every value given, with a little room at both ends; at most seven numbers below it. */
export function scaleOf(values: readonly number[]): Scale {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const width = most - least || Math.abs(most) || 1;
  const [low, high] = [least - 0.04 * width, most + 0.04 * width];
  const step = stepFor((high - low) / 6);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return {
    at: (value) => Number((((value - low) / (high - low)) * 100).toFixed(2)),
    // Rounded again, as a step of a tenth is no exact number.
    ticks: Array.from({ length: last - first + 1 }, (_, index) => Number(((first + index) * step).toPrecision(12))),
  };
}

/** One, two or five times a power of ten, no smaller than asked. */
function stepFor(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((times) => times * power).find((step) => step >= least * (1 - 1e-9)) ?? 10 * power;
}

/** How far each value is moved off the line [px], so that one does not hide another that is within 4 % of the scale. */
export function offsets(values: readonly number[], { at }: Scale): readonly number[] {
  const moved = values.map(() => 0);
  const order = values.map((_, index) => index).sort((a, b) => values[a]! - values[b]!);
  for (const [rank, index] of order.entries()) {
    const near = order.slice(0, rank).filter((other) => at(values[index]!) - at(values[other]!) < 4);
    moved[index] = steps.find((step) => near.every((other) => moved[other] !== step)) ?? 0;
  }
  return moved;
}

const steps = [0, -5, 5, -9, 9] as const;
