import { z } from "zod";
import { number, quantity } from "../format.ts";
import { amount, everyday, fault, optional, together, usually } from "./input.ts";
import { type Caution, ok, warn, worksheet } from "./worksheet.ts";

export const concentrate: Caution = {
  text: "The tubs hold concentrate: gloves and goggles, and never tub A and tub B together undiluted.",
  defer: "The salts' labels and safety sheets, and the injector's manual, decide.",
};

export const backflow: Caution = {
  text: "An injector on a mains pipe needs protection against backflow before it runs.",
  defer: "The water supplier's rules and a licensed plumber decide.",
};

/** Room for the last bits of floating-point sums, in comparisons with a limit. */
const slack = 1e-9;

export const flowWindow = worksheet({
  id: "flow-window",
  question: "Is the flow inside what the injector can measure?",
  input: z
    .strictObject({
      towers: amount({ unit: "", min: 1, max: 1000, whole: true, label: "Towers on the line" }),
      litresPerTowerDay: everyday({ unit: "L/day", above: 0, max: 200, label: "Drunk a day by one tower" }),
      minFlow: everyday({
        unit: "L/h",
        above: 0,
        label: "Injector's lowest flow",
        help: "On its plate or in its manual",
      }),
      maxFlow: optional(everyday({ unit: "L/h", above: 0, label: "Injector's highest flow" })),
      peakFactor: usually(amount({ unit: "", min: 1, max: 10, label: "Midday flow over the mean" }), 2),
      refillFlow: optional(everyday({ unit: "L/h", above: 0, label: "Flow while the header tank refills" })),
      drawdownLitres: optional(everyday({ unit: "L", above: 0, label: "Taken from the header tank between refills" })),
    })
    .superRefine(together("refillFlow", "drawdownLitres"))
    .superRefine(({ minFlow, maxFlow }, context) => {
      if (maxFlow !== undefined && minFlow > maxFlow) {
        fault(
          context,
          ["minFlow"],
          `Unexpected ${minFlow} above maxFlow ${maxFlow}, expected the smaller figure first`,
        );
      }
    }),
  example: { towers: 16, litresPerTowerDay: 6.2, minFlow: 10, refillFlow: 300, drawdownLitres: 25 },
  answer: {
    dailyLitres: { unit: "L/day", label: "Drunk a day by the line", digits: 3 },
    meanFlow: { unit: "L/h", label: "Mean flow", digits: 3, key: true },
    peakFlow: { unit: "L/h", label: "Midday flow", digits: 3, key: true },
    fillsPerDay: { unit: "/day", label: "Refills a day", digits: 3 },
    fillMinutes: { unit: "min", label: "One refill lasts", digits: 3 },
  },
  cautions: [backflow],
  source: "common practice",
  solve({ towers, litresPerTowerDay, minFlow, maxFlow, peakFactor, refillFlow, drawdownLitres }) {
    const dailyLitres = towers * litresPerTowerDay;
    const meanFlow = dailyLitres / 24;
    const peakFlow = meanFlow * peakFactor;
    const header = refillFlow !== undefined && drawdownLitres !== undefined;
    const fillsPerDay = header ? dailyLitres / drawdownLitres : null;
    const fillMinutes = header ? (60 * drawdownLitres) / refillFlow : null;
    const low = header ? refillFlow : meanFlow;
    const high = header ? refillFlow : peakFlow;
    const under = low < minFlow - slack;
    const over = maxFlow !== undefined && high > maxFlow + slack;
    const name = header ? "refill flow" : "mean flow";
    return {
      answer: { dailyLitres, meanFlow, peakFlow, fillsPerDay, fillMinutes },
      working: [
        `Drunk a day = ${towers} × ${number(litresPerTowerDay)} = ${quantity(dailyLitres, "L/day")}`,
        `Mean flow = ${number(dailyLitres)} ÷ 24 = ${quantity(meanFlow, "L/h")}; at midday × ${number(peakFactor)} = ${quantity(peakFlow, "L/h")}`,
        header &&
          `Refills = ${number(dailyLitres)} ÷ ${number(drawdownLitres)} = ${number(fillsPerDay ?? 0)} a day, each 60 × ${number(drawdownLitres)} ÷ ${number(refillFlow)} = ${quantity(fillMinutes ?? 0, "min")}`,
      ].filter((line) => line !== false),
      notes: [
        !under &&
          low < 1.1 * minFlow - slack &&
          warn(
            `The ${name} of ${quantity(low, "L/h")} is close to the injector's lowest, ${quantity(minFlow, "L/h")}.`,
          ),
        maxFlow === undefined && ok("The injector's highest flow was not given, so it was not checked."),
        header &&
          refillFlow < meanFlow &&
          ok(
            `The refill flow is less than the towers drink on average, ${quantity(meanFlow, "L/h")}: the header tank would run dry.`,
          ),
      ],
      refusal: under
        ? {
            why: `The ${name} of ${quantity(low, "L/h")} is under the injector's minimum of ${quantity(minFlow, "L/h")}: plain water slips past it undosed. A header tank that refills in bursts cures it.`,
            by: minFlow - low,
            nearest: { refillFlow: minFlow },
          }
        : over
          ? {
              why: `The ${header ? "refill flow" : "midday flow"} of ${quantity(high, "L/h")} is over the injector's maximum of ${quantity(maxFlow, "L/h")}.`,
              by: high - maxFlow,
              nearest: header ? { refillFlow: maxFlow } : { peakFlow: maxFlow },
            }
          : undefined,
    };
  },
});

