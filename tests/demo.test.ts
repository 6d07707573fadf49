import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { staffEdition } from "../generator/editions.ts";
import { exportCrops } from "../generator/exports.ts";
import { type Library, type Page, sourceBasis } from "../generator/library.ts";
import { type Loaded, load } from "../generator/node.ts";
import { words } from "../generator/prose.ts";
import { sourcesOf } from "../generator/provenance.ts";
import { jsonSchema } from "../generator/records/describe.ts";
import { type Kind, kinds } from "../generator/records/index.ts";
import { figurePaths, sourcesBlock } from "../generator/told.ts";

const folder = fileURLToPath(new URL("../content", import.meta.url));
let loaded: Loaded;
let library: Library;

beforeAll(async () => {
  loaded = await load(folder);
  library = loaded.library!;
});

describe("the demo book", () => {
  it("has nothing that the checker would say a word about", () => {
    expect(loaded.files.flatMap(({ messages }) => messages.map(String))).toEqual([]);
  });

  it("has seventy crops of every kind", () => {
    const all = [...library.crops.values()];
    expect(all.length).toBeGreaterThanOrEqual(70);
    for (const kind of ["leaf", "herb", "fruit", "flower", "micro"]) {
      expect(all.filter(({ fields }) => fields.kind === kind).length, kind).toBeGreaterThanOrEqual(8);
    }
  });

  it("has a known source behind every figure of every record", () => {
    const bare = (Object.keys(kinds) as Kind[]).flatMap((kind) =>
      ([...library[kind].values()] as Page<unknown>[]).flatMap((page) =>
        figurePaths(page)
          .filter((path) => !sourcesOf(path, sourcesBlock(page)).some((name) => sourceBasis(library, name)))
          .map((path) => `${kind}/${page.id} ${path}`),
      ),
    );
    expect(bare).toEqual([]);
  });

  it("says no sentence of ten words or more twice over, in two crops", () => {
    const seen = new Map<string, string>();
    const twice: string[] = [];
    for (const page of library.crops.values()) {
      const texts = [...page.sections.map(words), ...textsOf(page.raw)];
      const sentences = texts
        .flatMap((text) => text.split(/(?<=[.!?;:])\s+/))
        .map((text) => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []);
      for (const sentence of sentences.filter(({ length }) => length >= 10)) {
        const key = sentence.join(" ");
        const first = seen.get(key);
        if (first !== undefined && first !== page.id) twice.push(`${first} and ${page.id}: ${key}`);
        seen.set(key, page.id);
      }
    }
    expect(twice).toEqual([]);
  });

  it("has customers' text for at least one system for every crop that customers may grow", () => {
    for (const { id, fields, sections } of library.crops.values()) {
      if (fields.audience !== "everyone" || fields.kind === "micro") continue;
      expect(sections.filter(({ heading }) => heading.startsWith("Growing on")).length, id).toBe(3);
    }
  });

  it("carries the schemas that the program would write today", async () => {
    for (const kind of ["book", ...(Object.keys(kinds) as Kind[])] as const) {
      const file = join(folder, ".schema", `${kind}.json`);
      expect(JSON.parse(await readFile(file, "utf8")), `${file}; run \`npx tierbook export --schema\``).toEqual(
        JSON.parse(JSON.stringify(jsonSchema(kind))),
      );
    }
  });

  it("holds no file that is not a record, a schema or data beside one", async () => {
    const names = (await readdir(folder, { recursive: true, withFileTypes: true }))
      .filter((entry) => entry.isFile())
      .map(({ name }) => name);
    expect(names.filter((name) => !/\.(md|json|csv)$/.test(name))).toEqual([]);
  });
});

describe("exportCrops", () => {
  it("writes a line for every figure, with its unit and its basis", () => {
    const edition = staffEdition(library);
    const [csv, json] = exportCrops(edition);
    const figures = edition.crops.reduce((sum, crop) => sum + Object.keys(crop.figures).length, 0);
    const { crops } = JSON.parse(json!.text) as { crops: { figures: { basis: string }[] }[] };
    expect(crops.reduce((sum, crop) => sum + crop.figures.length, 0)).toBe(figures);
    expect(csv!.text.split("\r\n").filter((line) => /^[a-z0-9-]+,/.test(line)).length).toBeGreaterThanOrEqual(figures);
    expect(csv!.text).toContain("basil-sweet,Sweet basil,ec.preferred,EC,1,1.6,mS/cm,1.0–1.6 mS/cm,common-practice");
  });

  it("keeps text from being taken for a formula, and numbers below nought from being taken for text", () => {
    const edition = staffEdition(library);
    const [first, ...rest] = edition.crops;
    const sly = { ...edition, crops: [{ ...first!, name: "=1+1" }, ...rest] };
    const [csv] = exportCrops(sly);
    expect(csv!.text).toContain(",'=1+1,");
    expect(csv!.text).toMatch(/,-\d+,-\d+,°C,/);
  });
});

/** Every piece of text in a record that is prose: what is longer than a name. */
function textsOf(value: unknown): readonly string[] {
  if (typeof value === "string") return value.includes(" ") ? [value] : [];
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(textsOf) : [];
}
