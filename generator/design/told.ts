import type { Block, Design, Wish, Yard } from "../design.ts";
import { list, quantity } from "../format.ts";
import { blocksFor, fewest, most, plantsFor, type Spread, shows } from "./power.ts";
import { withRoom } from "./refusals.ts";

/** A sign for each treatment, short enough for a port: its name if all are short, else its first letter, else a letter. */
export function marksOf(treatments: readonly string[]): ReadonlyMap<string, string> {
  const short = treatments.every((name) => [...name].length <= 2);
  const initials = treatments.map((name) => [...name][0]!.toUpperCase());
  const own = new Set(initials).size === treatments.length;
  return new Map(
    treatments.map((name, index) => [name, short ? name : own ? initials[index]! : "ABCD"[index % 4]!] as const),
  );
}

/** The places in text: a tower a square, its tiers from the top down, a dot where the trial has no plant. */
export function layoutText({ blocks, unit }: Design, treatments: readonly string[], yard: Yard): readonly string[] {
  const marks = marksOf(treatments);
  const key = treatments.flatMap((name) => (marks.get(name) === name ? [] : [`${marks.get(name)} ${name}`]));
  if (unit === "tower")
    return blocks.map(({ name, places }) =>
      [name, ...Object.entries(places).map(([tower, treatment]) => `${tower}: ${treatment}`)].join("  "),
    );
  const drawn = blocks.map((block) => square(block, marks, yard));
  const rows: string[] = [];
  for (let first = 0; first < drawn.length; first += abreast) {
    const group = drawn.slice(first, first + abreast);
    const height = Math.max(...group.map(({ length }) => length));
    if (first > 0) rows.push("");
    for (let row = 0; row < height; row++)
      rows.push(
        group
          .map((lines) => (lines[row] ?? "").padEnd(lines[0]!.length))
          .join("   ")
          .trimEnd(),
      );
  }
  return [...rows, ...(key.length > 0 ? [key.join(", ")] : [])];
}

/** Towers drawn beside one another. */
const abreast = 4;

function square({ name, places }: Block, marks: ReadonlyMap<string, string>, { towers }: Yard): readonly string[] {
  const { faces } = towers.find((tower) => tower.name === name)!;
  const tiers = [...new Set(Object.keys(places).map((port) => Number.parseInt(port, 10)))].sort((a, b) => b - a);
  const width = Math.max(1, ...[...marks.values()].map(({ length }) => length));
  const lines = [
    ["  ", ...faces.map((face) => face.padEnd(width))].join(" "),
    ...tiers.map((tier) =>
      [
        String(tier).padStart(2),
        ...faces.map((face) => (marks.get(places[`${tier}${face}`] ?? "") ?? ".").padEnd(width)),
      ].join(" "),
    ),
  ];
  const wide = Math.max(name.length, ...lines.map(({ length }) => length));
  return [name, ...lines].map((line) => line.padEnd(wide));
}

/** The difference that is wanted [%], and how it was come by when it was written in the measure's own unit. */
export interface Wanted {
  readonly percent: number;
  readonly from?: string | undefined;
}

/** What the design shows against what is wanted, and what would show that; first of all whether it is too small. */
export function powerText(wish: Wish, design: Design, wanted: Wanted | undefined, yard: Yard): readonly string[] {
  const { spread } = wish;
  if (!spread) return [noSpread];
  const blocks = design.blocks.length;
  const said = `with a spread of ${percent(spread.percent)} ${ofWhat[spread.of]}`;
  if (design.shows === undefined) return [`${blocks} blocks show nothing for certain: take ${fewest} at the least.`];
  const can = `It could show a difference of ${percent(design.shows)} four times in five, ${said}.`;
  if (!wanted)
    return [can, "What matters to you is not set against it: say what the control gives now with `--usual`."];
  const want = `You want ${percent(wanted.percent)}${wanted.from ? ` (${wanted.from})` : ""}`;
  if (design.shows <= wanted.percent + 1e-9) return [`${can} ${want}: it is enough.`];
  const ways = waysTo(wanted.percent, { wish, spread, blocks, yard });
  return [`${can} ${want}: ${ways.length > 0 ? `take ${list(ways, "or")}` : tooSmall(wish, spread, yard)}.`];
}

const noSpread =
  "What it could show is not known without a spread: say with `--spread` how far plants of one kind differ, such as 20 %.";

const ofWhat: Readonly<Record<Spread["of"], string>> = {
  plants: "between plants",
  towers: "between towers fed alike",
  differences: "of the blocks’ differences",
};

/** More blocks, or more plants in each, as far as the yard has room for them. */
function waysTo(
  wanted: number,
  { wish, spread, blocks, yard }: { wish: Wish; spread: Spread; blocks: number; yard: Yard },
): readonly string[] {
  const more = blocksFor(wanted, { spread, plants: wish.plants });
  const plants = plantsFor(wanted, { spread, blocks });
  const roomForBlocks = blocksOf(withRoom(wish, yard).length, wish);
  const roomForPlants =
    plants !== undefined &&
    wish.towers.every(({ tower }) => withRoom({ ...wish, towers: [], plants }, yard).includes(tower));
  return [
    ...(more <= Math.min(most, roomForBlocks) ? [`${more} blocks`] : []),
    ...(plants !== undefined && roomForPlants ? [`${plants} plants of each in each block`] : []),
  ];
}

function tooSmall(wish: Wish, spread: Spread, yard: Yard): string {
  const blocks = Math.min(most, blocksOf(withRoom(wish, yard).length, wish));
  const least = shows({ spread, plants: wish.plants, blocks });
  return least === undefined
    ? "this yard cannot show it"
    : `this yard cannot show it with ${wish.plants} of each in a block; its ${blocks} blocks would show ${percent(least)}`;
}

function blocksOf(towers: number, { through, treatments }: Wish): number {
  return through === "feed" ? Math.floor(towers / treatments.length) : towers;
}

function percent(value: number): string {
  return quantity(value, "%", 2);
}

/** What a design does that it may, but had better not. */
export function remarksOn(wish: Wish, design: Design): readonly string[] {
  const { treatments, through, plants, towers, crop } = wish;
  const blocks = design.blocks.length;
  const strange = [
    ...new Set(towers.filter(({ tower }) => !tower.grows.includes(crop.id)).map(({ tower }) => tower.line)),
  ];
  const lines = [...new Set(towers.map(({ tower }) => tower.line))];
  return [
    blocks < fewest &&
      `${blocks} blocks give no interval: every value will be shown, and nothing more. ${fewest} blocks are the least for one.`,
    plants < 3 &&
      `${plants === 1 ? "One plant" : `${plants} plants`} of each in a block: one that dies leaves little to compare. Three are advised.`,
    treatments.length > 2 &&
      `${treatments.length - 1} treatments are each set against ${wish.control}: of twenty such comparisons one looks like a difference by chance alone.`,
    through === "plant" &&
      lines.length > 1 &&
      `The towers drink from ${list(lines)}: that is no harm within a block, but the blocks differ in their feed too.`,
    strange.length > 0 && `${crop.name} is not among the crops of ${list(strange)}: look at its EC and pH first.`,
  ].filter((remark) => remark !== false);
}
