import type { Plant } from "../planted.ts";

/** The table beside a trial with a canary as the reason of every plant that was lost, and in a column of the keeper's own. */
export function besideTrial(text: string, canary: Plant): string {
  const [head = "", ...rows] = text.trimEnd().split(/\r?\n/);
  const lines = rows.map((row, index) => {
    const cells = row.split(",");
    const at = head.split(",").indexOf("reason");
    if (cells[at] !== undefined && /,(?:died|excluded),/.test(row))
      cells[at] = canary("the measurements of a trial", `the reason in row ${index + 2}`);
    return cells.join(",");
  });
  return `${[head, ...lines].join("\n")}\n`;
}
