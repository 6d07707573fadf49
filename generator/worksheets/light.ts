import { z } from "zod";
import { number, quantity } from "../format.ts";
import { dailyLightIntegral, fluxOfLux, luxPerFlux, lampPlan as planLamps } from "../science/light.ts";
import { amount, choice, everyday, fault, optional, several, together, usually } from "./input.ts";
import { ok, type Solved, warn, worksheet } from "./worksheet.ts";

export const lightTotal = worksheet({
  id: "light-total",
  question: "How much light a day is this?",
  input: z
    .strictObject({
      ppfd: optional(
        several(amount({ unit: "µmol/m²/s", min: 0, max: 2500, label: "Reading" }), {
          min: 1,
          max: 100,
          label: "Quantum-meter readings",
          help: "At the ports, facing out: four faces at three heights",
        }),
      ),
      lux: optional(
        several(amount({ unit: "lux", min: 0, max: 200_000, label: "Reading" }), {
          min: 1,
          max: 100,
          label: "Lux-meter readings",
          help: "Only when there is no quantum meter",
        }),
      ),
      hours: amount({ unit: "h", min: 0, max: 24, label: "Hours of light a day" }),
      luxFactor: optional(everyday({ unit: "lux per µmol/m²/s", above: 0, label: "Lux to one µmol/m²/s" })),
      luxSource: optional(choice(["sun", "white-led"], { label: "Light source" })),
    })
    .superRefine(({ ppfd, lux }, context) => {
      if ((ppfd === undefined) === (lux === undefined)) {
        fault(context, ["ppfd"], `Unexpected ${ppfd ? "both" : "neither"}, expected readings as ppfd or as lux`);
      }
    }),
  example: { ppfd: [220], hours: 16 },
  answer: {
    meanPpfd: { unit: "µmol/m²/s", label: "Mean light", digits: 3 },
    lowestPpfd: { unit: "µmol/m²/s", label: "Lowest light", digits: 3 },
    dli: { unit: "mol/m²/day", label: "Light a day", digits: 3, key: true },
    dliLowest: { unit: "mol/m²/day", label: "Light a day in the darkest place", digits: 3, key: true },
    estimate: { unit: "", label: "An estimate" },
  },
  cautions: [],
  source: "definition of the daily light integral; lux factors are common practice",
  solve({ ppfd, lux, hours, luxFactor, luxSource }): Solved {
    const estimate = ppfd === undefined;
    const factor = luxFactor ?? (luxSource && luxPerFlux[luxSource]);
    const readings = ppfd ?? lux ?? [];
    if (estimate && factor === undefined) {
      const mean = meanOf(readings);
      const [sun, led] = [luxPerFlux.sun, luxPerFlux["white-led"]].map((each) => {
        const flux = fluxOfLux(mean, each);
        return { flux, dli: dailyLightIntegral({ flux, hours }) };
      }) as [Guess, Guess];
      return {
        answer: { meanPpfd: null, lowestPpfd: null, dli: null, dliLowest: null, estimate },
        working: [
          `In sunlight: ${number(mean)} ÷ ${luxPerFlux.sun} × ${number(hours)} × 0.0036 = ${quantity(sun.dli, "mol/m²/day")}`,
          `Under white LEDs: ${number(mean)} ÷ ${luxPerFlux["white-led"]} × ${number(hours)} × 0.0036 = ${quantity(led.dli, "mol/m²/day")}`,
        ],
        refusal: {
          why: "Lux alone says nothing about plants: it takes a factor, or the kind of light. Give luxFactor from the lamp's sheet, or luxSource.",
          by: null,
          nearest: { dliIfSun: sun.dli, dliIfWhiteLed: led.dli },
        },
      };
    }
    const fluxes = estimate ? readings.map((reading) => fluxOfLux(reading, factor ?? 1)) : readings;
    const meanPpfd = meanOf(fluxes);
    const lowestPpfd = Math.min(...fluxes);
    const dli = dailyLightIntegral({ flux: meanPpfd, hours });
    const dliLowest = dailyLightIntegral({ flux: lowestPpfd, hours });
    return {
      answer: { meanPpfd, lowestPpfd, dli, dliLowest, estimate },
      working: [
        estimate
          ? `Mean light = ${number(meanOf(readings))} lux ÷ ${number(factor ?? 1)} = ${quantity(meanPpfd, "µmol/m²/s")}`
          : `Mean light of ${fluxes.length} = ${quantity(meanPpfd, "µmol/m²/s")}, lowest ${number(lowestPpfd)}`,
        `Light a day = ${number(meanPpfd)} × ${number(hours)} × 0.0036 = ${quantity(dli, "mol/m²/day")}`,
        `In the darkest place = ${number(lowestPpfd)} × ${number(hours)} × 0.0036 = ${quantity(dliLowest, "mol/m²/day")}`,
      ],
      notes: [
        estimate && warn("From lux this is an estimate: lux weighs light as eyes do, and leaves do not."),
        lowestPpfd < 0.7 * meanPpfd &&
          warn(
            `The light is uneven: the darkest place has ${quantity(lowestPpfd, "µmol/m²/s")}, under 0.7 of the mean. Plan on the lowest.`,
          ),
      ],
    };
  },
});

