import type { PlainDate, Weekday } from "../science/calendar.ts";
import type { In } from "../science/units.ts";

/** What a plan is made from: the yard as it stands on a day. A figure that no record holds is undefined, never 0. */
export interface Yard {
  readonly today: PlainDate;
  /** The last day that the plan looks at. */
  readonly until: PlainDate;
  /** South is negative; it tells summer from winter. */
  readonly latitude: In<"°">;
  readonly sowDays: readonly Weekday[];
  readonly postDays: readonly Weekday[];
  /** Days without sowing and without a parcel on its way. */
  readonly holidays: readonly PlainDate[];
  /** Everything is to be ready so many days before it is needed. */
  readonly buffer: In<"days">;
  /** Days in the post. */
  readonly transit: In<"days">;
  readonly crops: ReadonlyMap<string, GrownCrop>;
  readonly lots: ReadonlyMap<string, SeedLot>;
  readonly orders: readonly Promised[];
  readonly batches: readonly Standing[];
  readonly places: Places;
}

/** What there is room for. */
export interface Places {
  /** Trays on all benches together. */
  readonly bench: number | undefined;
  /** Plugs on all misters together. */
  readonly mister: number | undefined;
  readonly lines: readonly Line[];
}

/** A feed line and all ports that drink from it. */
export interface Line {
  readonly id: string;
  readonly crops: readonly string[];
  readonly ports: number;
}

export interface GrownCrop {
  readonly id: string;
  readonly micro: boolean;
  /** In the order in which a plant passes through them. */
  readonly stages: readonly GrowingStage[];
  /** One port gives so much at a cut, before loss in trimming. */
  readonly gramsPerCut: In<"g"> | undefined;
  readonly daysBetweenCuts: In<"days"> | undefined;
  /** A port is cut for so long from its first cut. */
  readonly cutWindow: In<"days"> | undefined;
  /** The longer end of that range: the last sowing of an order may be cut so long. */
  readonly cutWindowMost: In<"days"> | undefined;
  /** Cut once and cleared. */
  readonly once: boolean;
  readonly gramsPerBunch: In<"g"> | undefined;
  /** Flowers or fruits that one port gives a week. */
  readonly piecesPerWeek: In<"/week"> | undefined;
  /** One pot of seedlings gives so much; for micro herbs. */
  readonly gramsPerPot: In<"g"> | undefined;
  /** Ports left empty beside each plant. */
  readonly empty: number;
  /** Share of those up that are fit to use. */
  readonly usable: number | undefined;
  /** Share that comes up by the record, for want of a test. */
  readonly standard: number | undefined;
  readonly seedsPerCell: number;
  readonly cellsPerTray: number | undefined;
  readonly tray: string | undefined;
  /** Seedlings are counted so many days after sowing. */
  readonly countDay: In<"days"> | undefined;
  /** Plugs bear so many days packed in the dark. */
  readonly tolerance: In<"days"> | undefined;
}

/** Days of a stage, at the longer end of its range, when it begins in the summer or the winter half of the year. */
export interface GrowingStage {
  readonly name: StageName;
  readonly summer: In<"days">;
  readonly winter: In<"days">;
  /** How many times as long it takes in the light of each month, January first; only where the record knows no seasons. */
  readonly slower?: readonly number[];
}

export type StageName = "germination" | "tray" | "mister" | "hardening" | "tower";

export interface SeedLot {
  readonly id: string;
  readonly crop: string;
  readonly bought: PlainDate;
  /** Share that came up in all tests together, or for want of a test in the batches that were sown from it. */
  readonly germination: number | undefined;
  /** Which of the two it is. */
  readonly germinationFrom?: "tests" | "batches";
  readonly usable: number | undefined;
  /** Untreated and supplied for food. */
  readonly food: boolean;
}

/** An order as the plan reads it. */
export interface Promised {
  readonly id: string;
  readonly kind: "cut" | "bunch" | "pot" | "plug" | "trial";
  readonly crop: string;
  /** As written, `2400 g/week`. */
  readonly written: string;
  readonly from: PlainDate;
  readonly to: PlainDate | undefined;
  /** The days of the week on which it is delivered. */
  readonly days: readonly Weekday[] | undefined;
  readonly lot: string | undefined;
}

/** A batch in hand: what was sown, and where its plants are. */
export interface Standing {
  readonly id: string;
  readonly code: string;
  readonly crop: string;
  readonly order: string | undefined;
  readonly sown: PlainDate;
  readonly cells: number;
  readonly tray: string | undefined;
  readonly cellsPerTray: number | undefined;
  /** The stage that it is in and the day on which it came there. */
  readonly stage: StageName;
  readonly since: PlainDate;
  readonly plants: number;
  /** When it was first cut. */
  readonly firstCut: PlainDate | undefined;
}
