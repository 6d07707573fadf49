import { z } from "zod";
import { number, quantity } from "../format.ts";
import { acidMolarity, acids, acidVolume, alkalinityMass, bicarbonateLeft } from "../science/carbonate.ts";
import { amount, choice, flag, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

const names = ["nitric", "phosphoric", "sulphuric", "citric"] as const;

export const acidDose = worksheet({
  id: "acid-dose",
  question: "How much alkalinity must go, and what would the acid add?",
  input: z.strictObject({
    alkalinity: amount({ unit: "", min: 0, max: 2000, label: "Alkalinity" }),
    alkalinityAs: choice(["HCO3", "CaCO3", "meq"], {
      label: "Alkalinity as",
      help: "mg/L of bicarbonate, mg/L of calcium carbonate, or meq/L",
    }),
    aimPh: usually(amount({ unit: "pH", min: 5, max: 6.8, label: "pH to aim for" }), 5.8),
    keepMeq: usually(amount({ unit: "meq/L", min: 0, max: 5, label: "Alkalinity to keep" }), 0),
    acid: choice(names, { label: "Acid" }),
    strengthPercent: amount({ unit: "%", above: 0, max: 100, label: "Strength by mass" }),
    density: amount({ unit: "kg/L", min: 0.8, max: 2, label: "Density", help: "From the product's data sheet" }),
    ratioPercent: usually(amount({ unit: "%", above: 0, max: 10, label: "Injector setting" }), 1),
    tankLitres: usually(amount({ unit: "L", above: 0, max: 2000, label: "Tub" }), 100),
    targetP: usually(amount({ unit: "mg/L", min: 0, max: 300, label: "Phosphorus wanted in the feed" }), 40),
    chelateInTub: usually(flag({ label: "Iron chelate is in the same tub" }), false),
    trainedPerson: usually(
      flag({ label: "A trained person will do this", help: "Volumes are shown to trained people only" }),
      false,
    ),
  }),
  example: {
    alkalinity: 317,
    alkalinityAs: "HCO3",
    acid: "nitric",
    strengthPercent: 60,
    density: 1.37,
    trainedPerson: true,
    chelateInTub: true,
  },
  answer: {
    alkalinityMeq: { unit: "meq/L", label: "Alkalinity", digits: 3 },
    leftFraction: { unit: "", label: "Share left at the pH", digits: 3 },
    residualMeq: { unit: "meq/L", label: "Alkalinity left", digits: 3, key: true },
    neutraliseMeq: { unit: "meq/L", label: "Alkalinity to neutralise", digits: 3, key: true },
    molPerL: { unit: "mol/L", label: "Acid in the bottle", digits: 3 },
    mlPerM3: { unit: "mL/m³", label: "Acid for a cubic metre", digits: 3 },
    litresPerTub: { unit: "L", label: "Acid for a tub", digits: 3 },
    addsN: { unit: "mg/L", label: "Nitrogen it adds", digits: 3, key: true },
    addsP: { unit: "mg/L", label: "Phosphorus it adds", digits: 3, key: true },
    addsS: { unit: "mg/L", label: "Sulphur it adds", digits: 3, key: true },
    stockNormality: { unit: "mol/L", label: "Acid in the tub", digits: 3 },
    stockPh: { unit: "pH", label: "pH of the tub", digits: 2 },
  },
  cautions: [
    {
      text: "Acid into water, never water into acid. Goggles or face shield, gauntlets and apron, with an eyewash within reach; nitric acid fumes.",
      defer: "The product's safety data sheet and a trained person decide.",
    },
    {
      text: "Never near chlorine products such as hypochlorite: the two give off poisonous gas.",
      defer: "The labels of both products decide.",
    },
    {
      text: "Some acids may not be bought, kept or used without a licence.",
      defer: "Ask what your local rules say on restricted acids.",
    },
  ],
  source: "carbonic acid pK 6.35 (Stumm and Morgan 1996, Aquatic Chemistry); common practice",
  solve(input) {
    const { acid, aimPh, keepMeq, targetP } = input;
    const { molarMass, protons } = acids[acid];
    const alkalinityMeq = input.alkalinity / alkalinityMass[input.alkalinityAs];
    const leftFraction = bicarbonateLeft(aimPh);
    const neutraliseMeq =
      alkalinityMeq <= keepMeq ? 0 : Math.max(0, alkalinityMeq - Math.max(alkalinityMeq * leftFraction, keepMeq));
    const molPerL = acidMolarity({ density: input.density, strength: input.strengthPercent, molarMass });
    const addsN = acid === "nitric" ? 14.007 * neutraliseMeq : 0;
    const addsP = acid === "phosphoric" ? (30.974 * neutraliseMeq) / protons : 0;
    const addsS = acid === "sulphuric" ? 16.03 * neutraliseMeq : 0;
    const stockNormality = (neutraliseMeq * 100) / input.ratioPercent / 1000;
    const strong = acid === "nitric" || acid === "sulphuric";
    const stockPh = strong && stockNormality > 0 ? -Math.log10(stockNormality) : null;
    const refused = addsP > targetP;
    const mlPerM3 = input.trainedPerson && !refused ? acidVolume(neutraliseMeq, molPerL, protons) : null;
    const litresPerTub = mlPerM3 === null ? null : (mlPerM3 * input.tankLitres) / (10 * input.ratioPercent) / 1000;
    return {
      answer: {
        alkalinityMeq,
        leftFraction,
        residualMeq: alkalinityMeq - neutraliseMeq,
        neutraliseMeq,
        molPerL,
        mlPerM3,
        litresPerTub,
        addsN,
        addsP,
        addsS,
        stockNormality,
        stockPh,
      },
      working: [
        `Alkalinity = ${number(input.alkalinity)} ÷ ${alkalinityMass[input.alkalinityAs]} = ${quantity(alkalinityMeq, "meq/L")}`,
        `Left at pH ${number(aimPh)} = 1 ÷ (1 + 10^(6.35 − ${number(aimPh)})) = ${number(leftFraction)}`,
        alkalinityMeq <= keepMeq
          ? `${number(alkalinityMeq)} is not above the ${quantity(keepMeq, "meq/L")} to keep: neutralise 0`
          : `Neutralise ${number(alkalinityMeq)} − the larger of ${number(alkalinityMeq)} × ${number(leftFraction)} and ${number(keepMeq)} = ${quantity(neutraliseMeq, "meq/L")}`,
        `Bottle = 1000 × ${number(input.density)} × ${number(input.strengthPercent)} ÷ 100 ÷ ${molarMass} = ${quantity(molPerL, "mol/L")}`,
        ...(mlPerM3 === null || litresPerTub === null
          ? []
          : [
              `Acid = ${number(neutraliseMeq)} ÷ (${number(molPerL)} × ${protons}) × 1000 = ${quantity(mlPerM3, "mL/m³")}`,
              `In ${quantity(input.tankLitres, "L")} at ${number(input.ratioPercent)} %: ${number(mlPerM3)} × ${number(input.tankLitres)} ÷ ${number(10 * input.ratioPercent)} ÷ 1000 = ${quantity(litresPerTub, "L")}`,
            ]),
        acid === "nitric"
          ? `Adds 14.007 × ${number(neutraliseMeq)} = ${quantity(addsN, "mg/L")} of N`
          : acid === "phosphoric"
            ? `Adds 30.974 × ${number(neutraliseMeq)} ÷ 1.04 = ${quantity(addsP, "mg/L")} of P`
            : acid === "sulphuric"
              ? `Adds 16.03 × ${number(neutraliseMeq)} = ${quantity(addsS, "mg/L")} of S`
              : "Citric acid adds no N, P or S",
        `Tub = ${number(neutraliseMeq)} × 100 ÷ ${number(input.ratioPercent)} ÷ 1000 = ${quantity(stockNormality, "mol/L")}`,
        ...(stockPh === null ? [] : [`pH of the tub = −log10 ${number(stockNormality)} = ${number(stockPh, 2)}`]),
      ],
      notes: [
        neutraliseMeq > 0 &&
          !input.trainedPerson &&
          warn("Volumes are not shown: acid is for a trained person, with the safety data sheet at hand."),
        stockPh !== null &&
          stockPh < 3 &&
          input.chelateInTub &&
          warn(
            `At pH ${number(stockPh, 2)} the iron chelate in this tub falls apart. Give the acid a head of its own, or blend with rain.`,
          ),
        acid === "citric" && warn("Citric acid feeds bacteria, which eat it and clog lines: not for a feed line."),
        neutraliseMeq === 0 && ok("There is no acid to add: the alkalinity is not above what is kept."),
        ok("Start with a part of the dose and measure pH: the water's carbon dioxide shifts it."),
      ],
      refusal: refused
        ? {
            why: `Phosphoric acid alone would add ${quantity(addsP, "mg/L")} of P, more than the ${quantity(targetP, "mg/L")} wanted. Use another acid for the rest, or blend with rain.`,
            by: addsP - targetP,
            nearest: { neutraliseMeq: (targetP * 1.04) / 30.974 },
          }
        : undefined,
    };
  },
});
