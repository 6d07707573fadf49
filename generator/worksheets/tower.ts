import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import {
  conditions,
  type Face,
  type Plant,
  points,
  type Scores,
  scores,
  slack,
  type Tower,
  vetoes,
  weights,
} from "../science/port.ts";
import { overturningMoment, restoringMoment, tippingGust, waterFor } from "../science/stability.ts";
import { amount, choice, everyday, fault, flag, optional, usually } from "./input.ts";
import { cropFields, faceNames, needsLight, plantOf, towerInput, towerOf, vetoInWords } from "./planting.ts";
import { warn, worksheet } from "./worksheet.ts";

const score = (label: string) => ({ unit: "", label, digits: 3 });

export const towerPortScore = worksheet({
  id: "tower-port-score",
  question: "Does this plant suit this port?",
  input: z
    .strictObject({
      crop: z.strictObject(cropFields).superRefine(needsLight).meta({ label: "Crop", unit: "" }),
      tier: amount({ unit: "", min: 1, max: 30, whole: true, label: "Tier, 1 the lowest" }),
      face: choice(faceNames, { label: "Face" }),
      tower: optional(towerInput).meta({ label: "Tower", unit: "" }),
    })
    .superRefine(({ tier, tower }, context) => {
      const { tiers } = towerOf(tower);
      if (tier > tiers) fault(context, ["tier"], `Unexpected ${tier}, expected 1 to ${tiers}`);
    }),
  example: {
    crop: {
      id: "mint",
      massKg: 0.4,
      heightCm: 35,
      trailCm: 15,
      dliNeed: 9,
      dliMax: 25,
      moisture: 0.9,
      root: 3,
      picksPerWeek: 3,
    },
    tier: 1,
    face: "N",
  },
  answer: {
    total: { unit: "points", label: "Score, of 100", digits: 3, key: true },
    portLight: { unit: "mol/m²/day", label: "Light at the port", digits: 3 },
    portMoisture: { unit: "", label: "Moisture at the port", digits: 2 },
    portHeightM: { unit: "m", label: "Height of the port", digits: 3 },
    "scores.weight": score("Weight low"),
    "scores.light": score("Light"),
    "scores.moisture": score("Moisture"),
    "scores.overlap": score("Shading others"),
    "scores.root": score("Roots"),
    "scores.pick": score("Picking"),
    "scores.pollination": score("Pollination"),
    vetoes: { unit: "", label: "Rules broken", key: true },
  },
  cautions: [
    {
      text: "Nothing that is eaten raw may hang to the floor or be splashed from it.",
      defer: "Local food hygiene rules decide.",
    },
  ],
  source: "the business's own placing rules",
  solve(input) {
    const { tier, face } = input;
    const plant = plantOf(input.crop);
    const tower = towerOf(input.tower);
    const port = { tier, face };
    const { light, moisture, height } = conditions(tower, port);
    const given = scores(tower, plant, port);
    const broken = vetoes(tower, plant, port);
    const nearest = broken.length > 0 ? nearestTier(tower, plant, port) : undefined;
    return {
      answer: {
        total: points(given),
        portLight: light,
        portMoisture: moisture,
        portHeightM: height,
        scores: given,
        vetoes: broken,
      },
      working: portWorking(tower, port, given),
      notes: [
        light < plant.dliNeed - slack &&
          warn(
            `The light is ${number(light, 3)} of the ${quantity(plant.dliNeed, "mol/m²/day")} that ${plant.id} needs.`,
          ),
        light > plant.dliMax + slack &&
          warn(
            `The port is too bright: ${number(light, 3)} against the ${quantity(plant.dliMax, "mol/m²/day")} that ${plant.id} bears.`,
          ),
      ],
      refusal:
        broken.length > 0
          ? {
              why: `${plant.id} may not stand at tier ${tier}${face}. ${broken.map((veto) => vetoInWords(veto, tower)).join("; ")}. No score outweighs a rule.`,
              by: null,
              nearest: nearest === undefined ? {} : { tier: nearest },
            }
          : undefined,
    };
  },
});

/** The tier of the same face that no rule forbids and that is nearest, the lower of two. */
function nearestTier(tower: Tower, plant: Plant, { tier, face }: { tier: number; face: Face }): number | undefined {
  return Array.from({ length: tower.tiers }, (_, index) => index + 1)
    .filter((other) => vetoes(tower, plant, { tier: other, face }).length === 0)
    .sort((a, b) => Math.abs(a - tier) - Math.abs(b - tier) || a - b)[0];
}

function portWorking(tower: Tower, port: { tier: number; face: Face }, given: Scores): string[] {
  const z = (port.tier - 1) / (tower.tiers - 1);
  const { light, moisture, height } = conditions(tower, port);
  const shares = `${number(tower.topLight)} × ${number(tower.faceLight[port.face])} × (${number(tower.lowestLightShare)} + ${number(1 - tower.lowestLightShare)} × ${number(z, 3)})`;
  const isMeasured = tower.measuredLight[port.tier]?.[port.face] !== undefined;
  const factors = Object.entries(weights) as [keyof Scores, number][];
  return [
    `Up the column: z = (${port.tier} − 1) ÷ (${tower.tiers} − 1) = ${number(z, 3)}`,
    `Height = ${number(tower.bottomHeight)} + ${number(tower.pitch / 100)} × (${port.tier} − 1) = ${quantity(height, "m")}`,
    `Light ${isMeasured ? "as measured" : `= ${shares}`} = ${quantity(light, "mol/m²/day")}`,
    `Moisture = ${number(tower.moistureBottom)} + (${number(tower.moistureTop)} − ${number(tower.moistureBottom)}) × ${number(z, 3)} = ${number(moisture, 3)}`,
    `Score = ${factors.map(([factor, weight]) => `${weight} × ${number(given[factor], 3)} (${factor})`).join(" + ")} = ${number(points(given), 3)}`,
  ];
}

