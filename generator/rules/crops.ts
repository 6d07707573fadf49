import { sectionsOf, valueAt } from "../library.ts";
import { words } from "../prose.ts";
import { ticked } from "../records/messages.ts";
import type { Draft, Drafts } from "./drafts.ts";

/** Asks of a crop that customers may read for the least that a page for them needs. */
export function checkCrops({ records }: Drafts): void {
  for (const crop of records.crops.values()) {
    if (crop.fields.audience !== "everyone") continue;
    const lacking = crop.fields.kind === "micro" ? lackingInMicro(crop) : lackingInCrop(crop);
    if (lacking.length === 0) continue;
    crop.say(["audience"], {
      rule: "publish-incomplete",
      written: "everyone",
      expected: `these too: ${lacking.join("; ")}`,
      note: "A page for customers needs them. Write them, or set `audience: staff` until they are known.",
    });
  }
}

type Body = Pick<Draft, "raw" | "file" | "body">;

function lackingInCrop({ raw, ...body }: Body): readonly string[] {
  const stages = Object.entries((raw.stages ?? {}) as Readonly<Record<string, unknown>>);
  const fromCuttings = stages.length > 0 && !stages.some(([name]) => name === "germination");
  const unready = stages.filter(([, stage]) => !valueAt(stage, "ready")).map(([name]) => name);
  return [
    ...absent(raw, ["ec.preferred", "ph.preferred"]),
    ...(raw.micro || fromCuttings ? [] : absent(raw, ["seed.temperature", "seed.days"])),
    ...(stages.length === 0 ? ["one stage at least below `stages`"] : []),
    ...(unready.length > 0 ? [`what one sees when it is ready, for ${ticked(unready, "and")}`] : []),
    ...absent(raw, ["air.lowest"]),
    ...(hasGrowingOn(body) ? [] : ["a text for one way of growing on, such as `## Growing on in a pot`"]),
  ];
}

/** A micro herb is never planted on, so that it needs no bands, no stages and no growing-on text. */
function lackingInMicro({ raw }: Body): readonly string[] {
  const sown = valueAt(raw, "micro.sow") ?? valueAt(raw, "micro.density");
  return [...(sown === undefined ? ["`micro.sow` or `micro.density`"] : []), ...absent(raw, ["micro.days"])];
}

function absent(raw: Body["raw"], paths: readonly string[]): readonly string[] {
  return paths.filter((path) => valueAt(raw, path) === undefined).map((path) => `\`${path}\``);
}

function hasGrowingOn(body: Pick<Draft, "file" | "body">): boolean {
  return sectionsOf(body).some((section) => section.heading.startsWith("Growing on ") && words(section) !== "");
}
