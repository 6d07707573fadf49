import { cuts } from "./cuts.ts";
import { habits } from "./habits.ts";
import { leafSigns } from "./leaves.ts";
import type { Sketch } from "./pen.ts";
import { hangingRoots, plugReady, seedLeaves, trueLeaves } from "./plants.ts";
import { plantSigns, yellowing } from "./troubles.ts";

/** Every drawing of the book by its name. Some show a number of true leaves. */
export const drawings = {
  seedRound: () => seedLeaves("round"),
  seedNotched: () => seedLeaves("notched"),
  seedStrap: () => seedLeaves("strap"),
  trueLeaves,
  plugReady,
  hangingRoots,
  cutTips: cuts.tips,
  cutOuter: cuts.outer,
  cutLowest: cuts.lowest,
  cutHead: cuts.head,
  cutCrown: cuts.crown,
  cutMat: cuts.mat,
  ...habits,
  ...plantSigns,
  ...leafSigns,
  ironShort: () => yellowing("young", "between"),
  magnesiumShort: () => yellowing("old", "between"),
  nitrogenShort: () => yellowing("old", "whole"),
} as const satisfies Readonly<Record<string, (count: number) => Sketch>>;

export type DrawingName = keyof typeof drawings;

/** A drawing chosen for a place, with the number of true leaves that it shows where it counts them. */
export interface Chosen {
  readonly name: DrawingName;
  readonly count: number;
}

/** A drawing stands where the words of a record fit it. */
interface Fit {
  readonly name: DrawingName;
  readonly words?: RegExp;
  readonly unless?: RegExp;
}

/** Where each drawing stands: by trouble, by stage, by the words for cutting and habit, by guide. */
export const places: {
  readonly trouble: Readonly<Record<string, readonly Fit[]>>;
  readonly stage: Readonly<Record<string, readonly Fit[]>>;
  readonly cut: readonly Fit[];
  readonly habit: readonly Fit[];
  readonly guide: Readonly<Record<string, readonly DrawingName[]>>;
} = {
  trouble: {
    aphids: [{ name: "aphids" }],
    "damping-off": [{ name: "dampingOff" }],
    bolting: [{ name: "bolting" }],
    leggy: [{ name: "bolting" }],
    "powdery-mildew": [{ name: "powderyMildew" }],
    "downy-mildew": [{ name: "downyMildew" }],
    "grey-mould": [
      { name: "greyBerry", words: /\bberry|berries/i },
      { name: "greyStub", words: /stub|stem/i },
      { name: "greyLeaf", words: /leaf|leaves|skirt/i, unless: /\bhead/i },
    ],
    "spider-mite": [{ name: "spiderMite", unless: /needle|fern/i }],
    mould: [{ name: "mouldOrHairs", unless: /edge/i }],
    tipburn: [{ name: "tipburn" }],
    chilling: [{ name: "chilled", words: /blotch|patch/i, unless: /fruit/i }],
    thrips: [{ name: "thrips", unless: /petal|berr|\bcap\b|blade/i }],
    "root-rot": [{ name: "rootRot" }],
    "flea-beetle": [{ name: "fleaBeetle" }],
    whitefly: [{ name: "whitefly" }],
    "blossom-end-rot": [{ name: "blossomEndRot" }],
    rust: [{ name: "rust" }],
    leafminer: [{ name: "leafMiner", words: /trail|wind/i }],
    "iron-yellowing": [{ name: "ironShort" }],
    caterpillars: [{ name: "caterpillar", unless: /ribs/i }],
  },
  stage: {
    germination: [
      { name: "seedNotched", words: /(heart|notch|kidney).*(seed leaves|pair|leaves)|seed leaves.*(notch|kidney)/i },
      {
        name: "seedStrap",
        words: /(narrow|slim|strap|long thin).*(seed leaves|pair)|(pairs|seed leaves).*(narrow|long thin)/i,
      },
      {
        name: "seedRound",
        words: /seed leaves|(round|oval|small).*(leaves|pairs|dots in pairs)/i,
        unless: /hairy|split|coloured stalks|spatula|blade|closed|plain leaves/i,
      },
    ],
    mister: [
      {
        name: "hangingRoots",
        words: /(white|pale|bright|cream).*\broots?\b|\broots?\b.*(white|bright)/i,
        unless: /ginger|brown|taproot|straight down|joints/i,
      },
    ],
  },
  cut: [
    { name: "cutMat", words: /\bmat\b/i },
    { name: "cutHead", words: /whole head/i },
    { name: "cutCrown", words: /(two fingers|three centimetres) above the (crown|plug)/i },
    { name: "cutLowest", words: /lowest leaves|low leaf/i },
    { name: "cutOuter", words: /(outside|outer) (leaves|stalks?|fronds|third)/i },
    {
      name: "cutTips",
      words: /(tips?|stems?|shoots)\b.* above (a|the) (\w+ )?(pair|joint|branching)|stems .*by half above/i,
    },
  ],
  habit: [
    { name: "runner", words: /runner|rampant/i, unless: /without runners/i },
    { name: "climbing", words: /climb|vine/i },
    { name: "trailing", words: /trailing|hanging over/i },
    { name: "rosette", words: /rosette/i },
    { name: "clump", words: /clump/i },
    { name: "bushy", words: /bush|branching/i, unless: /sprawling/i },
  ],
  guide: {
    "looks-wrong": [
      "tipburn",
      "saltBurn",
      "ironShort",
      "magnesiumShort",
      "nitrogenShort",
      "bolting",
      "dampingOff",
      "rootRot",
      "mouldOrHairs",
      "downyMildew",
    ],
  },
};

