import { units } from "../science/units.ts";
import type { Slip } from "./messages.ts";
import type { FigureUnit } from "./quantity.ts";

/**
 * Why a figure could not be read, when it is one of the ways of writing that mean two things or that people slip into.
 * Only asked about text that is not a figure as it stands. `expected` is what would do where a trap does not say.
 */
export function trapIn(text: string, unit: FigureUnit, expected: string): Slip | undefined {
  // What is as long as this is no figure, and whoever reads the note need not read it twice.
  if (text.length > 120) return undefined;
  for (const { when, only, slip } of traps) {
    if (only && only !== quantityOf(unit)) continue;
    const match = when.exec(text);
    if (match) return { written: text, expected, ...slip(text, match) };
  }
  return undefined;
}

interface Trap {
  readonly when: RegExp;
  /** Only where this quantity is asked for. */
  readonly only?: string;
  readonly slip: (text: string, match: RegExpExecArray) => Slip;
}

const dash = "[–—‒―‐‑−-]";

const traps: readonly Trap[] = [
  {
    when: /^$/,
    slip: () => ({
      rule: "number-unreadable",
      note: "Nothing written means not recorded: leave the line out. Nought is `0`.",
    }),
  },
  {
    when: /\d,\d/,
    slip: (text) => ({ rule: "decimal-comma", expected: "a decimal point", note: aboutComma(text) }),
  },
  {
    when: new RegExp(`\\d ?(?:${dash}|to) ?[\\d.]+ ?(?:${dash}|to) ?\\d`),
    slip: (text) => ({
      rule: "range-three",
      expected: "two ends at most",
      note: `Write the lowest and the highest${textOfEnds(text)}.`,
    }),
  },
  {
    when: /\d \d/,
    slip: (text) => ({
      rule: "number-spaced",
      expected: "a number without a gap",
      note: `Write \`${text.replace(/(\d) (?=\d)/g, "$1")}\` if it is one number, and a dash between if they are two ends.`,
    }),
  },
  { when: /^\d+(?:\.\d+)? ?: ?\d/, only: "share", slip: () => ({ rule: "ratio-unclear", note: aboutRatio }) },
  {
    when: /\d ?: ?\d/,
    slip: () => ({ rule: "ratio-unclear", note: "A figure and its unit are wanted here, not a ratio." }),
  },
  {
    when: /(?:^|\D)(\d+) ?[/⁄] ?(\d+)(?!\d)|[¼½¾⅓⅔]/,
    slip: (_text, [, over, under]) => ({ rule: "number-unreadable", note: aboutFraction(over, under) }),
  },
  {
    when: /\d ?(?:\.{2,}|…) ?\d/,
    slip: (text) => ({
      rule: "number-unreadable",
      note: `Write \`${text.replace(/ ?(?:\.{2,}|…) ?/, "–")}\` if it is a range.`,
    }),
  },
  {
    when: /\d\.\d+\.\d|\d\.(?!\d)/,
    slip: () => ({ rule: "number-unreadable", note: "A number has one point, and a digit on either side of it." }),
  },
  {
    when: /^[\d.]+e[+-]?\d/i,
    slip: (text) => ({
      rule: "number-unreadable",
      note: `Write the number in full${inFull(text)}.`,
    }),
  },
  {
    when: /^([\d.]+) ?(?:±|\+\/-) ?([\d.]+)(.*)$/,
    slip: (_text, [, middle, either, rest = ""]) => ({
      rule: "figure-hedged",
      expected: "a low and a high end",
      note: `Write \`${round(Number(middle) - Number(either))}–${round(Number(middle) + Number(either))}${rest}\` if that is meant.`,
    }),
  },
  {
    when: /^(?:[≈~∼±]|about\b|approx|around\b|c\.|ca\b|circa\b|roughly\b)/i,
    slip: () => ({
      rule: "figure-hedged",
      note: "How sure you are is said by a range: write its low and its high end.",
    }),
  },
  {
    when: new RegExp(`^${dash} ?[\\d.]`),
    slip: (text) => ({
      rule: "range-open",
      expected: "both ends of the range",
      note: `If it is below nought, write a hyphen for the minus: \`-${text.slice(1).trim()}\`.`,
    }),
  },
  {
    when: new RegExp(
      `^[<>≤≥]|^(?:under|over|below|above|up to|at least|at most|min|max|more than|less than)\\b|\\d ?(?:\\+|${dash}) ?\\D*$`,
      "i",
    ),
    slip: () => ({
      rule: "range-open",
      expected: "both ends of the range",
      note: "Say where it starts and where it stops: `0` where it starts from nothing, the most you have seen at the other end.",
    }),
  },
  {
    when: /ppm/i,
    only: "conductivity",
    slip: (text) => ({ rule: "ppm-scale", note: aboutScale(text) }),
  },
  {
    when: /^(.*\d) ?ppm$/i,
    only: "concentration",
    slip: (_text, [, figure]) => ({ rule: "unit-unknown", note: `In water, ppm is mg/L: write \`${figure} mg/L\`.` }),
  },
  {
    when: /\bgal(?:lons?)?\b/i,
    slip: (text) => ({ rule: "gallon-unclear", expected: "`US gal` or `UK gal`", note: aboutGallons(text) }),
  },
  {
    when: /[€£$]/,
    slip: () => ({ rule: "unit-unknown", note: "Write `¤` after the figure: the book's `currency` says which money." }),
  },
  {
    when: /^(one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b/i,
    slip: (text, [word = ""]) => ({
      rule: "number-unreadable",
      note: `Write the number in figures: \`${text.replace(word, String(spelt.indexOf(word.toLowerCase()) + 1))}\`.`,
    }),
  },
];

const spelt = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

const aboutRatio =
  "`1:100` is 1 part in 100 of feed on some machines, and 1 part to 100 of water on others; `100:1` has the water first. The machine's paper says which. Write it as a per cent, `1 %`, and say `means: in` or `means: to`.";

function aboutComma(text: string): string {
  const point = text.replace(/(\d),(?=\d)/g, "$1.");
  if (!/\d,\d{3}(?!\d)/.test(text)) return `Write \`${point}\` if that is meant. A comma is not guessed at.`;
  return `Write \`${point}\` or \`${text.replace(/(\d),(?=\d)/g, "$1")}\`, whichever is meant: a comma may be a decimal or a thousand.`;
}

function aboutFraction(over: string | undefined, under: string | undefined): string {
  const value = Number(over) / Number(under);
  return Number.isFinite(value)
    ? `Write \`${round(value)}\` if it is a fraction, and a dash between if they are two ends.`
    : "Write fractions as decimals: a half is `0.5`.";
}

/** What a reading in ppm is on the scale that is written beside it, or on each of the three. */
function aboutScale(text: string): string {
  const figures =
    text.replace(/\(?(?:500|640|700) ?scale\)?|ppm[ -]?\(?(?:500|640|700)\)?/gi, " ").match(/\d+(?:\.\d+)?/g) ?? [];
  const scale = /ppm[ -]?\(?(500|640|700)|(500|640|700) scale/i.exec(text);
  const on = (divisor: number) => `${figures.map((figure) => round(Number(figure) / divisor)).join("–")} mS/cm`;
  const named = Number(scale?.[1] ?? scale?.[2]);
  if (named && figures.length > 0) return `Divide by ${named}: write \`${on(named)}\`.`;
  const each = figures.length > 0 ? ` This would be ${on(500)}, ${on(640)} or ${on(700)}.` : "";
  return `\`ppm\` of EC is three scales. Look for 500, 640 or 700 on the meter or in its paper, divide by it, and write mS/cm.${each}`;
}

function aboutGallons(text: string): string {
  const known = /\bUS\b/i.test(text) ? "US gal" : /\b(?:UK|imp(?:erial)?)\b/i.test(text) ? "UK gal" : undefined;
  if (known) return `Write \`${known}\` after the figure.`;
  const litres = Number(/[\d.]+/.exec(text)?.[0]);
  if (!Number.isFinite(litres)) return "A US gallon is 3.785 L and a UK gallon 4.546 L.";
  return `In US gallons that is ${round(litres * 3.785411784)} L, in UK gallons ${round(litres * 4.54609)} L.`;
}

/** `1e3 µS/cm` as `1000 µS/cm`, where that is not too long to read. */
function inFull(text: string): string {
  const value = Number.parseFloat(text);
  const tail = text.replace(/^[\d.]+e[+-]?\d+/i, "");
  return value >= 1e-6 && value < 1e15 ? `: \`${value}${tail}\`` : "";
}

/** Four figures are plenty for a sentence. */
function round(value: number): string {
  return String(Number(value.toPrecision(4)));
}

function textOfEnds(text: string): string {
  const figures = text.match(/\d+(?:\.\d+)?/g)?.map(Number) ?? [];
  const unit = /\d ?(\D*)$/.exec(text)?.[1]?.trim() ?? "";
  return `, such as \`${Math.min(...figures)}–${Math.max(...figures)}${unit ? ` ${unit}` : ""}\``;
}

function quantityOf(unit: FigureUnit): string {
  return unit === "pH" || unit === "" ? unit : units[unit].quantity;
}