const kilograms = (label: string, usual: number) => usually(amount({ unit: "kg", min: 0, max: 200, label }), usual);

export const gustCheck = worksheet({
  id: "gust-check",
  question: "Will it stand in this gust?",
  input: z.strictObject({
    gust: everyday({ unit: "m/s", min: 0, max: 60, label: "Gust" }),
    baseLitres: amount({ unit: "L", min: 0, max: 500, label: "Water in the base" }),
    plantsKg: amount({ unit: "kg", min: 0, max: 200, label: "Plants" }),
    baseKg: kilograms("Base, empty", 6),
    columnKg: kilograms("Column, wet", 9),
    baseRadius: usually(
      everyday({ unit: "m", above: 0, max: 2, label: "From the centre to the edge of the base" }),
      0.28,
    ),
    sideArea: usually(everyday({ unit: "m²", above: 0, max: 10, label: "Leafy side that the wind meets" }), 0.75),
    centreHeight: usually(everyday({ unit: "m", above: 0, max: 5, label: "Height of that side's centre" }), 1.15),
    drag: usually(everyday({ unit: "", above: 0, max: 3, label: "Drag coefficient" }), 1.0),
    baseCapacity: optional(everyday({ unit: "L", above: 0, label: "The base holds" })),
    tied: usually(flag({ label: "Tied to something that stands" }), false),
  }),
  example: { gust: 14, baseLitres: 8, plantsKg: 15.8 },
  answer: {
    margin: { unit: "", label: "Margin, 1.5 or more is safe", digits: 3, key: true },
    overturning: { unit: "N·m", label: "Overturning moment", digits: 3 },
    restoring: { unit: "N·m", label: "Restoring moment", digits: 3 },
    litresNeeded: { unit: "L", label: "Water in the base for a margin of 1.5", digits: 3, key: true },
    tippingGust: { unit: "m/s", label: "Tips at", digits: 3, key: true },
  },
  cautions: [
    {
      text: "A guide, not a structural calculation. Keep people away from towers in a gale; a full base is too heavy to lift alone.",
      defer: "A structural engineer and the maker's own limits decide.",
    },
  ],
  source: "drag equation, air 1.225 kg/m³ (International Standard Atmosphere)",
  solve(input) {
    const { gust, baseLitres, plantsKg, baseKg, columnKg, baseRadius, sideArea, centreHeight, drag, baseCapacity } =
      input;
    const stand = {
      water: baseLitres,
      base: baseKg,
      column: columnKg,
      plants: plantsKg,
      radius: baseRadius,
      area: sideArea,
      height: centreHeight,
      drag,
    };
    const overturning = overturningMoment(stand, gust);
    const restoring = restoringMoment(stand);
    const margin = gust === 0 ? null : restoring / overturning;
    const litresNeeded = waterFor(stand, gust, 1.5);
    const limit = tippingGust(stand);
    const thin = margin !== null && margin >= 1 - slack && margin < 1.5 - slack;
    const noRoom = baseCapacity !== undefined && litresNeeded > baseCapacity + slack;
    return {
      answer: { margin, overturning, restoring, litresNeeded, tippingGust: limit },
      working: [
        `Restoring = (${list(
          [baseLitres, baseKg, columnKg, plantsKg].map((mass) => number(mass)),
          "+",
        ).replaceAll(",", " +")}) kg × 9.81 × ${number(baseRadius)} = ${quantity(restoring, "N·m")}`,
        `Overturning = ½ × 1.225 × ${number(drag)} × ${number(sideArea)} × ${number(gust)}² × ${number(centreHeight)} = ${quantity(overturning, "N·m")}`,
        margin === null
          ? "No wind, so no margin to reckon"
          : `Margin = ${number(restoring)} ÷ ${number(overturning)} = ${number(margin, 3)}`,
        `Water for a margin of 1.5 = 1.5 × ${number(overturning)} ÷ (9.81 × ${number(baseRadius)}) − ${number(baseKg)} − ${number(columnKg)} − ${number(plantsKg)}, not below 0 = ${quantity(litresNeeded, "L")}`,
        `Tips at √(${number(restoring)} ÷ (½ × 1.225 × ${number(drag)} × ${number(sideArea)} × ${number(centreHeight)})) = ${quantity(limit, "m/s")}`,
      ],
      notes: [
        thin && warn(`The margin is ${number(margin, 3)}, under 1.5: fill the base or tie the tower.`),
        noRoom &&
          warn(
            `The base holds ${quantity(baseCapacity, "L")} and would need ${quantity(litresNeeded, "L", 3)}: tie the tower.`,
          ),
        input.tied &&
          warn("The tie is not certified: it is not in this sum, and what it is tied to must hold as well."),
      ],
      refusal:
        margin !== null && margin < 1 - slack
          ? {
              why: `It will tip: the gust turns it over with ${quantity(overturning, "N·m", 3)} against ${quantity(restoring, "N·m", 3)}. Fill the base, tie it or take it in.`,
              by: 1 - margin,
              nearest: { baseLitres: litresNeeded, gust: limit },
            }
          : undefined,
    };
  },
});
