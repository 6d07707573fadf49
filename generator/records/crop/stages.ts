import { span } from "../amounts.ts";
import { everyone, group, sensible, text } from "../fields.ts";
import { inOrder } from "../sense.ts";

/** Stages in the only order that a plant can pass through them. */
export const stageNames = ["germination", "tray", "mister", "hardening", "tower"] as const;
export type StageName = (typeof stageNames)[number];

/** The stages that a crop passes through, in their order. */
export const stages = sensible(
  group({
    germination: stage().meta({ label: "Germination" }).optional(),
    tray: stage().meta({ label: "Flood tray" }).optional(),
    mister: stage().meta({ label: "Mister" }).optional(),
    hardening: stage().meta({ label: "Hardening off" }).optional(),
    tower: stage().meta({ label: "Tower" }).optional(),
  }),
  (stages, complain) =>
    inOrder(
      Object.keys(stages),
      stageNames,
      "Stages stand in the order in which a plant passes through them.",
      complain,
    ),
);

/** How long something takes [days]. */
export function days() {
  return span("days", { within: [0, 400] });
}

/** How long a stage takes, and what one sees when it is done. Summer and winter stand apart where they differ. */
function stage() {
  return sensible(
    group({
      days: days().meta({ label: "Days" }).optional(),
      summer: days().meta({ label: "Days in summer" }).optional(),
      winter: days().meta({ label: "Days in winter" }).optional(),
      ready: everyone(text()).meta({ label: "Ready when you see", reader: "everyone" }).optional(),
    }),
    (_stage, complain, written) => {
      if ("days" in written || "summer" in written || "winter" in written) return;
      complain(["days"], {
        rule: "field-missing",
        expected: "`days`, or `summer` and `winter`",
        note: "Write how long the stage takes, such as `days: 10–14 days`.",
      });
    },
  );
}
