import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { customerEdition, editionFor, staffEdition } from "../generator/editions.ts";
import { asked, sum } from "../generator/figures.ts";
import type { Library } from "../generator/library.ts";
import { load } from "../generator/node.ts";
import { allSums } from "../generator/sums.ts";
import { sumOf, supplies } from "../generator/supply/index.ts";
import { told } from "../generator/told.ts";
import { worksheets } from "../generator/worksheets/index.ts";

let library: Library;
beforeAll(async () => {
  library = (await load(fileURLToPath(new URL("../content", import.meta.url)))).library!;
});

describe("editionFor(library, audience)", () => {
  it.each([undefined, "", "customer", "Staff", "STAFF", "staff ", "everyone", "both"])(
    "gives the customer's edition for %j",
    (audience) => {
      expect(editionFor(library, audience).audience).toBe("customer");
    },
  );
  it("gives the staff's for the one word", () => expect(editionFor(library, "staff").audience).toBe("staff"));
  it("is plain JSON: nothing is lost on the way to a page", () => {
    for (const edition of [customerEdition(library), staffEdition(library)]) {
      expect(JSON.parse(JSON.stringify(edition))).toEqual(JSON.parse(JSON.stringify(structuredClone(edition))));
    }
  });
  it("gives the same twice", () =>
    expect(JSON.stringify(staffEdition(library))).toBe(JSON.stringify(staffEdition(library))));
});

describe("the customer's edition", () => {
  it("has no EC of a recipe, no days of a stage, no batch and no sum", () => {
    for (const crop of customerEdition(library).crops) {
      const paths = Object.keys(crop.figures);
      expect(
        paths.filter((path) => /^(ec|ph|light|stages|cutting|keeping|form\.mass)/.test(path)),
        crop.id,
      ).toEqual([]);
      expect(crop).not.toHaveProperty("sums");
      expect(crop).not.toHaveProperty("batches");
    }
  });
  it("cites published works only, and names no trial", () => {
    const cited = customerEdition(library).crops.flatMap(({ figures }) =>
      Object.values(figures).flatMap((figure) => figure.cited),
    );
    expect(cited.length).toBeGreaterThan(10);
    expect(new Set(cited.map(({ basis }) => basis))).toEqual(new Set(["published"]));
  });
  it("links nothing that a customer has not", () => {
    const edition = customerEdition(library);
    const has = new Set([
      ...edition.crops.map(({ id }) => `/crops/${id}`),
      ...edition.guides.map(({ id }) => `/guides/${id}`),
    ]);
    const prose = [...edition.crops, ...edition.guides]
      .flatMap((page) => page.prose.map((section) => section.html))
      .join("\n");
    const targets = [...prose.matchAll(/href="(\/(?!glossary|sources|news)[^"#]+)"/g)].map(([, target]) => target!);
    expect(targets.filter((target) => !has.has(target))).toEqual([]);
  });
});

describe("told(library, page, path)", () => {
  it("prints a figure with the decimals that it was written with, its basis and its source", () => {
    const basil = library.crops.get("basil-sweet")!;
    expect(told(library, basil, "ec.preferred")).toMatchObject({
      text: "1.0–1.6\u202fmS/cm",
      basis: "common-practice",
      label: "EC",
    });
    expect(told(library, basil, "keeping.shelf")).toMatchObject({ basis: "published", cited: [{ id: "ucd-herbs" }] });
  });
  it("has nothing to tell of what is not recorded", () => {
    expect(told(library, library.crops.get("micro-mustard")!, "form.height")).toBeUndefined();
  });
});

describe("sum(library, worksheet, ask)", () => {
  it("leans on what was taken and on nothing else, and is as good as the weakest of it", () => {
    const basil = library.crops.get("basil-sweet")!;
    const { from } = asked(library, (take) => ({
      shelf: take(basil, "keeping.shelf"),
      best: take(basil, "growth.base"),
    }));
    expect(from.map(({ path, basis }) => [path, basis])).toEqual([
      ["keeping.shelf", "published"],
      ["growth.base", "memory"],
    ]);
    const one = sum(library, "use-by", (take) => ({
      harvested: "2027-04-12",
      shelfDays: take(basil, "keeping.shelf")!.low,
    }));
    expect(one.basis).toBe("published");
    expect(one.outcome.answer).toMatchObject({ useBy: "2027-04-19" });
  });

  it("refuses, and names what is missing, when the records leave it open", () => {
    const { outcome } = sum(library, "use-by", () => ({}));
    expect(outcome.verdict).toBe("refuse");
    expect(outcome.refusal?.why).toContain("harvested");
  });

  it("answers every sum of the book", () => {
    const sums = [...allSums(library)];
    expect(sums.length).toBeGreaterThan(40);
    for (const [page, one] of sums) expect(one.outcome.refusal?.why ?? "", page).not.toContain("do not hold");
  });
});

describe("supplies", () => {
  it("fill in only worksheets that there are", () => {
    expect([...supplies.keys()].filter((id) => !worksheets.has(id))).toEqual([]);
  });
  it("fill in only inputs that the worksheet has, whatever records they are asked of", () => {
    for (const [id, supply] of supplies) {
      for (const kind of supply.needs) {
        for (const page of library[kind].values()) {
          const others = Object.fromEntries(
            supply.needs.map((other) => [other, [...library[other].values()].slice(0, 1)]),
          );
          const { outcome } = sumOf(library, id, { ...others, [kind]: [page] });
          expect(outcome.refusal?.why ?? "", `${id} of ${kind}/${page.id}`).not.toContain("there is no such input");
        }
      }
    }
  });
});
