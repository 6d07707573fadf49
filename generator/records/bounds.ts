import type { VFile } from "vfile";
import { at } from "./messages.ts";

/** Signs that nobody writes by hand; past them a file is of another kind, or made to keep a reader busy. */
export const longest = { record: 1_000_000, "front matter": 200_000, text: 50_000 } as const;

/** Whether a text is longer than its part of a record may be, which is then told. */
export function isTooLong(file: VFile, text: string, what: keyof typeof longest): boolean {
  if (text.length <= longest[what]) return false;
  at(file, 1, {
    rule: "file-unreadable",
    written: file.basename ?? "",
    expected: `a ${what} of at most ${longest[what]} signs`,
    note: "A record is a page or two. Is this another kind of file?",
  });
  return true;
}

/**
 * The line of the file on which the front matter is nested deeper than anybody nests. Counted by its signs, quoted or not:
 * how deep the reader of YAML itself gets is another number on another day.
 */
export function deepLine(yaml: string): number | undefined {
  const most = 200;
  let open = 0;
  for (const [index, line] of yaml.split("\n").entries()) {
    const lead = /^[\s?-]*(?=\S)/.exec(line)?.[0].length ?? 0;
    for (const sign of line) {
      if (sign === "[" || sign === "{") open++;
      if ((sign === "]" || sign === "}") && open > 0) open--;
      if (open > most) return index + 2;
    }
    if (lead > 2 * most) return index + 2;
  }
  return undefined;
}
