import type { VFile } from "vfile";
import { type Document, isAlias, isMap, isScalar, LineCounter, type Node, visit } from "yaml";
import { type Slip, tell } from "./messages.ts";

/** A file in its two parts. */
export interface Split {
  readonly yaml: string;
  readonly body: string;
  /** Lines of the file above the first line of the body. */
  readonly bodyLine: number;
}

/** The front matter between two `---` lines, and the Markdown below it. */
export function splitFrontMatter(file: VFile): Split | undefined {
  const source = String(file).replace(/^\uFEFF/, "");
  if (source.includes("\u0000") || source.includes("\uFFFD")) {
    at(file, 1, {
      rule: "file-unreadable",
      written: file.basename ?? "",
      expected: "plain text in UTF-8",
      note: "Save the file as UTF-8 text.",
    });
    return undefined;
  }
  const lines = source.split(/\r\n|\r|\n/);
  if (lines[0]?.trimEnd() !== "---") {
    at(file, 1, {
      rule: "front-matter-missing",
      written: lines[0] ?? "",
      expected: "`---` on the first line",
      note: "A record starts with its fields between two lines of three hyphens.",
    });
    return undefined;
  }
  const close = lines.findIndex((line, index) => index > 0 && line.trimEnd() === "---");
  if (close < 0) {
    at(file, 1, {
      rule: "front-matter-open",
      written: "---",
      expected: "a second line of three hyphens after the fields",
    });
    return undefined;
  }
  return {
    yaml: `${lines.slice(1, close).join("\n")}\n`,
    body: lines.slice(close + 1).join("\n"),
    bodyLine: close + 1,
  };
}

/** Options for the YAML reader that keep what is needed to find a field's line again. */
export function places(): {
  readonly counter: LineCounter;
  readonly lineCounter: LineCounter;
  readonly uniqueKeys: false;
  readonly prettyErrors: false;
} {
  const counter = new LineCounter();
  return { counter, lineCounter: counter, uniqueKeys: false, prettyErrors: false };
}

/** Tells everything that makes YAML unreadable or double-tongued; false when the data cannot be used. */
export function sayYamlFaults(file: VFile, document: Document, counter: LineCounter): boolean {
  for (const error of document.errors) {
    const { line, col } = counter.linePos(error.pos[0]);
    at(
      file,
      line + 1,
      {
        rule: "yaml-syntax",
        written: lineText(file, line + 1),
        expected: "a field and its value, such as `name: Sweet basil`",
        note: yamlNote(error.message),
      },
      col,
    );
  }
  let usable = document.errors.length === 0;
  if (document.contents !== null && !isMap(document.contents) && usable) {
    at(file, 2, {
      rule: "type-wrong",
      written: lineText(file, 2),
      expected: "a mapping of fields, such as `name: Sweet basil`",
    });
    return false;
  }
  visit(document, {
    Node(_key, node) {
      if (!isAlias(node) && !(node as { anchor?: string }).anchor) return;
      const { line, col } = counter.linePos((node as Node).range?.[0] ?? 0);
      at(
        file,
        line + 1,
        {
          rule: "yaml-alias",
          written: lineText(file, line + 1).trim(),
          expected: "the value itself",
          note: "A record says each value where it stands; `&` and `*` names are not followed.",
        },
        col,
      );
      usable = false;
    },
    Map(_key, map) {
      const seen = new Set<string>();
      for (const { key } of map.items) {
        if (!isScalar(key)) continue;
        const name = String(key.value);
        if (seen.has(name)) {
          const { line, col } = counter.linePos(key.range?.[0] ?? 0);
          at(
            file,
            line + 1,
            {
              rule: "key-twice",
              written: name,
              expected: "each field once",
              note: "The two may differ: keep the right one.",
            },
            col,
            name.length,
          );
          usable = false;
        }
        seen.add(name);
      }
    },
  });
  return usable;
}

/** A slip in the body of a record, at a line of the file. */
export function at(file: VFile, line: number, slip: Slip, column = 1, length = 0): void {
  tell(file, slip, { start: { line, column }, end: { line, column: column + length } });
}

/** Whether a file's name can be an id: small letters, digits and hyphens, so that it is one address everywhere. */
export function sayName(file: VFile): boolean {
  const stem = file.stem ?? "";
  if (/^[a-z0-9]+(-[a-z0-9]+)*$/.test(stem)) return true;
  const better = stem
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
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

function lineText(file: VFile, line: number): string {
  return String(file).split(/\r\n|\r|\n/)[line - 1] ?? "";
}

function yamlNote(message: string): string {
  const first = message.split("\n")[0] ?? message;
  return /nested mappings|implicit key/i.test(first)
    ? "A value with `: ` or `#` in it must stand in quotes."
    : `${first.replace(/\.?$/, ".")}`;
}
