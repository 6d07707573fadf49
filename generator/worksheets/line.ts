import { z } from "zod";
import { list, number, span } from "../format.ts";
import { fewestGroups, meet, narrower, overlap } from "../science/bands.ts";
import type { Span } from "../science/units.ts";
import { amount, fault, optional, several, shown, text } from "./input.ts";
import { type Solved, warn, worksheet } from "./worksheet.ts";

/** A band as it is written in an input, `[low, high]`. */
export function band(unit: string, max: number, label: string) {
  const end = (which: string) => amount({ unit, min: 0, max, label: `${label} ${which}` });
  const error = ({ input }: { input?: unknown }) =>
    `Unexpected ${shown(input)}, expected two numbers such as [1.2, 1.6]`;
  return z
    .tuple([end("from"), end("to")], { error })
    .superRefine(([low, high], context) => {
      if (low > high) fault(context, [], `Unexpected ${low} before ${high}, expected the smaller figure first`);
    })
    .meta({ label, unit });
}

/** Says which entry repeats the id of an earlier one. */
export function distinctIds(entries: readonly { readonly id: string }[], context: z.RefinementCtx): void {
  entries.forEach(({ id }, index) => {
    const first = entries.findIndex((entry) => entry.id === id);
    if (first !== index) fault(context, [index, "id"], `Unexpected ${shown(id)} again, expected each crop once`);
  });
}

/** A band from an input as a span. */
export function spanOf<Unit extends string>([low, high]: readonly [number, number]): Span<Unit> {
  return { low, high };
}

const ecBand = (label: string) => optional(band("mS/cm", 10, label));
const phBand = (label: string) => optional(band("pH", 14, label));

