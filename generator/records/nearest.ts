/**
 * The one of `candidates` that `written` was most likely meant to be, or undefined when none is near. A third of the letters
 * may be wrong; of names of one or two letters only capitals. The start of just one name will do as well.
 */
export function nearest(written: string, candidates: Iterable<string>): string | undefined {
  const names = [...candidates];
  const wanted = written.toLowerCase();
  let best: { name: string; distance: number } | undefined;
  for (const name of names) {
    const shorter = Math.min(wanted.length, name.length);
    // What differs by so much in length differs in as many letters, and need not be counted.
    if (Math.abs(wanted.length - name.length) > Math.floor(shorter / 3)) continue;
    const distance = editDistance(wanted, name.toLowerCase());
    if (distance <= Math.floor(shorter / 3) && (!best || distance < best.distance)) best = { name, distance };
  }
  if (best || wanted.length < 3) return best?.name;
  const begun = names.filter((name) => name.toLowerCase().startsWith(wanted));
  return begun.length === 1 ? begun[0] : undefined;
}

/** How many letters must be put in, left out, changed or swapped with a neighbour (optimal string alignment). */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let cost = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, before[j - 2]! + 1);
      next.push(cost);
    }
    before = row;
    row = next;
  }
  return row[b.length]!;
}
