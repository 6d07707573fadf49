import { list, number } from "../format.ts";
import { fewestGroups, overlap } from "../science/bands.ts";
import type { Impossible, Planting } from "../science/place.ts";
import { conditions, type Plant, type Port, shading, slack, type Tower, type Veto, vetoes } from "../science/port.ts";
import type { Span } from "../science/units.ts";
import { spanOf } from "./line.ts";
import { faceNames, vetoInWords } from "./planting.ts";
import { type Note, ok, type Refusal } from "./worksheet.ts";

interface Fed {
  readonly id: string;
  readonly ec?: readonly [number, number] | undefined;
  readonly ph?: readonly [number, number] | undefined;
}

/** V0: the preferred bands of everything planted must meet. */
export function feedOf(planted: readonly Fed[]) {
  const none = { ecLow: null, ecHigh: null, phLow: null, phHigh: null };
  const fed = planted.flatMap(({ id, ec, ph }) =>
    ec && ph ? [{ id, ec: spanOf<"mS/cm">(ec), ph: spanOf<"pH">(ph) }] : [],
  );
  if (fed.length === 0) return { ends: none, working: ["No feed bands given: V0 is not checked"], refusal: undefined };
  const ec = overlap(fed.map((crop) => crop.ec));
  const ph = overlap(fed.map((crop) => crop.ph));
  const clash = (ec.clash ?? ph.clash)?.map((place) => fed[place]!.id) ?? [];
  const line = (name: string, shared: Span | undefined, gap: number) =>
    shared ? `${name} from ${number(shared.low)} to ${number(shared.high)}` : `${name} bands miss by ${number(gap, 3)}`;
  const refusal: Refusal | undefined =
    ec.shared && ph.shared
      ? undefined
      : {
          why: `V0: no single feed suits ${list(clash)}, and everything on a tower drinks the same. Position cannot mend that.`,
          by: ec.gap > 0 ? ec.gap : ph.gap,
          nearest: { linesNeeded: fewestGroups(fed).length },
        };
  return {
    ends: {
      ecLow: ec.shared?.low ?? null,
      ecHigh: ec.shared?.high ?? null,
      phLow: ph.shared?.low ?? null,
      phHigh: ph.shared?.high ?? null,
    },
    working: [`V0: ${line("EC", ec.shared, ec.gap)}; ${line("pH", ph.shared, ph.gap)}`],
    refusal,
  };
}

/** Why a planting cannot be laid out, in words. */
export function refusalOf(found: Impossible, { tower, crops, pins }: Planting): Refusal {
  if (found.rule === "ports") {
    const ports = tower.tiers * 4;
    return {
      why: `There are more plants than ports, by ${found.excess}.`,
      by: found.excess,
      nearest: { plants: ports },
    };
  }
  if (found.rule === "no port") {
    const { id } = crops[found.crop]!.plant;
    const end = found.proved ? "" : " The search was stopped before it was certain: loosen a pin or drop a plant.";
    return {
      why: `There is no port left that ${id} may stand in, under the rules and beside the rest.${end}`,
      by: null,
      nearest: {},
    };
  }
  const pin = pins[found.pin]!;
  const { id } = crops[pin.crop]!.plant;
  const broken = found.vetoes.map((veto) => vetoInWords(veto, tower)).join("; ");
  const twice = pins.slice(0, found.pin).some(({ port }) => port.tier === pin.port.tier && port.face === pin.port.face);
  const why = broken || (twice ? "another pin has that port" : `there are more pins than plants of ${id}`);
  return {
    why: `The pin of ${id} at tier ${pin.port.tier}${pin.port.face} cannot stand: ${why}.`,
    by: null,
    nearest: {},
  };
}

/** Which rules kept which crops out of some port. */
export function rulesThatBit(tower: Tower, crops: Planting["crops"]): Note | false {
  const bitten = new Map<Veto, string[]>();
  for (const { plant, count } of crops) {
    if (count === 0) continue;
    const broken = new Set<Veto>();
    for (let tier = 1; tier <= tower.tiers; tier++) {
      for (const face of faceNames) for (const veto of vetoes(tower, plant, { tier, face })) broken.add(veto);
    }
    for (const veto of broken) bitten.set(veto, [...(bitten.get(veto) ?? []), plant.id]);
  }
  if (bitten.size === 0) return false;
  const told = [...bitten]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([veto, ids]) => `${vetoInWords(veto, tower)} (${list(ids)})`);
  return ok(`Rules that kept plants out of some ports: ${told.join("; ")}.`);
}

/** One line for a port: where it is, what in the plant speaks for it, and its light. */
export function reason(tower: Tower, plant: Plant, { tier, face }: Port): string {
  const { light, comfort } = conditions(tower, { tier, face });
  const rise = (tier - 1) / (tower.tiers - 1);
  const place = rise <= 1 / 3 ? "low" : rise >= 2 / 3 ? "high" : "middle";
  const traits = [
    place === "low" && plant.mass >= 0.7 && "heavy",
    place === "low" && plant.moisture >= 0.75 && "thirsty",
    place !== "high" && plant.root === 3 && "strong roots",
    place === "high" && plant.moisture <= 0.5 && "likes it drier",
    plant.height >= 30 && shading(tower, plant, tier).up === 0 && "tall, with open air above",
    comfort >= 0.8 && plant.picksPerWeek >= 3 && "picked often, at hand height",
    plant.pollination === "insect" && light >= 16 && "bright for insects",
  ].filter((trait) => trait !== false);
  const shine =
    light > plant.dliMax + slack
      ? `light ${number(light, 3)} over the ${number(plant.dliMax, 3)} it bears`
      : `light ${number(light, 3)} of ${number(plant.dliNeed, 3)} needed`;
  return traits.length > 0 ? `${place}: ${traits.join(", ")}; ${shine}` : `${place}: ${shine}`;
}
