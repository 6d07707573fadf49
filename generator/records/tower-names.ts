/**
 * What the towers of one gear record are called. A record that speaks of several and whose name holds their numbers,
 * `Towers 1 to 14`, gives `tower-1` to `tower-14`; one whose name holds one number gives that; one without a number is
 * called by its record, and several by the record and a number.
 */
export function towerNames(
  id: string,
  { name = "", count = 1 }: { readonly name?: string | undefined; readonly count?: number | undefined },
): readonly string[] {
  const [first, last] = [...name.matchAll(/\d+/g)].map(([digits]) => Number(digits));
  if (first !== undefined && count === 1) return [`tower-${first}`];
  if (first !== undefined && last !== undefined && last - first + 1 === count)
    return Array.from({ length: count }, (_, index) => `tower-${first + index}`);
  return count === 1 ? [id] : Array.from({ length: count }, (_, index) => `${id}-${index + 1}`);
}

/** The faces of a tower as ports are called by them; past four, ports still go by these. */
export function faceNames(count: number): readonly ("N" | "E" | "S" | "W")[] {
  if (count === 1) return ["S"];
  if (count === 2) return ["N", "S"];
  return count === 3 ? ["N", "E", "W"] : ["N", "E", "S", "W"];
}
