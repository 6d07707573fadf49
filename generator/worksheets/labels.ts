import { z } from "zod";
import { number, quantity } from "../format.ts";
import { bodyOf, checkCharacter, isAmbiguous, trayCode } from "../science/labels.ts";
import { amount, choice, date, everyday, fault, flag, optional, shown, text, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

export const labelCode = worksheet({
  id: "label-code",
  question: "What code goes on the tray, and is this one right?",
  input: z
    .strictObject({
      code: optional(text({ label: "Code without its check character" })),
      crop: optional(text({ label: "Crop code", help: "Letters and digits" })),
      sown: optional(date({ label: "Sown on" })),
      tray: optional(amount({ unit: "", min: 0, max: 99, whole: true, label: "Tray" })),
      check: optional(text({ label: "Code to check, with its check character" })),
      handwritten: usually(flag({ label: "Labels are written by hand" }), false),
    })
    .superRefine((input, context) => {
      const given = (["code", "crop", "check"] as const).filter((key) => input[key] !== undefined);
      const [kind = "code", second] = given;
      if (given.length === 0) fault(context, ["code"], "Missing, expected one of code, crop and check");
      if (second) fault(context, [second], `Unexpected beside ${kind}, expected one of code, crop and check`);
      for (const part of ["sown", "tray"] as const) {
        if (kind === "crop" && input[part] === undefined)
          fault(context, [part], "Missing, expected it beside the crop");
        if (kind !== "crop" && input[part] !== undefined) {
          fault(context, [part], `Unexpected beside ${kind}, expected it with a crop`);
        }
      }
      const written = input[kind];
      if (written === undefined) return;
      const body = bodyOf(written);
      // A check character, or the date and the tray, are not yet in or not part of what is counted.
      const length = body.length + (kind === "crop" ? 7 : kind === "check" ? -1 : 0);
      const odd = (kind === "crop" ? written : body).match(/[^0-9A-Za-z]/u)?.[0];
      if (odd !== undefined) {
        fault(context, [kind], `Unexpected ${shown(odd)} in ${shown(written)}, expected letters A to Z and digits`);
      } else if (body.length === 0 || length < 1 || length > 30) {
        fault(context, [kind], `Unexpected ${shown(written)}, expected a code of 1 to 30 letters and digits`);
      }
    }),
  example: { crop: "LET02", sown: "2028-01-17", tray: 7 },
  answer: {
    body: { unit: "", label: "Code as reckoned" },
    character: { unit: "", label: "Check character", key: true },
    printed: { unit: "", label: "On the label", key: true },
    valid: { unit: "", label: "Right" },
  },
  cautions: [],
  source: "ISO/IEC 7064 MOD 37,36; day of the year as in ISO 8601 ordinal dates",
  solve({ code, crop, sown, tray, check, handwritten }) {
    const parts = crop === undefined || sown === undefined || tray === undefined ? undefined : { crop, sown, tray };
    const written = (check ?? code ?? (parts && trayCode(parts)) ?? "").trim().toUpperCase();
    const whole = bodyOf(written);
    const body = check === undefined ? whole : whole.slice(0, -1);
    const character = checkCharacter(body);
    const valid = check === undefined ? null : whole.endsWith(character);
    return {
      answer: { body, character, printed: check === undefined ? `${written}-${character}` : written, valid },
      working: [
        `Reckoned with ${body}`,
        `MOD 37,36 over ${body.length} characters, each added to the last (mod 36, 36 for 0) and doubled (mod 37): ${character}`,
        ...(valid === null ? [] : [`On the label ${whole.at(-1)}: ${valid ? "right" : "wrong"}`]),
      ],
      notes: [
        handwritten &&
          isAmbiguous(character) &&
          warn(`${character} is easily misread by hand: skip this tray number and take the next.`),
        valid === true && ok("The check character matches."),
      ],
      refusal:
        valid === false
          ? {
              why: `The check character ${whole.at(-1)} does not match the rest: a character is wrong or two are swapped. Read the label again; do not guess.`,
              by: null,
              nearest: {},
            }
          : undefined,
    };
  },
});

export const dilution = worksheet({
  id: "dilution",
  question: "How much of the bottle goes in?",
  input: z.strictObject({
    wanted: everyday({ unit: "mg/L", above: 0, label: "Strength wanted" }),
    litres: everyday({ unit: "L", above: 0, label: "Volume to make" }),
    bottle: everyday({ unit: "", above: 0, label: "Strength of the bottle" }),
    bottleUnit: usually(choice(["mg/L", "%"], { label: "In", help: "1 % is 10 000 mg/L" }), "mg/L"),
    bottleMonths: optional(everyday({ unit: "", min: 0, label: "Months since it was made" })),
  }),
  example: { wanted: 100, litres: 60, bottle: 5, bottleUnit: "%" },
  answer: {
    millilitres: { unit: "mL", label: "From the bottle", digits: 3, key: true },
    waterLitres: { unit: "L", label: "Water", digits: 4, key: true },
    times: { unit: "", label: "Times as strong as wanted", digits: 3 },
  },
  cautions: [
    {
      text: "Arithmetic only: whether and how it may be used, for how long, and what to wear are not said here. Never mix two cleaners; never near acid; with fresh air.",
      defer: "the product's label and its age, and local law",
    },
  ],
  source: "mass balance",
  solve({ wanted, litres, bottle, bottleUnit, bottleMonths }) {
    const strength = bottleUnit === "%" ? bottle * 10_000 : bottle;
    const times = strength / wanted;
    const weak = wanted >= strength;
    const millilitres = weak ? null : ((wanted * litres) / strength) * 1000;
    const waterLitres = millilitres === null ? null : litres - millilitres / 1000;
    return {
      answer: { millilitres, waterLitres, times },
      working: [
        ...(bottleUnit === "%" ? [`Bottle = ${number(bottle)} % × 10 000 = ${quantity(strength, "mg/L")}`] : []),
        `Times as strong = ${number(strength)} ÷ ${number(wanted)} = ${number(times)}`,
        ...(millilitres === null || waterLitres === null
          ? []
          : [
              `From the bottle = ${number(wanted)} × ${number(litres)} ÷ ${number(strength)} × 1000 = ${quantity(millilitres, "mL")}`,
              `Water = ${number(litres)} − ${number(millilitres)} ÷ 1000 = ${quantity(waterLitres, "L")}`,
            ]),
      ],
      notes: [
        bottleMonths !== undefined &&
          bottleMonths > 6 &&
          warn("A bottle over 6 months old may have lost its strength: test it, or take a fresh one."),
        ok("The product's label, its age and local law decide whether and how."),
      ],
      refusal: weak
        ? {
            why: `The bottle has ${quantity(strength, "mg/L")}: nothing as strong as ${quantity(wanted, "mg/L")} can be made from it by adding water.`,
            by: wanted - strength,
            nearest: { wanted: strength },
          }
        : undefined,
    };
  },
});
