import type { VFile } from "vfile";
import { at } from "./messages.ts";

/** Whether a file's name can be an id: small letters, digits and hyphens, so that it is one address everywhere. */
export function sayName(file: VFile): boolean {
  const stem = file.stem ?? "";
  if (/^[a-z0-9]+(-[a-z0-9]+)*$/.test(stem)) return true;
  const better = asName(stem);
  at(file, 1, {
    rule: "file-name",
    written: file.basename ?? "",
    expected: "small letters, digits and hyphens",
    note: better
      ? `Rename it to \`${better}.md\`: the name is the record's address.`
      : "The name is the record's address.",
  });
  return false;
}

/** A text as a file's name: small letters, digits and hyphens; empty when none of it can be written so. */
export function asName(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
}
