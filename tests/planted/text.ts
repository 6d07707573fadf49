import type { Kind } from "../../generator/records/index.ts";
import { sectionReader } from "../../generator/records/sections.ts";
import type { Plant } from "../planted.ts";

/**
 * The text of a record with a canary in every section that customers may not read, a heading that no kind knows, and
 * remarks that no page shows: in sections that are open, between them, inside a paragraph, and among the links.
 */
export function body(kind: Kind | "book", text: string, open: boolean, canary: Plant): string {
  const parts = text.trimEnd().split(/^(?=##? )/m);
  const planted = parts.map((part) => {
    const [, heading = ""] = /^##? +(.*)\n/.exec(part) ?? [];
    if (part.trim() === "") return part;
    const where = heading || "the first lines";
    const shown = open && kind !== "book" && sectionReader(kind, heading.trim()) === "everyone";
    const remark = () => `<!-- ${canary("a remark in the text", where, true)} -->`;
    const own = shown ? "" : `\n\nThe word ${canary("a private section", where, kind === "book")} stays in the house.`;
    // After the last word of the part, in the same paragraph or item, and on lines of its own.
    return `${part.trimEnd()} ${remark()}${own}\n\n${remark()}\n\n`;
  });
  const heading = canary("an unknown heading", "a heading", kind === "book");
  const sentence = canary("a private section", "a body", kind === "book");
  const link = canary("a remark among the links", "a link that nothing leads by", true);
  return `${planted.join("")}## Known to ${heading} only

This ${sentence} stays in the house.

[${link}]: https://example.invalid/${link} "${link}"
`;
}