export const tubDaysLeft = worksheet({
  id: "tub-days-left",
  question: "How long will the tubs last, and how much should I make?",
  input: z
    .strictObject({
      tubLitres: everyday({ unit: "L", min: 0, label: "Left in the tub" }),
      feedLitresPerDay: everyday({ unit: "L/day", above: 0, label: "Feed a day" }),
      ratioPercent: usually(everyday({ unit: "%", above: 0, max: 10, label: "Setting" }), 1),
      dropA: optional(everyday({ unit: "L", min: 0, label: "Tub A down since the last dip" })),
      dropB: optional(everyday({ unit: "L", min: 0, label: "Tub B down since the last dip" })),
      keepWeeks: usually(everyday({ unit: "weeks", above: 0, max: 12, label: "Make enough for" }), 4),
    })
    .superRefine(together("dropA", "dropB")),
  example: { tubLitres: 100, feedLitresPerDay: 99.2 },
  answer: {
    daysLeft: { unit: "days", label: "Lasts", digits: 3, key: true },
    weeksLeft: { unit: "weeks", label: "Lasts", digits: 3 },
    useLitresPerDay: { unit: "L/day", label: "Used a day from each tub", digits: 3 },
    makeLitres: { unit: "L", label: "Make", digits: 3, key: true },
    dropDifferencePercent: { unit: "%", label: "The tubs' drops differ by", digits: 3 },
  },
  cautions: [concentrate],
  source: "common practice",
  solve({ tubLitres, feedLitresPerDay, ratioPercent, dropA, dropB, keepWeeks }) {
    const useLitresPerDay = (feedLitresPerDay * ratioPercent) / 100;
    const daysLeft = tubLitres / useLitresPerDay;
    const makeLitres = useLitresPerDay * 7 * keepWeeks;
    const dropDifferencePercent = dropA === undefined || dropB === undefined ? null : apart(dropA, dropB);
    return {
      answer: { daysLeft, weeksLeft: daysLeft / 7, useLitresPerDay, makeLitres, dropDifferencePercent },
      working: [
        `Used a day = ${number(feedLitresPerDay)} × ${number(ratioPercent)} ÷ 100 = ${quantity(useLitresPerDay, "L/day")}`,
        `Lasts ${number(tubLitres)} ÷ ${number(useLitresPerDay)} = ${quantity(daysLeft, "days")}, ${quantity(daysLeft / 7, "weeks")}`,
        `For ${quantity(keepWeeks, "weeks")}: ${number(useLitresPerDay)} × 7 × ${number(keepWeeks)} = ${quantity(makeLitres, "L")}`,
        dropDifferencePercent !== null &&
          `Drops differ by 100 × |${number(dropA ?? 0)} − ${number(dropB ?? 0)}| ÷ the larger = ${quantity(dropDifferencePercent, "%")}`,
      ].filter((line) => line !== false),
      notes: [
        daysLeft < 7 - slack && warn(`The tub lasts ${quantity(daysLeft, "days", 2)}: mix within these days.`),
        daysLeft > 42 + slack &&
          warn(
            `The tub lasts ${quantity(daysLeft / 7, "weeks", 3)}, and iron chelate fades within about six. Make less, and keep it covered.`,
          ),
        (dropDifferencePercent ?? 0) > 5 + slack &&
          warn("The tubs do not go down together: test both heads before you feed on."),
      ],
    };
  },
});

/** How far two drops are apart, as a per cent of the larger; 0 when there was none. */
function apart(one: number, other: number): number {
  const larger = Math.max(one, other);
  return larger === 0 ? 0 : (100 * Math.abs(one - other)) / larger;
}
