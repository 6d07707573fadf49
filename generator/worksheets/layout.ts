import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { type Layout, layout, searchLimit } from "../science/optimum.ts";
import { blank } from "../science/place.ts";
import { conditions, type Face, type Plant, slack } from "../science/port.ts";
import { amount, choice, fault, optional, several, shown, text } from "./input.ts";
import { band, distinctIds } from "./line.ts";
import { feedOf, reason, refusalOf, rulesThatBit } from "./placing.ts";
import { cropFields, faceNames, needsLight, plantOf, towerInput, towerOf } from "./planting.ts";
import { ok, type Solved, warn, worksheet } from "./worksheet.ts";

export const towerLayout = worksheet({
  id: "tower-layout",
  question: "Where does each plant go?",
  input: z
    .strictObject({
      crops: several(
        z
          .strictObject({
            ...cropFields,
            count: amount({ unit: "", min: 0, max: 200, whole: true, label: "Plants" }),
            ec: optional(band("mS/cm", 10, "EC band")),
            ph: optional(band("pH", 14, "pH band")),
          })
          .superRefine(needsLight),
        { min: 1, max: 20, label: "Crops" },
      )
        .superRefine(distinctIds)
        .superRefine((crops, context) => {
          if (crops.every(({ ec, ph }) => ec === undefined && ph === undefined)) return;
          crops.forEach((crop, index) => {
            for (const field of ["ec", "ph"] as const) {
              if (crop[field] !== undefined) continue;
              fault(context, [index, field], "Missing, expected ec and ph for all of the crops or for none");
            }
          });
        }),
      tower: optional(towerInput).meta({ label: "Tower", unit: "" }),
      pins: optional(
        several(
          z.strictObject({
            crop: text({ label: "Crop" }),
            tier: amount({ unit: "", min: 1, max: 30, whole: true, label: "Tier" }),
            face: choice(faceNames, { label: "Face" }),
          }),
          { max: 120, label: "Pins" },
        ),
      ),
    })
    .superRefine(({ crops, tower, pins = [] }, context) => {
      const { tiers } = towerOf(tower);
      pins.forEach(({ crop, tier }, index) => {
        if (!crops.some(({ id }) => id === crop)) {
          fault(
            context,
            ["pins", index, "crop"],
            `Unexpected ${shown(crop)}, expected one of ${list(
              crops.map(({ id }) => id),
              "or",
            )}`,
          );
        }
        if (tier > tiers) fault(context, ["pins", index, "tier"], `Unexpected ${tier}, expected 1 to ${tiers}`);
      });
    }),
  example: {
    crops: [
      {
        id: "chard",
        massKg: 0.7,
        heightCm: 40,
        dliNeed: 13,
        dliMax: 35,
        moisture: 0.7,
        root: 2,
        picksPerWeek: 1,
        count: 12,
      },
      {
        id: "basil",
        massKg: 0.3,
        heightCm: 35,
        dliNeed: 15,
        dliMax: 35,
        moisture: 0.5,
        root: 2,
        picksPerWeek: 5,
        count: 12,
      },
      {
        id: "lettuce",
        massKg: 0.25,
        heightCm: 18,
        dliNeed: 11,
        dliMax: 22,
        moisture: 0.7,
        root: 1,
        picksPerWeek: 1,
        count: 12,
      },
    ],
  },
  answer: {
    map: { unit: "", label: "Map, tier 1 the lowest", key: true },
    why: { unit: "", label: "Why there" },
    total: { unit: "points", label: "Total", digits: 5 },
    mean: { unit: "points", label: "Mean of a plant, of 100", digits: 3 },
    proved: { unit: "", label: "No allowed layout has a higher total" },
    plants: { unit: "", label: "Plants", key: true },
    totalKg: { unit: "kg", label: "Mass", digits: 3 },
    lowerHalfKg: { unit: "kg", label: "Mass in the lower half", digits: 3 },
    "faceKg.*": { unit: "kg", label: "Mass on a face", digits: 3 },
    "tierKg.*": { unit: "kg", label: "Mass on a tier", digits: 3 },
    "amber.*.tier": { unit: "", label: "Tier" },
    "amber.*.light": { unit: "mol/m²/day", label: "Light", digits: 3 },
    "amber.*.need": { unit: "mol/m²/day", label: "Needed", digits: 3 },
    ecLow: { unit: "mS/cm", label: "Shared EC from", digits: 3 },
    ecHigh: { unit: "mS/cm", label: "Shared EC to", digits: 3 },
    phLow: { unit: "", label: "Shared pH from", digits: 3 },
    phHigh: { unit: "", label: "Shared pH to", digits: 3 },
    pinCost: { unit: "points", label: "What the pins cost", digits: 3 },
  },
  cautions: [
    {
      text: "Nothing that is eaten raw may hang to the floor or be splashed from it; flowers are food only when their kind is known and grown as food.",
      defer: "Local food hygiene rules decide.",
    },
    {
      text: "Plant the heavy ones first and low, with water in the base; do not lift a planted column alone.",
      defer: "The maker's limits for a port and a tier decide.",
    },
  ],
  source:
    "the business's own placing rules; exact assignment with branch and bound, never below greedy placement with pairwise exchange",
  solve(input) {
    const tower = towerOf(input.tower);
    const crops = input.crops.map((crop) => ({ plant: plantOf(crop), count: crop.count }));
    const pins = (input.pins ?? []).map(({ crop, tier, face }) => ({
      crop: crops.findIndex(({ plant }) => plant.id === crop),
      port: { tier, face },
    }));
    const planted = input.crops.filter(({ count }) => count > 0);
    const plants = crops.reduce((sum, { count }) => sum + count, 0);
    const totalKg = crops.reduce((sum, { plant, count }) => sum + plant.mass * count, 0);
    const feed = feedOf(planted);
    const known = { ...unplaced, ...feed.ends, plants, totalKg };
    if (feed.refusal) return { answer: known, working: feed.working, refusal: feed.refusal };
    const found = layout({ tower, crops, pins });
    if ("rule" in found) {
      const working = [...feed.working, `${plants} plants, ${tower.tiers} × 4 = ${tower.tiers * 4} ports`];
      return { answer: known, working, refusal: refusalOf(found, { tower, crops, pins }) };
    }
    return { ...answered(found, known), working: [...feed.working, ...layoutWorking(found, plants, totalKg)] };
  },
});

