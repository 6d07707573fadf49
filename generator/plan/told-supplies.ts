import { date, list, monthName, number, quantity, span } from "../format.ts";
import type { TowerLight } from "../supply/seasons.ts";
import type { SaltSupply, TubSupply } from "../supply/stock.ts";
import type { LineWater } from "../supply/water.ts";

/** What light does to a plan: which months it slows, and in which it is not known. */
export function toldLight({ slower, unlit }: Pick<TowerLight, "slower" | "unlit">): string {
  const months = [...Array(12).keys()].filter((month) => [...slower.values()].some((factors) => factors[month]! > 1));
  const slowed =
    months.length > 0
      ? `Light is short in ${named(months.map((month) => month + 1))}: plants of ${number(slower.size)} ${slower.size === 1 ? "crop" : "crops"} that come onto the tower in those months take longer there (common practice: √(need ÷ light), held to 2).`
      : "No crop is counted slower for want of light.";
  if (unlit.length === 0) return slowed;
  return `${slowed} For ${named(unlit)} no light outdoors is recorded: nothing is counted slower in those months, though it may well be. Fill in \`light\` in \`book.md\`.`;
}

/** What a line drinks and how much stock that takes. */
export function toldLine({ litres, stockPercent, weeks, by, ports, refused }: LineWater): string {
  const [first] = weeks;
  if (litres === undefined || !first)
    return "What it drinks is not recorded: fill in `litres` of the line, or `drinks` of all its towers.";
  const drinks = `It drinks ${quantity(first.litres, "L", 3)} in the next seven days, ${by === "line" ? "by the line's own figure" : "by what its towers drink"}, as far as its ports are planted.`;
  const over = first.ports > ports ? [`That counts more plants than the line's ${number(ports)} ports can hold.`] : [];
  const stock = `At ${quantity(stockPercent, "%", 3)} that is ${quantity(first.stock, "L", 3)} of each stock.`;
  return [drinks, ...over, stock, ...refused].join(" ");
}

/** How long a tub lasts and how much to mix. */
export function toldTub({ use, left, empties, stale, mix, most, weeks }: TubSupply): string {
  if (use === undefined) return "What is drawn from it is not recorded.";
  const mixing = `For ${quantity(weeks, "weeks")} mix ${quantity(mix!, "L", 3)}${mix! > most! ? `, which is more than it holds (${quantity(most!, "L")})` : ""}.`;
  const age = stale === undefined ? "" : ` Iron fades: use it up or empty it by ${date(stale)}.`;
  if (left === undefined)
    return `How much is left is not recorded. It gives ${quantity(use, "L/day", 3)}. ${mixing}${age}`;
  return `${left < 0 ? "By now it should be empty: look again." : empties === undefined ? "It outlasts the plan." : `It runs out on ${date(empties)}.`} ${mixing}${age}`;
}

/** When to order a salt, and on what that stands; it never guesses at a stock that nobody wrote down. */
export function toldSalt({ state, now, lasts, order, grams, lead, safety, missing, hand }: SaltSupply): string {
  const used = grams === undefined ? "" : ` The plan uses ${quantity(grams[0]!, "g", 3)} in the next seven days.`;
  const lines = missing.length > 0 ? ` Not counted: ${list(missing)}.` : "";
  const ends = lasts === undefined ? "" : ` What is there lasts until ${date(lasts)}.`;
  const tail = `${used}${ends}${lines}`;
  switch (state) {
    case "unused":
      return `No sum says how much is used.${lines}`;
    case "not-recorded":
      return `What is on hand is not recorded.${tail}`;
    case "not-dated":
      return `${quantity(hand!, "kg", 3)} on hand, but not on which day it was counted.${tail}`;
    case "count-again":
      return `Count it again: at today's use what was counted would be gone by now.${tail}`;
    case "no-limit":
      return `${quantity(now!, "kg", 3)} on hand. When to order is not known: fill in \`lead\` or \`reorder\`.${tail}`;
    case "beyond":
      return `${quantity(now!, "kg", 3)} on hand. No need to order within the plan.${tail}`;
    case "order": {
      const why =
        order!.by === "own"
          ? `then ${quantity(order!.at, "kg", 3)} is left, the yard's own limit`
          : `then what is left is used up in ${span({ low: lead! + safety, high: lead! + safety }, "days")}: ${quantity(lead!, "days")} until it comes and ${quantity(safety, "days")} to spare (common practice)`;
      return `Order on ${date(order!.on)}: ${why}.${tail}`;
    }
  }
}

/** `Nov to Mar`, `Jan and Dec`: months in a row are joined, the year taken as a ring. */
function named(months: readonly number[]): string {
  if (months.length === 12) return "all months";
  const has = new Set(months);
  const starts = months.filter((month) => !has.has(month === 1 ? 12 : month - 1));
  return list(
    starts.map((start) => {
      let end = start;
      while (has.has((end % 12) + 1)) end = (end % 12) + 1;
      return end === start ? monthName(start) : `${monthName(start)} to ${monthName(end)}`;
    }),
  );
}
