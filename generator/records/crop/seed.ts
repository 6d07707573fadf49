import { amount, count, span } from "../amounts.ts";
import { everyone, group, reference, text } from "../fields.ts";

/** How its seed is sown, kept and counted. */
export const seed = group({
  temperature: everyone(span("°C", { within: [-5, 50], usual: [4, 38] }))
    .meta({ label: "Sow at" })
    .optional(),
  coldest: span("°C", { within: [-5, 50] })
    .meta({ label: "Coldest for germination" })
    .optional(),
  hottest: span("°C", { within: [-5, 60] })
    .meta({ label: "Hottest for germination" })
    .optional(),
  days: span("days", { within: [0, 120], usual: [1, 30] })
    .meta({ label: "Days to come up" })
    .optional(),
  count: count({ within: [1, 120] })
    .meta({ label: "Count on day" })
    .optional(),
  light: everyone(text()).meta({ label: "Light or dark" }).optional(),
  depth: everyone(span("mm", { within: [0, 100], usual: [0, 40] }))
    .meta({ label: "Depth" })
    .optional(),
  cell: span("", { within: [1, 200] })
    .meta({ label: "Seeds a cell" })
    .optional(),
  tray: reference("gear", "tray").meta({ label: "Sown in" }).optional(),
  gram: span("", { within: [0.1, 100_000] })
    .meta({ label: "Seeds in a gram" })
    .optional(),
  standard: amount("%", { within: [0, 100], usual: [40, 100] })
    .meta({ label: "Germination standard" })
    .optional(),
  usable: amount("%", { within: [0, 100], usual: [50, 100] })
    .meta({ label: "Usable of those up" })
    .optional(),
  before: text().meta({ label: "Before sowing" }).optional(),
  test: group({
    temperature: span("°C", { within: [-5, 50] })
      .meta({ label: "Test temperature" })
      .optional(),
    first: count({ within: [1, 120] })
      .meta({ label: "First count, day", figure: true })
      .optional(),
    final: count({ within: [1, 120] })
      .meta({ label: "Final count, day", figure: true })
      .optional(),
  }).optional(),
});

/** The crop sown thickly and cut young. */
export const micro = group({
  sow: span("", { within: [1, 5000] })
    .meta({ label: "Seed, g/m²" })
    .optional(),
  density: span("/cm²", { within: [0.05, 60] })
    .meta({ label: "Seeds" })
    .optional(),
  soak: span("h", { within: [0, 48] })
    .meta({ label: "Soak" })
    .optional(),
  dark: span("days", { within: [0, 20] })
    .meta({ label: "In the dark" })
    .optional(),
  days: span("days", { within: [1, 60] })
    .meta({ label: "Days to cut" })
    .optional(),
  yield: span("", { within: [1, 20_000] })
    .meta({ label: "Yield, g/m²" })
    .optional(),
  height: span("mm", { within: [1, 300] })
    .meta({ label: "Cut height" })
    .optional(),
});
