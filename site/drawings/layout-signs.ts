import type { StaffEdition } from "../../generator/editions.ts";

export type StaffTrial = StaffEdition["trials"][number];

/** What tells a treatment apart without colour: a shape in a square of 20, solid or hollow, and a letter or two. */
export interface Sign {
  readonly treatment: string;
  readonly mark: string;
  readonly shape: string;
  readonly hollow: boolean;
}

/** The signs of a trial's treatments, the same in its layout and among its values; the control comes last and is hollow. */
export function signsOf({ reading, layout }: Pick<StaffTrial, "reading" | "layout">): ReadonlyMap<string, Sign> {
  const names = reading.groups.map(({ treatment }) => treatment);
  const all = [...new Set([...names, ...(layout?.key ?? []).map(({ treatment }) => treatment)])];
  const marks = new Map((layout?.key ?? []).map(({ treatment, mark }) => [treatment, mark]));
  return new Map(
    all.map((treatment, index) => [
      treatment,
      {
        treatment,
        mark: marks.get(treatment) ?? treatment,
        shape: shapes[index % shapes.length]!,
        hollow: index === all.length - 1,
      },
    ]),
  );
}

/** The lines of a reading without what stands on the page beside them already: what went wrong has a place of its own. */
export function linesOf({ reading, incidents = [] }: Pick<StaffTrial, "reading" | "incidents">): readonly string[] {
  const told = incidents.map((text) => text.replace(/[.!?]$/, ""));
  return reading.lines.filter((line) => !told.some((text) => line.includes(text)));
}

/** Why a result goes no further, without the refusal, which stands on the page beside them already. */
export function reasonsOf({ reading }: Pick<StaffTrial, "reading">): readonly string[] {
  return reading.because.filter((text) => text !== reading.refusal?.why);
}

const shapes = ["M10 2a8 8 0 1 0 .01 0z", "M3 3h14v14H3z", "M10 2l8.5 15h-17z", "M10 1l9 9-9 9-9-9z"] as const;
