import { z } from "zod";
import { number, quantity } from "../format.ts";
import { daysToLimit, drainFraction, drift, mixed, responseTime, steady, uptakeFrom } from "../science/delivery.ts";
import { amount, choice, everyday, fault, optional, shown, usually } from "./input.ts";
import { type Caution, ok, warn, worksheet } from "./worksheet.ts";

const drainage: Caution = {
  text: "What is drained is fertiliser: keep it off paths and out of ditches and surface drains.",
  defer: "The local water authority decides where it may go.",
};

/** Room for the last bits of floating-point sums, in comparisons with a limit. */
const slack = 1e-9;

const level = (label: string, help = "EC in mS/cm, or one element in mg/L; the same throughout") =>
  everyday({ unit: "", min: 0, label, help });

export const baseDrift = worksheet({
  id: "base-drift",
  question: "How fast is this base changing, and when does it reach the limit?",
  input: z
    .strictObject({
      baseLitres: everyday({ unit: "L", above: 0, label: "Held in the base" }),
      litresPerDay: everyday({ unit: "L/day", above: 0, label: "Drunk a day" }),
      feedLevel: level("Level of the feed"),
      uptakeLevel: optional(
        level("Level that plants take up", "From an earlier estimate; or give two readings instead"),
      ),
      previousLevel: optional(level("Level at the earlier reading")),
      daysBetween: optional(everyday({ unit: "days", above: 0, label: "Days between the readings" })),
      nowLevel: level("Level of the base now"),
      limit: level("Limit"),
      limitKind: usually(choice(["upper", "lower"], { label: "The limit is the" }), "upper"),
    })
    .superRefine(({ uptakeLevel, previousLevel, daysBetween }, context) => {
      if (uptakeLevel !== undefined || (previousLevel !== undefined && daysBetween !== undefined)) return;
      const half =
        previousLevel === undefined ? (daysBetween === undefined ? undefined : "previousLevel") : "daysBetween";
      fault(
        context,
        [half ?? "uptakeLevel"],
        "Missing, expected uptakeLevel, or previousLevel and daysBetween to estimate it from",
      );
    }),
  example: { baseLitres: 40, litresPerDay: 5, feedLevel: 24, uptakeLevel: 5, nowLevel: 24, limit: 100 },
  answer: {
    changePerDay: { unit: "/day", label: "Change a day", digits: 3, key: true },
    direction: { unit: "", label: "Direction", key: true },
    daysToLimit: { unit: "days", label: "Until the limit", digits: 3, key: true },
    uptakeLevel: { unit: "", label: "Level that plants take up", digits: 3 },
  },
  cautions: [drainage],
  source: "mass balance",
  solve(input) {
    const { baseLitres, litresPerDay, feedLevel, previousLevel, daysBetween, nowLevel, limit, limitKind } = input;
    const base = { volume: baseLitres, drunk: litresPerDay, feed: feedLevel };
    const estimated = input.uptakeLevel === undefined;
    const uptake =
      input.uptakeLevel ?? uptakeFrom({ ...base, now: nowLevel, before: previousLevel ?? 0, days: daysBetween ?? 1 });
    const change = drift({ ...base, uptake });
    const direction = Math.abs(change) < steady ? "steady" : change > 0 ? "rising" : "falling";
    const days = daysToLimit({ now: nowLevel, limit, kind: limitKind, change });
    const perDay = litresPerDay / baseLitres;
    return {
      answer: { changePerDay: change, direction, daysToLimit: days ?? null, uptakeLevel: uptake },
      working: [
        estimated &&
          `Taken up = ${number(feedLevel)} − (${number(baseLitres)} ÷ ${number(litresPerDay)}) × (${number(nowLevel)} − ${number(previousLevel ?? 0)}) ÷ ${number(daysBetween ?? 1)} = ${number(uptake)}`,
        `Change = (${number(litresPerDay)} ÷ ${number(baseLitres)}) × (${number(feedLevel)} − ${number(uptake)}) = ${number(change)} a day`,
        days === undefined
          ? `The drift does not lead to the ${limitKind} limit ${number(limit)}`
          : days === 0
            ? `${number(nowLevel)} has passed the ${limitKind} limit ${number(limit)}`
            : `Days = (${number(limit)} − ${number(nowLevel)}) ÷ ${number(change)} = ${number(days)}`,
      ].filter((line) => line !== false),
      notes: [
        days === 0 && warn(`The base is already past its limit of ${number(limit)}: drain part of it.`),
        days !== undefined &&
          days > 0 &&
          days < 7 - slack &&
          warn(`The limit is ${quantity(days, "days", 2)} away: a matter of days, so drain before it comes.`),
        perDay > 0.5 + slack &&
          warn("A small base for what is drunk: more than half of it passes in a day, so it swings quickly."),
        direction === "rising" &&
          ok("Topping up cannot lower a base that rises: drain part and refill, or feed weaker."),
      ],
      refusal:
        uptake < 0
          ? {
              why: "The base rose faster than this feed can make it, so a reading or the water drunk is amiss. Read again with a checked meter.",
              by: -uptake,
              nearest: { maxRisePerDay: perDay * feedLevel },
            }
          : undefined,
    };
  },
});

