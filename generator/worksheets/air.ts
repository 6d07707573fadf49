import { z } from "zod";
import { number, quantity } from "../format.ts";
import {
  dewPoint as dewPointOf,
  dryers,
  houseHeat as heatOf,
  peakWater,
  roomHeat,
  saturationVapourPressure,
  vapourPressureDeficit,
} from "../science/air.ts";
import { amount, choice, everyday, optional, together, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

/** Where leaves do well, by stage [kPa at the leaf]. Common practice. */
const bands = { seedling: [0.4, 0.8], leaf: [0.6, 1.1], outdoor: [0, 1.5] } as const;

export const airDryness = worksheet({
  id: "air-dryness",
  question: "Is the air right for these leaves?",
  input: z.strictObject({
    airTemp: amount({ unit: "°C", min: -30, max: 60, label: "Air temperature" }),
    humidity: amount({ unit: "%", min: 0, max: 100, label: "Relative humidity" }),
    leafOffset: usually(
      amount({ unit: "°C", min: -10, max: 10, label: "Leaf warmer than the air by", help: "Cooler is negative" }),
      -1,
    ),
    stage: optional(choice(["seedling", "leaf", "outdoor"], { label: "Stage" })),
  }),
  example: { airTemp: 22, humidity: 78, stage: "leaf" },
  answer: {
    svpAir: { unit: "kPa", label: "Saturation vapour pressure of the air", digits: 3 },
    vpd: { unit: "kPa", label: "Dryness at the leaf", digits: 3, key: true },
    vpdAir: { unit: "kPa", label: "Dryness of the air", digits: 3 },
    leafTemp: { unit: "°C", label: "Leaf temperature", digits: 3 },
    dewPoint: { unit: "°C", label: "Dew point", digits: 3, key: true },
    mouldRisk: { unit: "", label: "Mould risk" },
    band: { unit: "", label: "Against the band" },
  },
  cautions: [],
  source:
    "Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, eqs. 11 and 12; dew point by the inverse of eq. 11; bands are common practice",
  solve({ airTemp, humidity, leafOffset, stage }) {
    const leafTemp = airTemp + leafOffset;
    const svpAir = saturationVapourPressure(airTemp);
    const svpLeaf = saturationVapourPressure(leafTemp);
    const vpd = vapourPressureDeficit({ air: airTemp, leaf: leafTemp, humidity });
    const vpdAir = vapourPressureDeficit({ air: airTemp, humidity });
    const dewPoint = dewPointOf({ air: airTemp, humidity });
    const mouldRisk = vpdAir < 0.2;
    const [low, high] = stage ? bands[stage] : [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    const band = stage === undefined ? null : vpd < low ? "below" : vpd > high ? "above" : "inside";
    return {
      answer: { svpAir, vpd, vpdAir, leafTemp, dewPoint: dewPoint ?? null, mouldRisk, band },
      working: [
        `Saturation at ${quantity(airTemp, "°C")} = 0.6108 × e^(17.27 × ${number(airTemp)} ÷ (${number(airTemp)} + 237.3)) = ${quantity(svpAir, "kPa")}`,
        `Saturation at the leaf, ${number(airTemp)} ${leafOffset < 0 ? "−" : "+"} ${number(Math.abs(leafOffset))} = ${quantity(leafTemp, "°C")}: ${quantity(svpLeaf, "kPa")}`,
        `Dryness at the leaf = ${number(svpLeaf)} − ${number(svpAir)} × ${number(humidity)} ÷ 100 = ${quantity(vpd, "kPa")}`,
        `Dryness of the air = ${number(svpAir)} − ${number(svpAir)} × ${number(humidity)} ÷ 100 = ${quantity(vpdAir, "kPa")}`,
        dewPoint === undefined
          ? "Air without water has no dew point"
          : `Dew point: 0.6108 × e^(17.27 × ${number(dewPoint)} ÷ (${number(dewPoint)} + 237.3)) = ${quantity((svpAir * humidity) / 100, "kPa")}, at ${quantity(dewPoint, "°C")}`,
      ],
      notes: [
        band === "above" &&
          warn(`The air is too dry for this stage: over ${quantity(high, "kPa")}. Watch for tipburn, and the floats.`),
        band === "below" &&
          warn(`The air is too damp for this stage: under ${quantity(low, "kPa")}. Warm it a little or move it.`),
        mouldRisk && warn("The air is within 0.2 kPa of full: mould risk. Move and warm it before night."),
        dewPoint !== undefined &&
          leafTemp < dewPoint - 1e-9 &&
          warn("The leaf is colder than the dew point: condensation on the leaves."),
        humidity >= 99 && warn("A sensor that shows 99 or 100 % may be stuck: check it against another."),
        band === "inside" && ok("The dryness is right for this stage."),
      ],
    };
  },
});

export const roomLoad = worksheet({
  id: "room-load",
  question: "What heat and water must the growing room get rid of?",
  input: z.strictObject({
    lampWatts: amount({ unit: "W", min: 0, max: 100_000, label: "All lamps" }),
    lampHours: amount({ unit: "h", min: 0, max: 24, label: "Lamp hours a day" }),
    pumpWatts: usually(amount({ unit: "W", min: 0, max: 10_000, label: "All pumps" }), 0),
    litresPerDay: amount({ unit: "L/day", min: 0, max: 5000, label: "Water that the plants drink" }),
    dryerRated: optional(everyday({ unit: "L/day", above: 0, label: "One dryer, by its plate" })),
    ratedFactor: usually(
      everyday({
        unit: "",
        above: 0,
        max: 1,
        label: "Part of it in a room this cool",
        help: "Plates are for 30 °C and 80 %; at 18–20 °C take about half",
      }),
      0.5,
    ),
    units: usually(amount({ unit: "", min: 0, max: 100, label: "Dryers" }), 1),
  }),
  example: { lampWatts: 2560, lampHours: 16, litresPerDay: 18, dryerRated: 50 },
  answer: {
    heatKw: { unit: "kW", label: "Heat with everything on", digits: 3, key: true },
    heatKwhPerDay: { unit: "kWh/day", label: "Heat a day", digits: 3 },
    waterLitresPerDay: { unit: "L/day", label: "Water into the air", digits: 3, key: true },
    dryerLitresHere: { unit: "L/day", label: "What the dryers take here", digits: 3 },
    unitsNeeded: { unit: "", label: "Dryers needed", key: true },
  },
  cautions: [
    {
      text: "Electricity in damp air: residual-current protection, drivers and joints out of the vapour, and the whole load against its circuit.",
      defer: "a licensed electrician",
    },
    {
      text: "An insulated room holds fire and fumes: exits, alarm, fresh air, nothing that burns without a flue.",
      defer: "the fire authority",
    },
  ],
  source: "energy and mass balance; the part of a dryer's rating is common practice",
  solve({ lampWatts, lampHours, pumpWatts, litresPerDay, dryerRated, ratedFactor, units }) {
    const heat = roomHeat({ lamps: lampWatts, hours: lampHours, pumps: pumpWatts });
    const dry =
      dryerRated === undefined
        ? undefined
        : dryers({ water: litresPerDay, rated: dryerRated, factor: ratedFactor, units });
    const short = dry ? litresPerDay - dry.here : 0;
    const damp = short > 1e-9;
    return {
      answer: {
        heatKw: heat.power,
        heatKwhPerDay: heat.energy,
        waterLitresPerDay: litresPerDay,
        dryerLitresHere: dry?.here ?? null,
        unitsNeeded: dry?.needed ?? null,
      },
      working: [
        `Heat = (${number(lampWatts)} + ${number(pumpWatts)}) ÷ 1000 = ${quantity(heat.power, "kW")}`,
        `Heat a day = (${number(lampWatts)} × ${number(lampHours)} + ${number(pumpWatts)} × 24) ÷ 1000 = ${quantity(heat.energy, "kWh/day")}`,
        `Water into the air = what the plants drink = ${quantity(litresPerDay, "L/day")}`,
        ...(dry && dryerRated !== undefined
          ? [
              `Dryers here = ${number(dryerRated)} × ${number(ratedFactor)} × ${number(units)} = ${quantity(dry.here, "L/day")}`,
              `Dryers needed = ${number(litresPerDay)} ÷ (${number(dryerRated)} × ${number(ratedFactor)}), rounded up = ${dry.needed}`,
            ]
          : []),
      ],
      notes: [
        !dry && warn("No dryer's rating was given, so the water was not checked against one."),
        dry &&
          !damp &&
          dry.here < 1.2 * litresPerDay - 1e-9 &&
          warn("The dryers have less than a fifth to spare: a warm week or a full room would leave it wet."),
      ],
      refusal:
        damp && dry
          ? {
              why: `The room stays damp: the dryers take ${quantity(dry.here, "L/day")} here and the plants give ${quantity(litresPerDay, "L/day")}.`,
              by: short,
              nearest: { units: dry.needed, rated: litresPerDay / (ratedFactor * Math.max(1, units)) },
            }
          : undefined,
    };
  },
});

export const houseHeat = worksheet({
  id: "house-heat",
  question: "What heat and peak water would a bigger house need?",
  input: z
    .strictObject({
      uValue: usually(
        everyday({
          unit: "W/m²/K",
          above: 0,
          max: 20,
          label: "U-value of the cover",
          help: "A single skin is about 6.2",
        }),
        6.2,
      ),
      coverM2: everyday({ unit: "m²", above: 0, label: "Area of the cover" }),
      deltaT: amount({ unit: "°C", min: 0, max: 80, label: "Warmer inside than out by" }),
      cropM2: optional(everyday({ unit: "m²", min: 0, label: "Area of crop" })),
      litresPerM2Day: optional(everyday({ unit: "L/m²/day", min: 0, label: "Water a day" })),
    })
    .superRefine(together("cropM2", "litresPerM2Day")),
  example: { coverM2: 420, deltaT: 20, cropM2: 120, litresPerM2Day: 4 },
  answer: {
    heatKw: { unit: "kW", label: "Heat", digits: 3, key: true },
    peakLitresPerHour: { unit: "L/h", label: "Water in the peak hour", digits: 3, key: true },
  },
  cautions: [
    {
      text: "Structures, wind and snow, heaters, flues and water mains are not reckoned here.",
      defer: "a designer, the planning office and licensed fitters",
    },
  ],
  source: "steady-state heat loss; 15 % of a day's water in the peak hour is common practice",
  solve({ uValue, coverM2, deltaT, cropM2, litresPerM2Day }) {
    const heatKw = heatOf({ uValue, cover: coverM2, difference: deltaT });
    const peak =
      cropM2 === undefined || litresPerM2Day === undefined
        ? undefined
        : { cropM2, litresPerM2Day, flow: peakWater({ area: cropM2, daily: litresPerM2Day }) };
    return {
      answer: { heatKw, peakLitresPerHour: peak?.flow ?? null },
      working: [
        `Heat = ${number(uValue)} × ${number(coverM2)} × ${number(deltaT)} ÷ 1000 = ${quantity(heatKw, "kW")}`,
        ...(peak
          ? [
              `Peak water = ${number(peak.cropM2)} × ${number(peak.litresPerM2Day)} × 0.15 = ${quantity(peak.flow, "L/h")}`,
            ]
          : []),
      ],
      notes: [ok("Figures to plan with; a designer has to check them before anything is bought.")],
    };
  },
});
