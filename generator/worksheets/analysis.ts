import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { alkalinityMass, hardnessOf } from "../science/carbonate.ts";
import { cationsOverTen, limitingConductivity, standardMethods } from "../science/conductivity.ts";
import { ammoniumShare, anions, balance, cations, ionicStrength, species, unmeasured } from "../science/ions.ts";
import { amount, choice, each, fault, flag, optional, usually } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

export const hardnessAlkalinity = worksheet({
  id: "hardness-alkalinity",
  question: "How hard and how alkaline is this water?",
  input: z
    .strictObject({
      calcium: optional(amount({ unit: "mg/L", min: 0, max: 1000, label: "Calcium" })),
      magnesium: optional(amount({ unit: "mg/L", min: 0, max: 1000, label: "Magnesium" })),
      alkalinity: optional(amount({ unit: "", min: 0, max: 2000, label: "Alkalinity" })),
      alkalinityAs: optional(
        choice(["HCO3", "CaCO3", "meq"], {
          label: "Alkalinity as",
          help: "mg/L of bicarbonate, mg/L of calcium carbonate, or meq/L",
        }),
      ),
    })
    .superRefine(({ calcium, magnesium, alkalinity }, context) => {
      if (calcium === undefined && magnesium === undefined && alkalinity === undefined) {
        fault(context, ["calcium"], "Missing, expected at least one of calcium, magnesium and alkalinity");
      }
    }),
  example: { calcium: 118, magnesium: 8, alkalinity: 317, alkalinityAs: "HCO3" },
  answer: {
    alkalinityMeq: { unit: "meq/L", label: "Alkalinity", digits: 4, key: true },
    alkalinityHCO3: { unit: "mg/L", label: "Alkalinity as bicarbonate", digits: 4 },
    alkalinityCaCO3: { unit: "mg/L", label: "Alkalinity as calcium carbonate", digits: 4 },
    hardnessCaCO3: { unit: "mg/L", label: "Hardness as calcium carbonate", digits: 4, key: true },
    germanDegrees: { unit: "°dH", label: "German degrees", digits: 3 },
    frenchDegrees: { unit: "°fH", label: "French degrees", digits: 3 },
    englishDegrees: { unit: "°e", label: "English degrees (Clark)", digits: 3 },
  },
  cautions: [],
  source: "IUPAC standard atomic weights 2021; common practice",
  solve({ calcium, magnesium, alkalinity, alkalinityAs }) {
    const working: string[] = [];
    const known = alkalinity !== undefined && alkalinityAs !== undefined;
    const meq = known ? alkalinity / alkalinityMass[alkalinityAs] : null;
    if (known && meq !== null) {
      working.push(
        `Alkalinity = ${number(alkalinity)} ÷ ${alkalinityMass[alkalinityAs]} = ${quantity(meq, "meq/L")}`,
        `As bicarbonate ${number(meq)} × 61.02 = ${quantity(61.02 * meq, "mg/L")}; as calcium carbonate ${number(meq)} × 50.04 = ${quantity(50.04 * meq, "mg/L")}`,
      );
    }
    const hardness =
      calcium === undefined || magnesium === undefined
        ? null
        : hardnessOf.calcium * calcium + hardnessOf.magnesium * magnesium;
    if (hardness !== null) {
      working.push(
        `Hardness = 2.497 × ${number(calcium ?? 0)} + 4.118 × ${number(magnesium ?? 0)} = ${quantity(hardness, "mg/L")} as calcium carbonate`,
        `÷ 17.85 = ${number(hardness / 17.85)} °dH; ÷ 10 = ${number(hardness / 10)} °fH; ÷ 14.25 = ${number(hardness / 14.25)} °e`,
      );
    }
    const oneOnly = (calcium === undefined) !== (magnesium === undefined);
    const unread = alkalinity !== undefined && alkalinityAs === undefined;
    const nearest = unread ? { meqIfHCO3: alkalinity / 61.02, meqIfCaCO3: alkalinity / 50.04 } : undefined;
    if (nearest) {
      working.push(
        `${number(alkalinity ?? 0)} ÷ 61.02 = ${quantity(nearest.meqIfHCO3, "meq/L")} if it is bicarbonate; ÷ 50.04 = ${quantity(nearest.meqIfCaCO3, "meq/L")} if it is calcium carbonate`,
      );
    }
    if (working.length === 0)
      working.push("Hardness = 2.497 × calcium + 4.118 × magnesium, and one of the two was not measured");
    return {
      answer: {
        alkalinityMeq: meq,
        alkalinityHCO3: meq === null ? null : 61.02 * meq,
        alkalinityCaCO3: meq === null ? null : 50.04 * meq,
        hardnessCaCO3: hardness,
        germanDegrees: hardness === null ? null : hardness / 17.85,
        frenchDegrees: hardness === null ? null : hardness / 10,
        englishDegrees: hardness === null ? null : hardness / 14.25,
      },
      working,
      notes: [
        oneOnly &&
          warn(
            `${calcium === undefined ? "Calcium" : "Magnesium"} was not measured, so there is no hardness. Blank is not none.`,
          ),
      ],
      refusal: nearest && {
        why: `Alkalinity ${number(alkalinity ?? 0)} does not say as what: read as calcium carbonate it is 1.22 times what it is as bicarbonate. Look at the report for HCO3 or CaCO3.`,
        by: null,
        nearest,
      },
    };
  },
});

