import { z } from "zod";
import { number, quantity } from "../format.ts";
import { electrodeOffset, electrodeSlope, nernstPotential, nernstSlope } from "../science/electrode.ts";
import { convert } from "../science/units.ts";
import { amount, choice, everyday, fault, flag, optional, together, usually } from "./input.ts";
import { ok, type Refusal, warn, worksheet } from "./worksheet.ts";

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

export const meterCheck = worksheet({
  id: "meter-check",
  question: "Is this meter still true?",
  input: z
    .strictObject({
      bufferHigh: usually(amount({ unit: "pH", min: 0, max: 14, label: "Higher buffer" }), 7),
      bufferLow: usually(amount({ unit: "pH", min: 0, max: 14, label: "Lower buffer" }), 4.01),
      readHigh: optional(amount({ unit: "", min: -1000, max: 1000, label: "Meter shows in the higher buffer" })),
      readLow: optional(amount({ unit: "", min: -1000, max: 1000, label: "Meter shows in the lower buffer" })),
      readIn: usually(
        choice(["mV", "pH"], { label: "Meter shows", help: "mV is better: it is not touched by the last adjustment" }),
        "mV",
      ),
      temperature: usually(amount({ unit: "°C", min: 0, max: 50, label: "Temperature of the buffers" }), 25),
      ecRead: optional(amount({ unit: "mS/cm", min: 0, max: 20, label: "Meter shows in the EC standard" })),
      ecStandard: usually(everyday({ unit: "mS/cm", above: 0, max: 20, label: "EC standard, at 25 °C" }), 1.413),
      openDays: optional(
        amount({ unit: "days", min: 0, max: 5000, whole: true, label: "Buffers and standard open for" }),
      ),
    })
    .superRefine(together("readHigh", "readLow"))
    .superRefine(({ bufferHigh, bufferLow, readHigh, ecRead }, context) => {
      if (readHigh === undefined && ecRead === undefined) {
        fault(
          context,
          ["readHigh"],
          "Missing, expected readHigh and readLow from two buffers, or ecRead, or all three",
        );
      }
      if (bufferHigh - bufferLow < 1) {
        fault(context, ["bufferLow"], `Unexpected ${bufferLow}, expected at least 1 pH below bufferHigh ${bufferHigh}`);
      }
    }),
  example: { readHigh: -6, readLow: 164, ecRead: 1.38, openDays: 30 },
  answer: {
    slopePercent: { unit: "%", label: "Slope of the pH electrode", digits: 3, key: true },
    offsetMv: { unit: "mV", label: "Offset at pH 7", digits: 3, key: true },
    slopeMv: { unit: "mV", label: "Given for one pH", digits: 4 },
    idealMv: { unit: "mV", label: "A perfect electrode gives", digits: 4 },
    ecDeviationPercent: { unit: "%", label: "EC off its standard by", digits: 3, key: true },
  },
  cautions: [],
  source: "Nernst equation, 59.16 mV a pH at 25 °C; limits of slope, offset and EC are common practice",
  solve({ bufferHigh, bufferLow, readHigh, readLow, readIn, temperature, ecRead, ecStandard, openDays }) {
    const idealMv = nernstSlope(temperature);
    const potential = (read: number) => (readIn === "mV" ? read : nernstPotential(read, temperature));
    const read = readHigh !== undefined && readLow !== undefined;
    const high = { ph: bufferHigh, potential: potential(readHigh ?? 0) };
    const low = { ph: bufferLow, potential: potential(readLow ?? 0) };
    const slopeMv = read ? electrodeSlope(high, low) : null;
    const slopePercent = slopeMv === null ? null : (100 * slopeMv) / idealMv;
    const offsetMv = read ? electrodeOffset(high, low) : null;
    const ecOff = ecRead === undefined ? null : 100 * (ecRead / ecStandard - 1);
    const slopeOut = slopePercent === null ? 0 : outside(slopePercent, 85, 105);
    const ecOut = ecOff === null ? 0 : outside(ecOff, -10, 10);
    const refusals: Refusal[] = [];
    if (slopePercent !== null && slopeOut > 0) {
      refusals.push({
        why: `The electrode's slope is ${quantity(slopePercent, "%", 3)}: outside 85–105 % no adjustment makes its pH true. Clean it, soak it, use fresh buffers; then replace it.`,
        by: slopeOut,
        nearest: {},
      });
    }
    if (ecOff !== null && ecOut > 0) {
      refusals.push({
        why: `EC is ${quantity(ecOff, "%", 3)} off its standard, more than 10 %. Clean the cell, use fresh standard, adjust; do not feed by it.`,
        by: ecOut,
        nearest: {},
      });
    }
    return {
      answer: { slopePercent, offsetMv, slopeMv, idealMv, ecDeviationPercent: ecOff },
      working: [
        `A perfect electrode gives 59.16 × (${number(temperature)} + 273.15) ÷ 298.15 = ${quantity(idealMv, "mV")} a pH`,
        slopeMv !== null &&
          `Slope = (${signed(low.potential)} − ${signed(high.potential)}) ÷ (${number(bufferHigh)} − ${number(bufferLow)}) = ${quantity(slopeMv, "mV")}, ${quantity(slopePercent ?? 0, "%")}`,
        offsetMv !== null &&
          `Offset = ${number(high.potential)} + ${number(slopeMv ?? 0)} × (${number(bufferHigh)} − 7) = ${quantity(offsetMv, "mV")}`,
        ecOff !== null &&
          `EC off by 100 × (${number(ecRead ?? 0)} ÷ ${number(ecStandard)} − 1) = ${quantity(ecOff, "%")}`,
      ].filter((line) => line !== false),
      notes: [
        slopePercent !== null &&
          slopeOut === 0 &&
          outside(slopePercent, 92, 102) > 0 &&
          warn(
            `The slope is ${quantity(slopePercent, "%", 3)}, outside 92–102 %: clean the electrode and test again this week.`,
          ),
        offsetMv !== null &&
          outside(offsetMv, -30, 30) > 0 &&
          warn(
            `The offset is ${quantity(offsetMv, "mV", 3)}, beyond 30 mV: the junction is dirty or the electrode dry.`,
          ),
        ecOff !== null &&
          ecOut === 0 &&
          outside(ecOff, -5, 5) > 0 &&
          warn(`EC is ${quantity(ecOff, "%", 3)} off its standard, more than 5 %: clean the cell and adjust.`),
        openDays !== undefined &&
          openDays > 90 &&
          warn(
            `The buffers are old, open for ${quantity(openDays, "days")}: past 90 days a bad reading may be the buffer's. Never pour used buffer back.`,
          ),
        ...refusals.slice(1).map(({ why }) => warn(why)),
        readIn === "pH" &&
          ok("Read in pH, this is the drift since the meter was last adjusted, not the electrode's own slope."),
        ecOff !== null &&
          ok("A meter that corrects for temperature shows the standard's figure for 25 °C at any temperature."),
      ],
      refusal: refusals[0],
    };
  },
});

/** How far a value is outside a band; 0 inside it. */
function outside(value: number, low: number, high: number): number {
  const away = Math.max(low - value, value - high);
  return away > 1e-9 ? away : 0;
}

/** A figure to put after a minus sign. */
function signed(value: number): string {
  return value < 0 ? `(${number(value)})` : number(value);
}
