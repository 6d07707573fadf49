import { plan } from "../../generator/plan/plan.ts";
import type { GrownCrop, Promised, Yard } from "../../generator/plan/yard.ts";
import { addDays } from "../../generator/science/calendar.ts";
import { loadSearch } from "../../generator/search.ts";
import { basil, batch, lot, order, yard } from "../plan/yards.ts";

/**
 * Plans one made-up yard of so many orders over 26 weeks, in a process of its own so that its memory can be told, and prints
 * what it took. The yard has room for all, or in every place so much less than that at its fullest.
 */
const [, , orders = "500", share = "1"] = process.argv;

const crops: readonly GrownCrop[] = [
  basil,
  { ...basil, id: "lettuce", stages: stages(3, 14, 7, 18), gramsPerCut: 16, cutWindow: 21, cutWindowMost: 35 },
  { ...basil, id: "chives", stages: stages(12, 30, 14, 40), gramsPerCut: 12, daysBetweenCuts: 21, cutWindow: 120 },
  { ...basil, id: "mustard", micro: true, stages: stages(2, 9), gramsPerPot: 4, cellsPerTray: 24, tray: "tray-micro" },
];
const wanted = [
  ["basil", "cut", "400 g/week"],
  ["basil", "cut", "1200 g"],
  ["lettuce", "cut", "800 g/week"],
  ["lettuce", "plug", "120 plugs"],
  ["chives", "cut", "200 g"],
  ["mustard", "pot", "40 pots"],
  ["mustard", "pot", "20 pots/week"],
] as const;

let state = 7;
const next = (most: number) => {
  state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
  return state % most;
};
const promised: readonly Promised[] = Array.from({ length: Number(orders) }, (_, index) => {
  const [crop, kind, written] = wanted[next(wanted.length)]!;
  const from = addDays("2027-03-01", 20 + next(150));
  const to = written.endsWith("week") ? addDays(from, 28 + next(80)) : undefined;
  return order({ id: `order-${index}`, crop, kind, written, from, to });
});
const ample: Yard = yard({
  orders: promised,
  crops: new Map(crops.map((crop) => [crop.id, crop])),
  lots: new Map(crops.map(({ id }) => [`${id}-1`, { ...lot, id: `${id}-1`, crop: id, germination: 0.9 }])),
  batches: Array.from({ length: Math.ceil(Number(orders) / 50) }, (_, index) => batch({ id: `batch-${index}` })),
  places: places(Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY),
});
const fullest = plan(ample).places.map(({ taken }) => Math.floor(Number(share) * Math.max(...taken)));
const tight = { ...ample, places: places(fullest[0]!, fullest[1]!, fullest[2]!) };

const search = await loadSearch();
const started = performance.now();
const { method, sowings, shortfalls } = plan(tight, search);
const seconds = (performance.now() - started) / 1000;
console.log(
  JSON.stringify({
    seconds,
    megabytes: process.resourceUsage().maxRSS / 1024,
    method,
    sowings: sowings.length,
    short: shortfalls.length,
  }),
);

function places(bench: number, mister: number, ports: number): Yard["places"] {
  return { bench, mister, lines: [{ id: "main", crops: crops.map(({ id }) => id), ports }] };
}

function stages(...days: readonly number[]): GrownCrop["stages"] {
  const names = ["germination", "tray", "mister", "tower"] as const;
  return days.map((summer, index) => ({ name: names[index]!, summer, winter: summer }));
}