export const solutionCheck = worksheet({
  id: "solution-check",
  question: "What EC should this make, and does the analysis add up?",
  input: each(species, (name) => optional(amount({ unit: "mg/L", min: 0, max: 200_000, label: name })))
    .extend({
      coldOrDark: usually(flag({ label: "Cold or dark", help: "Roots below 15 °C, or dull short days" }), false),
    })
    .superRefine((input, context) => {
      if (species.every((name) => input[name] === undefined)) {
        fault(context, [species[0]], `Missing, expected at least one of ${species.join(", ")}`);
      }
    }),
  example: { NO3N: 4, NH4N: 0, P: 0, K: 2, Ca: 118, Mg: 8, S: 18, Na: 24, Cl: 41, HCO3: 317 },
  answer: {
    ec: { unit: "mS/cm", label: "EC from its ions", digits: 3, key: true },
    ecQuick: { unit: "mS/cm", label: "EC by the quick rule", digits: 3 },
    cations: { unit: "meq/L", label: "Cations", digits: 4 },
    anions: { unit: "meq/L", label: "Anions", digits: 4 },
    balancePercent: { unit: "%", label: "Charge balance", digits: 3, key: true },
    ionicStrength: { unit: "mol/L", label: "Ionic strength", digits: 3 },
    ammoniumSharePercent: { unit: "%", label: "Ammonium share of nitrogen", digits: 3 },
  },
  cautions: [],
  source: "Standard Methods for the Examination of Water and Wastewater, method 2510",
  solve({ coldOrDark, ...analysis }) {
    const strength = ionicStrength(analysis);
    const [positive, negative] = [cations(analysis), anions(analysis)];
    const ec = standardMethods(analysis);
    const off = balance(analysis);
    const share = ammoniumShare(analysis);
    const blank = unmeasured(analysis);
    const most = coldOrDark ? 5 : 15;
    const readable = Number.isFinite(ec);
    return {
      answer: {
        ec: readable ? ec : null,
        ecQuick: cationsOverTen(analysis),
        cations: positive,
        anions: negative,
        balancePercent: off ?? null,
        ionicStrength: strength,
        ammoniumSharePercent: share ?? null,
      },
      working: [
        `κ° = Σ charge × conductance × mmol/L = ${quantity(limitingConductivity(analysis), "µS/cm")}`,
        `Ionic strength = ½ × Σ charge² × mol/L = ${quantity(strength, "mol/L")}`,
        ...(readable ? [`EC = κ° × y² ÷ 1000 = ${quantity(ec, "mS/cm")}`] : []),
        `Quick rule: cations ÷ 10 = ${number(positive)} ÷ 10 = ${quantity(positive / 10, "mS/cm")}`,
        off === undefined
          ? `Cations and anions make ${quantity(positive + negative, "meq/L")}, too little for a balance`
          : `Balance = 100 × (${number(positive)} − ${number(negative)}) ÷ (${number(positive)} + ${number(negative)}) = ${quantity(off, "%")}`,
      ],
      notes: [
        off !== undefined &&
          Math.abs(off) > 5 &&
          warn(
            Math.abs(off) > 10
              ? `The charges do not balance: ${quantity(off, "%", 3)}. A figure is probably mistyped, in the wrong unit or missing.`
              : `The charges balance to ${quantity(off, "%", 3)} only, more than 5 % off. Look at the largest figures again.`,
          ),
        share !== undefined &&
          share > most &&
          warn(
            `Ammonium is ${quantity(share, "%", 3)} of the nitrogen, more than ${most} %${coldOrDark ? " in the cold or dark" : ""}: it lowers the pH of the base and can harm roots.`,
          ),
        blank.length > 0 &&
          warn(
            `${list(blank)} ${blank.length === 1 ? "was" : "were"} not measured and counted as 0. Blank is not none.`,
          ),
        ok("EC cannot tell which element is missing."),
      ],
      refusal:
        strength > 0.5
          ? {
              why: `Ionic strength ${quantity(strength, "mol/L", 3)} is a concentrate; the formula holds for feeds up to 0.5 mol/L. Dilute ${number(strength / 0.5, 3)} times and try again.`,
              by: strength - 0.5,
              nearest: { diluteTimes: strength / 0.5 },
            }
          : undefined,
    };
  },
});
