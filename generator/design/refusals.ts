import type { Refused, Wish, Yard } from "../design.ts";
import { list, number, quantity } from "../format.ts";
import { roomFor } from "./ports.ts";
import { fewest, most } from "./power.ts";
import type { Tower } from "./yard.ts";

/** Every reason why a wish can be no trial, each with what would do in this yard; none when it can. */
export function refusalsOf(wish: Wish, yard: Yard): readonly Refused[] {
  if (wish.crop.zone === "none") return [notOnTowers(wish)];
  return [
    ...(wish.through === "feed" ? feedRefusals(wish, yard) : plantRefusals(wish, yard)),
    ...roomRefusals(wish, yard),
    ...manyRefusals(wish),
  ];
}

/** The towers of a yard that have room for so many plants of each treatment: those that were named first. */
export function withRoom({ crop, towers, treatments, through, plants }: Wish, yard: Yard): readonly Tower[] {
  const named = towers.map(({ tower }) => tower);
  const others = yard.towers.filter((tower) => !named.includes(tower));
  // One of another line has another feed: that would be a second difference.
  const line = named[0]?.line;
  return [
    ...named,
    ...others.filter((tower) => through === "feed" || line === undefined || tower.line === line),
  ].filter((tower) => roomFor(tower, crop, { size: sizeOf(treatments, through), latitude: yard.latitude }) >= plants);
}

/** How many ports make a set: one of each treatment, or one where a whole tower has the same. */
export function sizeOf(treatments: readonly string[], through: Wish["through"]): number {
  return through === "feed" ? 1 : treatments.length;
}

function notOnTowers({ crop }: Wish): Refused {
  return {
    why: `${crop.name} is not planted on towers, so that no tower can be a block of it.`,
    offer: `Take trays of one sowing for blocks, every treatment in each, ${fewest} trays or more, and write the record by hand from one that is there.`,
  };
}

function plantRefusals(wish: Wish, yard: Yard): readonly Refused[] {
  const { towers, treatments } = wish;
  const whole = towers.filter(({ only }) => only !== undefined);
  if (whole.length > 0)
    return [
      {
        why: `${list(whole.map(({ tower, only }) => `${tower.name} has ${only} alone`))}: what the towers differ in and what the treatments differ in cannot be told apart, and plants of one tower are one answer, however many there are.`,
        offer: inEach(wish, yard),
      },
    ];
  if (towers.length >= 2) return [];
  const why =
    towers.length === 0
      ? `There is no block: nothing would tell ${list(treatments)} from the places where they happen to stand.`
      : `One tower is one block, n = 1: it shows what happened in ${towers[0]!.tower.name}, not what will happen elsewhere.`;
  return [{ why, offer: inEach(wish, yard) }];
}

/** Every treatment in each of some towers that there are. */
function inEach(wish: Wish, yard: Yard): string {
  const { treatments, plants } = wish;
  const free = withRoom(wish, yard).slice(0, Math.max(fewest, wish.towers.length));
  if (free.length < 2)
    return `This yard has ${free.length === 0 ? "no tower" : "one tower"} with room for ${plants} of each: fewer plants, or another day.`;
  const [{ tiers, faces }] = free as [Tower, ...Tower[]];
  const ports = plants * treatments.length;
  return `Put ${list(treatments)} into each of ${free.length} towers, \`--blocks ${free.map(({ name }) => name).join(",")}\`: ${plants} of each take ${ports} of the ${tiers * faces.length} ports of a tower, and a coin says which side is whose.${free.length < fewest ? ` ${fewest} blocks would give an interval; here there are ${free.length}.` : ""}`;
}

