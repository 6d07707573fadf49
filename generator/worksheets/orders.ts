import { z } from "zod";
import { number, quantity } from "../format.ts";
import { wholeUp } from "../science/counting.ts";
import { amount, everyday, fault, optional, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

export const portsForOrder = worksheet({
  id: "ports-for-order",
  question: "How many ports does this order take?",
  input: z.strictObject({
    gramsPerWeek: everyday({ unit: "g/week", min: 0, label: "Order" }),
    gramsPerCut: everyday({ unit: "g", above: 0, label: "One port gives at a cut" }),
    cutIntervalDays: everyday({ unit: "days", above: 0, label: "Between cuts" }),
    lossPercent: usually(amount({ unit: "%", min: 0, below: 100, label: "Lost" }), 8),
    portsPerTower: usually(everyday({ unit: "", min: 1, label: "Ports on a tower" }), 40),
    portsFree: optional(everyday({ unit: "", min: 0, whole: true, label: "Ports free" })),
  }),
  example: { gramsPerWeek: 2400, gramsPerCut: 32, cutIntervalDays: 9 },
  answer: {
    gramsPerPortWeek: { unit: "g/week", label: "One port gives a week", digits: 3 },
    ports: { unit: "", label: "Ports", key: true },
    towers: { unit: "", label: "Towers", digits: 3, key: true },
    percentOfFree: { unit: "%", label: "Of the free ports", digits: 3 },
  },
  cautions: [],
  source: "common practice",
  solve({ gramsPerWeek, gramsPerCut, cutIntervalDays, lossPercent, portsPerTower, portsFree }) {
    const gramsPerPortWeek = (7 / cutIntervalDays) * gramsPerCut * (1 - lossPercent / 100);
    const ports = wholeUp(gramsPerWeek / gramsPerPortWeek);
    const towers = ports / portsPerTower;
    const percentOfFree = portsFree === undefined || portsFree === 0 ? null : (100 * ports) / portsFree;
    const short = portsFree === undefined ? 0 : ports - portsFree;
    return {
      answer: { gramsPerPortWeek, ports, towers, percentOfFree },
      working: [
        `One port a week = 7 ÷ ${number(cutIntervalDays)} × ${number(gramsPerCut)} × (1 − ${number(lossPercent)} ÷ 100) = ${quantity(gramsPerPortWeek, "g")}`,
        `Ports = ${number(gramsPerWeek)} ÷ ${number(gramsPerPortWeek)}, rounded up = ${number(ports, 12)}`,
        `Towers = ${number(ports, 12)} ÷ ${number(portsPerTower)} = ${number(towers)}`,
        ...(percentOfFree === null
          ? []
          : [
              `Of the free ports = 100 × ${number(ports, 12)} ÷ ${number(portsFree ?? 1, 12)} = ${quantity(percentOfFree, "%", 3)}`,
            ]),
      ],
      notes: [
        short <= 0 &&
          percentOfFree !== null &&
          percentOfFree > 90 + 1e-9 &&
          warn("The order takes over 90 % of the free ports: one bad batch and it falls short."),
        ok("Nothing can be cut before the first cut: sow early enough."),
      ],
      refusal:
        short > 0
          ? {
              why: `It takes ${number(ports, 12)} ports, ${number(short, 12)} more than are free.`,
              by: short,
              nearest: { gramsPerWeek: (portsFree ?? 0) * gramsPerPortWeek },
            }
          : undefined,
    };
  },
});

export const unitCost = worksheet({
  id: "unit-cost",
  question: "What does one sold unit cost?",
  input: z
    .strictObject({
      costs: z
        .record(
          z.string(),
          optional(everyday({ unit: "¤", min: 0, label: "Cost", help: "For each unit started; blank is not counted" })),
          { error: "Expected costs by name, such as seed and labour" },
        )
        .meta({ label: "Costs for each unit started", unit: "¤" }),
      usablePercent: everyday({ unit: "%", above: 0, max: 100, label: "Units fit to sell" }),
      price: optional(everyday({ unit: "¤", min: 0, label: "Price" })),
    })
    .superRefine(({ costs }, context) => {
      if (Object.values(costs).every((cost) => cost === undefined)) {
        fault(context, ["costs"], "Unexpected no figure, expected at least one cost");
      }
    }),
  example: {
    costs: { seed: 0.013, plug: 0.045, tray: 0.05, feed: 0.02, heat: 0.06, labour: 0.11 },
    usablePercent: 82,
    price: 0.6,
  },
  answer: {
    inputs: { unit: "¤", label: "Inputs for a unit started", digits: 3 },
    unitCost: { unit: "¤", label: "Cost of a unit sold", digits: 3, key: true },
    lossCost: { unit: "¤", label: "Of it, for units lost", digits: 3 },
    margin: { unit: "¤", label: "Margin", digits: 3, key: true },
    marginPercent: { unit: "%", label: "Margin of the price", digits: 3 },
  },
  cautions: [],
  source: "arithmetic",
  solve({ costs, usablePercent, price }) {
    const counted = Object.values(costs).filter((cost) => cost !== undefined);
    const inputs = counted.reduce((sum, cost) => sum + cost, 0);
    const cost = inputs / (usablePercent / 100);
    const margin = price === undefined ? null : price - cost;
    const marginPercent = margin === null || price === undefined || price === 0 ? null : (100 * margin) / price;
    return {
      answer: { inputs, unitCost: cost, lossCost: cost - inputs, margin, marginPercent },
      working: [
        `Inputs = ${counted.map((each) => number(each)).join(" + ")} = ${quantity(inputs, "¤")}`,
        `Cost of a unit sold = ${number(inputs)} ÷ ${number(usablePercent / 100)} = ${quantity(cost, "¤")}, ${quantity(cost - inputs, "¤")} of it for units lost`,
        ...(margin === null ? [] : [`Margin = ${number(price ?? 0)} − ${number(cost)} = ${quantity(margin, "¤")}`]),
      ],
      notes: [
        costs.labour === undefined && warn("The labour was blank, so labour not counted: the true cost is higher."),
        usablePercent < 70 &&
          warn(`Only ${quantity(usablePercent, "%")} are usable: losses are the first cost to cut.`),
        margin !== null && margin < -1e-12 && warn("The price is below cost."),
      ],
    };
  },
});
