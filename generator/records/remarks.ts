import type { VFile } from "vfile";
import { Lexer } from "yaml";

/** The remarks between the fields of a record, `# like this`, without their sign: for whoever writes it, and for no page. */
export function remarksIn(file: VFile): readonly string[] {
  const [, yaml = ""] = /^\uFEFF?---[ \t]*\r?\n([\s\S]*?\n)---[ \t]*(?:\r?\n|$)/.exec(String(file)) ?? [];
  if (!yaml.includes("#")) return [];
  const found: string[] = [];
  let before = "";
  for (const token of new Lexer().lex(yaml)) {
    // What follows this sign of the lexer is a value, whatever it starts with.
    if (token.startsWith("#") && before !== "\u001f") found.push(token.replace(/^#+/, "").trim());
    before = token;
  }
  return found;
}
