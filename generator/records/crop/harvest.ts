import { amount, count, span } from "../amounts.ts";
import { everyone, group, text } from "../fields.ts";
import { days } from "./stages.ts";

/** How it is cut, how often and for how long. */
export const cutting = group({
  style: text().meta({ label: "How it is cut" }).optional(),
  first: days().meta({ label: "From planting to the first cut" }).optional(),
  how: everyone(text()).meta({ label: "Cut" }).optional(),
  height: span("cm", { within: [0, 200] })
    .meta({ label: "Cut height" })
    .optional(),
  each: span("g", { within: [0, 20_000] })
    .meta({ label: "Each cut gives" })
    .optional(),
  bunch: amount("g", { within: [1, 2000] })
    .meta({ label: "A bunch weighs" })
    .optional(),
  pieces: span("/week", { within: [0, 1000] })
    .meta({ label: "Flowers or fruits a port" })
    .optional(),
  regrowth: span("days", { within: [0, 200] })
    .meta({ label: "Days between cuts" })
    .optional(),
  window: span("days", { within: [0, 400] })
    .meta({ label: "Cut for" })
    .optional(),
  most: count({ within: [1, 200] })
    .meta({ label: "Most cuts", figure: true })
    .optional(),
  picks: amount("/week", { within: [0, 14] })
    .meta({ label: "Picks" })
    .optional(),
  yield: text().meta({ label: "Yield" }).optional(),
});

/** How long it keeps once it is cut. */
export const keeping = group({
  temperature: span("°C", { within: [-5, 30], usual: [0, 16] })
    .meta({ label: "Store at" })
    .optional(),
  shelf: span("days", { within: [0, 365] })
    .meta({ label: "Keeps" })
    .optional(),
  how: text().meta({ label: "Handling" }).optional(),
});

/** How it bears the post. */
export const posting = group({
  tolerance: amount("days", { within: [0, 60], usual: [1, 14] }).meta({ label: "Days in the dark" }),
});
