import { readdir, readFile } from "node:fs/promises";
import { gzipSync } from "node:zlib";
import { getViteConfig } from "astro/config";
import { experimental_AstroContainer as Container } from "astro/container";
import { createServer, type ViteDevServer } from "vite";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parse } from "yaml";
import {
  type Chosen,
  type DrawingName,
  drawings,
  leavesIn,
  ofCut,
  ofGuide,
  ofHabit,
  ofStage,
  ofTrouble,
  places,
  undrawn,
} from "../../site/drawings/index.ts";
import { drawingWords } from "../../site/drawings/words.ts";

const names = Object.keys(drawings) as DrawingName[];
const numbers = (d: string) => (d.match(/-?\d*\.?\d+/g) ?? []).map(Number);

describe("drawings", () => {
  it.each(names)("%s is made of lines within its frame", (name) => {
    for (const count of [1, 4, 6]) {
      const { width, strokes } = drawings[name](count);
      expect(strokes.length).toBeGreaterThan(0);
      for (const { d } of strokes) {
        expect(d).toMatch(/^M-?[\d.]+ /);
        expect(d).not.toMatch(/NaN|undefined|Infinity|\[/);
        for (const [, x = "", y = ""] of d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)) {
          expect(Number(x), d).toBeGreaterThanOrEqual(-2);
          expect(Number(x), d).toBeLessThanOrEqual(width + 2);
          expect(Number(y), d).toBeGreaterThanOrEqual(-2);
          expect(Number(y), d).toBeLessThanOrEqual(122);
        }
      }
    }
  });

  it("draw as many true leaves as they are asked for", () => {
    const outlines = (count: number) => drawings.trueLeaves(count).strokes.filter(({ way }) => way === "leaf").length;
    for (const count of [1, 2, 3, 4, 5, 6]) expect(outlines(count) - outlines(0)).toBe(count);
  });

  it("tell yellow between the veins from yellow all over by their lines", () => {
    const inked = (name: DrawingName) =>
      numbers(
        drawings[name](4)
          .strokes.map(({ d }) => d)
          .join(" "),
      ).length;
    expect(drawings.magnesiumShort()).not.toEqual(drawings.nitrogenShort());
    expect(drawings.ironShort()).not.toEqual(drawings.magnesiumShort());
    expect(inked("magnesiumShort")).not.toBe(inked("nitrogenShort"));
  });

  it("have a name and a description each, and a pair a word for each half", () => {
    expect(Object.keys(drawingWords.of).sort()).toEqual([...names].sort());
    expect(new Set(names.map((name) => drawingWords.of[name].title)).size).toBe(names.length);
    for (const name of names) {
      const { says, halves } = drawingWords.of[name];
      expect(says.length, name).toBeGreaterThan(15);
      expect(halves?.length, name).toBe(drawings[name](4).pair ? 2 : undefined);
    }
  });
});

