import type { DrawingName } from "./index.ts";

/** What a drawing says to who does not see it, and what stands in it. */
export interface Said {
  readonly title: string;
  /** The title where the drawing counts leaves. */
  readonly counted?: (count: number) => string;
  readonly says: string;
  /** The words under the halves of a pair. */
  readonly halves?: readonly [left: string, right: string];
}

const numbers = ["no", "one", "two", "three", "four", "five", "six"];
const leaves = (count: number): string => `${numbers[count] ?? count} true ${count === 1 ? "leaf" : "leaves"}`;

/** Every word about the drawings. */
export const drawingWords = {
  key: "In the drawings hatching is yellow or pale, solid ink is brown or dead.",
  plate: "Drawn side by side",
  habit: "Stands like this",
  trial: {
    values: (block: string, lanes: readonly string[]) => `${block}. ${lanes.join(" ")}`,
    lane: (treatment: string, values: readonly string[], died: number) =>
      `${treatment}: ${values.length > 0 ? values.join(", ") : "nothing measured"}${died > 0 ? `; ${died} died` : ""}.`,
    gone: "died",
    read: (joined: boolean) =>
      `Each sign is one plant, an upright tick the median of its line${joined ? ", and a dashed line joins the medians of one block" : ""}. What died stands at the right.`,
    table: "Every value, by block and treatment",
    none: "none",
    difference: (
      [one, other]: readonly [string, string],
      {
        mean,
        between,
        worthwhile,
      }: {
        readonly mean: string | undefined;
        readonly between: readonly [string, string] | undefined;
        readonly worthwhile: string | undefined;
      },
    ) =>
      [
        mean === undefined ? `${one} less ${other}.` : `${one} less ${other}: ${mean} in the mean of the blocks`,
        ...(mean === undefined
          ? []
          : [between ? `, and between ${between[0]} and ${between[1]}, 95 times in 100.` : "."]),
        worthwhile === undefined ? "" : ` Worth changing for: ${worthwhile}.`,
      ].join(""),
    key: (worthwhile: boolean, interval: boolean) =>
      `${[
        "Ring: a block",
        "diamond: their mean",
        ...(interval ? ["bar: the interval"] : []),
        "heavy line: no difference",
        ...(worthwhile ? ["hatched: would not matter"] : []),
      ].join("; ")}.`,
    stands: (treatment: string, ports: readonly string[]) => `${treatment} in ${ports.join(", ")}`,
    has: (tower: string, treatment: string) => `${tower} has ${treatment}`,
    tower: (block: string, parts: readonly string[]) => `${block}: ${parts.join("; ")}.`,
    unrolled:
      "Each tower unrolled, as far as the trial stands on it, the paint dot at face 1. Dotted ports have no plant of it.",
    grouped: "Towers side by side are a block; each is fed apart.",
    drawn: (from: number) => `The coin began with ${from}.`,
    places: "Which treatment stands where",
  },
  of: {
    seedRound: {
      title: "Two seed leaves open",
      says: "A pair of rounded seed leaves on a short neck over the plug, and no true leaf yet.",
    },
    seedNotched: {
      title: "Two notched seed leaves open",
      says: "A pair of heart-shaped seed leaves on a short neck over the plug, and no true leaf yet.",
    },
    seedStrap: {
      title: "Two narrow seed leaves open",
      says: "A pair of long narrow seed leaves on a short neck over the plug, and no true leaf yet.",
    },
    trueLeaves: {
      title: "True leaves over the seed leaves",
      counted: (count) => `Seedling with ${leaves(count)}`,
      says: "The two small ones lowest on the stem are seed leaves and do not count.",
    },
    plugReady: {
      title: "A plug that is ready beside one that is not",
      counted: (count) => `A plug with ${leaves(count)} and root at its foot is ready; one without root is not`,
      says: "On the left root shows at the foot of the plug. On the right the foot is bare and the plant is smaller.",
      halves: ["ready", "not yet"],
    },
    hangingRoots: {
      title: "Roots hang below the cup",
      says: "Clean roots hang free below the cup with short side roots on them; the plant stands upright.",
    },
    cutTips: {
      title: "Cut tips just above a pair of leaves",
      says: "A stem with its leaves in pairs. The cut goes straight across just above the second pair from below.",
    },
    cutOuter: {
      title: "Take the outer ones, leave the middle",
      says: "A plant from the side. Cuts go through the outer stalks at their base; the middle stays.",
    },
    cutLowest: {
      title: "Take the lowest leaves, leave the crown",
      says: "A tall stem. The lowest leaves come off at the stem; the crown of leaves at the top stays.",
    },
    cutHead: {
      title: "Cut the whole head at the neck",
      says: "A head of leaves over its cup. The cut goes through the neck, under the lowest leaf.",
    },
    cutCrown: {
      title: "Cut two fingers above the crown",
      says: "A clump over its cup. Two fingers laid flat on the crown show the height; the cut goes above them.",
    },
    cutMat: {
      title: "Cut level above the mat",
      says: "Seedlings on a mat. The cut goes level through their stems, clear of the mat.",
    },
    rosette: { title: "A rosette", says: "All leaves spring from one low point, the youngest in the middle." },
    bushy: { title: "Upright and bushy", says: "A stem with side branches, each ending in leaves." },
    clump: { title: "A clump", says: "Many stalks from one foot, side by side." },
    trailing: { title: "Trailing", says: "Stems spill over the lip of the port and hang down the column." },
    climbing: { title: "Climbing", says: "A stem winds up a string." },
    runner: {
      title: "Spreads by runners",
      says: "A low plant sends out a stem that roots and makes a new plant beside it.",
    },
    tipburn: {
      title: "Tipburn",
      says: "The youngest leaves, in the middle, end in brown dry edges; the outer leaves are sound.",
    },
    saltBurn: { title: "Salt-burnt edge", says: "An old leaf that is brown along its whole edge." },
    dampingOff: {
      title: "Damping-off",
      says: "One seedling stands. The one beside it lies over, with a brown pinched neck at the surface.",
    },
    bolting: {
      title: "Going to seed, and stretching",
      says: "On the left a thick ridged stem with buds climbs out of the leaves: it is going to seed. On the right a thin bent neck carries small leaves: it is short of light.",
      halves: ["to seed", "stretched"],
    },
    powderyMildew: { title: "Powdery mildew", says: "Round patches of white powder on the upper side of a leaf." },
    downyMildew: {
      title: "Downy mildew",
      says: "From above, yellow patches that end at the veins. Underneath, fuzz in the same places.",
      halves: ["above", "beneath"],
    },
    greyStub: {
      title: "Grey mould on a cut stub",
      says: "The top of a stub is brown, with grey fluff standing off it.",
    },
    greyLeaf: {
      title: "Grey mould on a leaf",
      says: "The end of a leaf is brown and soft, with grey fluff standing off it.",
    },
    greyBerry: {
      title: "Grey mould on a berry",
      says: "A brown soft patch on a berry, with grey fluff standing off it.",
    },
    aphids: { title: "Aphids under a leaf", says: "Small pear-shaped insects sit along the veins on the underside." },
    thrips: {
      title: "Flecks left by thrips",
      says: "Short silvery flecks all over a leaf, with tiny black dots among them.",
    },
    leafMiner: { title: "The trail of a leaf miner", says: "A pale trail winds inside a leaf." },
    fleaBeetle: { title: "Holes made by flea beetles", says: "Many small round holes through a leaf." },
    rust: { title: "Rust", says: "Small raised rusty spots strewn over a leaf." },
    spiderMite: {
      title: "Spider mite",
      says: "Fine pale speckles all over a leaf, and web between the leaf’s foot and what is near.",
    },
    whitefly: { title: "Whitefly", says: "Small white insects like flakes under a leaf; some fly up from it." },
    caterpillar: {
      title: "Eaten by caterpillars",
      says: "A leaf with a bite out of its edge and a hole in it; droppings below.",
    },
    blossomEndRot: { title: "Blossom-end rot", says: "A fruit with a brown dry patch at the end away from its stalk." },
    chilled: { title: "A chilled leaf", says: "Dark blotches over a leaf, after a cold night or a cold store." },
    mouldOrHairs: {
      title: "Mould beside root hairs",
      says: "On the left threads cross from seed to seed: mould. On the right short hairs stand round each root by itself, and vanish when rinsed.",
      halves: ["mould", "root hairs"],
    },
    rootRot: {
      title: "Sound roots beside rotten ones",
      says: "On the left many firm white roots hang down. On the right a few brown ones cling together and drip slime.",
      halves: ["white, firm", "brown, slimy"],
    },
    ironShort: {
      title: "Short of iron",
      says: "The youngest leaves, at the top, are yellow between green veins; the old leaves are green.",
    },
    magnesiumShort: {
      title: "Short of magnesium",
      says: "The oldest leaves, at the bottom, are yellow between green veins; the young leaves are green.",
    },
    nitrogenShort: {
      title: "Short of nitrogen",
      says: "The oldest leaves, at the bottom, are yellow all over; the young leaves are green.",
    },
  } as Readonly<Record<DrawingName, Said>>,
} as const;
