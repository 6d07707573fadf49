/** A text as it is compared: lower case, no accents, dashes and punctuation as spaces. */
export function fold(text: string): string {
  return text
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/['’]/g, "")
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}

/**
 * How many letters must be added, taken away, changed or swapped with their neighbour to turn one text into the other.
 * @see Damerau 1964; the optimal string alignment form, in which no part is edited twice
 */
export function distance(one: string, other: string): number {
  const [a, b] = [[...one], [...other]];
  let before: number[] = [];
  let last: number[] = b.map((_, index) => index).concat(b.length);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      row[j] = Math.min(last[j]! + 1, row[j - 1]! + 1, change, swapped ? before[j - 2]! + 1 : Number.POSITIVE_INFINITY);
    }
    [before, last] = [last, row];
  }
  return last[b.length]!;
}

/** The `count` things whose names come nearest to what was written, nearest first; equal ones keep their order. */
export function nearest<Thing>(
  written: string,
  things: readonly Thing[],
  namesOf: (thing: Thing) => readonly string[],
  count: number,
): readonly Thing[] {
  const query = fold(written);
  const apart = (name: string): number => {
    const forms = [name, ...name.split(" ")];
    return Math.min(...forms.map((form) => distance(query, form) / Math.max(query.length, form.length, 1)));
  };
  return things
    .map((thing) => ({ thing, apart: Math.min(1, ...namesOf(thing).map((name) => apart(fold(name)))) }))
    .sort((a, b) => a.apart - b.apart)
    .slice(0, count)
    .map(({ thing }) => thing);
}
