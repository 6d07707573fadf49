import { z } from "zod";
import { date as longDate, number, quantity } from "../format.ts";
import { addDays, daysBetween, type PlainDate, weekdayOf, weekdays } from "../science/calendar.ts";
import { wholeUp } from "../science/counting.ts";
import { amount, choice, date, everyday, fault, flag, optional, several, together, usually } from "./input.ts";
import { ok, type Refusal, warn, worksheet } from "./worksheet.ts";

export const dispatchDay = worksheet({
  id: "dispatch-day",
  question: "Which day may these plugs be posted?",
  input: z
    .strictObject({
      ready: date({ label: "Ready on" }),
      postDays: usually(several(choice(weekdays, { label: "Day" }), { min: 1, max: 7, label: "Posting days" }), [
        "Mon",
        "Tue",
        "Wed",
      ]),
      holidays: optional(several(date({ label: "Holiday" }), { label: "Public holidays" })),
      transitDays: usually(amount({ unit: "days", min: 0, max: 14, whole: true, label: "Days on the way" }), 2),
      toleranceDays: amount({ unit: "days", min: 0, max: 60, whole: true, label: "Days the plugs bear dark and dry" }),
      packingDays: usually(amount({ unit: "days", min: 0, max: 7, whole: true, label: "Days of packing" }), 1),
      lowestC: optional(everyday({ unit: "°C", min: -100, max: 100, label: "Lowest forecast, at either end" })),
      highestC: optional(everyday({ unit: "°C", min: -100, max: 100, label: "Highest forecast, at either end" })),
      tender: usually(flag({ label: "The plugs are tender" }), true),
      plugs: optional(everyday({ unit: "", min: 0, whole: true, label: "Plugs ordered" })),
    })
    .superRefine(together("lowestC", "highestC"))
    .superRefine(({ lowestC, highestC }, context) => {
      if (lowestC !== undefined && highestC !== undefined && lowestC > highestC) {
        fault(context, ["lowestC"], `Unexpected ${lowestC} above highestC ${highestC}, expected the smaller figure`);
      }
    }),
  example: { ready: "2027-04-30", holidays: ["2027-05-03"], transitDays: 2, toleranceDays: 6, plugs: 60 },
  answer: {
    dispatch: { unit: "", label: "Post on", key: true },
    dispatchWeekday: { unit: "", label: "A" },
    arrives: { unit: "", label: "Arrives on", key: true },
    lifeLeftDays: { unit: "days", label: "Days of life left on arrival", key: true },
    packPlugs: { unit: "", label: "Plugs to pack" },
  },
  cautions: [
    {
      text: "Plants sent by post may need registration, labels or a passport, and some kinds may not go to some places.",
      defer: "the plant-health authority and the carrier's rules",
    },
  ],
  source: "common practice",
  solve({ ready, postDays, holidays, transitDays, toleranceDays, packingDays, lowestC, highestC, tender, plugs }) {
    const permitted = (from: PlainDate, days: number): PlainDate | undefined => {
      for (let later = 0; later < days; later++) {
        const day = addDays(from, later);
        const onTheWay = Array.from({ length: transitDays + 1 }, (_, step) => addDays(day, step));
        const held = onTheWay.some((each) => weekdayOf(each) === "Sun" || holidays?.includes(each));
        if (postDays.includes(weekdayOf(day)) && !held) return day;
      }
      return undefined;
    };
    const found = permitted(ready, 60);
    const lifeLeftDays = toleranceDays - transitDays - packingDays;
    const packPlugs = plugs === undefined ? null : plugs + wholeUp(0.05 * plugs);
    const outside = Math.max(2 - (lowestC ?? 2), (highestC ?? 28) - 28);
    const refusal = ((): Refusal | undefined => {
      if (lifeLeftDays < 1) {
        return {
          why: `The plugs would arrive with ${quantity(lifeLeftDays, "days")} of life left, and need one. A quicker carrier or hardier plugs would do.`,
          by: 1 - lifeLeftDays,
          nearest: { transitDays: Math.max(0, toleranceDays - packingDays - 1) },
        };
      }
      if (outside > 0 && tender) {
        const next = found && permitted(addDays(found, 1), 60);
        return {
          why: `Held: the forecast is ${quantity(outside, "°C")} outside the 2 to 28 °C that tender plugs bear.${next ? ` The next day to try is ${longDate(next)}.` : ""}`,
          by: outside,
          nearest: next ? { date: next } : {},
        };
      }
      if (found) return undefined;
      return {
        why: "There is no day in the next 60 on which they could be posted and not lie over a Sunday or a holiday.",
        by: null,
        nearest: {},
      };
    })();
    const dispatch = refusal ? undefined : found;
    return {
      answer: {
        dispatch: dispatch ?? null,
        dispatchWeekday: dispatch ? weekdayOf(dispatch) : null,
        arrives: dispatch ? addDays(dispatch, transitDays) : null,
        lifeLeftDays,
        packPlugs,
      },
      working: [
        `First of ${postDays.join(", ")} from ${longDate(ready)} with ${transitDays} days on the way and no Sunday or holiday among them: ${found ? longDate(found) : "none in 60 days"}`,
        `Life left = ${toleranceDays} − ${transitDays} − ${packingDays} = ${lifeLeftDays} days`,
        ...(packPlugs === null
          ? []
          : [`Plugs to pack = ${plugs} + 0.05 × ${plugs}, rounded up = ${number(packPlugs, 12)}`]),
      ],
      notes: [
        lifeLeftDays === 1 && warn("The plugs will have one day of life left: ask for them to be unpacked at once."),
        holidays === undefined && warn("There was no list of holidays: holidays not checked."),
        lowestC === undefined && ok("No forecast was given: look at both ends before posting tender plugs."),
      ],
      refusal,
    };
  },
});

