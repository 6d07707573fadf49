import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { metresPerBar, middayFlow, nozzleWithin, pumpHead, weatherFactor } from "../science/delivery.ts";
import { amount, everyday, fault, flag, optional, together, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

/** Litres a port drinks a day at 0.8 kPa; common practice. */
const usualLitres = { seedling: 0.03, leaf: 0.12, fruiting: 0.45 } as const;
const sizes = ["seedling", "leaf", "fruiting"] as const;

/** Room for the last bits of floating-point sums, in comparisons with a limit. */
const slack = 1e-9;

const plants = (size: string) =>
  optional(amount({ unit: "", min: 0, max: 1e9, whole: true, label: `Ports of ${size}` }));
const litres = (size: (typeof sizes)[number]) =>
  usually(amount({ unit: "L/day", min: 0, max: 5, label: `Drunk by a port of ${size}` }), usualLitres[size]);

export const waterUse = worksheet({
  id: "water-use",
  question: "How much will they drink, and how long is the reserve?",
  input: z.strictObject({
    ports: z
      .strictObject({ seedling: plants("seedlings"), leaf: plants("leaf"), fruiting: plants("fruiting plants") })
      .superRefine((ports, context) => {
        if (sizes.every((size) => (ports[size] ?? 0) === 0)) {
          fault(context, [], "Unexpected no ports, expected at least one of seedling, leaf or fruiting above 0");
        }
      })
      .meta({ label: "Ports", unit: "" }),
    litresPerPort: usually(
      z.strictObject({ seedling: litres("seedling"), leaf: litres("leaf"), fruiting: litres("fruiting") }),
      usualLitres,
    ).meta({ label: "Drunk by a port a day", unit: "L/day", default: usualLitres }),
    vpd: usually(amount({ unit: "kPa", min: 0, max: 10, label: "Dryness of the air, VPD" }), 0.8),
    usableLitres: optional(everyday({ unit: "L", min: 0, label: "Water in reserve, down to the pump's intake" })),
  }),
  example: { ports: { leaf: 40 }, usableLitres: 8, vpd: 0.8 },
  answer: {
    litresPerDay: { unit: "L/day", label: "Drunk a day", digits: 3, key: true },
    middayFlow: { unit: "L/h", label: "Drunk at midday", digits: 3 },
    reserveHours: { unit: "h", label: "The reserve lasts, from midday", digits: 3, key: true },
    weatherFactor: { unit: "", label: "Weather factor", digits: 3 },
  },
  cautions: [],
  source: "common practice",
  solve({ ports, litresPerPort, vpd, usableLitres }) {
    const { factor, held } = weatherFactor(vpd);
    const grown = sizes.filter((size) => (ports[size] ?? 0) > 0);
    const litresPerDay = sizes.reduce((sum, size) => sum + (ports[size] ?? 0) * litresPerPort[size], 0) * factor;
    const flow = middayFlow(litresPerDay);
    const reserveHours = usableLitres === undefined || flow === 0 ? null : usableLitres / flow;
    return {
      answer: { litresPerDay, middayFlow: flow, reserveHours, weatherFactor: factor },
      working: [
        `Weather factor = ${number(vpd)} ÷ 0.8${held ? ", held between 0.5 and 2," : ""} = ${number(factor)}`,
        `Drunk a day = (${grown.map((size) => `${number(ports[size] ?? 0)} × ${number(litresPerPort[size])}`).join(" + ")}) × ${number(factor)} = ${quantity(litresPerDay, "L/day")}`,
        `At midday = 2 × ${number(litresPerDay)} ÷ 24 = ${quantity(flow, "L/h")}`,
        reserveHours !== null &&
          `Reserve = ${number(usableLitres ?? 0)} ÷ ${number(flow)} = ${quantity(reserveHours, "h")}`,
      ].filter((line) => line !== false),
      notes: [
        held &&
          warn(
            `The weather factor is capped at ${number(factor)}: past it the rule of thumb says nothing, so watch the float.`,
          ),
        reserveHours !== null &&
          reserveHours < 24 - slack &&
          warn(
            `The reserve is ${quantity(reserveHours, "h", 2)}, under 24 hours: one tripped breaker overnight is too long.`,
          ),
        usableLitres === undefined && ok(`The reserve of ${list(grown)} was not asked for.`),
      ],
    };
  },
});

export const pumpHeadSheet = worksheet({
  id: "pump-head",
  question: "Will the pump lift it, and is the mist safe?",
  input: z
    .strictObject({
      liftM: amount({ unit: "m", min: 0, max: 100, label: "Lift, from water to the highest outlet" }),
      frictionM: usually(amount({ unit: "m", min: 0, max: 100, label: "Friction in pipes and filter" }), 0),
      nozzleBar: usually(amount({ unit: "bar", min: 0, max: 20, label: "Pressure wanted at the nozzle" }), 0),
      pumpMaxHeadM: optional(everyday({ unit: "m", above: 0, label: "Pump's head at the flow wanted" })),
      filterMicron: optional(everyday({ unit: "µm", above: 0, label: "Filter" })),
      nozzleMicron: optional(everyday({ unit: "µm", above: 0, label: "Nozzle bore" })),
      onSeconds: optional(everyday({ unit: "s", above: 0, label: "Mist on" })),
      offSeconds: optional(everyday({ unit: "s", min: 0, label: "Mist off" })),
      longestSafeOffSeconds: optional(
        everyday({ unit: "s", above: 0, label: "Longest safe pause", help: "From your own record of a hot day" }),
      ),
      alarm: usually(flag({ label: "An alarm tells when the mist stops" }), false),
    })
    .superRefine(together("filterMicron", "nozzleMicron"))
    .superRefine(together("onSeconds", "offSeconds")),
  example: { liftM: 2, frictionM: 0.5, nozzleBar: 1.5, pumpMaxHeadM: 20 },
  answer: {
    headM: { unit: "m", label: "Head the pump must give", digits: 3, key: true },
    spareHeadM: { unit: "m", label: "Head to spare", digits: 3, key: true },
    coarsestFilterMicron: { unit: "µm", label: "Coarsest filter", digits: 3 },
    dutyPercent: { unit: "%", label: "Mist is on", digits: 3 },
  },
  cautions: [
    {
      text: "Pump, timer and sockets stand by water: residual-current protection, drip loops, covered sockets, and switch off before a hand goes in.",
      defer: "A licensed electrician and local wiring rules decide.",
    },
    {
      text: "Fine mist from warm, recirculated water can carry Legionella: keep it cool, clean and closed, and do not stand in it.",
      defer: "Local health and safety rules decide.",
    },
  ],
  source: "1 bar ≈ 10.2 m of water; common practice",
  solve(input) {
    const { liftM, frictionM, nozzleBar, pumpMaxHeadM, filterMicron, nozzleMicron, onSeconds, offSeconds, alarm } =
      input;
    const headM = pumpHead({ lift: liftM, friction: frictionM, nozzle: nozzleBar });
    const spareHeadM = pumpMaxHeadM === undefined ? null : pumpMaxHeadM - headM;
    const coarsestFilterMicron = nozzleMicron === undefined ? null : nozzleMicron / 3;
    const misted = onSeconds !== undefined && offSeconds !== undefined;
    const dutyPercent = misted ? (100 * onSeconds) / (onSeconds + offSeconds) : null;
    const safeOff = input.longestSafeOffSeconds;
    const dry = offSeconds !== undefined && safeOff !== undefined && offSeconds > safeOff + slack;
    const short = spareHeadM !== null && spareHeadM < -slack;
    const coarse = filterMicron !== undefined && nozzleMicron !== undefined ? filterMicron / nozzleMicron : 0;
    const dryWhy = `A pause of ${quantity(offSeconds ?? 0, "s")} lets roots dry: your record says ${quantity(safeOff ?? 0, "s")} at most.`;
    return {
      answer: { headM, spareHeadM, coarsestFilterMicron, dutyPercent },
      working: [
        `Head = ${number(liftM)} + ${number(frictionM)} + ${metresPerBar} × ${number(nozzleBar)} = ${quantity(headM, "m")}`,
        spareHeadM !== null &&
          `To spare = ${number(pumpMaxHeadM ?? 0)} − ${number(headM)} = ${quantity(spareHeadM, "m")}`,
        coarsestFilterMicron !== null &&
          `Coarsest filter = ${number(nozzleMicron ?? 0)} ÷ 3 = ${quantity(coarsestFilterMicron, "µm")}`,
        dutyPercent !== null &&
          `Mist is on 100 × ${number(onSeconds ?? 0)} ÷ (${number(onSeconds ?? 0)} + ${number(offSeconds ?? 0)}) = ${quantity(dutyPercent, "%")}`,
      ].filter((line) => line !== false),
      notes: [
        coarse > 1 / 3 + slack
          ? warn("The filter lets through grains that block the nozzles: fit a finer one, under a third of the bore.")
          : coarse > 1 / 4 + slack && warn("A finer filter is safer: a quarter of the nozzle's bore."),
        misted &&
          !alarm &&
          warn("Roots in mist alone die within the hour if it stops: fit an alarm that reaches a person."),
        short && dry && warn(dryWhy),
        pumpMaxHeadM === undefined && ok("The pump's own head was not given, so it was not checked."),
      ],
      refusal: short
        ? {
            why: `The pump falls ${quantity(-spareHeadM, "m", 3)} short of ${quantity(headM, "m")}. Read its curve at the flow wanted, not its greatest head.`,
            by: -spareHeadM,
            nearest: { nozzleBar: nozzleWithin({ lift: liftM, friction: frictionM, pump: pumpMaxHeadM ?? 0 }) },
          }
        : dry
          ? { why: dryWhy, by: offSeconds - safeOff, nearest: { offSeconds: safeOff } }
          : undefined,
    };
  },
});