/** Troubles that several crops have and that no drawing would show, with the reason. */
export const undrawn: Readonly<Record<string, string>> = {
  "blocked-column": "nothing is to be seen on the plant",
  "warm-box": "it is felt with the hand",
  bitterness: "it is tasted",
  bruising: "dark marks on every kind of flower and leaf: no one picture fits",
  "poor-set": "what is missing cannot be drawn",
  "dry-edges": "the sign is in a whole tray, not on a plant",
  "stuck-hulls": "a hull on a seed leaf is known at sight",
  drought: "a plant that hangs is known at sight, and every kind hangs in its own way",
  "fungus-gnats": "small black flies look like any others",
};

/** The drawing of a trouble, where one fits the sign that the record gives. */
export function ofTrouble(key: string, sign: string): Chosen | undefined {
  return fitting(places.trouble[key] ?? [], sign);
}

/** The drawing of a cut, by the words of the record. */
export function ofCut({
  style = "",
  how = "",
}: {
  readonly style?: string | undefined;
  readonly how?: string | undefined;
}): Chosen | undefined {
  return fitting(places.cut, `${style}. ${how}`);
}

/** The drawing of a habit, by the words of the record. */
export function ofHabit(habit = ""): Chosen | undefined {
  return fitting(places.habit, habit);
}

/** The drawing of the sign to move on at the end of a stage. A micro herb has no plug, so none of these is it. */
export function ofStage(stage: string, ready = "", kind = ""): Chosen | undefined {
  if (kind === "micro") return undefined;
  if (stage !== "tray") return fitting(places.stage[stage] ?? [], ready);
  const count = leavesIn(ready);
  if (count === undefined) return undefined;
  return { name: /\broots?\b/i.test(ready) ? "plugReady" : "trueLeaves", count };
}

/** The drawings that a guide shows after its words. */
export function ofGuide(id: string): readonly Chosen[] {
  return (places.guide[id] ?? []).map((name) => ({ name, count: 4 }));
}

/**
 * How many true leaves some words speak of, `Two pairs of true leaves` is 4; undefined for none, for more than six, and
 * for leaves of a form that the drawings do not have.
 */
export function leavesIn(words: string): number | undefined {
  if (/three parts|three-part|needle|thread|strap|narrow|lac[ey]|stretched/i.test(words)) return undefined;
  const found =
    /\b(one|two|three|four|five|six|first|second|third|fourth)\b(?: or (?:two|three|four|five|six))?((?: [\w-]+){0,3}?) (leaf|leaves|pairs?)\b/i.exec(
      words,
    );
  const number = numbers[found?.[1]?.toLowerCase() ?? ""];
  if (!found || number === undefined || /seed/i.test(found[2] ?? "")) return undefined;
  const count = /pair/i.test(`${found[2]} ${found[3]}`) ? number * 2 : number;
  return count <= 6 ? count : undefined;
}

const numbers: Readonly<Record<string, number>> = {
  one: 1,
  two: 2,
  three: 3,
  four: 4,
  five: 5,
  six: 6,
  first: 1,
  second: 2,
  third: 3,
  fourth: 4,
};

function fitting(fits: readonly Fit[], text: string): Chosen | undefined {
  const found = fits.find(({ words, unless }) => text !== "" && (words?.test(text) ?? true) && !unless?.test(text));
  return found && { name: found.name, count: 4 };
}
