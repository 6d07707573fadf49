import type { CropCloseout } from "../closeouts.ts";
import { quantity } from "../format.ts";
import { basisOf, type Library } from "../library.ts";
import { type Basis, sourcesOf, weakest } from "../provenance.ts";
import type { FieldsOf } from "../records/index.ts";
import { gearOf } from "../supply/supply.ts";
import { type Cited, cited, sourcesBlock, told } from "../told.ts";

/** What people say of growing, as a guide has it, with the yard's own figures that come nearest. */
export interface Thumb {
  readonly guide: string;
  readonly name: string;
  readonly says: string;
  /** What of the yard stands beside it. */
  readonly of: Rule["beside"];
  /** Undefined where its guide names none. */
  readonly basis: Basis | undefined;
  /** The works behind it; none for common practice and memory. */
  readonly cited: readonly Cited[];
  readonly beside: readonly Beside[];
  /** Why it cannot be told here, in a sentence; undefined where its guide asks for no comparison. */
  readonly cannot: string | undefined;
}

/** One figure of the yard's own, or what one of its records says in words. */
export interface Beside {
  readonly label: string;
  readonly text: string;
  /** Where it stands, `gear/line-main`. */
  readonly record: string;
  readonly basis: Basis | undefined;
}

/** Every rule of thumb of the guides, in their order. None of them is worked with: they are set beside what the yard has. */
export function thumbsOf(library: Library, crops: readonly CropCloseout[]): readonly Thumb[] {
  return [...library.guides.values()].flatMap((guide) =>
    Object.entries(guide.fields.rules ?? {}).map(([name, { says, against, beside }]) => {
      const path = `rules.${name}.says`;
      const sources = sourcesBlock(guide);
      return {
        guide: guide.id,
        name,
        says,
        of: beside,
        basis: basisOf(library, sources, path),
        cited: sourcesOf(path, sources)
          .map((id) => cited(library, id))
          .filter(({ text }) => text !== ""),
        beside: beside === undefined ? [] : besides[beside](library, crops),
        cannot:
          against === undefined
            ? undefined
            : `To tell, it would take ${against}, and none is on record here. So this cannot be told.`,
      };
    }),
  );
}

type Rule = NonNullable<FieldsOf<"guides">["rules"]>[string];

const besides: Readonly<
  Record<NonNullable<Rule["beside"]>, (library: Library, crops: readonly CropCloseout[]) => readonly Beside[]>
> = {
  water(library) {
    const gear = [...library.gear.values()];
    const drunk = [
      ...gearOf(gear, "line").map((page) => ({ page, figure: told(library, page, "litres") })),
      ...gearOf(gear, "tower").map((page) => ({ page, figure: told(library, page, "drinks") })),
    ];
    return drunk.flatMap(({ page, figure }) =>
      figure ? [{ label: page.fields.name, text: figure.text, record: `gear/${page.id}`, basis: figure.basis }] : [],
    );
  },
  days: (_library, crops) => measured(crops, "sowing-to-cut"),
  weight: (_library, crops) => measured(crops, "plant"),
  mister(library, crops) {
    const stages = crops
      .flatMap(({ parts }) => parts.flatMap(({ losses }) => losses.stages))
      .filter(({ stage }) => stage === "mister");
    const [lost, of, batches] = (["lost", "of", "batches"] as const).map((what) =>
      stages.reduce((all, one) => all + one[what], 0),
    ) as [number, number, number];
    return gearOf(library.gear.values(), "mister")
      .flatMap((mister): readonly Beside[] => {
        const { name, wilt } = mister.fields;
        const record = `gear/${mister.id}`;
        return wilt === undefined
          ? []
          : [{ label: `${name}, with the pump off`, text: wilt, record, basis: undefined }];
      })
      .concat(
        of === 0
          ? []
          : [
              {
                label: "Lost on it",
                text: `${lost} of ${of} plants, ${quantity((100 * lost) / of, "%", 2)}; ${batches} closed ${batches === 1 ? "batch" : "batches"}`,
                record: "batches",
                basis: weakest(
                  batchesOf(library).map((batch) => basisOf(library, sourcesBlock(batch), "moves") ?? "memory"),
                ),
              },
            ],
      );
  },
};

function batchesOf(library: Library) {
  return [...library.batches.values()].filter(({ fields }) => fields.closed !== undefined);
}

/** What closed batches show of one thing, crop by crop. */
function measured(crops: readonly CropCloseout[], what: "sowing-to-cut" | "plant"): readonly Beside[] {
  return crops.flatMap(({ crop, name, parts }) => {
    const found = parts.flatMap(({ half, measures }) =>
      measures.filter((one) => one.what === what && one.n > 0).map((one) => ({ half, one })),
    );
    return found.map(({ half, one }) => ({
      label: `${name}, ${half}`,
      text: one.said.here,
      record: `crops/${crop}`,
      basis: one.basis,
    }));
  });
}
