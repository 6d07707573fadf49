import { z } from "zod";
import { number, quantity } from "../format.ts";
import { type Face, heavy, type Plant, type Tower, usualFaceLight, type Veto } from "../science/port.ts";
import { amount, choice, everyday, fault, flag, optional, shown, text, usually } from "./input.ts";

export const faceNames = ["N", "E", "S", "W"] as const;

const share = (label: string, usual: number, max = 1) => usually(amount({ unit: "", min: 0, max, label }), usual);
const light = (label: string) => amount({ unit: "mol/m²/day", min: 0, max: 70, label });
const byFace = (field: (face: string) => z.ZodNumber) =>
  z.strictObject({
    N: optional(field("N")),
    E: optional(field("E")),
    S: optional(field("S")),
    W: optional(field("W")),
  });

/** A tower as an input gives it; every field may be left out. */
export const towerInput = z
  .strictObject({
    tiers: usually(amount({ unit: "", min: 2, max: 30, whole: true, label: "Tiers" }), 10),
    bottomHeightM: usually(amount({ unit: "m", min: 0, max: 3, label: "Height of the lowest tier" }), 0.45),
    pitchCm: usually(everyday({ unit: "cm", above: 0, max: 100, label: "From tier to tier" }), 15),
    latitude: usually(amount({ unit: "°", min: -90, max: 90, label: "Latitude, south below 0" }), 52),
    topLight: usually(light("Light a day at the top of the brightest face"), 30),
    lowestLightShare: share("Light at the lowest tier, share of the top's", 0.6),
    faceLight: optional(
      byFace((face) => amount({ unit: "", min: 0, max: 2, label: `Light of face ${face}, share of the brightest` })),
    ),
    moistureBottom: share("Moisture at the lowest tier, 0 dry to 1 wet", 0.9),
    moistureTop: share("Moisture at the top tier, 0 dry to 1 wet", 0.4),
    indoors: usually(flag({ label: "In the growing room" }), false),
    handPollination: usually(flag({ label: "A named person pollinates by hand" }), false),
    roofM: optional(everyday({ unit: "m", above: 0, label: "Height of lamp or roof" })),
    lampClearanceCm: usually(amount({ unit: "cm", min: 0, max: 200, label: "Kept free below it" }), 0),
    portLimitKg: usually(everyday({ unit: "kg", above: 0, label: "A port carries", help: "As made or tested" }), 2),
    tierLimitKg: usually(everyday({ unit: "kg", above: 0, label: "A tier carries", help: "As made or tested" }), 5),
    measuredLight: optional(
      z.record(
        z.string(),
        byFace((face) => light(`Light measured at face ${face}`)),
      ),
    ),
  })
  .superRefine(({ tiers, measuredLight = {} }, context) => {
    for (const tier of Object.keys(measuredLight)) {
      if (!/^[1-9]\d?$/.test(tier) || Number(tier) > tiers) {
        fault(context, ["measuredLight", tier], `Unexpected tier ${shown(tier)}, expected 1 to ${tiers}`);
      }
    }
  });

/** The tower of an input, or the usual one. */
export function towerOf(input: z.output<typeof towerInput> | undefined): Tower {
  const tower = input ?? towerInput.parse({});
  const usual = usualFaceLight(tower.latitude);
  const face = given(tower.faceLight ?? {});
  return {
    tiers: tower.tiers,
    bottomHeight: tower.bottomHeightM,
    pitch: tower.pitchCm,
    latitude: tower.latitude,
    topLight: tower.topLight,
    lowestLightShare: tower.lowestLightShare,
    faceLight: { N: face.N ?? usual.N, E: face.E ?? usual.E, S: face.S ?? usual.S, W: face.W ?? usual.W },
    moistureBottom: tower.moistureBottom,
    moistureTop: tower.moistureTop,
    indoors: tower.indoors,
    handPollination: tower.handPollination,
    roof: tower.roofM,
    lampClearance: tower.lampClearanceCm,
    portLimit: tower.portLimitKg,
    tierLimit: tower.tierLimitKg,
    measuredLight: Object.fromEntries(
      Object.entries(tower.measuredLight ?? {}).map(([tier, faces]) => [tier, given(faces)]),
    ),
  };
}

/** The fields of a crop as an input gives them; `needsLight` checks the two of light together. */
export const cropFields = {
  id: text({ label: "Crop" }).min(1, "Unexpected nothing, expected a crop's name"),
  massKg: everyday({ unit: "kg", above: 0, max: 10, label: "Mass when mature, wet" }),
  heightCm: amount({ unit: "cm", min: 0, max: 300, label: "Height when mature" }),
  trailCm: usually(amount({ unit: "cm", min: 0, max: 300, label: "Hangs down" }), 0),
  dliNeed: everyday({ unit: "mol/m²/day", above: 0, max: 70, label: "Light needed a day" }),
  dliMax: amount({ unit: "mol/m²/day", min: 0, max: 70, label: "Light borne a day" }),
  moisture: amount({ unit: "", min: 0, max: 1, label: "Moisture liked, 0 dry to 1 wet" }),
  root: amount({ unit: "", min: 1, max: 3, whole: true, label: "Roots: 1 fine, 2 middling, 3 strong" }),
  picksPerWeek: amount({ unit: "/week", min: 0, max: 14, label: "Picked" }),
  pollination: usually(choice(["none", "insect", "shake"], { label: "Pollinated by" }), "none"),
};

type CropInput = z.output<z.ZodObject<typeof cropFields>>;

/** Asks that a crop bears at least the light that it needs. */
export function needsLight({ dliNeed, dliMax }: Pick<CropInput, "dliNeed" | "dliMax">, context: z.RefinementCtx): void {
  if (dliMax < dliNeed)
    fault(context, ["dliMax"], `Unexpected ${dliMax} below dliNeed ${dliNeed}, expected that or more`);
}

export function plantOf(crop: CropInput): Plant {
  return {
    id: crop.id,
    mass: crop.massKg,
    height: crop.heightCm,
    trail: crop.trailCm,
    dliNeed: crop.dliNeed,
    dliMax: crop.dliMax,
    moisture: crop.moisture,
    root: crop.root as Plant["root"],
    picksPerWeek: crop.picksPerWeek,
    pollination: crop.pollination,
  };
}

/** A rule in words, for the plant that it keeps away. */
export function vetoInWords(veto: Veto, tower: Tower): string {
  const words: Readonly<Record<Veto, string>> = {
    V0: "no feed suits every crop of the tower",
    V1: `over ${quantity(heavy, "kg")}: tiers 1 to 3 only`,
    V2: "strong roots: lower half only",
    V3: "under half of the light it needs",
    V4: "it would trail to within 10 cm of the floor",
    V5: `two plants over ${quantity(heavy, "kg")} within 4 tiers of one face`,
    V6: `heavier than the port's ${quantity(tower.portLimit, "kg")} or its tier's ${quantity(tower.tierLimit, "kg")}`,
    V7: "needs insects, and nobody pollinates by hand indoors",
    V8: `too tall for the ${number(tower.roof ?? 0)} m to lamp or roof`,
  };
  return `${veto}: ${words[veto]}`;
}

/** The faces that were given. */
function given(faces: Partial<z.output<ReturnType<typeof byFace>>>): Partial<Record<Face, number>> {
  return Object.fromEntries(faceNames.flatMap((face) => (faces[face] === undefined ? [] : [[face, faces[face]]])));
}