export const lampPlan = worksheet({
  id: "lamp-plan",
  question: "How long or how strong must the lamps be?",
  input: z
    .strictObject({
      ppfd: everyday({ unit: "µmol/m²/s", above: 0, max: 2500, label: "Light at the leaves" }),
      targetDli: everyday({ unit: "mol/m²/day", above: 0, max: 70, label: "Light a day wanted" }),
      maxHours: usually(everyday({ unit: "h", above: 0, max: 24, label: "Longest day the crop bears" }), 18),
      hoursNow: optional(amount({ unit: "h", min: 0, max: 24, label: "Hours a day now" })),
      efficacy: usually(everyday({ unit: "µmol/J", above: 0, max: 5, label: "Lamp efficacy" }), 2.6),
      share: usually(everyday({ unit: "", above: 0, max: 1, label: "Share of light that falls on leaves" }), 0.75),
      lamps: optional(everyday({ unit: "", min: 0, label: "Lamps" })),
      lampWatts: optional(everyday({ unit: "W", min: 0, label: "Power of one lamp" })),
    })
    .superRefine(together("lamps", "lampWatts")),
  example: { ppfd: 220, targetDli: 14, maxHours: 18, hoursNow: 16, lamps: 8, lampWatts: 320 },
  answer: {
    hoursNeeded: { unit: "h", label: "Hours a day needed", digits: 3, key: true },
    dliNow: { unit: "mol/m²/day", label: "Light a day now", digits: 3 },
    dliAtMaxHours: { unit: "mol/m²/day", label: "Most light a day at this strength", digits: 3 },
    ppfdAtMaxHours: { unit: "µmol/m²/s", label: "Strength needed in the longest day", digits: 3 },
    morePercent: { unit: "%", label: "More strength than now", digits: 3 },
    planPpfd: { unit: "µmol/m²/s", label: "Planned strength", digits: 3, key: true },
    planHours: { unit: "h", label: "Planned hours a day", digits: 3, key: true },
    wattsPerM2: { unit: "W/m²", label: "Lamp power for each m² of leaves", digits: 3 },
    kwhPerM2Day: { unit: "kWh/m²/day", label: "Energy for each m² of leaves a day", digits: 3 },
    lampKwhPerDay: { unit: "kWh/day", label: "Energy of these lamps a day", digits: 3 },
    slowerFactor: { unit: "", label: "Times as long in the light that can be had", digits: 3 },
  },
  cautions: [
    {
      text: "Lamps above wet towers: residual-current protection, drip loops, drivers out of the spray, and the whole lamp load against its circuit.",
      defer: "a licensed electrician",
    },
    { text: "Bright arrays harm eyes: do not look into them.", defer: "the lamp's own sheet" },
  ],
  source: "definition of the daily light integral; the slower factor is common practice",
  solve({ ppfd, targetDli, maxHours, hoursNow, efficacy, share, lamps, lampWatts }) {
    const plan = planLamps({ flux: ppfd, target: targetDli, longest: maxHours, efficacy, share });
    const { hoursNeeded, integralAtLongest, fluxAtLongest } = plan;
    const dliNow = hoursNow === undefined ? null : dailyLightIntegral({ flux: ppfd, hours: hoursNow });
    const lampHours = hoursNow ?? Math.min(hoursNeeded, maxHours);
    const lampKwhPerDay =
      lamps === undefined || lampWatts === undefined ? null : (lamps * lampWatts * lampHours) / 1000;
    const slower = Math.sqrt(targetDli / integralAtLongest);
    const morePercent = 100 * (fluxAtLongest / ppfd - 1);
    const over = hoursNeeded - maxHours;
    return {
      answer: {
        hoursNeeded,
        dliNow,
        dliAtMaxHours: integralAtLongest,
        ppfdAtMaxHours: fluxAtLongest,
        morePercent,
        planPpfd: plan.flux,
        planHours: plan.hours,
        wattsPerM2: plan.power,
        kwhPerM2Day: plan.energy,
        lampKwhPerDay,
        slowerFactor: Math.min(2, Math.max(1, slower)),
      },
      working: [
        `Hours needed = ${number(targetDli)} ÷ (${number(ppfd)} × 0.0036) = ${quantity(hoursNeeded, "h")}`,
        `Most in ${number(maxHours)} h = ${number(ppfd)} × ${number(maxHours)} × 0.0036 = ${quantity(integralAtLongest, "mol/m²/day")}`,
        `Strength for ${number(maxHours)} h = ${number(targetDli)} ÷ (${number(maxHours)} × 0.0036) = ${quantity(fluxAtLongest, "µmol/m²/s")}, ${quantity(Math.abs(morePercent), "%", 3)} ${morePercent < 0 ? "less" : "more"} than now`,
        `Lamp power = ${number(plan.flux)} ÷ ${number(efficacy)} ÷ ${number(share)} = ${quantity(plan.power, "W/m²")}; × ${number(plan.hours)} h ÷ 1000 = ${quantity(plan.energy, "kWh/m²/day")}`,
        ...(dliNow === null
          ? []
          : [`Light now = ${number(ppfd)} × ${number(hoursNow ?? 0)} × 0.0036 = ${quantity(dliNow, "mol/m²/day")}`]),
        ...(lampKwhPerDay === null
          ? []
          : [
              `These lamps = ${number(lamps ?? 0)} × ${number(lampWatts ?? 0)} W × ${number(lampHours)} h ÷ 1000 = ${quantity(lampKwhPerDay, "kWh/day")}`,
            ]),
        `Times as long = √(${number(targetDli)} ÷ ${number(integralAtLongest)}) = ${number(slower)}, held to 1–2`,
      ],
      notes: [
        dliNow !== null &&
          dliNow > targetDli + 1e-9 &&
          warn(
            `Light now is ${quantity(dliNow, "mol/m²/day")}, over the target: the hours could fall to ${quantity(hoursNeeded, "h")}.`,
          ),
        dliNow !== null &&
          dliNow < targetDli - 1e-9 &&
          warn(`Light now is ${quantity(dliNow, "mol/m²/day")}, short of ${number(targetDli)}.`),
        plan.hours > 18 &&
          warn(
            `${quantity(plan.hours, "h")} of light leaves less than 6 h dark: tomato and aubergine are injured by it.`,
          ),
        slower > 2 && warn(`The slower factor would be ${number(slower)}; it is held at 2 and means very little.`),
        plan.reached && ok("The target is within reach, so nothing grows slower for want of light."),
      ],
      refusal: plan.reached
        ? undefined
        : {
            why: `It takes ${quantity(hoursNeeded, "h")} a day, ${number(over)} hours more than the ${number(maxHours)} allowed${hoursNeeded > 24 ? ", and a day has 24" : ""}. This strength reaches ${quantity(integralAtLongest, "mol/m²/day")}; ${quantity(fluxAtLongest, "µmol/m²/s")} would do it.`,
            by: over,
            nearest: { dli: integralAtLongest, ppfd: fluxAtLongest, hours: maxHours },
          },
    };
  },
});

interface Guess {
  readonly flux: number;
  readonly dli: number;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
