import { amount, count, span } from "../amounts.ts";
import { everyone, group, text, word } from "../fields.ts";

/** How large it grows, and how. */
export const form = group({
  height: span("cm", { within: [0, 400] })
    .meta({ label: "Height" })
    .optional(),
  spread: everyone(span("cm", { within: [0, 400] }))
    .meta({ label: "Spread" })
    .optional(),
  trail: amount("cm", { within: [0, 300] })
    .meta({ label: "Trails" })
    .optional(),
  mass: amount("kg", { within: [0.001, 10], usual: [0.005, 4] })
    .meta({ label: "Weight in the port" })
    .optional(),
  roots: count({ within: [1, 3] })
    .meta({ label: "Root class", figure: true })
    .optional(),
  moisture: amount("", { within: [0, 1] })
    .meta({ label: "Moisture liked" })
    .optional(),
  habit: text().meta({ label: "Habit" }).optional(),
  support: text().meta({ label: "Support" }).optional(),
});

/** Where it stands on a tower. */
export const tower = group({
  plants: span("", { within: [1, 30] })
    .meta({ label: "Plants a port" })
    .optional(),
  empty: span("", { within: [0, 10] })
    .meta({ label: "Ports left empty beside it" })
    .optional(),
  zone: word(["top", "upper", "middle", "lower", "base", "any", "none"]).meta({ label: "Place on the tower" }),
  why: text().meta({ label: "Why there" }),
});

/** How far apart plants stand outdoors. */
export const spacing = everyone(span("cm", { within: [1, 400] })).meta({ label: "Spacing outdoors" });
