import { describe, expect, it } from "vitest";
import { plainYaml } from "../../generator/records/plain-yaml.ts";
import { byLibrary, fronts } from "../fuzz/plain-yaml.ts";

describe("plainYaml", () => {
  it("reads every record of the demo book as the library does", () => {
    expect(fronts.length).toBeGreaterThan(500);
    for (const front of fronts) expect(plainYaml(front)).toEqual(byLibrary(front));
  });

  it.each([
    ["a text with signs that mean nothing there", "url: https://example.org/a#b, c [d] 'e' -f\n"],
    ["a figure below nought, and a hyphen within", "low: -3 °C\nports: 1N-2S\n"],
    ["keys like figures, in the order that objects have", "b: 1\n10: x\n2: y\n"],
    ["a list beside its field, and one further in", "a:\n- x\n- y\nb:\n    - z\n"],
    [
      "mappings in a list",
      "moves:\n  - on: 2027-03-01\n    to: { shelf: 2, side: 'left' }\n  -   on: 2027-03-02\n      to: x\n",
    ],
    ["brackets over several lines, broken at commas", "sources:\n  demo:\n    [a, b,\n     c\n    ]\nd: [\n  e]\n"],
    ["brackets in brackets, and empty ones", "a: [{ b: [c, 'd, e'], f: \"g]\" }, h]\ni: []\nj: {}\n"],
    ["remarks and empty lines wherever they may stand", "# a\na: b # c\n\n  # d\nb: 'c' # d\nc: [d] # e\n"],
  ])("reads %s", (_what, yaml) => {
    expect(plainYaml(yaml)).toEqual(byLibrary(yaml));
    expect(plainYaml(yaml)).toBeDefined();
  });

  it.each([
    ["a blank", "a:\nb: c\n"],
    ["a blank at the end", "a: b\nc:\n"],
    ["nothing at all", "\n"],
    ["`~` and `null`", "a: [~]\n"],
    ["a field called `null`", "null: a\nb: { null: c }\n"],
    ["quotes with nothing in them", 'a: ""\n'],
    ["a field twice", "a: b\na: c\n"],
    ["a field twice in brackets", "a: { b: c, b: d }\n"],
    ["an anchor", "a: &b c\n"],
    ["an alias", "a: *b\n"],
    ["a tag", "a: !!str b\n"],
    ["a text over two lines", "a: b\n  c\n"],
    ["a text in a block", "a: |\n  b\n"],
    ["a line too far in", "a: b\n  c: d\n"],
    ["a line not far enough in", "  a: b\nc: d\n"],
    ["a bracket that is never closed", "a: [b, c\nd: e\n"],
    ["brackets broken within a text", "a: [b\n  c]\n"],
    ["a colon within a value", "a: b: c\n"],
    ["an escape", 'a: "b\\nc"\n'],
    ["two quotes for one", "a: 'b''c'\n"],
    ["a tab", "a:\tb\n"],
    ["a second document", "a: b\n---\nc: d\n"],
    ["a list and then fields", "a:\n  - b\n  c: d\n"],
    ["a name that every object has", "__proto__: a\n"],
    [
      "nesting past what anybody writes",
      `${Array.from({ length: 12 }, (_, at) => `${" ".repeat(at)}a:`).join("\n")} b\n`,
    ],
  ])("leaves %s to the library", (_what, yaml) => expect(plainYaml(yaml)).toBeUndefined());
});