export const lineMatch = worksheet({
  id: "line-match",
  question: "Can these crops drink from one line?",
  input: z.strictObject({
    crops: several(
      z.strictObject({
        id: text({ label: "Crop" }).min(1, "Unexpected nothing, expected a crop's name"),
        ec: ecBand("EC band"),
        ph: phBand("pH band"),
        ecTolerated: ecBand("EC tolerated"),
        phTolerated: phBand("pH tolerated"),
      }),
      { min: 1, max: 12, label: "Crops" },
    ).superRefine(distinctIds),
  }),
  example: {
    crops: [
      { id: "lettuce", ec: [0.8, 1.4], ph: [5.5, 6.5], ecTolerated: [0.6, 1.6] },
      { id: "basil", ec: [1.0, 1.6], ph: [5.5, 6.5] },
    ],
  },
  answer: {
    ecLow: { unit: "mS/cm", label: "Shared EC from", digits: 3, key: true },
    ecHigh: { unit: "mS/cm", label: "Shared EC to", digits: 3, key: true },
    phLow: { unit: "", label: "Shared pH from", digits: 3, key: true },
    phHigh: { unit: "", label: "Shared pH to", digits: 3, key: true },
    bandUsed: { unit: "", label: "Bands used" },
    ecWidth: { unit: "mS/cm", label: "Width of the EC band", digits: 2 },
    phWidth: { unit: "", label: "Width of the pH band", digits: 2 },
    ecGap: { unit: "mS/cm", label: "EC bands miss by", digits: 2 },
    phGap: { unit: "", label: "pH bands miss by", digits: 2 },
    ecClash: { unit: "", label: "Furthest apart in EC" },
    phClash: { unit: "", label: "Furthest apart in pH" },
    compromised: { unit: "", label: "Compromised" },
    linesNeeded: { unit: "", label: "Lines needed", key: true },
    "lines.*.ecLow": { unit: "mS/cm", label: "EC from", digits: 3 },
    "lines.*.ecHigh": { unit: "mS/cm", label: "EC to", digits: 3 },
    "lines.*.phLow": { unit: "", label: "pH from", digits: 3 },
    "lines.*.phHigh": { unit: "", label: "pH to", digits: 3 },
  },
  cautions: [],
  source: "common practice; least piercing of boxes by trial of every grouping",
  solve({ crops }) {
    const unknown = crops.filter(({ ec, ph }) => ec === undefined || ph === undefined).map(({ id }) => id);
    if (unknown.length > 0) return unjudged(unknown);
    const known = crops.map(({ id, ec, ph, ecTolerated, phTolerated }) => ({
      id,
      ec: spanOf<"mS/cm">(ec ?? [0, 0]),
      ph: spanOf<"pH">(ph ?? [0, 0]),
      ecTolerated: spanOf<"mS/cm">(ecTolerated ?? ec ?? [0, 0]),
      phTolerated: spanOf<"pH">(phTolerated ?? ph ?? [0, 0]),
    }));
    const ec = overlap(known.map((crop) => crop.ec));
    const ph = overlap(known.map((crop) => crop.ph));
    const wideEc = overlap(known.map((crop) => crop.ecTolerated));
    const widePh = overlap(known.map((crop) => crop.phTolerated));
    const preferred = ec.shared && ph.shared ? { ec: ec.shared, ph: ph.shared } : undefined;
    const tolerated = wideEc.shared && widePh.shared ? { ec: wideEc.shared, ph: widePh.shared } : undefined;
    const used = preferred ?? tolerated;
    const named = (clash: readonly [number, number] | undefined) => clash?.map((place) => known[place]!.id) ?? null;
    const ecClash = named(ec.clash);
    const phClash = named(ph.clash);
    const missed =
      used && !preferred
        ? known.filter((crop) => !meet(crop.ec, used.ec) || !meet(crop.ph, used.ph)).map(({ id }) => id)
        : [];
    const compromised = used && !preferred && missed.length === 0 ? [...new Set(ecClash ?? phClash ?? [])] : missed;
    const lines = fewestGroups(known).map((group) => {
      const shared = {
        ec: overlap(group.map((place) => known[place]!.ec)).shared!,
        ph: overlap(group.map((place) => known[place]!.ph)).shared!,
      };
      return { crops: group.map((place) => known[place]!.id), ...ends(shared) };
    });
    const gapUnit = ec.gap > 0 ? "mS/cm" : "";
    return {
      answer: {
        ...ends(used),
        bandUsed: preferred ? "preferred" : tolerated ? "tolerated" : null,
        ecWidth: used ? used.ec.high - used.ec.low : null,
        phWidth: used ? used.ph.high - used.ph.low : null,
        ecGap: ec.gap,
        phGap: ph.gap,
        ecClash,
        phClash,
        compromised,
        linesNeeded: lines.length,
        lines,
      },
      working: [
        bandLine(
          "EC",
          known.map((crop) => crop.ec),
        ),
        bandLine(
          "pH",
          known.map((crop) => crop.ph),
        ),
        !preferred &&
          bandLine(
            "EC tolerated",
            known.map((crop) => crop.ecTolerated),
          ),
        !preferred &&
          bandLine(
            "pH tolerated",
            known.map((crop) => crop.phTolerated),
          ),
        `Fewest lines: ${lines.length}, ${lines.map((line) => `${list(line.crops)} at EC ${span({ low: line.ecLow ?? 0, high: line.ecHigh ?? 0 }, "mS/cm")}, pH ${span({ low: line.phLow ?? 0, high: line.phHigh ?? 0 }, "")}`).join("; ")}`,
      ].filter((line) => line !== false),
      notes: [
        used &&
          !preferred &&
          warn(
            `Only the tolerated bands meet: ${list(compromised)} ${compromised.length === 1 ? "is" : "are"} compromised.`,
          ),
        used &&
          narrower(used.ec, 0.2) &&
          warn("The shared EC band is narrow: under 0.2 mS/cm leaves little room for drift."),
        used && narrower(used.ph, 0.3) && warn("The shared pH band is narrow: under 0.3 leaves little room for drift."),
      ],
      refusal: used
        ? undefined
        : {
            why: `No single feed suits them: ${list([...new Set([...(ecClash ?? []), ...(phClash ?? [])])])} are furthest apart, by ${number(ec.gap > 0 ? ec.gap : ph.gap > 0 ? ph.gap : Math.max(wideEc.gap, widePh.gap), 3)} ${gapUnit || "of pH"}. They need ${lines.length} lines.`,
            by: ec.gap > 0 ? ec.gap : ph.gap,
            nearest: { linesNeeded: lines.length },
          },
    };
  },
});

const nothingShared = { ecLow: null, ecHigh: null, phLow: null, phHigh: null };

function ends(shared: { readonly ec: Span; readonly ph: Span } | undefined) {
  if (!shared) return nothingShared;
  return { ecLow: shared.ec.low, ecHigh: shared.ec.high, phLow: shared.ph.low, phHigh: shared.ph.high };
}

function bandLine(name: string, bands: readonly Span[]): string {
  const low = Math.max(...bands.map((each) => each.low));
  const high = Math.min(...bands.map((each) => each.high));
  const meets = overlap(bands).shared !== undefined;
  return `${name}: highest low ${number(low)}, lowest high ${number(high)}: ${meets ? "they meet" : `they miss by ${number(low - high, 3)}`}`;
}

function unjudged(unknown: readonly string[]): Solved {
  return {
    answer: {
      ...nothingShared,
      bandUsed: null,
      ecWidth: null,
      phWidth: null,
      ecGap: null,
      phGap: null,
      ecClash: null,
      phClash: null,
      compromised: null,
      linesNeeded: null,
      lines: null,
    },
    working: [`No EC or no pH band is recorded for ${list(unknown)}`],
    refusal: {
      why: `I cannot judge ${list(unknown)} without an EC band and a pH band: not knowing is not the same as suiting.`,
      by: null,
      nearest: {},
    },
  };
}
