import type { VFile } from "vfile";
import { ticked } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { type Cell, sayCell } from "./cells.ts";
import type { Column, Row } from "./rows.ts";

/** Asks that no port stands twice in a file, and that each holds the treatment that was drawn for it. */
export function sayPorts(file: VFile, rows: readonly Row[], drawn: unknown): void {
  const seen = new Map<string, Cell>();
  for (const { block, treatment, port } of rows) {
    sayDrawn(file, { block, treatment, port }, drawn);
    if (!port?.text) continue;
    const key = JSON.stringify([block.text, port.text]);
    const first = seen.get(key);
    if (first)
      sayCell(file, port, {
        rule: "data-twice",
        written: port.text,
        expected: "each port of a block once",
        note: `It stands on line ${first.place.start.line} already. Two plants in one port are one answer: write their mean.`,
      });
    else seen.set(key, port);
  }
}

/** Asks that a row is of a block, a port and a treatment that were drawn; nothing, where none were. */
function sayDrawn(file: VFile, { block, treatment, port }: Pick<Row, "block" | "treatment" | "port">, drawn: unknown) {
  const blocks = namesIn(drawn);
  if (blocks.length === 0) return;
  const ports = within(drawn, block.text);
  const lost = (name: Column, cell: Cell, known: readonly string[], where: string) => {
    const near = nearest(cell.text, known);
    sayCell(
      file,
      cell,
      {
        rule: "data-place",
        written: cell.text,
        expected: `a ${name} that was drawn${where}: ${ticked(known, "or", 8)}`,
        note: near ? `Did you mean \`${near}\`?` : "Capitals count. If it was planted otherwise, correct `places`.",
      },
      [name],
    );
  };
  if (ports === undefined) return lost("block", block, blocks, "");
  // Through the feed a whole tower was drawn, and the port is written behind its name.
  const [place = ""] = [port?.text ?? "", port?.text.split(" ")[0] ?? ""].filter(
    (name) => within(ports, name) !== undefined,
  );
  if (port?.text && place === "") return lost("port", port, namesIn(ports), ` in ${block.text}`);
  const meant = within(ports, place);
  if (typeof meant !== "string") {
    const known = [...new Set(namesIn(ports).map((name) => String(within(ports, name))))];
    return known.includes(treatment.text) ? undefined : lost("treatment", treatment, known, ` in ${block.text}`);
  }
  if (meant.trim() !== treatment.text)
    sayCell(
      file,
      treatment,
      {
        rule: "data-place",
        written: treatment.text,
        expected: `\`${meant.trim()}\`, which was drawn for ${place} of ${block.text}`,
        note: "Look at the label in the port. If it was planted otherwise, correct `places` and say so below `incidents`.",
      },
      ["treatment"],
    );
}

function within(value: unknown, key: string): unknown {
  return typeof value === "object" && value !== null && Object.hasOwn(value, key)
    ? (value as Readonly<Record<string, unknown>>)[key]
    : undefined;
}

function namesIn(value: unknown): readonly string[] {
  return typeof value === "object" && value !== null ? Object.keys(value) : [];
}