const unplaced = {
  map: null,
  why: null,
  total: null,
  mean: null,
  proved: null,
  lowerHalfKg: null,
  faceKg: null,
  tierKg: null,
  amber: null,
  pinCost: null,
};

function answered(
  { board, held, total, proved, pinCost }: Layout,
  known: { readonly plants: number },
): Omit<Solved, "working"> {
  const { tower, crops, ports, pins } = board;
  const byPort = new Map(ports.map(({ tier, face }, at) => [`${tier}${face}`, held[at]!]));
  const plantAt = (tier: number, face: Face) => {
    const crop = byPort.get(`${tier}${face}`) ?? blank;
    return crop === blank ? undefined : crops[crop]!.plant;
  };
  const tiers = Array.from({ length: tower.tiers }, (_, index) => index + 1);
  const table = <Value>(cell: (plant: Plant, tier: number, face: Face) => Value) =>
    Object.fromEntries(
      tiers.map((tier) => [
        tier,
        Object.fromEntries(
          faceNames.map((face) => {
            const plant = plantAt(tier, face);
            return [face, plant ? cell(plant, tier, face) : null];
          }),
        ),
      ]),
    );
  const massOf = (wanted: (tier: number, face: Face) => boolean) =>
    ports.reduce((sum, { tier, face }) => sum + (wanted(tier, face) ? (plantAt(tier, face)?.mass ?? 0) : 0), 0);
  const amber = tiers.flatMap((tier) =>
    faceNames.flatMap((face) => {
      const plant = plantAt(tier, face);
      const { light } = conditions(tower, { tier, face });
      return plant && light < plant.dliNeed - slack ? [{ crop: plant.id, tier, face, light, need: plant.dliNeed }] : [];
    }),
  );
  return {
    answer: {
      ...known,
      map: table(({ id }) => id),
      why: table((plant, tier, face) => reason(tower, plant, { tier, face })),
      total,
      mean: known.plants === 0 ? null : total / known.plants,
      proved,
      lowerHalfKg: massOf((tier) => tier <= tower.tiers / 2),
      faceKg: Object.fromEntries(faceNames.map((face) => [face, massOf((_, other) => other === face)])),
      tierKg: Object.fromEntries(tiers.map((tier) => [tier, massOf((other) => other === tier)])),
      amber,
      pinCost,
    },
    notes: [
      amber.length > 0 &&
        warn(
          `Short of light: ${list(amber.map(({ crop, tier, face, light, need }) => `${crop} at ${tier}${face}, ${number(light, 3)} of ${number(need, 3)}`))}.`,
        ),
      pins.length > 0 &&
        ok(`The pins are kept; they cost ${number(pinCost, 3)} points against the layout without them.`),
      !proved &&
        ok(
          `After ${number(searchLimit(ports.length), 5)} looks this is the best layout found; that no better one exists is not proved.`,
        ),
      rulesThatBit(tower, crops),
    ],
  };
}

function layoutWorking({ board, total }: Layout, plants: number, totalKg: number): string[] {
  const { tiers } = board.tower;
  return [
    `${plants} plants in ${tiers} × 4 = ${tiers * 4} ports, ${quantity(totalKg, "kg")}`,
    plants === 0
      ? "Nothing to place"
      : `Total of the plants' scores = ${number(total, 6)} points; ÷ ${plants} = ${number(total / plants, 4)} a plant`,
  ];
}