export const useBy = worksheet({
  id: "use-by",
  question: "Until when may this be sold, and is the fridge right?",
  input: z
    .strictObject({
      harvested: date({ label: "Cut on" }),
      shelfDays: amount({ unit: "days", min: 0, max: 365, whole: true, label: "Shelf days, tested in the house" }),
      holdLowC: optional(amount({ unit: "°C", min: -5, max: 25, label: "Keep at no less than" })),
      holdHighC: optional(amount({ unit: "°C", min: -5, max: 25, label: "Keep at no more than" })),
      storeC: optional(amount({ unit: "°C", min: -30, max: 40, label: "The store is at" })),
      today: optional(date({ label: "Today" })),
    })
    .superRefine(together("holdLowC", "holdHighC"))
    .superRefine(({ holdLowC, holdHighC }, context) => {
      if (holdLowC !== undefined && holdHighC !== undefined && holdLowC > holdHighC) {
        fault(
          context,
          ["holdLowC"],
          `Unexpected ${holdLowC} above holdHighC ${holdHighC}, expected the smaller figure`,
        );
      }
    }),
  example: { harvested: "2028-02-27", shelfDays: 5, holdLowC: 10, holdHighC: 14, storeC: 12, today: "2028-02-29" },
  answer: {
    useBy: { unit: "", label: "Use by", key: true },
    daysLeft: { unit: "days", label: "Days left", key: true },
  },
  cautions: [
    {
      text: "A house date, not a legal one: how food is dated, chilled and labelled is a matter of law.",
      defer: "the local food authority",
    },
  ],
  source: "common practice",
  solve({ harvested, shelfDays, holdLowC, holdHighC, storeC, today }) {
    const last = addDays(harvested, shelfDays);
    const daysLeft = today === undefined ? null : daysBetween(today, last);
    const refusal = ((): Refusal | undefined => {
      if (daysLeft !== null && daysLeft < 0) {
        return {
          why: `It is ${quantity(-daysLeft, "days")} past its use-by of ${longDate(last)}: do not sell it.`,
          by: -daysLeft,
          nearest: {},
        };
      }
      if (storeC === undefined || holdLowC === undefined || holdHighC === undefined) return undefined;
      if (storeC < holdLowC) {
        return {
          why: `The store is too cold by ${quantity(holdLowC - storeC, "°C")}: the leaves will blacken, and the date will not hold.`,
          by: holdLowC - storeC,
          nearest: { storeC: holdLowC },
        };
      }
      if (storeC > holdHighC) {
        return {
          why: `The store is too warm by ${quantity(storeC - holdHighC, "°C")}: the date will not hold.`,
          by: storeC - holdHighC,
          nearest: { storeC: holdHighC },
        };
      }
      return undefined;
    })();
    return {
      answer: { useBy: last, daysLeft },
      working: [
        `${longDate(harvested)} + ${shelfDays} days = ${longDate(last)}`,
        ...(daysLeft === null || today === undefined
          ? []
          : [`From ${longDate(today)} to ${longDate(last)}: ${number(daysLeft, 12)} days`]),
      ],
      notes: [
        daysLeft === 0 && warn("The last day is today."),
        ok("Not a legal decision: local food law says how this is dated and kept."),
      ],
      refusal,
    };
  },
});
