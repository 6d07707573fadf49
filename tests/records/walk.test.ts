import { describe, expect, it } from "vitest";
import { z } from "zod";
import { amount } from "../../generator/records/amounts.ts";
import { everyone, group, list, mapping, nobody, sensible, text, word } from "../../generator/records/fields.ts";
import { kinds } from "../../generator/records/index.ts";
import { readable } from "../../generator/records/readable.ts";
import { fieldNames, leaves, schemaAt, unnamed, unwrap } from "../../generator/records/walk.ts";

const schema = group({
  name: everyone(text()),
  price: nobody(amount("¤")).optional(),
  ec: sensible(group({ low: amount("mS/cm").meta({ label: "Low" }) }), () => {}).optional(),
  parts: everyone(list(text())).optional(),
  trouble: everyone(mapping(text(), group({ sign: text() }))).optional(),
});

const met = { leaf: () => {}, group: () => {}, list: () => {} };

describe("leaves", () => {
  it("gives every value with its path, reader and meaning", () => {
    const value = {
      name: "a",
      price: "2 ¤",
      ec: { low: "1" },
      parts: ["x"],
      trouble: { rot: { sign: "s" } },
      own: "z",
    };
    const found = [...leaves(schema, value)].map(({ path, reader, meta }) => [path.join("."), reader, meta.unit]);
    expect(found).toEqual([
      ["name", "everyone", undefined],
      ["price", "nobody", "¤"],
      ["ec.low", "staff", "mS/cm"],
      ["parts.0", "everyone", undefined],
      ["trouble.rot.sign", "everyone", undefined],
      ["own", "nobody", undefined],
    ]);
  });

  it("settles a choice of kinds by its word", () => {
    const found = [...leaves(kinds.gear, { kind: "tray", cells: "84" })];
    expect(found.find(({ path }) => path[0] === "cells")?.meta.label).toBe("Cells");
  });
});

describe("unnamed", () => {
  it("finds keys that no schema names, and those that every object has", () => {
    const value = { name: "a", nmae: "b", ec: { lo: "1" }, toString: "x", constructor: "y" };
    expect([...unnamed(schema, value)].map(({ path }) => path.join("."))).toEqual([
      "nmae",
      "ec.lo",
      "toString",
      "constructor",
    ]);
  });

  it("looks at the kind that is nearest, or that shares the most fields, when the word is not known", () => {
    expect([...unnamed(kinds.gear, { kind: "tary", cells: "84", nmae: "x" })].map(({ path }) => path[0])).toEqual([
      "nmae",
    ]);
    expect([...unnamed(kinds.gear, { least: "1 %", most: "2 %", cels: "84" })].map(({ path }) => path[0])).toEqual([
      "cels",
    ]);
  });
});

describe("schemaAt", () => {
  it("finds the schema of a path, and none for an unknown one", () => {
    expect(unwrap(schemaAt(schema, ["ec", "low"])).meta.label).toBe("Low");
    expect(schemaAt(schema, ["ec", "toString"])).toBeUndefined();
    expect(schemaAt(schema, ["parts", 0])).toBeDefined();
  });
});

describe("fieldNames", () => {
  it("lists the fields of a mapping in their order", () => {
    expect(fieldNames(schema)).toEqual(["name", "price", "ec", "parts", "trouble"]);
    expect(fieldNames(z.string())).toEqual([]);
  });
});

describe("readable", () => {
  it("keeps what can be read beside what cannot", () => {
    const value = { name: "a", price: "2", ec: { low: "1 mS/cm" }, parts: ["x", ["y"]], trouble: "none" };
    expect(readable(schema, value, met)).toEqual({ name: "a", ec: { low: 1 }, parts: ["x", undefined] });
  });

  it("meets every figure, list and mapping that it can", () => {
    const seen: string[] = [];
    readable(
      group({ ec: amount("mS/cm"), kind: word(["a"]), all: list(text()) }),
      { ec: "1 mS/cm", kind: "b", all: ["x"] },
      {
        leaf: (path, read) => seen.push(`leaf ${path.join(".")} ${read}`),
        list: (path) => seen.push(`list ${path.join(".")}`),
        group: (_path, fields) => seen.push(`group ${JSON.stringify(fields)}`),
      },
    );
    expect(seen).toEqual(["leaf ec 1", "list all", "leaf all.0 x", 'group {"ec":1,"all":["x"]}']);
  });
});
