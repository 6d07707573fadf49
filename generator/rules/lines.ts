import type { Crop } from "../records/crop.ts";
import type { Readable } from "../records/fields.ts";
import type { GearOf } from "../records/gear.ts";
import type { Reading } from "../records/index.ts";
import type { Span } from "../science/units.ts";
import type { Drafts } from "./drafts.ts";

/** Asks of every feed line that its crops can live on what it holds, and that its injector can give it. */
export function checkLines(drafts: Drafts): void {
  for (const { fields, say } of drafts.records.gear.values()) {
    if (fields.kind !== "line") continue;
    sayBands(fields, drafts, say);
    sayFeed(fields, drafts, say);
  }
}

type Line = Readable<GearOf<"line">>;
type Say = Reading<unknown>["say"];

/** The set-points against the bands of each crop, and the bands of the crops against one another. */
function sayBands(line: Line, { records }: Drafts, say: Say): void {
  const { ec, ph, crops = [] } = line;
  const before: { readonly name: string; readonly widest: Span }[] = [];
  for (const [index, id] of crops.entries()) {
    const crop = id === undefined ? undefined : records.crops.get(id)?.fields;
    if (!crop) continue;
    const path = ["crops", index];
    const name = crop.name ?? id ?? "";
    const widest = crop.ec?.tolerated ?? crop.ec?.preferred;
    const apart = widest && before.find((other) => other.widest.low > widest.high || other.widest.high < widest.low);
    if (apart) {
      const [low, high] = apart.widest.low > widest.high ? [{ name, widest }, apart] : [apart, { name, widest }];
      say(path, {
        rule: "bands-apart",
        written: id ?? "",
        expected: `a crop whose EC band meets that of ${apart.name}`,
        note: `${low.name} tops out at ${low.widest.high} mS/cm and ${high.name} starts at ${high.widest.low} mS/cm. They need separate feed.`,
      });
    } else if (ec !== undefined) saySetPoint(path, id ?? "", crop, ec, say);
    if (widest) before.push({ name, widest });
    const wide = crop.ph?.tolerated ?? crop.ph?.preferred;
    if (ph && wide && (ph.low < wide.low || ph.high > wide.high))
      say(path, {
        rule: "line-ph",
        written: id ?? "",
        expected: `a crop for pH ${band(ph)}`,
        note: `The line is held at pH ${band(ph)}; ${name} wants pH ${band(wide)}.`,
      });
  }
}

function saySetPoint(path: readonly (string | number)[], id: string, crop: Readable<Crop>, ec: number, say: Say): void {
  const { preferred, tolerated } = crop.ec ?? {};
  const widest = tolerated ?? preferred;
  const name = crop.name ?? id;
  if (!widest) return;
  if (ec < widest.low || ec > widest.high)
    say(path, {
      rule: "line-band",
      written: id,
      expected: `a crop for ${ec} mS/cm`,
      note: `The line is held at ${ec} mS/cm; ${name} ${tolerated ? "tolerates" : "wants"} ${band(widest)} mS/cm. Move the crop to another line, or the set-point.`,
    });
  else if (preferred && (ec < preferred.low || ec > preferred.high))
    say(path, {
      rule: "line-band-tolerated",
      written: id,
      expected: `a crop that likes ${ec} mS/cm`,
      note: `The line is held at ${ec} mS/cm; ${name} prefers ${band(preferred)} mS/cm and tolerates ${band(widest)} mS/cm.`,
    });
}

/** The feed against the line's set-point, and against what its injector can do. */
function sayFeed(line: Line, { records }: Drafts, say: Say): void {
  const feed = records.feeds.get(line.feed ?? "")?.fields;
  const injector = records.gear.get(line.injector ?? "")?.fields;
  if (line.ec !== undefined && feed?.ec && (line.ec < feed.ec.low || line.ec > feed.ec.high))
    say(["ec"], {
      rule: "line-feed",
      written: `${line.ec} mS/cm`,
      expected: `${band(feed.ec)} mS/cm, as \`feeds/${line.feed}.md\` says`,
      note: "Either the line is off its recipe, or the recipe's EC was not brought up to date.",
    });
  if (!feed?.stock || injector?.kind !== "injector") return;
  const { ratio, heads, means } = feed.stock;
  const { least = 0, most = Number.POSITIVE_INFINITY } = injector;
  if (ratio !== undefined && least <= most) {
    if (ratio > most) say(["injector"], beyond(line, ratio, most, "most"));
    if (ratio < least) say(["injector"], beyond(line, ratio, least, "least"));
  }
  if (heads !== undefined && injector.heads !== undefined && heads > injector.heads)
    say(["injector"], {
      rule: "injector-heads",
      written: line.injector ?? "",
      expected: `an injector with ${heads} heads`,
      note: `\`feeds/${line.feed}.md\` wants ${heads} tubs drawn from at once; this injector has ${injector.heads}.`,
    });
  if (means !== undefined && injector.means !== undefined && means !== injector.means)
    say(["injector"], {
      rule: "ratio-means",
      written: line.injector ?? "",
      expected: `an injector whose ratio means \`${means}\``,
      note: `\`feeds/${line.feed}.md\` counts ${counted[means]}, this injector ${counted[injector.means]}. Its paper says which.`,
    });
}

function beyond(line: Line, ratio: number, limit: number, which: "most" | "least") {
  const times = Number((ratio / limit).toPrecision(4));
  return {
    rule: "injector-range",
    written: line.injector ?? "",
    expected: `an injector that gives ${ratio} %`,
    note: `\`feeds/${line.feed}.md\` needs ${ratio} %; this injector's ${which} is ${limit} %. Make the stock ${times} times as strong and set ${limit} %; then look again at what dissolves.`,
  } as const;
}

const counted = { in: "parts in a hundred of feed (`in`)", to: "parts to a hundred of water (`to`)" };

/** `1.2–1.8`. Bare, since the sentence says the unit. */
function band({ low, high }: Span): string {
  return low === high ? String(low) : `${low}–${high}`;
}
