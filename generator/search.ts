import * as highs from "highs";
import type { Model, Search } from "./plan/choose.ts";

/**
 * An exact search by branch and bound in the HiGHS solver. It is given up after a number of nodes and not after a time, so
 * that the same model always has the same answer.
 */
export async function loadSearch(nodes = 50): Promise<Search> {
  const solver = await load();
  return (model) => {
    const solution = solver.solve(asText(model), { ...options, mip_max_nodes: nodes });
    if (solution.Status !== "Optimal") return undefined;
    return model.columns.flatMap((_, column) => {
      const value = solution.Columns[`x${column}`];
      return value && "Primal" in value && value.Primal > 0.5 ? [column] : [];
    });
  };
}

/** The loader's types speak of CommonJS, where it is the default of a default; at run time it is the default. */
const load = highs.default as unknown as typeof highs.default.default;

const options = { output_flag: false, mip_rel_gap: 1e-3, mip_abs_gap: 0.5, threads: 1, random_seed: 0 } as const;

/** The model in the LP format: one column a group or none of it, at what each costs, and no row over its limit. */
function asText({ columns, without, rows }: Model): string {
  const groups: string[][] = without.map((_, group) => [`n${group}`]);
  for (const [column, { group }] of columns.entries()) groups[group]!.push(`x${column}`);
  const costs = [
    ...columns.map(({ cost }, column) => `+ ${cost} x${column}`),
    ...without.map((cost, group) => `+ ${cost} n${group}`),
  ];
  const oneOf = groups.map((members, group) => ` g${group}: ${members.join(" + ")} = 1`);
  const limits = rows.map(
    ({ at, most }, row) => ` r${row}: ${wrapped(at.map(([column, amount]) => `+ ${amount} x${column}`))} <= ${most}`,
  );
  const names = columns.map((_, column) => ` x${column}`);
  return [
    "Minimize",
    ` cost: ${wrapped(costs)}`,
    "Subject To",
    ...oneOf,
    ...limits,
    "Binary",
    ...names,
    "End",
    "",
  ].join("\n");
}

/** Terms in lines, since a line of the format may not be without end. */
function wrapped(terms: readonly string[]): string {
  const lines: string[] = [];
  for (let start = 0; start < terms.length; start += 50) lines.push(terms.slice(start, start + 50).join(" "));
  return lines.join("\n  ");
}
