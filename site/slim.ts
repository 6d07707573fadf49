/**
 * A page without what only the making of the index read, and with its drawings in steps from point to point, which pack
 * smaller than places: the same page to every reader.
 */
export function slimmed(page: string): string {
  const bare = page
    .replace(tag, (whole) => {
      if (whole.startsWith("<path"))
        return whole.replace(/^(<path\b.* d=")([^"]*)/s, (_, before: string, path: string) => before + stepsOf(path));
      if (!whole.includes(" data-pagefind-")) return whole;
      const kept = whole.includes("data-pagefind-body")
        ? whole.replace(/ data-(kind|code|names|asked)="[^"]*"/g, "")
        : whole;
      return kept.replace(/ data-pagefind-[a-z]+(="[^"]*")?/g, "");
    })
    .replace(emptyShape, "<$1/>");
  // What a form's script writes anew is letter for letter what was printed.
  if (page.includes("<work-sheet")) return bare;
  return bare.replace(besideBlocks, "$1").replace(afterEdge, "$1").replace(beforeEdge, "$1").replace(needlessEnd, "");
}

/** The same drawing stands on many pages. */
function stepsOf(path: string): string {
  const known = drawn.get(path);
  if (known !== undefined) return known;
  const steps = inSteps(path);
  if (drawn.size >= 10_000) drawn.clear();
  drawn.set(path, steps);
  return steps;
}

const drawn = new Map<string, string>();

/** A tag as the site's builder writes it, its attributes bare or in double quotes. */
const tag = /<[a-z][a-z0-9-]*(?:\s+[^\s"'=<>/]+(?:="[^"]*")?)+\s*\/?>/g;

/** Blanks after a tag that begins or ends a block of its own, where they are never drawn. */
const besideBlocks =
  /(<\/?(?:html|head|body|header|main|footer|section|div|p|h[1-6]|ul|ol|li|dl|dt|dd|table|thead|tbody|tr|th|td|figure|figcaption|svg|title|desc|rect|circle|line|path|text|meta|link|script|a|b|span)\b[^<>]*>)\s+(?=<\/?(?:header|main|footer|section|div|p|h[1-6]|ul|ol|li|dl|dt|dd|table|thead|tbody|tr|th|td|figure|rect|circle|line|path|text|title|desc|meta|link|script|body)\b)/g;

/** Blanks at the very beginning or end of a block. */
const afterEdge =
  /(<(?:header|main|footer|section|div|p|h[1-6]|ul|ol|li|dl|dt|dd|table|thead|tbody|tr|th|td|figure|figcaption)(?:\s[^<>]*)?>)\s+/g;
const beforeEdge =
  /\s+(<\/(?:header|main|footer|section|div|p|h[1-6]|ul|ol|li|dl|dt|dd|table|thead|tbody|tr|th|td|figure|figcaption)>)/g;

/** A shape of a drawing that holds nothing is closed at once. */
const emptyShape = /<((rect|circle|line|path)\b[^<>]*)><\/\2>/g;

/**
 * Ends that the next tag says anyway.
 * @see WHATWG, HTML, section 13.1.2.4, optional tags.
 */
const needlessEnd =
  /<\/(?:li|dt|dd|tr|t[dh])>(?=<(?:li|d[td]|tr|t[dh]|\/(?:[uod]l|div|tr|tbody|thead|tfoot|table))\b)/g;

/**
 * The path of a drawing with every place as the step from the one before, to a hundredth of a unit.
 * @see W3C (2018) Scalable Vector Graphics 2, section 9.3, path data.
 */
export function inSteps(path: string): string {
  const words = path.match(/[a-z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi) ?? [];
  let [x, y, startX, startY, next] = [0, 0, 0, 0, 0];
  let [command, before, steps] = ["", "", ""];
  while (next < words.length) {
    if (/[a-z]/i.test(words[next]!)) command = words[next++]!;
    const kind = command.toLowerCase();
    const length = lengths[kind];
    if (length === undefined) return path;
    if (next + length > words.length) return path;
    const given = words.slice(next, next + length).map((word) => Math.round(Number(word) * 100) / 100);
    next += length;
    const isStep = command === kind;
    const step = given.map((value, index) => {
      if (isStep || (kind === "a" && index < 5)) return value;
      const across = kind === "h" || (kind === "a" ? index === 5 : kind !== "v" && index % 2 === 0);
      return Math.round((value - (across ? x : y)) * 100) / 100;
    });
    if (kind === "z") [x, y] = [startX, startY];
    else if (kind === "h") x += step[0]!;
    else if (kind === "v") y += step[0]!;
    else [x, y] = [x + step.at(-2)!, y + step.at(-1)!];
    [x, y] = [Math.round(x * 100) / 100, Math.round(y * 100) / 100];
    if (kind === "m") [startX, startY] = [x, y];
    const [written, numbers] = shortest(kind, step);
    const text = numbers.map((value, index) => (index > 0 && value >= 0 ? ` ${value}` : String(value))).join("");
    const same = written === before && written !== "m" && written !== "z";
    steps += same && !text.startsWith("-") ? ` ${text}` : same ? text : written + text;
    before = written;
    if (kind === "m") command = isStep ? "l" : "L";
    if (kind === "z") command = "";
  }
  return steps;
}

/** A line straight across or straight up needs one number. A step of nothing stays: it is drawn as a dot. */
function shortest(kind: string, step: readonly number[]): readonly [kind: string, step: readonly number[]] {
  const [across = 0, up = 0] = step;
  if (kind === "l" && up === 0) return ["h", [across]];
  return kind === "l" && across === 0 ? ["v", [up]] : [kind, step];
}

/** How many numbers follow each command. */
const lengths: Readonly<Record<string, number>> = { m: 2, l: 2, h: 1, v: 1, c: 6, s: 4, q: 4, t: 2, a: 7, z: 0 };