describe("places", () => {
  let records: readonly Crop[];
  beforeAll(async () => {
    const files = (await readdir("content/crops")).filter((file) => file.endsWith(".md")).sort();
    const texts = await Promise.all(files.map((file) => readFile(`content/crops/${file}`, "utf8")));
    records = texts.map((text) => parse(text.split("---\n")[1] ?? "") as Crop);
  });

  it("have a drawing for every trouble that three crops share, or a reason for none", () => {
    const counts = new Map<string, number>();
    for (const { trouble } of records)
      for (const key of Object.keys(trouble ?? {})) counts.set(key, (counts.get(key) ?? 0) + 1);
    const common = [...counts].filter(([, count]) => count >= 3).map(([key]) => key);
    expect(common.length).toBeGreaterThan(20);
    expect(common.filter((key) => !places.trouble[key] && !undrawn[key])).toEqual([]);
    expect(Object.keys(undrawn).filter((key) => places.trouble[key])).toEqual([]);
  });

  it("lead to every drawing, from a record or a guide of this book", () => {
    const reached = new Set(
      [...Object.keys(places.guide).flatMap(ofGuide), ...records.flatMap(shownOn)].map(({ name }) => name),
    );
    expect(names.filter((name) => !reached.has(name))).toEqual([]);
  });

  it("keep the drawings of any one crop under some 3 kB as it travels", () => {
    const weights = records.map((record) => {
      const drawn = shownOn(record).map(({ name, count }) => [
        Object.values(drawingWords.of[name]),
        drawings[name](count).strokes.map(({ way, d }) => `<path class="${way}" d="${d}"/>`),
      ]);
      return gzipSync(drawn.flat(3).join("")).length;
    });
    expect(Math.max(...weights)).toBeGreaterThan(1000);
    expect(Math.max(...weights)).toBeLessThan(3800);
  });

  it("go by the words of a sign", () => {
    expect(ofTrouble("grey-mould", "Brown stubs with grey fluff after a cut")?.name).toBe("greyStub");
    expect(ofTrouble("grey-mould", "A soft brown patch on the berry, then grey fur")?.name).toBe("greyBerry");
    expect(ofTrouble("chilling", "Pitted, watery patches on fruit after a cold night")).toBeUndefined();
    expect(ofTrouble("thrips", "Bronzed, seedy, stunted berries")).toBeUndefined();
    expect(ofTrouble("unheard-of", "Anything")).toBeUndefined();
  });

  it("go by the words of a stage", () => {
    const foot = "Three true leaves, and white root showing at the foot of the plug";
    expect(ofStage("tray", foot, "leaf")).toEqual({ name: "plugReady", count: 3 });
    expect(ofStage("tray", "Two pairs of true leaves", "herb")).toEqual({ name: "trueLeaves", count: 4 });
    expect(ofStage("tray", foot, "micro")).toBeUndefined();
    expect(ofStage("mister", "Ginger-brown roots with white ends fill the cup", "fruit")).toBeUndefined();
    expect(ofStage("tower", "Outside leaves longer than your hand", "leaf")).toBeUndefined();
  });

  it("go by the words of a cut and of a habit", () => {
    expect(ofCut({ how: "Cut each tip just above a pair of leaves" })?.name).toBe("cutTips");
    expect(ofCut({ style: "Outside leaves, again and again", how: "Snap outside leaves" })?.name).toBe("cutOuter");
    expect(ofCut({ style: "Ripe fruit", how: "Pinch the stalk above the cap" })).toBeUndefined();
    expect(ofHabit("Small crown without runners")).toBeUndefined();
    expect(ofHabit("Climbing vine")?.name).toBe("climbing");
    expect(ofHabit()).toBeUndefined();
  });

  it.each([
    ["Two pairs of true leaves in each clump", 4],
    ["The third leaf is already crimped", 3],
    ["Six to eight leaves in a low cushion", 6],
    ["Ten leaves, the stem about to fork", undefined],
    ["Two small seed leaves", undefined],
    ["Three toothed leaves of three parts", undefined],
    ["Blades twice as tall", undefined],
  ])("count the leaves of “%s”", (words, count) => expect(leavesIn(words)).toBe(count));
});

describe("Drawing", () => {
  let server: ViteDevServer;
  beforeAll(async () => {
    const config = await getViteConfig(
      { logLevel: "silent" },
      { configFile: false, srcDir: "site" },
    )({ mode: "test", command: "serve" });
    server = await createServer({ ...config, server: { middlewareMode: true, watch: null } });
  });
  afterAll(() => server.close());

  it("renders each as a picture with a title and a description first", async () => {
    const { default: Drawing } = await server.ssrLoadModule("/site/drawings/Drawing.astro");
    const container = await Container.create();
    for (const name of names) {
      const svg = await container.renderToString(Drawing, { props: { drawing: { name, count: 4 } } });
      expect(svg).toMatch(
        /^\s*(<!DOCTYPE html>)?<svg [^>]*role="img"[^>]*>\s*<title>[^<]+<\/title>\s*<desc[^>]*>[^<]+<\/desc>/,
      );
      expect(svg, name).not.toMatch(/style=|<style|<script|(?:fill|stroke)="#/);
    }
  });
});

/** Every drawing on the page of a crop. */
function shownOn({ kind, stages, cutting, form, trouble }: Crop): readonly Chosen[] {
  return [
    ofCut(cutting ?? {}),
    ofHabit(form?.habit),
    ...Object.entries(stages ?? {}).map(([stage, { ready }]) => ofStage(stage, ready, kind)),
    ...Object.entries(trouble ?? {}).map(([key, { sign }]) => ofTrouble(key, sign)),
  ].filter((one) => one !== undefined);
}

interface Crop {
  readonly kind?: string;
  readonly stages?: Readonly<Record<string, { readonly ready?: string }>>;
  readonly cutting?: { readonly style?: string; readonly how?: string };
  readonly form?: { readonly habit?: string };
  readonly trouble?: Readonly<Record<string, { readonly sign: string }>>;
}
