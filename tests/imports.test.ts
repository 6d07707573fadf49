import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));

/** The first part whose name a file's path starts with is the file's. */
const parts = {
  science: ["generator/science/"],
  format: ["generator/format.ts"],
  provenance: ["generator/provenance.ts"],
  prose: ["generator/prose.ts", "generator/prose-bounds.ts"],
  worksheets: ["generator/worksheets/"],
  records: ["generator/records/"],
  library: ["generator/library.ts"],
  rules: ["generator/rules/"],
  figures: ["generator/told.ts", "generator/figures.ts"],
  plan: ["generator/plan/"],
  search: ["generator/search.ts"],
  design: ["generator/design.ts", "generator/design/"],
  supply: ["generator/supply/", "generator/sums.ts"],
  evidence: ["generator/evidence.ts", "generator/evidence/"],
  closeouts: ["generator/closeouts.ts", "generator/closeouts/"],
  change: ["generator/change.ts", "generator/change/"],
  editions: ["generator/editions.ts", "generator/editions/", "generator/shown.ts", "generator/card.ts"],
  guard: ["generator/guard.ts"],
  exports: ["generator/exports.ts", "generator/calendar.ts"],
  node: ["generator/node.ts", "generator/listing.ts", "generator/put.ts", "generator/measurements"],
  revise: ["generator/revise.ts", "generator/revise/"],
  writing: ["generator/writing/"],
  build: ["generator/build.ts", "generator/press.ts", "generator/parcel.ts", "generator/swap.ts", "generator/texts.ts"],
  watch: ["generator/watch.ts", "generator/watch/"],
  paper: ["generator/paper.ts", "generator/browser.ts"],
  commands: ["generator/commands/", "generator/cli.ts", "generator/tierbook.js"],
  door: ["site/edition.ts"],
  words: [
    "site/words.ts",
    "site/words/",
    "site/forms/words.ts",
    "site/drawings/words.ts",
    "site/edit/words.ts",
    "site/paper/words.ts",
    "site/plan/words.ts",
    "site/really/words.ts",
  ],
  forms: ["site/forms/"],
  edit: ["site/edit/"],
  site: ["site/", "astro.config.mjs"],
} as const;

type Part = keyof typeof parts;

/** Who may import whom. Arrows point one way: nothing imports `commands` or `site`. Types may be read from further up. */
const may: Readonly<Record<Part, readonly Part[]>> = {
  science: [],
  provenance: [],
  format: ["science"],
  prose: [],
  worksheets: ["science", "format"],
  records: ["science"],
  library: ["records", "provenance", "prose"],
  rules: ["library", "records", "provenance", "prose", "science"],
  figures: ["library", "records", "provenance", "format", "science", "worksheets"],
  supply: ["figures", "library", "records", "provenance", "science", "plan"],
  plan: ["science", "format"],
  search: [],
  design: ["figures", "library", "records", "science", "format"],
  evidence: ["supply", "figures", "library", "records", "provenance", "format", "science"],
  closeouts: ["supply", "figures", "library", "records", "provenance", "format", "science", "plan"],
  editions: ["design", "closeouts", "evidence", "supply", "figures", "library", "records", "prose", "provenance"],
  change: ["editions", "supply", "library", "records", "prose", "revise", "format", "paper"],
  guard: ["library", "records", "prose"],
  exports: ["plan", "format", "science"],
  node: ["library", "records", "rules"],
  revise: [],
  writing: ["records", "revise", "science"],
  build: ["guard", "editions", "search", "node"],
  watch: ["node", "editions", "search"],
  paper: [],
  commands: [
    "watch",
    "node",
    "revise",
    "writing",
    "build",
    "guard",
    "paper",
    "change",
    "design",
    "science",
    "exports",
    "editions",
    "closeouts",
    "evidence",
    "supply",
    "search",
    "plan",
    "figures",
    "library",
    "records",
    "provenance",
    "worksheets",
    "format",
  ],
  door: ["editions", "node", "search"],
  words: [],
  forms: ["worksheets", "science", "format", "words"],
  edit: ["rules", "library", "records", "provenance", "revise", "words"],
  site: ["door", "format", "forms", "edit", "words"],
};

/** Packages from outside that a part may use; parts that are not named may use any that the project has. */
const outside: Readonly<Partial<Record<Part, readonly string[]>>> = {
  science: [],
  provenance: [],
  format: [],
  worksheets: ["zod"],
  records: ["zod", "yaml", "vfile"],
  library: [],
  rules: ["unist-util-visit"],
  figures: ["zod"],
  plan: [],
  search: ["highs"],
  editions: [],
  guard: [],
  revise: ["yaml"],
  writing: ["csv-parse"],
  evidence: [],
  edit: ["zod", "vfile", "diff"],
};

interface Import {
  readonly file: string;
  readonly from: string;
  readonly types: boolean;
}

const pattern =
  /(?:^|[\n;>])\s*(?:import|export)\s+(type\s+)?(?:[^"';]*?\sfrom\s+)?["']([^"']+)["']|import\(\s*["']([^"']+)["']\s*\)/g;

describe("imports", () => {
  const imports = ["generator", "site"]
    .flatMap((folder) => filesOf(folder))
    .concat("astro.config.mjs")
    .flatMap(importsOf);

  it("are found", () => expect(imports.length).toBeGreaterThan(100));

  it("point one way", () => {
    const wrong = imports.filter(({ file, from, types }) => {
      if (!from.startsWith(".")) return false;
      const [part, other] = [partOf(file), partOf(relative(root, normalize(join(root, dirname(file), from))))];
      return part !== other && !types && !may[part].includes(other);
    });
    expect(wrong).toEqual([]);
  });

  it("of packages are only those that a part may use", () => {
    const wrong = imports.filter(({ file, from, types }) => {
      const allowed = outside[partOf(file)];
      return (
        !from.startsWith(".") &&
        !types &&
        allowed &&
        !allowed.some((name) => from === name || from.startsWith(`${name}/`))
      );
    });
    expect(wrong).toEqual([]);
  });

  it("of the disk stand only where the disk may be known", () => {
    const wrong = imports.filter(
      ({ file, from }) =>
        from.startsWith("node:") &&
        !["node", "build", "watch", "paper", "commands", "door", "site"].includes(partOf(file)),
    );
    expect(wrong).toEqual([]);
  });
});

function partOf(file: string): Part {
  const path = file.split(sep).join("/");
  const found = (Object.keys(parts) as Part[]).find((part) => parts[part].some((start) => path.startsWith(start)));
  if (!found) throw new Error(`${path} belongs to no part; name its part in this table`);
  return found;
}

function filesOf(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.(ts|js|astro)$/.test(name) && !name.includes("public"))
    .map((name) => join(folder, name));
}

function importsOf(file: string): Import[] {
  const source = readFileSync(join(root, file), "utf8").replace(/\/\*[\s\S]*?\*\//g, "");
  return [...source.matchAll(pattern)].map(([, types, from, lazy]) => ({
    file,
    from: from ?? lazy ?? "",
    types: types !== undefined,
  }));
}
