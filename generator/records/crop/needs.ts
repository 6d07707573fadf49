import { amount, span } from "../amounts.ts";
import { everyone, group, sensible, text } from "../fields.ts";
import { contained } from "../sense.ts";
import { days } from "./stages.ts";

/** How strong its feed should be. */
export const ec = sensible(
  group({
    preferred: strength().meta({ label: "EC" }).optional(),
    tolerated: strength().meta({ label: "EC tolerated" }).optional(),
    seedling: span("mS/cm", { within: [0, 10], usual: [0, 3.5] })
      .meta({ label: "EC for seedlings" })
      .optional(),
    fruiting: strength().meta({ label: "EC in fruit" }).optional(),
  }),
  contained,
);

/** How acid its feed should be. */
export const ph = sensible(
  group({
    preferred: acidity().meta({ label: "pH" }),
    tolerated: acidity().meta({ label: "pH tolerated" }).optional(),
  }),
  contained,
);

/** How warm the water at its roots should be. */
export const roots = span("°C", { within: [-1, 45], usual: [10, 28] }).meta({ label: "Water at the roots" });

/** How much light it needs a day, and for how long. */
export const light = group({
  need: amount("mol/m²/day", { within: [0, 70], usual: [4, 40] }).meta({ label: "Light needed" }),
  best: span("mol/m²/day", { within: [0, 70], usual: [4, 45] })
    .meta({ label: "Light aimed at" })
    .optional(),
  most: amount("mol/m²/day", { within: [0, 70], usual: [6, 60] })
    .meta({ label: "Most light" })
    .optional(),
  hours: span("h", { within: [0, 24], usual: [8, 18] })
    .meta({ label: "Hours of light" })
    .optional(),
  longest: amount("h", { within: [0, 24], usual: [10, 20] })
    .meta({ label: "Longest day under lamps" })
    .optional(),
  response: text().meta({ label: "What day length does" }).optional(),
  plain: everyone(text()).meta({ label: "Light in plain words" }).optional(),
});

/** How warm the air should be. */
export const warmth = group({
  day: everyone(air()).meta({ label: "Air by day" }).optional(),
  night: everyone(air()).meta({ label: "Air by night" }).optional(),
  lowest: everyone(amount("°C", { within: [-30, 60], usual: [-15, 20] }))
    .meta({ label: "Not below" })
    .optional(),
});

/** How plugs are raised. */
export const plug = group({
  days: days().meta({ label: "From sowing to plug" }).optional(),
  day: air().meta({ label: "Plugs by day" }).optional(),
  night: air().meta({ label: "Plugs by night" }).optional(),
});

/** Between which temperatures it grows. */
export const growth = group({
  best: air().meta({ label: "Grows best at" }).optional(),
  least: air().meta({ label: "Hardly grows below" }).optional(),
  most: air().meta({ label: "Suffers above" }).optional(),
  base: air().meta({ label: "Base temperature" }).optional(),
});

/** Strength of a feed. */
function strength() {
  return span("mS/cm", { within: [0, 10], usual: [0.3, 3.5] });
}

/** Acidity of a feed. */
function acidity() {
  return span("pH", { within: [0, 14], usual: [4.5, 7.5] });
}

/** Air temperature. */
function air() {
  return span("°C", { within: [-30, 60], usual: [-12, 45] });
}
