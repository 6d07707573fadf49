/** What a figure rests on, the strongest first. */
export const bases = ["published", "own-trial", "common-practice", "memory", "demo"] as const;
export type Basis = (typeof bases)[number];

/** A record's `sources:` block: each source with the paths that it covers, or `"*"` for whatever is not named. */
export type Sources = Readonly<Record<string, "*" | readonly string[]>>;

/**
 * The sources of the figure at `path`: those whose closest name covers it. Two sources that name it equally closely
 * both stand. Empty when none covers it.
 */
export function sourcesOf(path: string, sources: Sources): readonly string[] {
  let closest = -1;
  let found: string[] = [];
  for (const [source, paths] of Object.entries(sources)) {
    const length =
      paths === "*" ? 0 : Math.max(-1, ...paths.filter((name) => covers(name, path)).map(({ length }) => length));
    if (length < 0 || length < closest) continue;
    if (length > closest) found = [];
    closest = length;
    found.push(source);
  }
  return found;
}

/** Whether the field `name` is the field `path`, or a mapping around it. */
export function covers(name: string, path: string): boolean {
  return path === name || path.startsWith(`${name}.`);
}

/** A worked-out figure is as good as the weakest figure that it leans on. @throws RangeError for none at all. */
export function weakest(all: Iterable<Basis>): Basis {
  const worst = Math.max(-1, ...[...all].map((basis) => bases.indexOf(basis)));
  const basis = bases[worst];
  if (!basis) throw new RangeError("weakest requires at least one basis");
  return basis;
}

/** Of several sources that say the same, the strongest holds it up. */
export function strongest(all: Iterable<Basis>): Basis | undefined {
  return bases.find((basis) => [...all].includes(basis));
}