export const baseDrain = worksheet({
  id: "base-drain",
  question: "How much must I drain to bring it back?",
  input: z.strictObject({
    baseLitres: everyday({ unit: "L", above: 0, label: "Held in the base" }),
    nowLevel: level("Level now"),
    wantLevel: level("Level wanted"),
    freshLevel: level("Level of the fresh feed"),
    litresPerDay: optional(everyday({ unit: "L/day", above: 0, label: "Drunk a day" })),
    uptakeRatio: usually(everyday({ unit: "", above: 0, max: 1.5, label: "Taken up, against the base's level" }), 0.8),
  }),
  example: { baseLitres: 40, nowLevel: 2, wantLevel: 1.55, freshLevel: 1.4, litresPerDay: 5 },
  answer: {
    drainFraction: { unit: "", label: "Share to drain", digits: 3 },
    drainLitres: { unit: "L", label: "Drain", digits: 3, key: true },
    responseDays: { unit: "days", label: "Time constant if not drained", digits: 3 },
  },
  cautions: [drainage],
  source: "mass balance",
  solve({ baseLitres, nowLevel: now, wantLevel: want, freshLevel: fresh, litresPerDay, uptakeRatio }) {
    const fraction = drainFraction({ now, want, fresh });
    const responseDays =
      litresPerDay === undefined ? null : responseTime({ volume: baseLitres, drunk: litresPerDay, uptakeRatio });
    const low = Math.min(now, fresh);
    const high = Math.max(now, fresh);
    const nearest = want < low ? low : high;
    return {
      answer: {
        drainFraction: fraction ?? null,
        drainLitres: fraction === undefined ? null : fraction * baseLitres,
        responseDays,
      },
      working: [
        fraction === undefined
          ? `Fresh feed mixed with the base gives ${number(low)} to ${number(high)}; ${number(want)} is not between`
          : now === want
            ? "The base is where it is wanted: nothing to drain"
            : `Share = (${number(now)} − ${number(want)}) ÷ (${number(now)} − ${number(fresh)}) = ${number(fraction)}; × ${number(baseLitres)} = ${quantity(fraction * baseLitres, "L")}`,
        responseDays !== null &&
          `Time constant = ${number(baseLitres)} ÷ (${number(litresPerDay ?? 1)} × ${number(uptakeRatio)}) = ${quantity(responseDays, "days")}: after this long, undrained, it has gone 63 % of the way`,
      ].filter((line) => line !== false),
      notes: [
        (fraction ?? 0) > 0.8 + slack && warn("This is nearly all of it: empty the base, rinse it and fill it afresh."),
      ],
      refusal:
        fraction === undefined
          ? {
              why: `This fresh feed at ${number(fresh)} cannot bring a base at ${number(now)} to ${number(want)}: draining moves it between the two and no further.`,
              by: Math.abs(want - nearest),
              nearest: { level: nearest },
            }
          : undefined,
    };
  },
});

export const rainDilution = worksheet({
  id: "rain-dilution",
  question: "What will rain do to an open base?",
  input: z.strictObject({
    baseLitres: everyday({ unit: "L", above: 0, label: "Held in the base" }),
    level: everyday({ unit: "mS/cm", min: 0, max: 10, label: "EC of the base" }),
    rainMm: amount({ unit: "mm", min: 0, max: 500, label: "Rain" }),
    catchM2: usually(everyday({ unit: "m²", above: 0, max: 10, label: "Area that catches it" }), 0.2),
    rainLevel: usually(amount({ unit: "mS/cm", min: 0, max: 5, label: "EC of the rain" }), 0.02),
    freeLitres: optional(everyday({ unit: "L", min: 0, label: "Room before it overflows" })),
  }),
  example: { baseLitres: 40, level: 1.4, rainMm: 25 },
  answer: {
    levelAfter: { unit: "mS/cm", label: "EC afterwards", digits: 3, key: true },
    rainLitres: { unit: "L", label: "Rain caught", digits: 3 },
    changePercent: { unit: "%", label: "Change", digits: 3 },
    overflowLitres: { unit: "L", label: "Overflows", digits: 3 },
  },
  cautions: [drainage],
  source: "mass balance; 1 mm on 1 m² is 1 L",
  solve({ baseLitres, level: before, rainMm, catchM2, rainLevel, freeLitres }) {
    const rainLitres = rainMm * catchM2;
    const levelAfter = mixed({ volume: baseLitres, level: before }, { volume: rainLitres, level: rainLevel });
    const changePercent = before === 0 ? null : 100 * (levelAfter / before - 1);
    const overflowLitres = freeLitres === undefined ? null : Math.max(0, rainLitres - freeLitres);
    return {
      answer: { levelAfter, rainLitres, changePercent, overflowLitres },
      working: [
        `Rain caught = ${number(rainMm)} mm × ${number(catchM2)} m² = ${quantity(rainLitres, "L")}`,
        `Afterwards = (${number(baseLitres)} × ${number(before)} + ${number(rainLitres)} × ${number(rainLevel)}) ÷ ${number(baseLitres + rainLitres)} = ${quantity(levelAfter, "mS/cm")}`,
        changePercent !== null &&
          `Change = 100 × (${number(levelAfter)} ÷ ${number(before)} − 1) = ${quantity(changePercent, "%")}`,
        overflowLitres !== null &&
          `Overflow = ${number(rainLitres)} − ${number(freeLitres ?? 0)}, not below 0 = ${quantity(overflowLitres, "L")}`,
      ].filter((line) => line !== false),
      notes: [
        (changePercent ?? 0) < -10 - slack &&
          warn(
            `The base will be weaker by ${quantity(-(changePercent ?? 0), "%", 3)}: cover it, or feed it back to strength.`,
          ),
        (overflowLitres ?? 0) > slack &&
          warn(`${quantity(overflowLitres ?? 0, "L", 3)} of feed will overflow: draw the base down before the rain.`),
        changePercent === null && ok(`The base has no EC of its own to compare with: ${shown(before)}.`),
      ],
    };
  },
});
