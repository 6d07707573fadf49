/** The lines that differ between two texts, taken out with `-` and put in with `+`, in the order of the new text. */
export function lineChanges(before: string, after: string): readonly string[] {
  const [old, now] = [linesOf(before), linesOf(after)];
  // Lengths of the longest common rest from each pair of places on.
  const common = Array.from({ length: old.length + 1 }, () => new Uint32Array(now.length + 1));
  for (let i = old.length - 1; i >= 0; i--)
    for (let j = now.length - 1; j >= 0; j--)
      common[i]![j] = old[i] === now[j] ? common[i + 1]![j + 1]! + 1 : Math.max(common[i + 1]![j]!, common[i]![j + 1]!);
  const changes: string[] = [];
  for (let i = 0, j = 0; i < old.length || j < now.length; ) {
    if (i < old.length && old[i] === now[j]) {
      i++;
      j++;
    } else if (i < old.length && (j === now.length || common[i + 1]![j]! >= common[i]![j + 1]!))
      changes.push(`- ${old[i++]}`);
    else changes.push(`+ ${now[j++]}`);
  }
  return changes;
}

function linesOf(text: string): readonly string[] {
  return text === "" ? [] : text.replace(/(?:\r\n|\r|\n)$/, "").split(/\r\n|\r|\n/);
}
