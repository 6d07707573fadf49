/** What the book itself keeps in an address, besides the inputs of a sheet. */
const ofTheBook: ReadonlySet<string> = new Set(["theme", "units", "about", "back"]);

type Pairs = ReadonlyMap<string, string>;

/** An input as pairs that an address can hold: `stock.tankLitres` and `200`. A blank within a list keeps its place. */
export function pairsOf(input: unknown): Pairs {
  return new Map(pairs(input, []));
}

/** The pairs of an address, without what the book itself keeps there. */
export function pairsIn(search: string): Pairs {
  return new Map([...new URLSearchParams(search)].filter(([name]) => !ofTheBook.has(name)));
}

/** Pairs as an input again, as text: a form turns it into what its fields are. Lists are objects by place. */
export function inputOf(pairs: Pairs): unknown {
  const input: Inner = new Map();
  for (const [name, text] of pairs) {
    const steps = name.split(".").map(unescaped);
    const last = steps.pop() ?? "";
    let inner = input;
    for (const step of steps) {
      const next = inner.get(step);
      const deeper: Inner = next instanceof Map ? next : new Map();
      inner.set(step, deeper);
      inner = deeper;
    }
    inner.set(last, text);
  }
  return plain(input);
}

/** The address of a filled sheet. With a `base`, it holds only what differs from that. */
export function searchOf(now: Pairs, search: string, base?: Pairs): string {
  const kept = new URLSearchParams([...new URLSearchParams(search)].filter(([name]) => ofTheBook.has(name)));
  const parts = [...now].filter(([name, text]) => base?.get(name) !== text);
  const gone = [...(base?.keys() ?? [])].filter((name) => !now.has(name)).map((name) => [name, ""] as const);
  const sheet = [...parts, ...gone].map(([name, text]) => `${escapedPart(name)}=${escapedPart(text)}`);
  const whole = [...sheet, ...(kept.size > 0 ? [kept.toString()] : [])].join("&");
  return whole === "" ? "" : `?${whole}`;
}

type Inner = Map<string, string | Inner>;

function* pairs(value: unknown, path: readonly string[]): Generator<[string, string]> {
  if (value === undefined) return;
  if (typeof value === "object" && value !== null) {
    for (const [key, inner] of Object.entries(value)) yield* pairs(inner, [...path, escaped(key)]);
  } else
    yield [
      path.join("."),
      typeof value === "number" ? String(Number(value.toPrecision(10))) : value === null ? "" : String(value),
    ];
}

function plain(value: string | Inner): unknown {
  if (typeof value === "string") return value;
  return Object.fromEntries([...value].map(([key, inner]) => [key, plain(inner)]));
}

/** Names may have dots of their own, as `nitrate 15.5` has. */
function escaped(name: string): string {
  return name.replaceAll("~", "~0").replaceAll(".", "~1");
}

function unescaped(name: string): string {
  return name.replaceAll("~1", ".").replaceAll("~0", "~");
}

/** Escaped as little as an address bears, so that it can be read. */
function escapedPart(text: string): string {
  return encodeURIComponent(text).replace(/%(2F|3A|2C|40|20)/g, (code) =>
    code === "%20" ? "+" : decodeURIComponent(code),
  );
}