function feedRefusals(wish: Wish, yard: Yard): readonly Refused[] {
  const { towers, treatments, isolated } = wish;
  const shared = towers.filter(({ tower }) => !tower.apart);
  const found: Refused[] = [];
  if (shared.length > isolated || towers.length === 0) {
    const lines = [...new Set(shared.map(({ tower }) => tower.line))].map((line) => {
      const all = yard.towers.filter((tower) => tower.line === line).length;
      return `the ${all} towers of ${line}`;
    });
    const wanted = Math.max(towers.length, fewest * treatments.length);
    found.push({
      why: `What comes through the feed reaches every tower of its line: ${lines.length > 0 ? list(lines) : "all of them"} are n = 1 for the whole site, whatever the number of plants. It takes ${wanted} towers that are fed apart, and there are ${towers.length - shared.length + Math.min(isolated, shared.length)}.`,
      offer: offLine(wish, yard),
    });
  } else if (towers.length < 2 * treatments.length) {
    found.push({
      why: `${towers.length} ${towers.length === 1 ? "tower" : "towers"} for ${treatments.length} treatments is one tower for each, n = 1.`,
      offer: offLine(wish, yard),
    });
  } else if (towers.length % treatments.length !== 0) {
    const over = towers.length % treatments.length;
    found.push({
      why: `${towers.length} towers do not come out even: a block is ${treatments.length} towers side by side, one for each treatment.`,
      offer: `Leave out ${over === 1 ? towers.at(-1)!.tower.name : `the last ${over}`}, or add ${treatments.length - over}.`,
    });
  }
  return found;
}

/** How many towers could be taken off their line, which, and what that asks for. */
function offLine(wish: Wish, yard: Yard): string {
  const { treatments } = wish;
  const room = withRoom(wish, yard);
  const blocks = Math.min(
    Math.max(fewest, Math.floor(wish.towers.length / treatments.length)),
    Math.floor(room.length / treatments.length),
  );
  if (blocks < 2)
    return `It takes ${2 * treatments.length} towers at the least and this yard has ${room.length} with room. Put the question to the plants instead, or to another yard.`;
  const taken = room.slice(0, blocks * treatments.length);
  const off = taken.filter(({ apart }) => !apart);
  const ways = [...new Set(off.flatMap(({ isolate }) => isolate ?? []))];
  const drinks = taken.flatMap((tower) => tower.drinks ?? []);
  const litres =
    drinks.length < taken.length
      ? ""
      : `; they drink ${quantity(
          drinks.reduce((sum, each) => sum + each, 0),
          "L/day",
        )} in all`;
  return [
    `Take ${off.length} of the ${yard.towers.length} towers off the line${ways.length > 0 ? ` (${list(ways).toLowerCase()})` : ""} and feed each from a bucket of its own: ${taken.length} towers, ${taken.length} buckets${litres}.`,
    `Then \`--isolated ${off.length} --blocks ${taken.map(({ name }) => name).join(",")}\` makes ${blocks} blocks of ${treatments.length}.`,
    ...(blocks < fewest ? [`${fewest} blocks would give an interval; this yard has towers for ${blocks}.`] : []),
  ].join(" ");
}

function roomRefusals(wish: Wish, yard: Yard): readonly Refused[] {
  const { crop, towers, treatments, through, plants } = wish;
  const size = sizeOf(treatments, through);
  const short = towers.flatMap(({ tower, only }) => {
    const room = roomFor(tower, crop, { size, latitude: yard.latitude });
    return only === undefined && room < plants ? [{ tower, room }] : [];
  });
  if (short.length === 0) return [];
  const least = Math.min(...short.map(({ room }) => room));
  const others = withRoom(wish, yard).filter((tower) => !towers.some((one) => one.tower === tower));
  const stands = [...new Set(short.flatMap(({ tower }) => [...tower.taken.values()]))];
  return [
    {
      why: `${list(short.map(({ tower, room }) => `${tower.name} has room for ${room} of each`))}, and ${plants} are wanted: ports of one tier, where ${crop.name} may stand${stands.length > 0 ? ` and ${list(stands)} ${stands.length === 1 ? "does" : "do"} not` : ""}.`,
      offer:
        [
          ...(least > 0 ? [`\`--plants ${least}\``] : []),
          ...(others.length > 0
            ? [`other towers: ${list(others.slice(0, Math.max(fewest, short.length)).map(({ name }) => name))}`]
            : []),
        ].join(", or ") || `fewer treatments at a time: ${number(size)} need ${number(size)} faces of one tier`,
    },
  ].map(({ why, offer }) => ({ why, offer: `${offer[0]!.toUpperCase()}${offer.slice(1)}.` }));
}

function manyRefusals({ towers, treatments, through }: Wish): readonly Refused[] {
  const blocks = through === "feed" ? Math.floor(towers.length / treatments.length) : towers.length;
  if (blocks <= most) return [];
  return [
    {
      why: `${blocks} blocks are more than the ${most} that a comparison takes in.`,
      offer: `Name ${most}, spread over the yard.`,
    },
  ];
}
