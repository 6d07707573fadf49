import { isAlias, isScalar, type Node } from "yaml";
import type { Slip } from "./messages.ts";

/** An anchor, an alias or a tag, where a value should stand by itself. */
export function aliasSlip(node: Node): Slip {
  const { anchor, tag, source } = node as { readonly anchor?: string; readonly tag?: string; readonly source?: string };
  return {
    rule: "yaml-alias",
    written: isAlias(node) ? `*${source}` : anchor ? `&${anchor}` : `${tag?.replace("tag:yaml.org,2002:", "!!")}`,
    expected: "the value itself",
    note: "A record says each value where it stands. A text that starts with `*`, `&` or `!` must stand in quotes.",
  };
}

/** Something that is no name before a colon. */
export function keyForm(key: unknown): Slip {
  return {
    rule: "yaml-syntax",
    written: isScalar(key) && key.value ? String(key.value) : ":",
    expected: "the name of a field before the colon",
    note: "A value with a colon, a `?` or a bracket at its start must stand in quotes.",
  };
}

export const keyTwice: Slip = {
  rule: "key-twice",
  expected: "each field once",
  note: "The two may differ: keep the right one.",
};

export const blankItem: Slip = {
  rule: "field-blank",
  written: "",
  expected: "a value, or no such line",
  note: "The list is read without it.",
};

export const tooDeep: Slip = {
  rule: "yaml-deep",
  written: "fields in fields in fields",
  expected: "a few at most",
  note: "Look for brackets `[` or `{` that are never closed.",
};

/** What to do about each error of the YAML, by its code. */
export const yamlNotes: Readonly<Record<string, string>> = {
  BLOCK_AS_IMPLICIT_KEY:
    "A value with `: ` in it must stand in quotes. If the line below is a field of its own, it is indented too far.",
  MULTILINE_IMPLICIT_KEY: "Is a colon missing, or the space after it, on this line or the one above?",
  MISSING_CHAR: "A quote, a bracket or a colon is missing on this line or the one above.",
  TAB_AS_INDENT: "Indent with spaces, not with tabs.",
  BAD_INDENT: "Fields that belong together start in the same column.",
  UNEXPECTED_TOKEN: "Is this line indented as those around it, and is a text with signs in it in quotes?",
  BAD_SCALAR_START: "A text that starts with `@`, a backtick or `%` must stand in quotes.",
  MULTIPLE_DOCS: "A record is one file: `...` and further `---` lines do not belong in its fields.",
  BAD_ALIAS: "A text that starts with `*` or `&` must stand in quotes.",
};
