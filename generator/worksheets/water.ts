import { z } from "zod";
import { list, number, quantity } from "../format.ts";
import { alkalinityMass } from "../science/carbonate.ts";
import { blended, type Share, shareFor } from "../science/water.ts";
import { amount, each, fault, optional, shown } from "./input.ts";
import { ok, warn, worksheet } from "./worksheet.ts";

const ions = ["Ca", "Mg", "K", "Na", "Cl", "S", "HCO3", "NO3N", "NH4N", "P", "Fe", "B"] as const;
type WaterIon = (typeof ions)[number];

const analysis = (label: string) =>
  each(ions, (ion) => optional(amount({ unit: "mg/L", min: 0, max: 2000, label: ion }))).meta({ label, unit: "mg/L" });

export const waterBlend = worksheet({
  id: "water-blend",
  question: "How much mains can go in the rain water?",
  input: z.strictObject({
    mains: analysis("Mains"),
    rain: analysis("Rain"),
    limits: z
      .partialRecord(
        z.enum(ions, { error: ({ input }) => `Unexpected ${shown(input)}, expected one of ${ions.join(", ")}` }),
        optional(amount({ unit: "mg/L", min: 0, max: 2000, label: "Limit" })),
        { error: ({ input }) => `Unexpected ${shown(input)}, expected an object of limits in mg/L` },
      )
      .superRefine((limits, context) => {
        if (Object.values(limits).every((limit) => limit === undefined)) {
          fault(context, [], `Missing, expected a limit for at least one of ${ions.join(", ")}`);
        }
      })
      .meta({ label: "Limits of the blend", unit: "mg/L", fields: ions }),
    mainsShare: optional(amount({ unit: "", min: 0, max: 1, label: "Share of mains to use" })),
  }),
  example: {
    mains: { Ca: 118, HCO3: 317, Na: 24, Cl: 41 },
    rain: { Ca: 3, HCO3: 12, Na: 4, Cl: 6 },
    limits: { Ca: 110, HCO3: 61, Na: 20, Cl: 40 },
  },
  answer: {
    maxMainsShare: { unit: "", label: "Largest share of mains", digits: 3, key: true },
    minMainsShare: { unit: "", label: "Smallest share of mains", digits: 3 },
    limitedBy: { unit: "", label: "Limited by", key: true },
    "shareByIon.*": { unit: "", label: "Largest share by ion", digits: 3 },
    shareUsed: { unit: "", label: "Share used", digits: 3 },
    "blend.*": { unit: "mg/L", label: "Blend", digits: 3 },
    alkalinityMeq: { unit: "meq/L", label: "Alkalinity of the blend", digits: 3, key: true },
  },
  cautions: [],
  source: "mass balance",
  solve({ mains, rain, limits, mainsShare }) {
    const limited = Object.entries(limits).flatMap(([ion, limit]) =>
      limit === undefined
        ? []
        : [{ ion: ion as WaterIon, limit, mains: mains[ion as WaterIon], rain: rain[ion as WaterIon] }],
    );
    const measured = limited.flatMap(({ ion, limit, mains, rain }) =>
      mains === undefined || rain === undefined
        ? []
        : [{ ion, limit, mains, rain, share: shareFor({ limit, mains, rain }) }],
    );
    const upper = measured.reduce<{ ion?: WaterIon; share: number }>(
      (least, { ion, share }) =>
        share.most !== undefined && share.most < least.share ? { ion, share: share.most } : least,
      { share: 1 },
    );
    const maxMainsShare = Math.max(0, upper.share);
    const minMainsShare = Math.max(0, ...measured.map(({ share }) => share.least ?? 0));
    const shareUsed = mainsShare ?? maxMainsShare;
    const named = ions.filter((ion) => [mains, rain, limits].some((water) => water[ion] !== undefined));
    const blend = Object.fromEntries(named.map((ion) => [ion, blended(mains[ion], rain[ion], shareUsed) ?? null]));
    const bicarbonate = blended(mains.HCO3, rain.HCO3, shareUsed);
    const alkalinityMeq = bicarbonate === undefined ? null : bicarbonate / alkalinityMass.HCO3;
    const over = measured.find(({ limit, mains, rain }) => Math.min(mains, rain) > limit);
    const outside = mainsShare === undefined ? 0 : Math.max(mainsShare - maxMainsShare, minMainsShare - mainsShare, 0);
    return {
      answer: {
        maxMainsShare,
        minMainsShare,
        limitedBy: upper.ion ?? null,
        shareByIon: Object.fromEntries(
          limited.map(({ ion }) => [ion, measured.find((row) => row.ion === ion)?.share.most ?? null]),
        ),
        shareUsed,
        blend,
        alkalinityMeq,
      },
      working: [
        ...measured.map(workingOf),
        ...named.flatMap((ion) =>
          typeof blend[ion] === "number"
            ? [
                `${ion}: ${number(shareUsed)} × ${number(mains[ion] ?? 0)} + ${number(1 - shareUsed)} × ${number(rain[ion] ?? 0)} = ${quantity(blend[ion], "mg/L")}`,
              ]
            : [],
        ),
        alkalinityMeq === null
          ? "Alkalinity: bicarbonate was not measured in both waters"
          : `Alkalinity = ${number(bicarbonate ?? 0)} ÷ 61.02 = ${quantity(alkalinityMeq, "meq/L")}`,
      ],
      notes: [
        ...limited.map(
          ({ ion, mains, rain }) =>
            (mains === undefined || rain === undefined) &&
            warn(
              `${ion} was not measured in ${list([...(mains === undefined ? ["the mains"] : []), ...(rain === undefined ? ["the rain"] : [])])}, so its limit is not checked.`,
            ),
        ),
        alkalinityMeq !== null &&
          alkalinityMeq < 0.5 &&
          warn(
            `The blend has ${quantity(alkalinityMeq, "meq/L", 3)} of alkalinity, less than 0.5: its pH will drift fast. A little more mains steadies it.`,
          ),
        ok("pH is never blended: measure it in the mixed water."),
      ],
      refusal: over
        ? {
            why: `There is no blend for ${over.ion}: both waters hold more than ${quantity(over.limit, "mg/L")}, the lower ${quantity(Math.min(over.mains, over.rain), "mg/L")}. Treat the water or ask for another limit.`,
            by: Math.min(over.mains, over.rain) - over.limit,
            nearest: { ion: over.ion, level: Math.min(over.mains, over.rain) },
          }
        : minMainsShare > maxMainsShare
          ? {
              why: `There is no blend: one limit asks for at least ${number(minMainsShare, 3)} of mains, another for at most ${number(maxMainsShare, 3)}.`,
              by: minMainsShare - maxMainsShare,
              nearest: {},
            }
          : outside > 0
            ? {
                why: `A mains share of ${number(shareUsed, 3)} breaks a limit: it may be ${number(minMainsShare, 3)} to ${number(maxMainsShare, 3)}.`,
                by: outside,
                nearest: { mainsShare: shareUsed > maxMainsShare ? maxMainsShare : minMainsShare },
              }
            : undefined,
    };
  },
});

interface Measured {
  readonly ion: WaterIon;
  readonly limit: number;
  readonly mains: number;
  readonly rain: number;
  readonly share: Share;
}

function workingOf({ ion, limit, mains, rain, share }: Measured): string {
  if (share.most !== undefined) {
    return `${ion}: at most (${number(limit)} − ${number(rain)}) ÷ (${number(mains)} − ${number(rain)}) = ${number(share.most)} of mains`;
  }
  if (share.least !== undefined) {
    return `${ion}: at least (${number(rain)} − ${number(limit)}) ÷ (${number(rain)} − ${number(mains)}) = ${number(share.least)} of mains`;
  }
  return `${ion}: mains ${number(mains)} and rain ${number(rain)} mg/L set no bound for ${quantity(limit, "mg/L")}`;
}
