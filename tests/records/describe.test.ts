import { describe, expect, it } from "vitest";
import { describeKind, jsonSchema } from "../../generator/records/describe.ts";
import { type Kind, kinds } from "../../generator/records/index.ts";
import { readSpan } from "../../generator/records/quantity.ts";

const all = ["book", ...Object.keys(kinds)] as (Kind | "book")[];

describe("describeKind", () => {
  it("tells what a field holds", () => {
    expect(describeKind("crops").find(({ path }) => path === "ec.preferred")).toMatchObject({
      label: "EC",
      unit: "mS/cm",
      usual: [0.3, 3.5],
      within: [0, 10],
      form: "span",
      reader: "staff",
      required: false,
    });
    expect(describeKind("crops").find(({ path }) => path === "name")).toMatchObject({
      example: "name: Sweet basil",
      reader: "everyone",
      required: true,
    });
  });

  it("names keys of the writer's own, items of lists, and which piece of gear has a field", () => {
    expect(describeKind("batches").map(({ path }) => path)).toContain("cuts.<date>");
    expect(describeKind("batches").map(({ path }) => path)).toContain(
      "moves.<germination|tray|mister|hardening|tower>.on",
    );
    expect(describeKind("crops").find(({ path }) => path === "eaten[]")?.label).toBe("Parts eaten");
    expect(describeKind("gear").filter(({ path, of }) => path === "cells" && of === "tray")).toHaveLength(1);
  });

  it.each(all)("leaves no field of %s without a form or a way to say what it is", (kind) => {
    const fields = describeKind(kind);
    expect(fields.length).toBeGreaterThan(2);
    for (const { path, form, of } of fields)
      if (!(of && path === "kind")) expect(form, `${kind} ${path}`).toBeDefined();
  });

  it("gives examples that can be read", () => {
    for (const kind of all)
      for (const { path, form, unit, like } of describeKind(kind))
        if ((form === "span" || form === "amount") && unit !== undefined)
          expect(readSpan(like ?? "", unit), `${kind} ${path} ${like}`).toHaveProperty("value");
  });
});

describe("jsonSchema", () => {
  it.each(all)("is a schema of draft 2020-12 for %s, each of whose patterns is one", (kind) => {
    const schema = jsonSchema(kind);
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
    const patterns: string[] = [];
    walk(schema, (key, value) => {
      if (key === "pattern") patterns.push(String(value));
    });
    for (const pattern of patterns) expect(() => new RegExp(pattern, "u")).not.toThrow();
    expect(JSON.parse(JSON.stringify(schema))).toEqual(schema);
  });

  it("asks for what a record cannot do without, and names nothing else", () => {
    const schema = jsonSchema("waters") as { required: string[]; additionalProperties: boolean };
    expect(schema.required).toEqual(["name", "from", "sampled", "ions", "sources"]);
    expect(schema.additionalProperties).toBe(false);
  });

  it("says a quantity as text of one form, with its unit in words", () => {
    const { properties } = jsonSchema("waters") as { properties: Record<string, Record<string, string>> };
    expect(properties.ec).toMatchObject({ type: "string", title: "EC" });
    expect(properties.ec!.description).toContain("mS/cm");
    expect("0.06 mS/cm").toMatch(new RegExp(properties.ec!.pattern!, "u"));
    expect("0.06").not.toMatch(new RegExp(properties.ec!.pattern!, "u"));
  });

  it("tells one piece of gear from another by its kind", () => {
    const { oneOf } = jsonSchema("gear") as unknown as { oneOf: { properties: { kind: { const: string } } }[] };
    expect(oneOf.map(({ properties }) => properties.kind.const)).toContain("injector");
  });
});

function walk(value: unknown, see: (key: string, value: unknown) => void): void {
  if (typeof value !== "object" || value === null) return;
  for (const [key, inner] of Object.entries(value)) {
    if (typeof inner === "string") see(key, inner);
    walk(inner, see);
  }
}
