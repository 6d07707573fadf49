import { z } from "zod";
import { number, quantity } from "../format.ts";
import { convert } from "../science/units.ts";
import { amount, choice, fault, flag, optional, together, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

const scales = ["mS/cm", "uS/cm", "dS/m", "CF", "ppm500", "ppm640", "ppm700", "ppm"] as const;

/** How many of each scale's units make 1 mS/cm; `ppm` alone has no one answer. */
const perMilliSiemens = {
  "mS/cm": 1,
  "uS/cm": 1000,
  "dS/m": 1,
  CF: 10,
  ppm500: 500,
  ppm640: 640,
  ppm700: 700,
} as const;

export const ecReading = worksheet({
  id: "ec-reading",
  question: "What is this meter reading at 25 °C?",
  input: z
    .strictObject({
      reading: amount({ unit: "", min: 0, max: 20_000, label: "Meter shows" }),
      scale: optional(
        choice(scales, {
          label: "Scale",
          help: "Printed on the meter or in its manual",
        }),
      ),
      temperature: usually(amount({ unit: "", label: "Temperature of the sample" }), 25),
      temperatureUnit: usually(choice(["C", "F"], { label: "Temperature scale" }), "C"),
      compensated: usually(
        flag({
          label: "The meter corrects for temperature",
          help: "Marked ATC, or said in its manual",
        }),
        true,
      ),
      bandLow: optional(amount({ unit: "mS/cm", min: 0, max: 10, label: "Band from" })),
      bandHigh: optional(amount({ unit: "mS/cm", min: 0, max: 10, label: "Band to" })),
    })
    .superRefine(together("bandLow", "bandHigh"))
    .superRefine(({ bandLow, bandHigh, temperature, temperatureUnit }, context) => {
      if (bandLow !== undefined && bandHigh !== undefined && bandLow > bandHigh) {
        fault(
          context,
          ["bandLow"],
          `Unexpected ${bandLow} above bandHigh ${bandHigh}, expected the smaller figure first`,
        );
      }
      const celsius = temperatureUnit === "F" ? convert(temperature, "°F", "°C") : temperature;
      if (celsius < -1 || celsius > 45) {
        fault(context, ["temperature"], `Unexpected ${number(celsius)} °C, expected water from −1 to 45 °C`);
      }
    }),
  example: { reading: 812, scale: "ppm500", bandLow: 1.0, bandHigh: 1.4 },
  answer: {
    ec25: { unit: "mS/cm", label: "EC at 25 °C", digits: 3, key: true },
    ecAsRead: { unit: "mS/cm", label: "EC as read", digits: 3 },
    temperatureC: { unit: "°C", label: "Temperature", digits: 3 },
    ppm500: { unit: "ppm (500 scale)", label: "On the 500 scale", digits: 4 },
    ppm640: { unit: "ppm (640 scale)", label: "On the 640 scale", digits: 4 },
    ppm700: { unit: "ppm (700 scale)", label: "On the 700 scale", digits: 4 },
    cf: { unit: "CF", label: "Conductivity factor", digits: 3 },
    correctionPercent: {
      unit: "%",
      label: "Temperature correction",
      digits: 3,
    },
    band: { unit: "", label: "Against the band" },
  },
  cautions: [],
  source: "common practice; temperature at 2 % a degree as in Standard Methods 2510",
  solve({ reading, scale, temperature, temperatureUnit, compensated, bandLow, bandHigh }) {
    if (scale === undefined || scale === "ppm") {
      const nearest = {
        at500: reading / 500,
        at640: reading / 640,
        at700: reading / 700,
        asMicro: reading / 1000,
      };
      return {
        answer: unread,
        working: [
          `${reading} ÷ 500 = ${number(nearest.at500)}, ÷ 640 = ${number(nearest.at640)}, ÷ 700 = ${number(nearest.at700)} mS/cm; as µS/cm it is ${number(nearest.asMicro)} mS/cm`,
        ],
        refusal: {
          why: `${reading} has no scale: it means a different EC on each. Look for 500, 640 or 700 on the meter or in its manual, and write it on the meter's record.`,
          by: null,
          nearest,
        },
      };
    }
    const ecAsRead = reading / perMilliSiemens[scale];
    const temperatureC = temperatureUnit === "F" ? convert(temperature, "°F", "°C") : temperature;
    const ec25 = compensated ? ecAsRead : ecAsRead / (1 + 0.02 * (temperatureC - 25));
    const correctionPercent = ecAsRead === 0 ? 0 : 100 * (ec25 / ecAsRead - 1);
    const band =
      bandLow === undefined || bandHigh === undefined
        ? null
        : ec25 < bandLow
          ? "below"
          : ec25 > bandHigh
            ? "above"
            : "inside";
    const limits = `${number(bandLow ?? 0)}–${quantity(bandHigh ?? 0, "mS/cm")}`;
    return {
      answer: {
        ec25,
        ecAsRead,
        temperatureC,
        ppm500: ec25 * 500,
        ppm640: ec25 * 640,
        ppm700: ec25 * 700,
        cf: ec25 * 10,
        correctionPercent,
        band,
      },
      working: [
        `EC as read = ${reading} ÷ ${perMilliSiemens[scale]} = ${quantity(ecAsRead, "mS/cm")}`,
        compensated
          ? `The meter corrects for temperature: EC at 25 °C = ${quantity(ec25, "mS/cm")}`
          : `EC at 25 °C = ${number(ecAsRead)} ÷ (1 + 0.02 × (${number(temperatureC)} − 25)) = ${quantity(ec25, "mS/cm")}`,
      ],
      notes: [
        Math.abs(correctionPercent) > 30 &&
          warn(
            `The temperature correction is ${number(correctionPercent, 3)} %. Bring the sample nearer 25 °C and read again.`,
          ),
        band === "above" &&
          warn(
            `The reading is above the band ${limits}: topping up at line strength cannot lower it. Drain part and refill.`,
          ),
        band === "below" &&
          warn(`The reading is below the band ${limits}. Read the line before you touch the injector.`),
        band === "inside" && ok(`The reading is inside the band ${limits}.`),
      ],
      refusal:
        ec25 > 10
          ? {
              why: `${quantity(ec25, "mS/cm")} is over 10 mS/cm, which is a concentrate or a reading in µS/cm.`,
              by: ec25 - 10,
              nearest: { asMicro: reading / 1000 },
            }
          : undefined,
    };
  },
});

const unread = {
  ec25: null,
  ecAsRead: null,
  temperatureC: null,
  ppm500: null,
  ppm640: null,
  ppm700: null,
  cf: null,
  correctionPercent: null,
  band: null,
};
