import type { Library, PageOf } from "../library.ts";
import { treatmentsIn } from "../records/trial.ts";
import { marksOf } from "./told.ts";
import { towersOf } from "./yard.ts";

/** Where the treatments of a trial stand, to be drawn. */
export interface Layout {
  /** The treatments with a sign short enough for a port, the control last. */
  readonly key: readonly { readonly treatment: string; readonly mark: string }[];
  /** What the places were drawn from, if that is recorded. */
  readonly drawn: number | undefined;
  /** Blocks that are towers, and their ports; none for a trial through the feed. */
  readonly towers: readonly TowerOf[];
  /** Blocks of towers that each have one treatment; none for a trial by the plant. */
  readonly groups: readonly {
    readonly block: string;
    readonly towers: readonly { readonly tower: string; readonly treatment: string }[];
  }[];
}

interface TowerOf {
  readonly block: string;
  /** How many tiers the tower has; undefined for a block that is no tower of the yard. */
  readonly of: number | undefined;
  readonly faces: readonly string[];
  /** The tiers that the trial stands in, from the top down. */
  readonly tiers: readonly {
    readonly tier: number;
    readonly ports: readonly { readonly port: string; readonly treatment: string | undefined }[];
  }[];
}

/** The places of a trial by block, as the record has them; undefined when it names none. */
export function layoutOf(library: Library, { fields }: PageOf<"trials">): Layout | undefined {
  const { places, control, started, stop, drawn, through } = fields;
  if (!places || Object.keys(places).length === 0) return undefined;
  const yard = towersOf(library, { from: started, to: stop });
  const treatments = [...treatmentsIn({ places })].sort(
    (a, b) => Number(a === control) - Number(b === control) || (a < b ? -1 : 1),
  );
  const marks = marksOf(treatments);
  const blocks = Object.entries(places);
  return {
    key: treatments.map((treatment) => ({ treatment, mark: marks.get(treatment)! })),
    drawn,
    towers:
      through === "feed"
        ? []
        : blocks.map(([block, ports]) =>
            towerOf(
              block,
              ports,
              yard.find(({ name }) => name === block),
            ),
          ),
    groups:
      through === "feed"
        ? blocks.map(([block, towers]) => ({
            block,
            towers: Object.entries(towers).map(([tower, treatment]) => ({ tower, treatment })),
          }))
        : [],
  };
}

/** One plant that is measured: the line of a data sheet. */
export interface SheetRow {
  readonly block: string;
  readonly port: string;
  readonly treatment: string;
}

/**
 * A line for each plant, in the order of a walk along the blocks: from the top tier down, so that treatments alternate as
 * they stand. `port` of a trial through the feed is the tower.
 */
export function sheetRows({ fields }: PageOf<"trials">): readonly SheetRow[] {
  return Object.entries(fields.places ?? {}).flatMap(([block, ports]) =>
    Object.entries(ports)
      .map(([port, treatment]) => ({ block, port, treatment }))
      .sort((a, b) => Number.parseInt(b.port, 10) - Number.parseInt(a.port, 10) || (a.port < b.port ? -1 : 1)),
  );
}

function towerOf(
  block: string,
  ports: Readonly<Record<string, string>>,
  tower: { readonly tiers: number; readonly faces: readonly string[] } | undefined,
): TowerOf {
  const tiers = [...new Set(Object.keys(ports).map((port) => Number.parseInt(port, 10)))].filter(Number.isFinite);
  const faces = tower?.faces ?? ["N", "E", "S", "W"];
  return {
    block,
    of: tower?.tiers,
    faces,
    tiers: tiers
      .sort((a, b) => b - a)
      .map((tier) => ({
        tier,
        ports: faces.map((face) => ({ port: `${tier}${face}`, treatment: ports[`${tier}${face}`] })),
      })),
  };
}
