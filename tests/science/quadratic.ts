import * as highs from "highs";

/** Starts HiGHS. Its types speak of CommonJS, where the loader is the default of a default; at run time it is the default. */
export const loadHighs = highs.default as unknown as typeof highs.default.default;

/** The same question as model text: minimise ½·xᵀ(2AᵀA)x − 2(Aᵀb)ᵀx with x ≥ 0. */
export function quadratic(columns: readonly (readonly number[])[], target: readonly number[]): string {
  const signed = (value: number) => `${value < 0 ? "-" : "+"} ${Math.abs(value).toPrecision(17)}`;
  const linear = columns.map((column, index) => `${signed(-2 * dot(column, target))} x${index}`);
  const products = columns.flatMap((column, index) =>
    columns.slice(index).map((other, further) => {
      const value = (further === 0 ? 2 : 4) * dot(column, other);
      return `${signed(value)} x${index} ${further === 0 ? "^ 2" : `* x${index + further}`}`;
    }),
  );
  return `Minimize\n obj: ${linear.join(" ")} + [ ${products.join(" ")} ] / 2\nSubject To\n c0: x0 >= 0\nBounds\n${columns
    .map((_, index) => ` x${index} >= 0`)
    .join("\n")}\nEnd\n`;
}

/** The values of x0, x1 … that HiGHS found. */
export function valuesIn(solution: { readonly Columns: Readonly<Record<string, object>> }): number[] {
  return Object.entries(solution.Columns).map(([name, column]) => {
    if (!("Primal" in column) || typeof column.Primal !== "number") throw new Error(`HiGHS found no value for ${name}`);
    return column.Primal;
  });
}

/** Quiet, and without the small term that the solver adds of its own accord. */
export const exactly: Readonly<{ output_flag: false }> = Object.assign(
  { output_flag: false as const },
  { qp_regularization_value: 0 },
);

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, row) => sum + value * b[row]!, 0);
}
